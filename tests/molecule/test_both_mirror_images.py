"""Where a text means both mirror images, that one is drawn whose name begins with R: letters, name, groups by
face and SMILES of a row are then of one molecule."""

import pytest

from chairgap.errors import MoleculeError, Place
from chairgap.molecule.build import build_molecules
from chairgap.molecule.cip import cip_labels
from chairgap.molecule.group_lists import looks_like_groups
from chairgap.records import AskedNumbering, Molecule, MoleculeRequest, Study
from chairgap.study.typed import study_as_typed
from naming.ring_makers import TABLE, inchi_of_ring, random_ring, smiles_of_ring
from naming.test_typed_names import inchi, other_hand


def built_of(study: Study, numbering: AskedNumbering = "iupac") -> list[Molecule]:
    return [
        molecule
        for request in study.requests
        for molecule in build_molecules(
            request, TABLE, force_field="MMFF94", atom_limit=100, numbering=numbering
        )
    ]


def must_be_one_molecule(molecule: Molecule) -> None:
    """The letters of the name are those that the drawn carbons have."""
    assert molecule.naming is not None
    letters = cip_labels(molecule)
    assert tuple(letters[carbon - 1] for carbon in molecule.naming.carbons) == molecule.naming.systematic.cip


# Groups by hand: letters of cis- and trans-2- and 3-methylcyclohexanol as in `written_names`, of
# (1R,2S,5S)-isomenthol from menthol (1R,2S,5R) by the other face of its methyl group.
TEXTS = {
    "trans-2-methylcyclohexanol": "1 up OH, 2 down CH3",
    "isomenthol": "1 up OH, 2 down CH(CH3)2, 5 down CH3",
    "rel-(1S,2S)-2-methylcyclohexanol": "1 up OH, 2 down CH3",
    "C[C@H]1CCCC[C@@H]1O |r|": "1 up OH, 2 down CH3",
    "CC1CCCCC1(C)C": "1 up CH3, 1 down CH3, 2 down CH3",
    # The numbers of a list stay; from the other end cis groups that were up are down.
    "cis-1,3: CH3, OH": "1 down CH3, 3 down OH",
    "r-1,t-3: CH3, OH": "1 up CH3, 3 down OH",
}


@pytest.mark.parametrize(("text", "groups"), TEXTS.items())
def test_the_image_that_is_drawn(text: str, groups: str) -> None:
    (molecule,) = built_of(study_as_typed(text))
    assert molecule.groups_by_face == groups
    assert molecule.naming is not None and molecule.naming.relative
    must_be_one_molecule(molecule)


@pytest.mark.parametrize("text", ["CC1CCCCC1O", "CC1CCC(C(C)C)C(O)C1", "1 down *C(C)O, 3 up *C(C)O"])
def test_every_stereoisomer(text: str) -> None:
    found = built_of(study_as_typed(text, stereo="all"))
    assert len(found) > 1
    for molecule in found:
        must_be_one_molecule(molecule)


def test_faces_that_were_typed_stay() -> None:
    """The hand of a group that is left open is chosen, the faces are not."""
    for groups in ("1 down *C(C)O", "1 down CH3, 2 up OH", "1 down *C(C)O, 3 down *C(C)O"):
        assert looks_like_groups(groups)
        typed = [piece.split()[:2] for piece in groups.split(", ")]
        for molecule in built_of(study_as_typed(groups, stereo="all")):
            shown = [piece.split()[:2] for piece in molecule.groups_by_face.split(", ")]
            assert shown == typed
            must_be_one_molecule(molecule)


@pytest.mark.parametrize("block", range(4))
def test_random_rings(block: int) -> None:
    """Of either image the same molecule is drawn; that both are meant is said where they are two."""
    both = 0
    for seed in range(50_000 + 40 * block, 50_040 + 40 * block):
        faces = random_ring(seed)
        images = [smiles_of_ring(faces), other_hand(smiles_of_ring(faces))]
        try:
            found = [
                build_molecules(
                    MoleculeRequest(name="", place=Place(), smiles=smiles, mirror_too=True),
                    TABLE,
                    force_field="UFF",
                    atom_limit=400,
                )[0]
                for smiles in images
            ]
        except MoleculeError:
            continue  # a group that no force field knows
        one, other = found
        assert (one.groups_by_face, one.inchi) == (other.groups_by_face, other.inchi)
        assert one.inchi in map(inchi, images) and inchi_of_ring(faces) in map(inchi, images)
        assert one.naming is not None and one.naming.relative == (len(set(map(inchi, images))) == 2)
        must_be_one_molecule(one)
        both += one.naming.relative
    assert both > 20
