"""The parts of a molecule by the same model: each group alone on the ring, and each two groups.

A part is a ring in one agreed writing, the same for every molecule that holds it, whichever way that molecule
was numbered, turned or mirrored. A molecule of one or two groups is its own part. Results therefore never
depend on what was computed before.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations

from chairgap.compare.gaps import solvent_point
from chairgap.compare.split import Site, gap_kinds, pairs_of, times
from chairgap.errors import ChairgapError
from chairgap.model.shipped_parts import shipped_part
from chairgap.model.treatment import computed_for_all, warmed
from chairgap.molecule.build import build_written
from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import HYDROGEN, RingFaces, agreed_writings
from chairgap.records import (
    GAS_PHASE,
    Computation,
    Computed,
    EstimateTable,
    Face,
    GapKinds,
    Ligand,
    MediumLevels,
    Position,
    Settings,
    SolventPoint,
    Topology,
)
from chairgap.shape.chairs import position_in_chair


@dataclass(frozen=True, kw_only=True)
class Part:
    """What is known of a part: whether the upper ligands of its odd carbons are axial in its chair A, and its
    gaps (None where one is missing), also in the media of the study's series."""

    odd_up_axial: bool
    gaps: GapKinds | None
    media: tuple[GapKinds | None, ...] = ()


# None for a part that could not be computed.
LookUp = Callable[[RingFaces], Part | None]
Memo = dict[RingFaces, Part | None]
_WRITINGS_KEPT = 4096


def written(*groups: tuple[int, Ligand]) -> tuple[RingFaces, Site]:
    """The agreed writing of a ring that holds these (locant, ligand) only, and where the first of them stands
    in it. Where symmetry offers two places for it, both are alike in their gaps."""
    return _written(tuple((locant, ligand.face, ligand.fragment) for locant, ligand in groups))


@lru_cache(_WRITINGS_KEPT)
def _written(groups: tuple[tuple[int, Face, str], ...]) -> tuple[RingFaces, Site]:
    ring = [[HYDROGEN, HYDROGEN] for _ in range(6)]
    for locant, face, fragment in groups:
        ring[locant - 1][face == "down"] = fragment
    first, face, _ = groups[0]
    plain: RingFaces = tuple((up, down) for up, down in ring)
    writings = agreed_writings(plain, mirror)
    sites: list[Site] = [(locant, side) for locant in range(1, 7) for side in ("down", "up")]
    found = (site for site in sites for writing in writings if writing.site(*site) == (first, face))
    return writings[0].faces, next(found)


def needed_parts(topology: Topology) -> tuple[RingFaces, ...]:
    """The rings that `groups_alone` and `pairs_alone` look up for a molecule, each once, in a fixed order."""
    groups = topology.groups
    rings = [written(group)[0] for group in groups if len(groups) > 1]
    rings += [written(*pair)[0] for pair in combinations(groups, 2) if len(groups) > 2]
    return tuple(dict.fromkeys(rings))


def groups_alone(computed: Computation, look_up: LookUp) -> dict[Site, GapKinds | None]:
    """Gaps E(axial) - E(equatorial) of each group alone on the ring, by (carbon, face)."""
    groups = computed.molecule.topology.groups
    if len(groups) == 1:
        site: Site = (groups[0][0], groups[0][1].face)
        return {site: _gap_from(part_from(computed), site, "equatorial")}
    return {(group[0], group[1].face): _looked_up(look_up, "equatorial", group) for group in groups}


def pairs_alone(computed: Computation, look_up: LookUp) -> dict[tuple[Site, Site], GapKinds | None]:
    """Gaps E(B) - E(A), in the sense of the molecule's own chairs, of each two groups alone on the ring."""
    chair = computed.chairs[0]
    groups = {(locant, ligand.face): (locant, ligand) for locant, ligand in computed.molecule.topology.groups}
    positions = {(group.carbon, group.face): group.position for group in chair.groups}
    return {
        (one, other): _gap_from(part_from(computed), one, positions[one])
        if len(groups) == 2
        else _looked_up(look_up, positions[one], groups[one], groups[other])
        for one, other in pairs_of(chair)
    }


def compute_part(ring: RingFaces, table: EstimateTable, settings: Settings) -> Part | None:
    """A part as it ships, or computed on its own; None when it cannot be. The table only gives the names of
    its groups."""
    shipped = part_that_ships(ring, settings)
    if shipped is not None:
        return shipped
    try:
        molecule = build_written(ring, table, force_field=settings.force_field)
        return part_at(computed_for_all(molecule, settings), settings)
    except ChairgapError:
        return None


def remembering(table: EstimateTable, settings: Settings, memo: Memo) -> LookUp:
    """A look-up that computes what the memo does not hold. One memo serves one table and one settings."""

    def look_up(ring: RingFaces) -> Part | None:
        if ring not in memo:
            memo[ring] = compute_part(ring, table, settings)
        return memo[ring]

    return look_up


def part_that_ships(ring: RingFaces, settings: Settings) -> Part | None:
    """A part as it ships, at the temperature of the settings; None where it does not."""
    found = shipped_part(ring, settings)
    if found is None:
        return None
    gas = MediumLevels(
        medium=GAS_PHASE.name,
        dielectric=GAS_PHASE.dielectric,
        levels=found.levels,
        hydrogen_bonds_a=0,  # not known, and no gap
        hydrogen_bonds_b=0,
    )
    gaps = gap_kinds(solvent_point(gas, settings.temperature_k))
    return Part(odd_up_axial=found.odd_up_axial, gaps=gaps)


def part_from(computed: Computation, media: tuple[SolventPoint, ...] = ()) -> Part:
    """A computed ring as a part."""
    return Part(
        odd_up_axial=computed.chairs[0].odd_up_axial,
        gaps=gap_kinds(computed.gaps),
        media=tuple(map(gap_kinds, media)),
    )


def part_at(computed: Computed, settings: Settings) -> Part:
    """A computed ring as a part at the temperature of the settings."""
    return part_from(*warmed(computed, settings))


def in_medium(look_up: LookUp, number: int) -> LookUp:
    """The look-up with the gaps in one medium of the series, by its place in it."""

    def there(ring: RingFaces) -> Part | None:
        part = look_up(ring)
        return None if part is None else replace(part, gaps=part.media[number])

    return there


def _looked_up(look_up: LookUp, position: Position, *groups: tuple[int, Ligand]) -> GapKinds | None:
    ring, site = written(*groups)
    return _gap_from(look_up(ring), site, position)


def _gap_from(part: Part | None, site: Site, position: Position) -> GapKinds | None:
    """E(other chair) - E(the chair in which the group at `site` stands in `position`)."""
    if part is None or part.gaps is None:
        return None
    stands = position_in_chair(*site, part.odd_up_axial)
    return part.gaps if stands == position else times(-1, part.gaps)
