"""Names out: as typed by hand, and read back by the reader of names to the same structure."""

import pytest
from rdkit import Chem

from chairgap import parse_name
from chairgap.molecule.fragments import isomers, mirror
from chairgap.molecule.named import named_as_written, named_ring
from chairgap.molecule.numbering import ALL_NUMBERINGS, HYDROGEN, RingFaces, mirrored, renumbered
from chairgap.molecule.substituents import read_fragment
from naming.ring_makers import TABLE, inchi_of_ring, random_ring, ring_of
from naming.written_names import written_names

_BARE = (HYDROGEN, HYDROGEN)
_OTHER_HAND = str.maketrans("RS", "SR")


def inchi(smiles: str) -> str:
    return str(Chem.MolToInchi(Chem.MolFromSmiles(smiles)))


def must_come_back(faces: RingFaces) -> str:
    """The ring's name, which the reader must take for this structure and no other."""
    name = named_ring(faces).name
    if name.why_none == "its configuration cannot be written so that it is read again":
        # Several groups with centres of their own, in which letters depend on those of the others.
        assert sum("@" in group for pair in faces for group in pair) >= 3
        return ""
    assert name.name, name.why_none
    for text in filter(None, (name.name, name.name_by_faces)):
        parsed = parse_name(text)
        assert not parsed.open_sites and not parsed.notes, text
        meant = {inchi(parsed.smiles)}
        if text == name.name_by_faces and parsed.relative:
            meant |= {inchi_of_ring(faces)} & {inchi_of_mirror(parsed.smiles)}
        else:
            assert not parsed.relative, text
        assert inchi_of_ring(faces) in meant, text
    return name.name


def inchi_of_mirror(smiles: str) -> str:
    mol = Chem.MolFromSmiles(smiles)
    for atom in mol.GetAtoms():
        atom.InvertChirality()
    return str(Chem.MolToInchi(mol))


@pytest.mark.parametrize(("groups", "name", "by_faces"), written_names())
def test_names_typed_by_hand(groups: str, name: str, by_faces: str) -> None:
    found = named_ring(ring_of(groups)).name
    assert (found.name, found.name_by_faces) == (name, by_faces)


@pytest.mark.parametrize("block", range(10))
def test_random_names_are_read_back(block: int) -> None:
    for number in range(30):
        must_come_back(random_ring(block * 30 + number))


@pytest.mark.long
@pytest.mark.parametrize("block", range(30))
def test_three_thousand_random_names_are_read_back(block: int) -> None:
    for number in range(100):
        must_come_back(random_ring(10_000 + block * 100 + number))


@pytest.mark.parametrize("group", sorted({row.fragment for row in TABLE.a_values}))
def test_every_group_of_the_table_has_a_name(group: str) -> None:
    for fragment in isomers(read_fragment(group)):
        must_come_back(((fragment, HYDROGEN), _BARE, _BARE, (HYDROGEN, "*C"), _BARE, _BARE))
        must_come_back(((fragment, HYDROGEN), _BARE, (fragment, "*C"), (HYDROGEN, fragment), _BARE, _BARE))


@pytest.mark.parametrize("seed", range(20_000, 20_040))
def test_a_name_depends_on_no_writing(seed: int) -> None:
    faces = random_ring(seed)
    first = named_ring(faces)
    assert renumbered(faces, first.numbering) == first.faces
    for numbering in ALL_NUMBERINGS:
        again = named_as_written(renumbered(faces, numbering))
        assert again.name == first.name
        assert again.faces == first.faces
        assert renumbered(renumbered(faces, numbering), again.numbering) == again.faces


@pytest.mark.parametrize("seed", range(30_000, 30_040))
def test_the_mirror_image_has_r_and_s_exchanged(seed: int) -> None:
    """Small r and s stay. Locants may move where R before S decides between numberings."""
    faces = random_ring(seed)
    one, other = named_ring(faces).name, named_ring(mirrored(faces, mirror)).name
    assert (one.cis_trans, one.name_by_faces) == (other.cis_trans, other.name_by_faces)
    assert sorted(letter.translate(_OTHER_HAND) for letter in one.cip) == sorted(other.cip)
    if inchi_of_ring(faces) == inchi_of_ring(mirrored(faces, mirror)):
        assert one == other
    else:
        assert one.name != other.name


def test_a_pyridyl_ring_ranks_by_the_mean_of_its_forms() -> None:
    """C2 of 1-acetamido-N-methyl-2-(pyridin-2-yl)cyclohexan-1-amine: C1 (N, N, C) is above the carbon of the
    pyridine (N, 6.5, C), and that above C3 (C, H, H). The previous carbon outranks the next, and the group,
    up, is the middle one: R by the rule of `typed_names`. With one form drawn, (N, N, C) twice, it is S."""
    faces = ring_of("1 up NHMe, 1 down *NC(C)=O, 2 up *c1ccccn1")
    found = named_ring(faces)
    (place,) = [place for place, pair in enumerate(found.faces) if "*c1ccccn1" in pair]
    assert found.name.cip[place] == "R"


def test_locants_groups_and_letters_of_a_name() -> None:
    found = named_ring(ring_of("2 up CH3, 4 up OH, 5 down iPr")).name
    assert found.name == "(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol"
    assert found.groups == ("-ol", "propan-2-yl", "methyl")
    assert found.locants == (1, 2, 5)
    assert found.cip == ("R", "S", "", "", "R", "")
    assert found.cis_trans == ""


@pytest.mark.parametrize(
    ("group", "why"),
    [
        ("*N=C", "no name is known here for the group *N=C"),
        ("*OC[C@H]1CO1", "no name is known here for the group *OC[C@H]1CO1"),
        ("*[2H]", "names with isotopes (2H) are not written"),
        ("*CCCCCCCCCCCCCC", "no name is known here for the group *CCCCCCCCCCCCCC"),
    ],
)
def test_what_has_no_name_says_why(group: str, why: str) -> None:
    faces = ((HYDROGEN, HYDROGEN), (group, HYDROGEN), _BARE, _BARE, _BARE, ("*C", HYDROGEN))
    found = named_ring(faces)
    assert found.name.name == "" and found.name.why_none == why
    # Lowest locants all the same: 1,3 and not 2,6.
    assert [carbon for carbon, pair in enumerate(found.faces, start=1) if pair != _BARE] == [1, 3]
