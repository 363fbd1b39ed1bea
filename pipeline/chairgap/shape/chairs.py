"""The two chairs of a substituted cyclohexane, named by who is axial; pure bookkeeping of faces."""

from itertools import groupby

from chairgap.records import Chair, ChairLetter, Face, PlacedLigand, Position, Topology


def position_in_chair(locant: int, face: Face, odd_up_axial: bool) -> Position:
    """Axial or equatorial by the alternation of the chair.

    Three axial bonds point up and three down, alternating round the ring; so with the upper ligands of the
    odd carbons axial, those of the even carbons are equatorial (common practice, no source).
    """
    axial = (face == "up") == (locant % 2 == 1)
    return "axial" if axial == odd_up_axial else "equatorial"


def _placed(topology: Topology, odd_up_axial: bool) -> tuple[PlacedLigand, ...]:
    return tuple(
        PlacedLigand(
            carbon=locant,
            face=ligand.face,
            group=ligand.group,
            position=position_in_chair(locant, ligand.face, odd_up_axial),
        )
        for locant, ligand in topology.groups
    )


def chair_name(groups: tuple[PlacedLigand, ...]) -> str:
    """'1a 2e'; a carbon with two groups names them: '1a(CH3) 1e(C6H5)'; no groups: 'unsubstituted'."""
    words = []
    for locant, at_carbon in groupby(groups, key=lambda group: group.carbon):
        members = list(at_carbon)
        for group in members:
            word = f"{locant}{group.position[0]}"
            words.append(f"{word}({group.group})" if len(members) > 1 else word)
    return " ".join(words) or "unsubstituted"


def two_chairs(topology: Topology) -> tuple[Chair, Chair]:
    """Chairs A and B.

    A is the chair with fewer axial groups; on a tie the one whose axial groups weigh less together; on a tie
    still the one whose leading group (`Topology.leading`) is equatorial, which is the same group however the
    ring is numbered, turned or mirrored. The rule knows nothing of energies, so the sign of E(B) - E(A) for
    one group is the sign of an A-value.
    """
    masses = {(locant, ligand.face): ligand.mass_u for locant, ligand in topology.groups}

    def burden(odd_up_axial: bool) -> tuple[int, float, bool, bool]:
        groups = _placed(topology, odd_up_axial)
        axial = [group for group in groups if group.position == "axial"]
        weight = round(sum(masses[group.carbon, group.face] for group in axial), 6)
        leads = any((group.carbon, group.face) == topology.leading for group in axial)
        return len(axial), weight, leads, odd_up_axial

    first = min((False, True), key=burden)
    return _chair(topology, "A", first), _chair(topology, "B", not first)


def _chair(topology: Topology, letter: ChairLetter, odd_up_axial: bool) -> Chair:
    groups = _placed(topology, odd_up_axial)
    return Chair(letter=letter, odd_up_axial=odd_up_axial, name=chair_name(groups), groups=groups)
