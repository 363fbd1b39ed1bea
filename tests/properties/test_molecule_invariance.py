"""What a molecule must not depend on, and what must follow when it is mirrored."""

import random

from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem, rdBase

from chairgap.errors import MoleculeError
from chairgap.molecule import fragments
from chairgap.molecule.build import build_molecules
from chairgap.molecule.glue import glued
from chairgap.molecule.numbering import (
    ALL_NUMBERINGS,
    HYDROGEN,
    RingFaces,
    identity,
    mirrored,
    renumbered,
)
from chairgap.molecule.substituents import groups_by_face_text
from chairgap.records import MoleculeRequest
from molecule.making import PLACE, TABLE, build

GROUPS = ("*C", "*O", "*Cl", "*[C@H](C)CC", "*[C@@H](C)CC", "*/C=C/C")
# Up to five groups on the twelve places of a ring.
RINGS = st.dictionaries(st.integers(0, 11), st.sampled_from(GROUPS), max_size=5).map(
    lambda placed: tuple(
        (placed.get(2 * carbon, HYDROGEN), placed.get(2 * carbon + 1, HYDROGEN)) for carbon in range(6)
    )
)
SEED = st.integers(0, 1_000_000)
FEW = settings(max_examples=40, deadline=None)


def shuffled(smiles: str, seed: int) -> str:
    mol = Chem.MolFromSmiles(smiles)
    order = list(range(mol.GetNumAtoms()))
    random.Random(seed).shuffle(order)
    return str(Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False, doRandom=True))


def reflected(smiles: str) -> str:
    mol = Chem.MolFromSmiles(smiles)
    for atom in mol.GetAtoms():
        atom.InvertChirality()
    return str(Chem.MolToSmiles(mol))


@FEW
@given(RINGS, SEED)
def test_order_of_atoms_does_not_matter(faces: RingFaces, seed: int) -> None:
    smiles = fragments.canonical(glued(faces))
    first, second = build(smiles=smiles), build(smiles=shuffled(smiles, seed))
    assert first.rdkit_binary == second.rdkit_binary
    assert (first.groups_by_face, first.smiles, first.inchi) == (
        second.groups_by_face,
        second.smiles,
        second.inchi,
    )


@FEW
@given(RINGS)
def test_ring_survives_smiles(faces: RingFaces) -> None:
    # The text RDKit writes, with the stereo marks it keeps, holds every face and every hand.
    molecule = build(smiles=fragments.canonical(glued(faces)))
    found = tuple((carbon.up.fragment, carbon.down.fragment) for carbon in molecule.topology.carbons)
    assert identity(found) == identity(faces)
    assert molecule.notes == ()


@FEW
@given(RINGS)
def test_typed_list_builds_the_molecule_again(faces: RingFaces) -> None:
    said = groups_by_face_text(faces, TABLE)
    molecule = build(groups_by_face=said)
    assert molecule.groups_by_face == said
    from_smiles = build(smiles=molecule.smiles)
    assert from_smiles.inchi == molecule.inchi
    assert build(groups_by_face=from_smiles.groups_by_face).inchi == molecule.inchi


@FEW
@given(RINGS, st.sampled_from(ALL_NUMBERINGS))
def test_all_twelve_writings_are_one_molecule(faces: RingFaces, numbering: object) -> None:
    other = renumbered(faces, numbering)  # type: ignore[arg-type]
    assert identity(other) == identity(faces)
    first, second = (build(groups_by_face=groups_by_face_text(ring, TABLE)) for ring in (faces, other))
    assert (first.inchi, first.smiles) == (second.inchi, second.smiles)


@FEW
@given(RINGS)
def test_mirrored_input_gives_the_mirrored_answer(faces: RingFaces) -> None:
    molecule = build(smiles=fragments.canonical(glued(faces)))
    image = build(smiles=reflected(molecule.smiles))
    swapped = mirrored(
        tuple((carbon.up.fragment, carbon.down.fragment) for carbon in molecule.topology.carbons),
        fragments.mirror,
    )
    assert build(groups_by_face=groups_by_face_text(swapped, TABLE)).inchi == image.inchi
    locants = [locant for locant, _ in molecule.topology.groups]
    assert locants == [locant for locant, _ in image.topology.groups]


@FEW
@given(RINGS, SEED)
def test_map_numbers_keep_the_users_numbering(faces: RingFaces, seed: int) -> None:
    mol = glued(faces)
    for position in range(6):
        mol.GetAtomWithIdx(position).SetAtomMapNum(position + 1)
    text = Chem.MolToSmiles(mol)
    order = list(range(mol.GetNumAtoms()))
    random.Random(seed).shuffle(order)
    again = Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False, doRandom=True)
    for smiles in (text, again):
        assert build(smiles=smiles).groups_by_face == groups_by_face_text(faces, TABLE)


@FEW
@given(RINGS)
def test_numbers_are_the_lowest_for_the_suffix_then_for_all(faces: RingFaces) -> None:
    """P-31.1.4 for these groups: hydroxy is the suffix, all others are prefixes. A ring without a name
    (one in some hundred) has no numbers of its name."""

    def locants(ring: RingFaces) -> tuple[list[int], list[int]]:
        placed = [(locant, one) for locant, pair in enumerate(ring, 1) for one in pair if one != HYDROGEN]
        suffix = [locant for locant, one in placed if one == "*O"]
        return suffix, [locant for locant, one in placed if one != "*O"]

    molecule = build(smiles=fragments.canonical(glued(faces)))
    found = tuple((carbon.up.fragment, carbon.down.fragment) for carbon in molecule.topology.carbons)
    assert molecule.naming is not None
    if molecule.naming.systematic.why_none:
        assert molecule.numbered == "Numbered by lowest locants"
        return
    assert molecule.numbered == "Numbered by IUPAC"
    assert locants(found) == min(locants(renumbered(faces, numbering)) for numbering in ALL_NUMBERINGS)


@settings(max_examples=300, deadline=None)
@given(st.text(alphabet="CNOSPcno()[]=#-+@/\\123%.*H:", max_size=24))
def test_any_text_is_a_molecule_or_a_molecule_error(text: str) -> None:
    for smiles in (text, f"C1CCCCC1{text}"):
        request = MoleculeRequest(name="m", place=PLACE, smiles=smiles)
        try:
            built = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
        except MoleculeError as error:
            assert error.message.rstrip().endswith(".")
        else:
            assert len(built) == 1


@FEW
@given(RINGS, SEED)
def test_damaged_molblocks_never_escape(faces: RingFaces, seed: int) -> None:
    mol = Chem.MolFromSmiles(fragments.canonical(glued(faces)))
    text = list(Chem.MolToMolBlock(mol))
    chance = random.Random(seed)
    for _ in range(chance.randint(1, 6)):
        text[chance.randrange(len(text))] = chance.choice(" 0123456789-.CVM\n")
    with rdBase.BlockLogs():
        request = MoleculeRequest(name="m", place=PLACE, molblock="".join(text))
    try:
        built = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=100)
    except MoleculeError as error:
        assert error.message
    else:
        assert built
