"""Partial charges: MMFF94's where it has them, else by electronegativity, else none at all."""

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem.rdForceFieldHelpers import MMFFHasAllMoleculeParams

from chairgap.molecule.charges import partial_charges


def hydrogenated(smiles: str) -> Chem.Mol:
    return Chem.AddHs(Chem.MolFromSmiles(smiles))


def test_mmff94_charges_of_chlorocyclohexane_are_the_published_increments() -> None:
    """A C-Cl bond moves 0.29 e from carbon to chlorine, C-C and C-H bonds nothing (T. A. Halgren, J. Comput.
    Chem. 1996, 17, 520, doi 10.1002/(SICI)1096-987X(199604)17:5/6<520::AID-JCC2>3.0.CO;2-W, from memory)."""
    charges, source = partial_charges(hydrogenated("ClC1CCCCC1"))
    assert source == "MMFF94" and charges is not None
    assert charges[:2] == pytest.approx([-0.29, 0.29])
    assert charges[2:] == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("smiles", "charge"),
    [("OC1CCCCC1", 0.0), ("C[Si](C)(C)C1CCCCC1", 0.0), ("[NH3+]C1CCCCC1", 1.0), ("[O-]C(=O)C1CCCCC1", -1.0)],
)
def test_mmff94_charges_add_up_to_the_charge(smiles: str, charge: float) -> None:
    charges, source = partial_charges(hydrogenated(smiles))
    assert source == "MMFF94" and charges is not None
    assert charges.sum() == pytest.approx(charge, abs=1e-9)


@pytest.mark.parametrize(("smiles", "poor"), [("Br[Mg]C1CCCCC1", "Mg"), ("CB(C)C1CCCCC1", "B")])
def test_electronegativity_is_equalised_where_mmff94_has_no_parameters(smiles: str, poor: str) -> None:
    """Magnesium and boron are the positive ends of their bonds (common practice, no source)."""
    mol = hydrogenated(smiles)
    assert not MMFFHasAllMoleculeParams(mol)
    charges, source = partial_charges(mol)
    assert source == "Gasteiger" and charges is not None
    assert charges.sum() == pytest.approx(0.0, abs=1e-9)
    (atom,) = (atom.GetIdx() for atom in mol.GetAtoms() if atom.GetSymbol() == poor)
    assert charges[atom] > 0.1 and charges.argmax() == atom


@pytest.mark.parametrize("metal", ["Sn", "Ge", "Pb"])
def test_none_where_neither_model_knows_an_element(metal: str) -> None:
    """Not zeros, and not the numbers the second model leaves on the other atoms."""
    assert partial_charges(hydrogenated(f"C[{metal}](C)(C)C1CCCCC1")) == (None, "")


def test_the_molecule_is_left_as_it_was() -> None:
    mol = hydrogenated("Br[Mg]C1CCCCC1")
    before = mol.ToBinary(int(Chem.PropertyPickleOptions.AllProps))
    partial_charges(mol)
    assert not any(atom.HasProp("_GasteigerCharge") for atom in mol.GetAtoms())
    assert mol.ToBinary(int(Chem.PropertyPickleOptions.AllProps)) == before


def test_charges_do_not_depend_on_the_order_of_the_atoms() -> None:
    mol = hydrogenated("OC1CCCCC1Cl")
    order = np.random.default_rng(11).permutation(mol.GetNumAtoms()).tolist()
    shuffled, _ = partial_charges(Chem.RenumberAtoms(mol, order))
    straight, _ = partial_charges(mol)
    assert shuffled is not None and straight is not None
    assert shuffled == pytest.approx(straight[order], abs=1e-12)
