"""Ring numbers: those of the systematic name, or the user's own, and which of both a molecule says."""

import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem

from chairgap import parse_name
from chairgap.errors import MoleculeError
from chairgap.molecule.build import build_molecules
from chairgap.molecule.fragments import mirror
from chairgap.molecule.isomers import isomers_of
from chairgap.molecule.named import named_ring
from chairgap.molecule.numbering import mirrored
from chairgap.records import Molecule
from molecule.making import TABLE, build, request
from naming.ring_makers import random_ring, ring_of, smiles_of_ring


def in_other_order(smiles: str, seed: int) -> str:
    """The same molecule with its atoms in an order by chance."""
    mol = Chem.MolFromSmiles(smiles)
    order = list(range(mol.GetNumAtoms()))
    random.Random(seed).shuffle(order)
    return str(Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False, doRandom=True))


def mine(smiles: str) -> Molecule:
    (molecule,) = build_molecules(
        request(smiles=smiles), TABLE, force_field="MMFF94", atom_limit=100, numbering="mine"
    )
    return molecule


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 1_000_000), st.integers(0, 1_000_000))
def test_any_order_of_atoms_gives_the_numbers_of_the_name(ring: int, seed: int) -> None:
    faces = random_ring(ring)
    try:
        molecule = build(smiles=in_other_order(smiles_of_ring(faces), seed), atom_limit=400)
    except MoleculeError as error:  # not for this test: no parameters, or two rings of one kind
        assert re.match(r"(\d problems: \(1\) )?(MMFF94 has|[2-6] rings)", error.message)
        return
    found = tuple((carbon.up.fragment, carbon.down.fragment) for carbon in molecule.topology.carbons)
    named = named_ring(faces)
    assert found == named.faces
    assert molecule.numbered == ("Numbered by IUPAC" if named.name.name else "Numbered by lowest locants")


@pytest.mark.parametrize(
    ("name", "groups_by_face"),
    [
        # P-31.1.4.3.4: where all else is equal, R has the lower locant.
        ("(1R,2S)-1,2-dimethylcyclohexane", "1 up CH3, 2 up CH3"),
        ("(1R,3S)-cyclohexane-1,3-diol", "1 up OH, 3 up OH"),
        ("(1R,3S,5r)-5-methylcyclohexane-1,3-diol", ""),
        ("(1R,2S,4R)-1,2,4-trimethylcyclohexane", ""),
    ],
)
def test_ties_go_to_r(name: str, groups_by_face: str) -> None:
    written = parse_name(name)
    for seed in range(4):
        molecule = build(smiles=in_other_order(written.smiles, seed))
        by_name = build(smiles=written.numbered_smiles)
        assert molecule.groups_by_face == by_name.groups_by_face
        if groups_by_face:
            assert molecule.groups_by_face == groups_by_face


def test_mirror_images_are_numbered_each_by_its_own_letters() -> None:
    """With R first, a meso ring that two hands of a group make chiral may turn its numbers round."""
    faces = ring_of("1 up *[C@H](O)C, 3 up *[C@@H](O)C, 5 down OH")
    one, other = named_ring(faces), named_ring(mirrored(faces, mirror))
    assert one.name.locants == other.name.locants
    assert one.name.cip[0] == other.name.cip[0]


class TestWhatIsSaid:
    @pytest.mark.parametrize(
        ("smiles", "said"),
        [
            ("CC1CCCCC1", "Numbered by IUPAC: 1 up CH3"),
            ("C[CH:4]1CC[CH2:1]CC1", "Numbers as given: 4 up CH3"),
            ("C[CH:1]1[CH2:2]CCCC1", "Numbered by IUPAC: 1 up CH3"),
            # which way round the ring runs makes no difference here
            ("C[CH:4]1CCCCC1", "Numbers as given: 4 up CH3"),
            # here it does: the suffix gets the lower one of 2 and 6
            ("C[C@H:1]1CCCC[C@H]1O", "Numbers partly as given: 1 down CH3, 2 down OH"),
            ("C=N[C@H]1CCC[C@@H](C)C1", "Numbered by lowest locants: 1 up CH3, 3 up *N=C"),
        ],
    )
    def test_of_a_smiles(self, smiles: str, said: str) -> None:
        assert build(smiles=smiles).numbered_groups == said

    def test_of_a_list(self) -> None:
        typed = build(groups_by_face="3 down OH, 5 up CH3")
        assert typed.numbered_groups == "Numbers as given: 3 down OH, 5 up CH3"

    @pytest.mark.parametrize(
        ("groups_by_face", "is_iupac"),
        [
            ("1 down OH, 2 up CH3", True),
            ("1 up CH3, 2 down OH", False),
            ("1 down OH, 6 up CH3", False),
            ("1 up CH3, 2 up CH3", True),  # 1R,2S
            ("1 down CH3, 2 down CH3", False),  # 1S,2R
            ("1 down CH3, 4 up CH3", True),
            ("1 up *N=C", False),  # has no name
        ],
    )
    def test_of_a_list_with_the_numbers_of_the_name(self, groups_by_face: str, is_iupac: bool) -> None:
        typed = build(groups_by_face=groups_by_face)
        assert typed.groups_by_face == groups_by_face
        assert typed.numbered == ("Numbered by IUPAC" if is_iupac else "Numbers as given")

    def test_of_a_name(self) -> None:
        """Its locants are the user's numbers, also where they are not those of the rules."""
        named = build(smiles=parse_name("trans-2-hydroxy-1-methylcyclohexane").numbered_smiles)
        assert {ligand.group: locant for locant, ligand in named.topology.groups} == {"CH3": 1, "OH": 2}
        assert named.numbered == "Numbers as given"

    def test_of_a_structure_record(self) -> None:
        mol = Chem.MolFromSmiles("C[C@H]1CCCC[C@H]1O")
        assert build(molblock=Chem.MolToMolBlock(mol)).numbered == "Numbered by IUPAC"
        for atom, number in zip((1, 2, 3), (4, 5, 6), strict=True):
            mol.GetAtomWithIdx(atom).SetAtomMapNum(number)
        numbered = build(molblock=Chem.MolToMolBlock(mol))
        assert numbered.numbered == "Numbers as given"
        assert {ligand.group: locant for locant, ligand in numbered.topology.groups} == {"CH3": 4, "OH": 3}


class TestMine:
    @pytest.mark.parametrize(
        "smiles", ["CC1CCCCC1", "C[C@H:1]1CCCC[C@H]1O", "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O"]
    )
    def test_a_smiles_that_leaves_numbers_open_is_refused(self, smiles: str) -> None:
        with pytest.raises(MoleculeError, match="write atom-map numbers"):
            mine(smiles)

    @pytest.mark.parametrize("smiles", ["C[CH:2]1CCCCC1", "C[C@H:1]1CCCC[C@:6]1([H])O", "C1CCCCC1"])
    def test_numbers_that_leave_nothing_open_are_kept(self, smiles: str) -> None:
        assert mine(smiles).groups_by_face == build(smiles=smiles).groups_by_face

    def test_a_structure_record_is_refused_too(self) -> None:
        record = request(molblock=Chem.MolToMolBlock(Chem.MolFromSmiles("CC1CCCCC1")))
        with pytest.raises(MoleculeError, match="write atom-map numbers"):
            build_molecules(record, TABLE, force_field="MMFF94", atom_limit=100, numbering="mine")


def test_isomers_that_are_not_shown_are_not_numbered(monkeypatch: pytest.MonkeyPatch) -> None:
    """Numbering costs a name; a refusal lists 16 of many."""
    numbered = []

    def counted(cut: object, families: object) -> object:
        found = isomers_of(cut, families)  # type: ignore[arg-type]
        numbered.extend(found)
        return found

    monkeypatch.setattr("chairgap.molecule.build.isomers_of", counted)
    with pytest.raises(MoleculeError, match=r"could be one of 32:"):
        build(smiles="FC1C(O)C(Cl)C(Br)C(C)C1N")
    assert len(numbered) == 16
