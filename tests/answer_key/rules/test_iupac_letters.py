"""Keys state R and S by the carbons of the IUPAC name, and a drawing program's SMILES has any order of atoms.

The names are in common use, their letters from memory; the structure is read from the name
(`chairgap.naming`, whose reading another library judges in tests/naming/test_independent.py), and for menthol
and 2-isopropylcyclohexanol typed as SMILES by hand.
"""

import random
import re

import pytest
from rdkit import Chem

from answer_key.rules.key_helpers import checked, claim, facts
from chairgap import parse_name

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
