"""Extensions behind a SMILES: what changes nothing is left out, what matters is read or refused by its name.

Extensions typed by hand; those marked so were written by RDKit, which is not the reader here.
"""

import pytest
from rdkit import Chem
from rdkit.Chem import rdDepictor

from chairgap.errors import MoleculeError
from molecule.making import build
from naming.test_typed_names import other_hand

TRANS = "C[C@H]1CCCC[C@@H]1O"
PLAIN = "CC1CCCCC1"
# A hexagon with a group at its left and at its upper right corner, atoms in the order of CC1CCCCC1O.
DRAWN = "(0,0,;1,0,;2,1,;3,1,;4,0,;3,-1,;2,-1,;2,-2,)"
BOTH = ("entered once for itself and its mirror image, which have the same gap",)


@pytest.mark.parametrize(
    "extension",
    [
        *("(0,0,;1,0,;2,0,;3,0,;4,0,;5,0,;6,0,)", "(0,0,1;1,0,2;2,0,1;3,0,2;4,0,1;5,0,2;6,0,9)"),
        *("$a;b;;;;;$", "$methyl, first;;;;;;$", "$_AV:1;2;;;;;$", "$R_1;;;;;;$", "atomProp:0.p.v:1.q.w"),
        *("lp:0:2", "f:0.1", "SgD:0:name:value::::", "w:1.0", "wU:1.0", "", "a:1", "&1:1", "r"),
        "$a,b:c&#124;d&#36;&#59;(x);;;;;;;$,atomProp:0.p.a&#44;b&#58;c&#124;d$",  # written by RDKit
    ],
)
def test_what_changes_nothing_is_left_out(extension: str) -> None:
    plain, extended = build(smiles=PLAIN), build(smiles=f"{PLAIN} |{extension}|")
    assert extended.rdkit_binary == plain.rdkit_binary
    assert extended.notes == plain.notes


@pytest.mark.parametrize("extension", ["&1:1,6", "o1:1,6", "&1:1,&1:6", "o7:6,1", "r", "&1:0,1,2,6"])
def test_one_relative_group_means_both_mirror_images(extension: str) -> None:
    """Of the two, which share their relation, (1R,2R) is taken (`test_both_mirror_images`)."""
    read = build(smiles=f"{TRANS} |{extension}|")
    assert read.inchi == build(smiles=other_hand(TRANS)).inchi
    assert read.notes == BOTH and build(smiles=f"{TRANS} |a:1,6|").notes == ()


def test_a_relative_group_of_an_achiral_molecule_says_nothing() -> None:
    assert build(smiles="C[C@H]1CC[C@@H](O)CC1 |&1:1,4|").notes == ()


def test_bonds_of_a_small_ring_have_one_geometry() -> None:
    assert build(smiles="C1=CCCC(C1)[C@H]1CCCC[C@@H]1C |c:0|".replace("C(C1)", "[C@H](C1)")).inchi


def test_wedges_of_a_drawing_give_the_configuration() -> None:
    drawn = build(smiles=f"CC1CCCCC1O |{DRAWN},wU:1.0,wD:6.7|")
    assert drawn.inchi == build(smiles=TRANS).inchi
    cis = build(smiles=f"CC1CCCCC1O |{DRAWN},wU:1.0,6.7|")
    assert cis.inchi != drawn.inchi
    assert build(smiles=f"C[C@H]1CCCCC1O |{DRAWN},wU:1.0,wD:6.7,r|").inchi in (
        drawn.inchi,
        build(smiles=other_hand(TRANS)).inchi,
    )


@pytest.mark.parametrize(
    "smiles", [TRANS, "C[C@@H]1CCC[C@H](Br)C1", "C[C@]1(Cl)CCC[C@H](O)C1", "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O"]
)
def test_what_rdkit_writes_of_a_drawing_is_read(smiles: str) -> None:
    mol = Chem.MolFromSmiles(smiles)
    rdDepictor.Compute2DCoords(mol)
    Chem.WedgeMolBonds(mol, mol.GetConformer())
    written = Chem.MolToCXSmiles(mol)
    assert "wU:" in written or "wD:" in written
    assert build(smiles=written).inchi == build(smiles=smiles).inchi
    bare, _, extension = written.partition(" ")
    unmarked = bare.replace("[C@@H]", "C").replace("[C@H]", "C").replace("[C@]", "C").replace("[C@@]", "C")
    assert build(smiles=f"{unmarked} {extension}").inchi == build(smiles=smiles).inchi


LEAVE = "which are not read; write the molecule without them."
BESIDE = "with other centres beside it, means"
DIASTEREOMERS = "several diastereomers; give one molecule with absolute stereo for each."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (f"{PLAIN} |LN:1:1.3|", f"'LN:1:1.3' behind the SMILES stands for link nodes, {LEAVE}"),
        (f"{PLAIN} |Sg:n:0:n:ht|", f"'Sg:n:0:n:ht' behind the SMILES stands for repeating units, {LEAVE}"),
        ("*C.C1CCCCC1 |m:0:2.3.4|", f"'m:0:2.3.4' behind the SMILES stands for variable attachment, {LEAVE}"),
        (f"{PLAIN} |C:0.0|", f"'C:0.0' behind the SMILES stands for coordinate bonds, {LEAVE}"),
        (f"{PLAIN} |H:0.0|", f"'H:0.0' behind the SMILES stands for hydrogen bonds, {LEAVE}"),
        (f"{PLAIN} |u:0|", f"'u:0' behind the SMILES stands for queries, {LEAVE}"),
        (f"{PLAIN} |RG:_R1={{C}}|", f"'RG:_R1={{C}}' behind the SMILES stands for R groups, {LEAVE}"),
        (
            f"{PLAIN} |^1:0|",
            "'^1:0' behind the SMILES stands for unpaired electrons, which are not read; write a molecule "
            "without them.",
        ),
        (f"{TRANS} |&1:1,o2:6|", f"The relative stereo groups &1, o2 behind the SMILES mean {DIASTEREOMERS}"),
        (f"{TRANS} |&1:1|", f"The relative stereo group &1 behind the SMILES, {BESIDE} {DIASTEREOMERS}"),
        (f"{TRANS} |a:1,&1:6|", f"The relative stereo group &1 behind the SMILES, {BESIDE} {DIASTEREOMERS}"),
        (
            f"{TRANS} |w:1.0|",
            "'w:1.0' behind the SMILES leaves the configuration of atom 2 open, and the SMILES gives it; "
            "keep one of the two.",
        ),
        (
            f"C[C@@H]1CCCCC1O |{DRAWN},wU:1.0|",
            "The wedge behind the SMILES contradicts the mark of atom 2 (C) in it; keep one of the two.",
        ),
        (
            "CC=CC1CCCCC1 |t:1|",
            "'t:1' behind the SMILES stands for the geometry of double bonds, which are not read; write it "
            "with / and \\ in the SMILES.",
        ),
        (
            f"{PLAIN} |$;Pol_p;;;;;$|",
            "The label 'Pol_p' behind the SMILES makes atom 2 an R group, a pseudoatom or a query; write the "
            "atom that is meant.",
        ),
        (
            f"{PLAIN} |xyz:1|",
            "The extension of the SMILES has 'xyz:1', which is not known here; remove it if it changes "
            "nothing of the molecule.",
        ),
        (
            f"{PLAIN} |&1:7|",
            "'&1:7' behind the SMILES names an atom '7', and atoms are counted from 0 to 6; correct it.",
        ),
        (f"{PLAIN} |&1:1", "The extension behind the SMILES has no second bar |; write it."),
        (f"{PLAIN} |(0,0|", "The coordinates behind the SMILES do not end; close them."),
        (f"{PLAIN} |$a|", "The labels behind the SMILES do not end; close them."),
        (
            f"{PLAIN} |&1:1| toluene",
            "'toluene' stands behind the extension of the SMILES; write the name in its own field.",
        ),
        (f"{PLAIN} toluene", f"SMILES '{PLAIN} toluene' has a blank in it; write the SMILES alone"),
    ],
)
def test_what_matters_is_refused_by_its_name(text: str, message: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        build(smiles=text)
    assert caught.value.message.startswith(message)


def test_an_open_centre_stays_open() -> None:
    """Wedges without coordinates, coordinates without wedges, and a wavy bond give no configuration."""
    for extension in ("wU:1.0,wD:6.7", DRAWN, "w:1.0", "&1:1,6"):
        with pytest.raises(MoleculeError, match="is not given"):
            build(smiles=f"CC1CCCCC1O |{extension}|")
