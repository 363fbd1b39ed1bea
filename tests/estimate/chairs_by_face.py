"""Two chairs from a list of groups by face, written independently of the package's own chair code.

Rule (facts of the trade, common practice, no source): axial bonds point alternately up and down round the
ring, the equatorial bond of a carbon points the other way, and a ring flip exchanges axial and equatorial on
all six carbons while every face stays.
"""

from chairgap.records import Chair, ChairLetter, Face, PlacedLigand, Position

ByFace = list[tuple[int, Face, str]]


def position(carbon: int, face: Face, *, odd_up_axial: bool) -> Position:
    """Axial or equatorial; in the chair `odd_up_axial` the upper ligands of carbons 1, 3, 5 are axial."""
    if odd_up_axial:
        axial = {1: "up", 2: "down", 3: "up", 4: "down", 5: "up", 6: "down"}
    else:
        axial = {1: "down", 2: "up", 3: "down", 4: "up", 5: "down", 6: "up"}
    return "axial" if axial[carbon] == face else "equatorial"


def chair(letter: ChairLetter, groups_by_face: ByFace, *, odd_up_axial: bool) -> Chair:
    """One chair with every group placed."""
    groups = tuple(
        PlacedLigand(
            carbon=carbon, face=face, group=group, position=position(carbon, face, odd_up_axial=odd_up_axial)
        )
        for carbon, face, group in groups_by_face
    )
    return Chair(letter=letter, odd_up_axial=odd_up_axial, name="", groups=groups)


def axial_count(chair: Chair) -> int:
    return sum(ligand.position == "axial" for ligand in chair.groups)


def chair_pair(groups_by_face: ByFace) -> tuple[Chair, Chair]:
    """Chairs A and B; A has fewer axial groups, or odd_up_axial False when they have the same number."""
    down, up = (axial_count(chair("A", groups_by_face, odd_up_axial=odd)) for odd in (False, True))
    a_is_odd_up = up < down
    return chair("A", groups_by_face, odd_up_axial=a_is_odd_up), chair(
        "B", groups_by_face, odd_up_axial=not a_is_odd_up
    )
