"""What an open configuration can mean, against counts and names from outside."""

from itertools import product

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem import rdDistGeom

from chairgap.errors import MoleculeError
from chairgap.molecule.build import open_molecule
from chairgap.molecule.stereo import stereo_survives
from molecule.making import build, build_every

# The inositols by the carbons whose hydroxyl is up; IUPAC-IUB Nomenclature of Cyclitols, Pure Appl. Chem.
# 1974, 37, 283 (from memory): cis 1,2,3,4,5,6/0, epi 1,2,3,4,5/6, allo 1,2,3,4/5,6, myo 1,2,3,5/4,6,
# muco 1,2,4,5/3,6, neo 1,2,3/4,5,6, chiro 1,2,4/3,5,6, scyllo 1,3,5/2,4,6. Only chiro is chiral.
INOSITOLS = {
    "cis": (1, 2, 3, 4, 5, 6),
    "epi": (1, 2, 3, 4, 5),
    "allo": (1, 2, 3, 4),
    "myo": (1, 2, 3, 5),
    "muco": (1, 2, 4, 5),
    "neo": (1, 2, 3),
    "chiro": (1, 2, 4),
    "scyllo": (1, 3, 5),
}
MIRROR_TOO = "entered once for itself and its mirror image, which have the same gap"


def test_the_inositols_are_eight_and_one_is_a_pair() -> None:
    found = build_every("OC1C(O)C(O)C(O)C(O)C1O")
    named = {}
    for name, up in INOSITOLS.items():
        groups = ", ".join(f"{carbon} {'up' if carbon in up else 'down'} OH" for carbon in range(1, 7))
        named[name] = build(groups_by_face=groups).inchi
    without_hand = {inchi.split("/m")[0] for inchi in named.values()}
    assert {molecule.inchi.split("/m")[0] for molecule in found} == without_hand
    assert len(found) == len(without_hand) == 8
    pairs = [molecule for molecule in found if molecule.notes]
    assert [molecule.notes for molecule in pairs] == [(MIRROR_TOO,)]
    assert pairs[0].inchi.split("/m")[0] == named["chiro"].split("/m")[0]


@pytest.mark.parametrize(
    ("smiles", "names"),
    [
        ("CC1CCCCC1C", ["m [1 up CH3, 2 up CH3]", "m [1 up CH3, 2 down CH3]"]),
        ("CC1CCCC(C)C1", ["m [1 up CH3, 3 up CH3]", "m [1 up CH3, 3 down CH3]"]),
        ("CC1CCC(C)CC1", ["m [1 up CH3, 4 up CH3]", "m [1 up CH3, 4 down CH3]"]),
        # one locant set, one stereoisomer: nothing to enumerate
        ("CC1(C)CCCCC1", ["m"]),
        ("CC1CCC(C)(C)CC1", ["m"]),
        # menthol: three centres, four diastereomers
        (
            "CC(C)C1CCC(C)CC1O",
            [
                "m [1 up OH, 2 up CH(CH3)2, 5 up CH3]",
                "m [1 up OH, 2 up CH(CH3)2, 5 down CH3]",
                "m [1 up OH, 2 down CH(CH3)2, 5 up CH3]",
                "m [1 up OH, 2 down CH(CH3)2, 5 down CH3]",
            ],
        ),
    ],
)
def test_every_diastereomer_once_under_its_own_name(smiles: str, names: list[str]) -> None:
    assert [molecule.name for molecule in build_every(smiles)] == names


def test_mirror_images_are_noted_only_when_both_are_meant() -> None:
    cis, trans = build_every("CC1CCCCC1C")
    assert (cis.notes, trans.notes) == ((), (MIRROR_TOO,))
    fixed = build_every("C[C@H]1CCCCC1C")
    assert [molecule.notes for molecule in fixed] == [(), ()]


def test_one_structure_and_its_mirror_image_is_accepted_with_a_note() -> None:
    for smiles, site in [
        ("CCC(C)C1CCCCC1", "in the group at C1"),
        ("CS(=O)C1CCCCC1", "in the group at C1"),
        ("CC1(C)CCCC(O)C1", "at C1"),
        ("CC1(O)CCCC(C)(C)C1", "at C1"),
    ]:
        molecule = build(smiles=smiles)
        assert molecule.notes == (f"configuration {site} not given; mirror images have the same gap",)
        assert build(smiles=molecule.smiles).notes == ()


@pytest.mark.parametrize(
    "smiles",
    [
        "CC1CCCCC1",
        "CC1CCC(C)(C)CC1",
        "CC1(C)CC(C)(C)CC(C)(C)C1",
        "CN(CC)C1CCCCC1",
        "CC1(CCC(O)CC1)C",
        "[O-]S(=O)C1CCCCC1",
        "CP(=O)([O-])C1CCCCC1",
    ],
)
def test_nothing_is_asked_where_there_is_no_stereocentre(smiles: str) -> None:
    assert build(smiles=smiles).notes == ()


@pytest.mark.parametrize(
    ("marked", "plain"),
    [
        ("C[N@](CC)C1CCCCC1", "CN(CC)C1CCCCC1"),
        ("C[P@](=O)([O-])C1CCCCC1", "CP(=O)([O-])C1CCCCC1"),
        ("[O-][S@@](=O)C1CCCCC1", "[O-]S(=O)C1CCCCC1"),
    ],
)
def test_marks_on_inverting_nitrogen_and_between_equal_oxygens_mean_nothing(marked: str, plain: str) -> None:
    assert build(smiles=marked).rdkit_binary == build(smiles=plain).rdkit_binary


def test_pseudoasymmetric_ring_carbon_between_unlike_hands() -> None:
    # An R and an S sec-butyl group on one carbon make it a centre when a third group marks the faces;
    # with two equal hands it is none.
    unlike = [
        build(groups_by_face=f"1 {up} *[C@H](C)CC, 1 {down} *[C@@H](C)CC, 4 up CH3").inchi
        for up, down in (("up", "down"), ("down", "up"))
    ]
    alike = [
        build(groups_by_face=f"1 up *[C@H](C)CC, 1 down *[C@H](C)CC, 4 {face} CH3").inchi
        for face in ("up", "down")
    ]
    assert len(set(unlike)) == 2
    assert len(set(alike)) == 1


def test_undefined_bridged_group_offers_only_what_can_exist() -> None:
    # norbornan-2-yl: exo and endo, each with its mirror image; the bridge ties the two bridgeheads together.
    with pytest.raises(MoleculeError) as caught:
        build(smiles="C1CC2CC1CC2C1CCCCC1")
    lines = caught.value.message.splitlines()
    assert len(lines) == 4
    assert all(line.endswith("(and its mirror image)") for line in lines[1:3])


# --- coordinates -------------------------------------------------------------------------------------------

CHIRAL_IN_MANY_WAYS = [
    "CC1CCCCC1",
    "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O",
    "C/C=C/C1CCCCC1",
    "C/C=C\\C1CCCCC1",
    "[H]/N=C/C1CCCCC1",
    "C[S@](=O)[C@H]1CC[C@@H](C)CC1",
    "CCC[N@+](C)(CC)C1CCCCC1",
    "N[C@@H](CC1CCCCC1)C(=O)O",
    "CC1(C)CCC(C)(C)CC1",
]


def embedded(smiles: str, count: int) -> tuple[object, list[np.ndarray]]:
    molecule = build(smiles=smiles)
    mol = open_molecule(molecule)
    found = rdDistGeom.EmbedMultipleConfs(mol, count, randomSeed=5)
    return molecule, [mol.GetConformer(number).GetPositions() for number in found]


@pytest.mark.parametrize("smiles", CHIRAL_IN_MANY_WAYS)
def test_embedding_keeps_stereo_and_a_mirror_turns_the_faces(smiles: str) -> None:
    molecule, geometries = embedded(smiles, 5)
    assert len(geometries) == 5
    for positions in geometries:
        assert stereo_survives(molecule, positions)
        assert not stereo_survives(molecule, positions * [1.0, 1.0, -1.0])


def test_exchanged_ligands_are_seen() -> None:
    molecule, (positions,) = embedded("C/C=C/[C@H]1CC[C@@H]([S@](C)=O)CC1", 1)
    topology = molecule.topology
    carbon = topology.carbons[0]
    swapped = positions.copy()
    swapped[[carbon.up.atom, carbon.down.atom]] = positions[[carbon.down.atom, carbon.up.atom]]
    assert not stereo_survives(molecule, swapped)
    sulfur = topology.symbols.index("S")
    oxygen = topology.symbols.index("O")
    reflected = positions.copy()
    ring, methyl = (
        int(atom)
        for atom in topology.bonds[(topology.bonds == sulfur).any(axis=1)].ravel()
        if atom not in (sulfur, oxygen)
    )
    # Push the oxygen through the plane of sulfur and its two carbons.
    normal = np.cross(positions[ring] - positions[sulfur], positions[methyl] - positions[sulfur])
    normal /= np.linalg.norm(normal)
    reflected[oxygen] -= 2.0 * ((positions[oxygen] - positions[sulfur]) @ normal) * normal
    assert not stereo_survives(molecule, reflected)


def test_cis_coordinates_of_a_trans_alkene_are_seen() -> None:
    trans, _ = embedded("C/C=C/C1CCCCC1", 1)
    _, cis = embedded("C/C=C\\C1CCCCC1", 3)
    assert not any(stereo_survives(trans, positions) for positions in cis)


def test_amine_nitrogen_may_invert() -> None:
    molecule, geometries = embedded("CN(CC)C1CCCCC1", 20)
    nitrogen = molecule.topology.symbols.index("N")
    arms = [
        int(atom)
        for atom in molecule.topology.bonds[(molecule.topology.bonds == nitrogen).any(axis=1)].ravel()
        if atom != nitrogen
    ]
    hands = {np.sign(np.linalg.det(p[arms] - p[nitrogen])) for p in geometries}
    assert hands == {-1.0, 1.0}
    assert all(stereo_survives(molecule, positions) for positions in geometries)


def test_rdkit_reads_the_same_stereo_from_our_coordinates() -> None:
    for smiles in CHIRAL_IN_MANY_WAYS:
        molecule, (positions,) = embedded(smiles, 1)
        mol = open_molecule(molecule)
        for atom, bond in product(mol.GetAtoms(), mol.GetBonds()):
            atom.SetChiralTag(Chem.ChiralType.CHI_UNSPECIFIED)
            bond.SetStereo(Chem.BondStereo.STEREONONE)
        conformer = Chem.Conformer(mol.GetNumAtoms())
        conformer.SetPositions(np.ascontiguousarray(positions))
        mol.AddConformer(conformer)
        Chem.AssignStereochemistryFrom3D(mol)
        again = Chem.MolToSmiles(Chem.MolFromSmiles(Chem.MolToSmiles(Chem.RemoveHs(mol))))
        assert again == molecule.smiles
