"""Faces, numbering and names against descriptors worked out by hand.

Worked example for `1 up CH3, 2 down CH3`. At C1 the order of priority is C2 > C6 > CH3 > H and the hydrogen
points down, so one looks from above: C2 (next, on the right), C6 (previous, on the left), CH3 (outward) run
clockwise: R. At C2 the hydrogen points up, one looks from below: C1, C3, CH3 run anticlockwise from above,
clockwise from below: R. The isomer is (1R,2R), and trans-1,2-dimethylcyclohexane is the R,R/S,S pair.
"""

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem import rdDistGeom

from chairgap.errors import MoleculeError
from chairgap.molecule.build import build_molecules, open_molecule
from chairgap.records import MoleculeRequest
from molecule.making import TABLE, build, cip_labels, request

# Descriptors of C1 to C6.
BY_HAND = {
    "1 up CH3, 2 down CH3": ("R", "R", "", "", "", ""),
    "1 down CH3, 2 up CH3": ("S", "S", "", "", "", ""),
    # meso: the two centres mirror each other
    "1 up CH3, 2 up CH3": ("R", "S", "", "", "", ""),
    "1 up CH3, 3 up CH3": ("R", "", "S", "", "", ""),
    "1 up CH3, 3 down CH3": ("R", "", "R", "", "", ""),
}


@pytest.mark.parametrize("groups_by_face", BY_HAND)
def test_descriptors_worked_out_by_hand(groups_by_face: str) -> None:
    assert cip_labels(build(groups_by_face=groups_by_face)) == BY_HAND[groups_by_face]


def test_unlike_faces_are_trans() -> None:
    # (1R,2R)-2-methylcyclohexan-1-ol is the trans isomer, (1R,2S) a cis one (IUPAC names in common use; from
    # memory). The carbinol carbon is C2 in these lists, which keep their own numbers.
    assert cip_labels(build(groups_by_face="1 up CH3, 2 down OH"))[:2] == ("R", "R")
    assert cip_labels(build(groups_by_face="1 down CH3, 2 down OH"))[:2] == ("S", "R")


def test_menthol() -> None:
    # (-)-Menthol is (1R,2S,5R)-2-isopropyl-5-methylcyclohexan-1-ol (IUPAC name, from memory): OH and
    # isopropyl trans, isopropyl and methyl trans; all three equatorial in one chair.
    menthol = build(smiles="CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O")
    assert menthol.groups_by_face == "1 up OH, 2 down CH(CH3)2, 5 up CH3"
    assert cip_labels(menthol) == ("R", "S", "", "", "R", "")


def test_all_trans_1_4_has_opposite_faces() -> None:
    assert build(smiles="C[C@H]1CC[C@H](C)CC1").groups_by_face == "1 up CH3, 4 down CH3"
    assert build(smiles="C[C@H]1CC[C@@H](C)CC1").groups_by_face == "1 up CH3, 4 up CH3"


def test_upper_ligands_lie_above_the_clockwise_ring() -> None:
    molecule = build(groups_by_face="1 up CH3, 1 down OH, 3 down Cl, 4 up CH3, 4 down CH3")
    mol = open_molecule(molecule)
    for conformer in rdDistGeom.EmbedMultipleConfs(mol, 10, randomSeed=11):
        positions = mol.GetConformer(conformer).GetPositions()
        ring = positions[molecule.topology.ring] - positions[molecule.topology.ring].mean(axis=0)
        # The right-hand rule along the numbering points away from the onlooker.
        upward = -np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
        for carbon in molecule.topology.carbons:
            assert (positions[carbon.up.atom] - positions[carbon.down.atom]) @ upward > 0.0


class TestNumberingFromSmiles:
    @pytest.mark.parametrize(
        ("smiles", "groups_by_face"),
        [
            ("C1CCCCC1", "1 up H"),
            ("CC1CCCCC1", "1 up CH3"),
            # lowest locants: 1,2,4 not 1,3,4
            ("C[C@H]1C[C@@H](C)[C@H](C)CC1", "1 up CH3, 2 down CH3, 4 down CH3"),
            # a carbon with two groups counts twice: 1,1,3 not 1,3,3; of two mirror images 3R (Cl > C2 > C4)
            ("CC1(C)CC(Cl)CCC1", "1 up CH3, 1 down CH3, 3 down Cl"),
            # the ending first, although the others then stand at 3,3
            ("CC1(C)CC(O)CCC1", "1 up OH, 3 up CH3, 3 down CH3"),
            # lowest locants come before order of citation: the gem pair is 1, also behind bromo
            ("CC1(C)CCC(Br)CC1", "1 up CH3, 1 down CH3, 4 up Br"),
            ("CC1CCC(Cl)(Cl)CC1", "1 up Cl, 1 down Cl, 4 up CH3"),
            # of two endings the senior one: alcohol before amine, acid before alcohol
            ("O[C@@H]1CCCC[C@H]1N", "1 up OH, 2 down NH2"),
            ("O[C@@H]1CCCC[C@H]1C(=O)O", "1 up CO2H, 2 down OH"),
            # prefixes in order of citation: bromo, ethyl, methyl, propan-2-yl
            ("C[C@@H]1CCCC[C@H]1Br", "1 up Br, 2 down CH3"),
            ("C[C@@H]1CCCC[C@H]1CC", "1 up C2H5, 2 down CH3"),
            ("C[C@@H]1CCCC[C@H]1C(C)C", "1 up CH3, 2 down CH(CH3)2"),
            # (c) of `molecule.numbering` where the name leaves it open: up first
            ("O[C@H]1CC[C@@H](O)CC1", "1 up OH, 4 up OH"),
            # without a name lowest locants all the same: 1,3 and not 1,5
            ("C=N[C@H]1CCC[C@@H](N=C)C1", "1 up *N=C, 3 up *N=C"),
        ],
    )
    def test_rules(self, smiles: str, groups_by_face: str) -> None:
        assert build(smiles=smiles).groups_by_face == groups_by_face

    def test_map_number_1_fixes_the_first_carbon(self) -> None:
        assert build(smiles="C[CH:1]1CCC(C)(C)CC1").groups_by_face == "1 up CH3, 4 up CH3, 4 down CH3"

    def test_map_number_2_fixes_the_direction(self) -> None:
        # Checked by hand at C4: C5 > C3 > CH3 run clockwise from above; methyl down, seen from below: S.
        away = build(smiles="[CH2:1]1[CH2:2]C[C@H](C)C[C@@H]1O")
        assert (away.groups_by_face, cip_labels(away)[3]) == ("4 down CH3, 6 down OH", "S")
        # At C2: OH > C3 > C1 run clockwise from above; hydroxyl down, seen from below: S.
        back = build(smiles="[CH2:1]1CC[C@H](C)C[C@@:2]1([H])O")
        assert (back.groups_by_face, cip_labels(back)[1]) == ("2 down OH, 4 up CH3", "S")

    def test_map_number_chooses_the_ring(self) -> None:
        small = build(smiles="C[C@H]1CC[C@@H](C2[CH2:2]CCC[CH2:6]2)CC1")
        large = build(smiles="C[C@H]1CC[C@@H:1](C2CCCCC2)CC1")
        assert small.groups_by_face == "1 up *[C@H]1CC[C@@H](C)CC1"
        assert large.groups_by_face == "1 up C6H11, 4 up CH3"
        assert small.inchi == large.inchi

    def test_equal_rings_need_no_choice(self) -> None:
        assert build(smiles="C1CCCCC1C1CCCCC1").groups_by_face == "1 up C6H11"


def test_typed_numbering_is_kept() -> None:
    molecule = build(groups_by_face="3 down OH, 5 up CH3")
    assert molecule.groups_by_face == "3 down OH, 5 up CH3"
    assert molecule.inchi == build(smiles=molecule.smiles).inchi


def test_atoms_come_in_order_of_locant() -> None:
    topology = build(smiles="OC[C@H]1CC[C@@H](O)CC1").topology
    assert topology.ring.tolist() == [0, 1, 2, 3, 4, 5]
    assert topology.symbols[6:] == ("O", "C", "O") + ("H",) * 14


def test_ligands_carry_table_name_fragment_and_mass() -> None:
    carbon = build(groups_by_face="1 up methyl, 1 down *CCCCCCCC").topology.carbons[0]
    assert (carbon.up.group, carbon.up.fragment) == ("CH3", "*C")
    assert (carbon.down.group, carbon.down.fragment) == ("*CCCCCCCC",) * 2
    # C 12.011, H 1.008 (standard atomic weights)
    assert carbon.up.mass_u == pytest.approx(12.011 + 3 * 1.008, abs=1e-3)
    assert carbon.down.mass_u == pytest.approx(8 * 12.011 + 17 * 1.008, abs=1e-2)


def test_a_row_without_stereo_names_either_hand() -> None:
    ligand = build(smiles="C[S@](=O)C1CCCCC1").topology.carbons[0].up
    assert ligand.group == "S(O)CH3"
    assert "@" in ligand.fragment


def test_every_group_of_the_table_survives_the_way_there_and_back() -> None:
    for row in TABLE.a_values:
        asked = request(groups_by_face=f"2 up {row.group}, 4 down {row.names[0] if row.names else row.group}")
        try:
            built = build_molecules(asked, TABLE, force_field="UFF", atom_limit=200)
        except MoleculeError as error:
            # Two sulfoxide centres: two diastereomers, so the list alone does not say enough.
            reason = "UFF has no parameters" if row.group == "Pb(CH3)3" else "The configuration in the group"
            assert error.message.startswith(reason), row.group
            continue
        (molecule,) = built
        assert {ligand.group for _, ligand in molecule.topology.groups} == {row.group}
        (again,) = build_molecules(
            MoleculeRequest(name="m", place=asked.place, smiles=_marked(molecule.rdkit_binary)),
            TABLE,
            force_field="UFF",
            atom_limit=200,
        )
        assert (again.groups_by_face, again.inchi) == (molecule.groups_by_face, molecule.inchi)


def _marked(rdkit_binary: bytes) -> str:
    """SMILES with atom-map numbers on the ring carbons."""
    mol = Chem.Mol(rdkit_binary)
    for index in range(6):
        mol.GetAtomWithIdx(index).SetAtomMapNum(index + 1)
    return str(Chem.MolToSmiles(mol))
