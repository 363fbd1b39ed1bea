"""The table of retained names: systematic name, SMILES and signs of each row agree."""

import pytest
from rdkit import Chem

from chairgap import parse_name
from chairgap.records import RetainedName
from chairgap.tables.shipped import read_retained_names, read_sources
from naming.test_typed_names import inchi, other_hand, smiles_of

ROWS = read_retained_names()
every_row = pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)


@every_row
def test_systematic_name_is_the_structure(row: RetainedName) -> None:
    tail, group = (" methyl ether", "OC") if row.kind == "group" else ("", "")
    parsed = parse_name(row.systematic + tail)
    smiles = row.smiles.replace("*", group) if group else row.smiles
    same = {inchi(smiles)} | ({inchi(other_hand(smiles))} if parsed.relative else set())
    assert inchi(parsed.smiles) in same


@every_row
def test_every_name_of_a_row_is_read(row: RetainedName) -> None:
    tail = " methyl ether" if row.kind == "group" else ""
    wanted = inchi(parse_name(row.systematic + tail).smiles)
    for name in (row.name, *row.names):
        parsed = parse_name(name + tail)
        assert wanted in (inchi(parsed.smiles), inchi(other_hand(parsed.smiles)))
        assert parsed.relative == (row.unsigned == "relative")


@pytest.mark.parametrize("row", [row for row in ROWS if row.signs], ids=lambda row: row.name)
def test_signs_choose_the_mirror_image(row: RetainedName) -> None:
    tail = " methyl ether" if row.kind == "group" else ""
    opposite = dict(zip("+-DLdl", "-+LDld", strict=True))
    this = inchi(parse_name(row.systematic + tail).smiles)
    for sign in row.signs:
        for written, wanted in ((sign, True), (opposite[sign], False)):
            front = f"({written})-" if written in "+-" else f"{written}-"
            parsed = parse_name(front + row.name + tail)
            assert not parsed.relative
            assert (inchi(parsed.smiles) == this) == wanted


def test_where_rows_are_from() -> None:
    sources = read_sources()
    for row in ROWS:
        assert sources[row.source].how_seen.startswith("not seen") and row.known == "from memory"


# Hydroxyl groups above and below the ring, IUPAC-IUB Nomenclature of Cyclitols, recommendations 1973
# (Biochem. J. 1976, 153, 23), from memory. Seen with the upper side towards the onlooker, the carbons of 1L
# run clockwise and those of 1D anticlockwise.
INOSITOLS = {
    "cis-inositol": "1,2,3,4,5,6/0",
    "epi-inositol": "1,2,3,4,5/6",
    "allo-inositol": "1,2,3,4/5,6",
    "myo-inositol": "1,2,3,5/4,6",
    "muco-inositol": "1,2,4,5/3,6",
    "neo-inositol": "1,2,3/4,5,6",
    "scyllo-inositol": "1,3,5/2,4,6",
    "L-chiro-inositol": "1,2,4/3,5,6",
    "D-chiro-inositol": "1,2,4/3,5,6",
}


@pytest.mark.parametrize(("name", "fraction"), INOSITOLS.items())
def test_an_inositol_is_its_fraction(name: str, fraction: str) -> None:
    above, _, below = fraction.partition("/")
    faces = {int(locant): "up" for locant in above.split(",")}
    faces |= {int(locant): "down" for locant in below.split(",") if locant != "0"}
    assert sorted(faces) == [1, 2, 3, 4, 5, 6]
    if name.startswith("D-"):  # anticlockwise with the same faces is clockwise with the other ones
        faces = {locant: "down" if face == "up" else "up" for locant, face in faces.items()}
    groups = ", ".join(f"{locant} {face} OH" for locant, face in faces.items())
    assert inchi(parse_name(name).smiles) == inchi(smiles_of(groups))


def test_there_are_nine_inositols() -> None:
    """All configurations of the ring are one of the nine, of which chiro is a pair; and no tenth."""
    found = {inchi(parse_name(name).smiles) for name in INOSITOLS}
    assert len(found) == 9
    faces = [f"{number:06b}" for number in range(64)]
    ring = "O[C{}H]1[C{}H](O)[C{}H](O)[C{}H](O)[C{}H](O)[C{}H]1O"
    every = {inchi(ring.format(*("@" if bit == "1" else "@@" for bit in bits))) for bits in faces}
    assert every == found


@pytest.mark.parametrize(
    ("name", "axial_relations"),
    [("menthol", (False, True, False)), ("neomenthol", (True, False, False))],
)
def test_menthol_faces(name: str, axial_relations: tuple[bool, bool, bool]) -> None:
    """OH/iPr, OH/CH3, iPr/CH3 on one face: menthol has all equatorial, neomenthol an axial OH."""
    face = {group.locant: group.face for group in parse_name(name).groups}
    assert (face[1] == face[2], face[1] == face[5], face[2] == face[5]) == axial_relations


def test_letters_in_front_must_fit() -> None:
    assert Chem.CanonSmiles(parse_name("(1S,2R,5S)-menthol").smiles) == Chem.CanonSmiles(
        parse_name("(+)-menthol").smiles
    )
