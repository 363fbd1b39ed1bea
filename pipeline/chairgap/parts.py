"""The parts of a molecule by the same model: each group alone on the ring, and each two groups.

Computed once and remembered in a memo, which the caller keeps for as long as settings and table stay the
same. A part that cannot be computed is remembered as None.
"""

from collections.abc import Callable

from chairgap.compare.split import Site, gap_kinds, pairs_of, times
from chairgap.errors import ChairgapError, Place
from chairgap.molecule.build import build_molecules
from chairgap.records import (
    Chair,
    Computation,
    EstimateTable,
    Face,
    GapKinds,
    Gaps,
    GroupOnCarbon,
    Ligand,
    Molecule,
    MoleculeRequest,
    Position,
    Settings,
)
from chairgap.treat import compute

Key = tuple[tuple[int, Face, str], ...]
Part = tuple[tuple[Chair, Chair], Gaps]
Memo = dict[Key, Part | None]


def remember(computed: Computation, memo: Memo) -> None:
    """Keep a molecule of one or two groups as the part that it is."""
    groups = computed.molecule.topology.groups
    if 1 <= len(groups) <= 2:
        memo.setdefault(_key(*groups), (computed.chairs, computed.gaps))


def _key(*groups: tuple[int, Ligand]) -> Key:
    """(carbon, face, fragment) with the ring turned so that the first group stands on C1; the direction
    round the ring is kept. A group alone is always 'up'."""
    (first, ligand), *others = groups
    if not others:
        return ((1, "up", ligand.fragment),)
    return tuple((1 + (locant - first) % 6, member.face, member.fragment) for locant, member in groups)


def group_alone(ligand: Ligand, table: EstimateTable, settings: Settings, memo: Memo) -> GapKinds | None:
    """Gaps E(axial) - E(equatorial) of a group alone on the ring."""
    part = _part(_key((1, ligand)), table, settings, memo)
    return _gap_from(part, lambda chair: chair.groups[0].position == "equatorial")


def groups_alone(
    molecule: Molecule, table: EstimateTable, settings: Settings, memo: Memo
) -> dict[Site, GapKinds | None]:
    """The same for every group of a molecule, by (carbon, face)."""
    return {
        (locant, ligand.face): group_alone(ligand, table, settings, memo)
        for locant, ligand in molecule.topology.groups
    }


def pairs_alone(
    molecule: Molecule,
    chairs: tuple[Chair, Chair],
    table: EstimateTable,
    settings: Settings,
    memo: Memo,
) -> dict[tuple[Site, Site], GapKinds | None]:
    """Gaps E(B) - E(A), in the sense of the molecule's own chairs, of each two of its groups alone."""
    ligands = {(locant, ligand.face): ligand for locant, ligand in molecule.topology.groups}
    positions = {(group.carbon, group.face): group.position for group in chairs[0].groups}
    return {
        (one, other): _pair_alone(
            (one[0], ligands[one]), (other[0], ligands[other]), positions[one], table, settings, memo
        )
        for one, other in pairs_of(chairs[0])
    }


def _pair_alone(
    one: tuple[int, Ligand],
    other: tuple[int, Ligand],
    position: Position,
    table: EstimateTable,
    settings: Settings,
    memo: Memo,
) -> GapKinds | None:
    part = _part(_key(one, other), table, settings, memo)
    # The pair's chair in which the first group stands as in the molecule's chair A; a remembered molecule
    # keeps its own carbon numbers, but its groups come in the same order.
    return _gap_from(part, lambda chair: chair.groups[0].position == position)


def _part(key: Key, table: EstimateTable, settings: Settings, memo: Memo) -> Part | None:
    if key not in memo:
        request = MoleculeRequest(
            name="part",
            place=Place(),
            substituents=tuple(
                GroupOnCarbon(carbon=carbon, face=face, group=fragment) for carbon, face, fragment in key
            ),
        )
        try:
            (built, *_) = build_molecules(
                request, table, force_field=settings.force_field, atom_limit=settings.atom_limit
            )
            computed = compute(built, settings)
            memo[key] = (computed.chairs, computed.gaps)
        except ChairgapError:
            memo[key] = None
    return memo[key]


def _gap_from(part: Part | None, is_first: Callable[[Chair], bool]) -> GapKinds | None:
    """E(other chair) - E(first chair), whichever letters they have in the part."""
    if part is None:
        return None
    chairs, gaps = part
    kinds = gap_kinds(gaps)
    return kinds if kinds is None or is_first(chairs[0]) else times(-1, kinds)
