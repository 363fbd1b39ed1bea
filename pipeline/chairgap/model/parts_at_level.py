"""Which rings a molecule needs at the level of its study, and their gaps in the sense of its own chairs.

Needed are the pairs that the shipped table does not cover, with their groups alone, and for three groups and
more the molecule itself with every group alone, unless a pair it needs is tabulated by another method. A
group alone has its A-value, so a molecule of one group needs nothing. Where symmetry makes the chairs of a
molecule, or of a pair, equal, its gap is 0 and not computed.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from chairgap.compare.anchored import ComputedGaps
from chairgap.compare.pair_rows import row_of, tabulated
from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.compare.split import Site, pairs_of
from chairgap.compare.thermochemistry import thermal_of_top
from chairgap.model.reference_compounds import written
from chairgap.molecule.build import writing_of
from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import ALL_NUMBERINGS, RingFaces, mirrored, renumbered
from chairgap.records import (
    GAS_PHASE,
    Chair,
    Computation,
    LevelConformer,
    LevelRing,
    PairInteraction,
    PairLevel,
    Topology,
)
from chairgap.shape.chairs import two_chairs
from chairgap.units import HARTREE_KCAL_MOL, signed

# What was computed of a ring; or why nothing was.
LevelPart = LevelRing | str
LevelLookUp = Callable[[RingFaces], LevelPart]


@dataclass(frozen=True, kw_only=True)
class RingAtLevel:
    """A ring to compute: what it has of the groups of the molecule, by (carbon, face), how it is written, and
    where the first of them stands in that writing."""

    sites: tuple[Site, ...]
    ring: RingFaces
    first: Site


def needed_at_level(
    topology: Topology, pairs: Sequence[PairInteraction], level: PairLevel
) -> tuple[RingAtLevel, ...]:
    """The rings that a molecule needs: groups alone, pairs, the molecule itself, in this order. Two of them
    may be the same ring in other places. `pairs` are the rows of the table that hold for the study."""
    groups = topology.groups
    if level == "none" or len(groups) < 2 or chairs_alike(writing_of(topology)):
        return ()
    rows = tabulated(pairs)
    chair = two_chairs(topology)[0]
    placed = {(group.carbon, group.face): group for group in chair.groups}
    found = {sites: row_of(placed[sites[0]], placed[sites[1]], rows) for sites in pairs_of(chair)}
    missing = [_ring(topology, sites) for sites, row in found.items() if row is None]
    missing = [pair for pair in missing if not chairs_alike(pair.ring)]
    methods = {row[1].method for row in found.values() if row is not None}
    whole = len(groups) > 2 and methods <= {level}
    alone = set(placed) if whole else {site for pair in missing for site in pair.sites}
    singles = [_ring(topology, (site,)) for site in placed if site in alone]
    return (*singles, *missing, *([_ring(topology, tuple(placed))] if whole else []))


def gaps_at_level(
    computed: Computation,
    pairs: Sequence[PairInteraction],
    level: PairLevel,
    look_up: LevelLookUp,
    *,
    temperature_k: float,
) -> tuple[ComputedGaps | None, tuple[str, ...]]:
    """The gaps of the molecule and its parts at the level, as far as they are needed and could be had, and
    why any could not."""
    needed = needed_at_level(computed.molecule.topology, pairs, level)
    if not needed:
        return None, ()
    chair = computed.chairs[0]
    positions = {(group.carbon, group.face): group.position for group in chair.groups}
    names = {
        (group.carbon, group.face): f"{group.carbon} {group.face} {group.group}" for group in chair.groups
    }
    gaps: dict[tuple[Site, ...], float] = {}
    words, lost = [], []
    for item in needed:
        part, named = look_up(item.ring), ", ".join(names[site] for site in item.sites)
        if isinstance(part, str):
            why = f"{level} gave nothing for the ring with {named} ({part.rstrip('.')})"
            lost.append(f"{why}; every part that needs it is taken from the model.")
            continue
        stands = {(group.carbon, group.face): group.position for group in part.chairs[0].groups}
        as_wanted = "equatorial" if len(item.sites) == 1 else positions[item.sites[0]]
        own = level_gap_kcal_mol(part.conformers, temperature_k)
        gap = own if stands[item.first] == as_wanted else -own
        gaps[item.sites] = gap
        words.append(f"{named} {signed(gap)} ({len(part.conformers)})")
    found = ComputedGaps(
        model=level,
        medium=GAS_PHASE.name,
        temperature_k=temperature_k,
        whole_kcal_mol=gaps.get(tuple(positions)) if len(positions) > 2 else None,
        single_kcal_mol={sites[0]: gap for sites, gap in gaps.items() if len(sites) == 1},
        pair_kcal_mol=_with_equal_ones(computed.molecule.topology, chair, gaps),
    )
    return found, (*([_words(level, words)] if words else []), *lost)


def level_gap_kcal_mol(conformers: Sequence[LevelConformer], temperature_k: float) -> float:
    """G(B) - G(A) of a ring at a level, kcal/mol; 0 without conformers, which symmetry makes it.

    Raises ValueError when only one chair has a conformer.
    """
    if not conformers:
        return 0.0
    lowest = min(item.energy.total_hartree for item in conformers)
    sums = []
    for letter in ("A", "B"):
        held = [item for item in conformers if item.chair == letter]
        # (1) G_i = E_i + thermal_i, above the lowest energy of all
        levels = [
            HARTREE_KCAL_MOL * (item.energy.total_hartree - lowest) + _thermal_kcal_mol(item, temperature_k)
            for item in held
        ]
        # (2) G = -RT ln sum_i g_i exp(-G_i / RT)
        sums.append(ensemble_kcal_mol(levels, [item.degeneracy for item in held], temperature_k))
    gibbs_a, gibbs_b = sums
    if gibbs_a is None or gibbs_b is None:
        raise ValueError("a chair has no conformer to sum over")
    return gibbs_b - gibbs_a


def _thermal_kcal_mol(item: LevelConformer, temperature_k: float) -> float:
    """MMFF94's Gibbs less its potential energy."""
    warm = thermal_of_top(0.0, item.frequencies_cm1, item.moments_u_angstrom2, temperature_k)
    return warm.gibbs_kcal_mol(temperature_k)


def _words(level: PairLevel, gaps: Sequence[str]) -> str:
    return (
        f"{level}, computed here in the gas phase at GFN2-xTB minima with MMFF94's thermal parts; gaps of "
        "rings in kcal/mol, of a group alone G(axial) - G(equatorial), of several G(B) - G(A) in the sense "
        f"of this molecule, with the number of conformers: {'; '.join(gaps)}."
    )


def _with_equal_ones(
    topology: Topology, chair: Chair, gaps: Mapping[tuple[Site, ...], float]
) -> dict[tuple[Site, Site], float]:
    """The gaps of pairs, 0 for those whose chairs symmetry makes equal."""
    pairs = {}
    for sites in pairs_of(chair):
        if sites in gaps:
            pairs[sites] = gaps[sites]
        elif chairs_alike(_ring(topology, sites).ring):
            pairs[sites] = 0.0
    return pairs


def chairs_alike(ring: RingFaces) -> bool:
    """Whether a turn of the ring, or its mirror image, writes it as it was with the two chairs exchanged:
    axial becomes equatorial where the parity of the locants or the faces change, but not both."""
    for mirror_image in (False, True):
        faces = mirrored(ring, mirror) if mirror_image else ring
        for numbering in ALL_NUMBERINGS:
            odd_stays = numbering.source(1) % 2 == 0
            turned = numbering.flipped != mirror_image
            if odd_stays == turned and renumbered(faces, numbering) == ring:
                return True
    return False


def _ring(topology: Topology, sites: tuple[Site, ...]) -> RingAtLevel:
    groups = {(locant, ligand.face): (locant, ligand) for locant, ligand in topology.groups}
    ring, first = written(*(groups[site] for site in sites))
    return RingAtLevel(sites=sites, ring=ring, first=first)
