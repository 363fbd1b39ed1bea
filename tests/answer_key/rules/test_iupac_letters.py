"""Keys state R and S by the carbons of the IUPAC name, and a drawing program's SMILES has any order of atoms.

The names are in common use, their letters from memory; the structure is read from the name
(`chairgap.naming`, whose reading another library judges in tests/naming/test_independent.py), and for menthol
and 2-isopropylcyclohexanol typed as SMILES by hand.
"""

import random
import re

import pytest
from rdkit import Chem

from answer_key.rules.key_helpers import TABLES, checked, claim, facts
from chairgap import parse_name
from chairgap.answer_key.rules.whole_key import check_key

NAMES = (
    "(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol",  # (-)-menthol
    "(1S,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol",  # (+)-neomenthol
    "(1R,2S)-2-(propan-2-yl)cyclohexan-1-ol",
    "(1R,2R)-2-methylcyclohexan-1-ol",
    "(1R,2S)-2-phenylcyclohexan-1-ol",
    "(1R,2S)-2-aminocyclohexan-1-ol",
    "(1S,2R)-2-aminocyclohexane-1-carboxylic acid",
    "(1R,2R)-cyclohexane-1,2-diamine",
    "(1R,3S)-3-methylcyclohexan-1-ol",
    "(1R,3S)-cyclohexane-1,3-dicarboxylic acid",
    "(1R,2R)-1,2-dibromocyclohexane",
    "(1S,2S)-2-chlorocyclohexan-1-ol",
    "(1R,2S,4R)-4-bromo-2-chlorocyclohexan-1-ol",
)
BY_HAND = {
    "CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O": NAMES[0],
    "C[C@H]1C[C@@H](O)[C@H](C(C)C)CC1": NAMES[0],
    "O[C@@H]1CCCC[C@H]1C(C)C": NAMES[2],
}


def must_be_right(smiles: str, name: str) -> None:
    """Every letter of the name at its carbon is right, the other letter and no letter are errors."""
    letters = {int(number): letter for number, letter in re.findall(r"(\d)([RS])[,)]", name)}
    assert len(letters) >= 2
    for carbon, letter in letters.items():
        assert checked(claim(smiles, "R/S", letter, (carbon,))).verdict == "RIGHT", (smiles, carbon)
        other = "S" if letter == "R" else "R"
        assert checked(claim(smiles, "R/S", other, (carbon,))).verdict == "ERROR"
    (bare,) = [carbon for carbon in (6,) if carbon not in letters]
    assert checked(claim(smiles, "R/S", "R", (bare,))).verdict == "ERROR"
    assert facts(smiles).numbered == "Numbered by IUPAC"


@pytest.mark.parametrize("name", NAMES)
def test_letters_of_the_name_are_right_for_any_order_of_atoms(name: str) -> None:
    mol = Chem.MolFromSmiles(parse_name(name).smiles)
    for seed in range(3):
        order = list(range(mol.GetNumAtoms()))
        random.Random(seed).shuffle(order)
        smiles = Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False, doRandom=True)
        must_be_right(str(smiles), name)


@pytest.mark.parametrize("smiles", BY_HAND)
def test_structures_typed_by_hand(smiles: str) -> None:
    must_be_right(smiles, BY_HAND[smiles])


def test_numbers_of_the_user_are_judged_as_they_are() -> None:
    """Menthol with C1 at the isopropyl group: its letter is S there."""
    mapped = "CC(C)[C@@H:1]1CC[C@@H](C)C[C@H:2]1O"
    assert checked(claim(mapped, "R/S", "S", (1,))).verdict == "RIGHT"
    assert checked(claim(mapped, "R/S", "R", (2,))).verdict == "RIGHT"


def judged(text: str, letters: dict[int, str]) -> list[str]:
    claims = [claim(text, "R/S", letter, (carbon,)) for carbon, letter in letters.items()]
    return [finding.verdict for finding in check_key(claims, facts, TABLES).findings]


@pytest.mark.parametrize("text", ["isomenthol", "rac-isomenthol", "CC(C)[C@H]1CC[C@@H](C)C[C@@H]1O |r|"])
def test_a_text_that_means_both_mirror_images_has_the_letters_of_either(text: str) -> None:
    """(+)-Isomenthol is 1S,2R,5R (from memory); the name that is printed is rel-(1R,2S,5S)."""
    assert "rel-(1R,2S,5S)" in facts(text).systematic
    assert judged(text, {1: "R", 2: "S", 5: "S"}) == ["RIGHT"] * 3
    assert judged(text, {1: "S", 2: "R", 5: "R"}) == ["RIGHT"] * 3
    assert "ERROR" in judged(text, {1: "R", 2: "R", 5: "R"})  # menthol's isomer, no mirror image


def test_faces_and_letters_are_of_the_same_mirror_image() -> None:
    """rel-(1R,3S) with both groups up is 1R; both down is 1S."""
    text = "cis-1-bromo-3-methylcyclohexane"
    for face, letter, verdict in (("up", "R", "RIGHT"), ("down", "S", "RIGHT"), ("down", "R", "ERROR")):
        claims = [claim(text, "face", face, (1,)), claim(text, "R/S", letter, (1,))]
        verdicts = [finding.verdict for finding in check_key(claims, facts, TABLES).findings]
        assert (verdict == "RIGHT") == (verdicts == ["RIGHT", "RIGHT"]), (face, letter)


def test_the_solution_for_the_mirror_image_shows_its_structure() -> None:
    claims = [claim("isomenthol", "R/S", letter, (carbon,)) for carbon, letter in ((1, "R"), (2, "S"))]
    solution = check_key(claims, facts, TABLES).findings[0].solution
    shown = parse_name("(1R,2S,5S)-isomenthol").smiles
    assert "1 up OH, 2 down CH(CH3)2, 5 down CH3" in str(solution)
    assert shown in str(solution).replace("\\", "")


def test_one_mirror_image_has_its_letters_alone() -> None:
    assert "ERROR" in judged("(+)-isomenthol", {1: "R", 2: "S", 5: "S"})


@pytest.mark.parametrize(
    "text",
    [
        "1 up Cl, 2 down Cl, 4 up *C(N)=O",  # 3,4-dichlorocyclohexane-1-carboxamide
        "1 up CH3, 2 up CH3, 4 down NH3+",  # 3,4-dimethylcyclohexan-1-aminium
    ],
)
def test_letters_of_the_printed_name_are_right_beside_the_molecules_own(text: str) -> None:
    """Endings that the key's rules had no list of have C1 as well."""
    letters = {int(n): x for n, x in re.findall(r"(\d)([RS])[,)]", facts(text).systematic)}
    assert set(letters) == {1, 3, 4}
    assert judged(text, letters) == ["RIGHT"] * 3
    assert judged(text, {carbon: facts(text).cip[carbon - 1] for carbon in (1, 2, 4)}) == ["RIGHT"] * 3


def test_a_face_of_a_list_is_its_own_however_the_name_counts() -> None:
    claims = [claim("1 up CH3, 2 up CH3", "face", "down", (1,))]
    assert [finding.verdict for finding in check_key(claims, facts, TABLES).findings] == ["ERROR"]


def test_a_small_letter_is_no_label_of_the_mirror_image() -> None:
    finding = checked(claim("cis-4-methylcyclohexanol", "R/S", "r", (1,)))
    assert finding.verdict == "ERROR"
    (slip,) = [one for one in finding.diagnoses if one.slip == "mirror-image"]
    assert "lowest priority" in slip.words
    assert "mirror image" not in slip.words
