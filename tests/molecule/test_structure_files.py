"""Molblocks in, SDF records in and out."""

from dataclasses import replace

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem import rdDepictor, rdDistGeom

from chairgap.errors import MoleculeError
from chairgap.molecule.build import open_molecule
from chairgap.molecule.reading import read_molblock
from chairgap.molecule.sdf import read_sdf_blocks, sdf_block
from molecule.making import build

MENTHOL = "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O"
STEREO = [MENTHOL, "C[C@H]1CC[C@@H](O)CC1", "C/C=C\\C1CCCCC1", "C[S@](=O)C1CCCCC1", "CC1(C)CCC[C@H](O)C1"]


def drawn(smiles: str) -> Chem.Mol:
    mol = Chem.MolFromSmiles(smiles)
    rdDepictor.Compute2DCoords(mol)
    return mol


def modelled(smiles: str) -> Chem.Mol:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    rdDistGeom.EmbedMolecule(mol, randomSeed=2)
    return mol


@pytest.mark.parametrize("smiles", STEREO)
@pytest.mark.parametrize("v3000", [False, True])
def test_wedges_and_coordinates_give_the_molecule_of_the_smiles(smiles: str, v3000: bool) -> None:
    wanted = build(smiles=smiles)
    for mol in (drawn(smiles), modelled(smiles), Chem.RemoveHs(modelled(smiles))):
        found = build(molblock=Chem.MolToMolBlock(mol, forceV3000=v3000))
        assert (found.inchi, found.groups_by_face) == (wanted.inchi, wanted.groups_by_face)


def test_coordinates_count_even_without_any_mark() -> None:
    lines = Chem.MolToMolBlock(modelled(MENTHOL)).splitlines()
    start, atoms, bonds = 4, int(lines[3][:3]), int(lines[3][3:6])
    for number in range(start + atoms, start + atoms + bonds):
        lines[number] = lines[number][:9] + "  0"
    assert build(molblock="\n".join(lines) + "\n").inchi == build(smiles=MENTHOL).inchi


def test_missing_hydrogens_are_added_and_noted() -> None:
    note = "14 missing hydrogens added to the structure record"
    assert build(molblock=Chem.MolToMolBlock(drawn("CC1CCCCC1"))).notes == (note,)
    assert build(molblock=Chem.MolToMolBlock(modelled("CC1CCCCC1"))).notes == ()


def test_drawing_without_wedges_leaves_the_configuration_open() -> None:
    with pytest.raises(MoleculeError, match="The configuration at C1 and at C4 is not given") as caught:
        build(molblock=Chem.MolToMolBlock(drawn("CC1CCC(O)CC1")))
    assert caught.value.place.field == ""


def test_wavy_double_bond_is_open() -> None:
    mol = drawn("C/C=C/C1CCCCC1")
    mol.GetBondWithIdx(1).SetStereo(Chem.BondStereo.STEREOANY)
    with pytest.raises(MoleculeError, match="The configuration in the group at C1 is not given"):
        build(molblock=Chem.MolToMolBlock(mol))


def with_groups(smiles: str) -> str:
    """V3000 molblock of an extended SMILES with its stereo groups."""
    mol = Chem.MolFromSmiles(smiles)
    rdDepictor.Compute2DCoords(mol)
    return str(Chem.MolToMolBlock(mol, forceV3000=True))


def test_one_relative_stereo_group_is_a_structure_or_its_mirror_image() -> None:
    racemic = build(molblock=with_groups("C[C@@H]1CCCC[C@H]1O |&1:1,6|"))
    assert racemic.groups_by_face == "1 up OH, 2 down CH3"
    assert racemic.notes[-1] == "entered once for itself and its mirror image, which have the same gap"


def test_two_relative_stereo_groups_are_refused() -> None:
    for groups, subject in (
        ("|&1:1,o2:6|", "groups of the record mean"),
        ("|a:1,&1:6|", "group of the record, with other centres beside it, means"),
    ):
        with pytest.raises(MoleculeError) as caught:
            build(molblock=with_groups(f"C[C@@H]1CCCC[C@H]1O {groups}"))
        assert caught.value.message == (
            f"The relative stereo {subject} several diastereomers; give one molecule with absolute stereo "
            "for each."
        )


BROKEN = {
    "": "The structure record is empty; give an atom and bond block.",
    "nonsense\n": "The structure record cannot be read: ",
    "t\n\n\n  0  0  0  0  0  0  0  0  0  0999 V2000\nM  END\n": (
        "The structure record has no atoms; give an atom and bond block."
    ),
    "t\n\n\n  2  1  0  0  0  0  0  0  0  0999 V2000\n  0.0 0 0 C\n": "The structure record cannot be read: ",
}


@pytest.mark.parametrize("text", BROKEN)
def test_broken_records(text: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        build(molblock=text)
    assert caught.value.message.startswith(BROKEN[text])


def test_query_atoms_are_refused() -> None:
    block = Chem.MolToMolBlock(drawn("OC1CCCCC1")).replace(" O  ", " A  ")
    with pytest.raises(MoleculeError) as caught:
        build(molblock=block)
    assert caught.value.message == "There is a placeholder at atom 1 (*); write a real element there."


def test_splitting_keeps_titles_lines_and_empty_titles() -> None:
    first = Chem.MolToMolBlock(drawn("CC1CCCCC1"))
    second = Chem.MolToMolBlock(drawn("OC1CCCCC1"))
    text = f"one{first}>  <source>\nflask 3\n\n$$$$\r\n{second.replace(chr(10), chr(13) + chr(10))}$$$$\n\n"
    records = read_sdf_blocks(text)
    assert [(record.number, record.title) for record in records] == [(1, "one"), (2, "")]
    assert [record.line for record in records] == [1, text[: text.index("$$$$")].count("\n") + 2]
    assert [build(molblock=record.molblock).groups_by_face for record in records] == ["1 up CH3", "1 up OH"]
    assert "flask" not in records[0].molblock


def test_a_mol_file_is_one_record_and_an_empty_file_none() -> None:
    assert len(read_sdf_blocks(Chem.MolToMolBlock(drawn("CC1CCCCC1")))) == 1
    assert read_sdf_blocks("\n\n") == ()


def test_written_record_reads_back_with_coordinates_and_tags() -> None:
    molecule = build(smiles=MENTHOL)
    mol = open_molecule(molecule)
    rdDistGeom.EmbedMolecule(mol, randomSeed=3)
    positions = mol.GetConformer().GetPositions()
    text = sdf_block(molecule, positions, {"energy_kcal_mol": "-1.25", "chair": "A"})
    assert text.endswith("$$$$\n")
    (record,) = read_sdf_blocks(text)
    assert record.title == "m"
    assert build(molblock=record.molblock).inchi == molecule.inchi
    supplier = Chem.SDMolSupplier()
    supplier.SetData(text, removeHs=False)
    (back,) = supplier
    assert back.GetPropsAsDict() == {"energy_kcal_mol": -1.25, "chair": "A"}
    assert np.allclose(back.GetConformer().GetPositions(), positions, atol=1e-4)
    assert [atom.GetSymbol() for atom in back.GetAtoms()] == list(molecule.topology.symbols)
    assert text == sdf_block(molecule, positions, {"energy_kcal_mol": "-1.25", "chair": "A"})


def test_a_long_name_is_cut_in_the_title_line_and_nowhere_else() -> None:
    name = "the isomer of the third exercise, the one that smells of roses and of green leaves!"
    molecule = replace(build(smiles="CC1CCCCC1"), name=name)
    text = sdf_block(molecule, np.zeros((len(molecule.topology.symbols), 3)), {"name": name})
    assert len(name) == 83 and text.splitlines()[0] == name[:80] and name in text.splitlines()


HUGE = 900_000_000
V3000 = "x\n\n\n  0  0  0     0  0            999 V3000\nM  V30 BEGIN CTAB\n"
ONE_ATOM = "M  V30 BEGIN ATOM\nM  V30 1 C 0 0 0 0\nM  V30 END ATOM\n"


@pytest.mark.parametrize(
    "lines",
    [
        f"M  V30 COUNTS {HUGE} 1 0 0 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 1 {HUGE} 0 0 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 1 0 {HUGE} 0 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 1 0 0 {HUGE} 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 00{HUGE} 1 0 0 0\n{ONE_ATOM}",
        f"M  V30   COUNTS\t{HUGE} 1 0 0 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 9000-\nM  V30 00000 1 0 0 0\n{ONE_ATOM}",
        f"M  V30 COUNTS 1 0 0 0 0\n{ONE_ATOM}M  V30 BEGIN COLLECTION\n"
        f"M  V30 MDLV30/STEABS ATOMS=({HUGE} 1)\nM  V30 END COLLECTION\n",
        f"M  V30 COUNTS 1 0 1 0 0\n{ONE_ATOM}M  V30 BEGIN SGROUP\n"
        f"M  V30 1 SUP 0 ATOMS=({HUGE} 1) LABEL=Me\nM  V30 END SGROUP\n",
    ],
)
def test_a_line_of_a_v3000_record_asks_for_no_gigabytes(lines: str) -> None:
    with pytest.raises(MoleculeError, match=r"A V3000 line counts to 900000000, and a molecule"):
        read_molblock(f"{V3000}{lines}M  V30 END CTAB\nM  END\n")
