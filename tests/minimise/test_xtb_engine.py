"""The quantum method's adapter: gradient, invariances, reproducibility, minima, and being absent."""

import functools
import sys

import numpy as np
import pytest
from differences import assert_gradient_is_the_derivative
from rdkit import Chem
from rdkit.Chem import rdDistGeom

from chairgap.errors import EngineError, InputError, MoleculeError
from chairgap.minimise.hessian import gradient_rms
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM, verified_minimum
from chairgap.minimise.xtb_engine import XtbModel, xtb_model
from chairgap.molecule.build import open_molecule
from chairgap.records import Floats, Minimum
from chairgap.shape.canonical import ring_shape
from chairgap.shape.positions import which_chair
from chairgap.units import BOHR_ANGSTROM, HARTREE_KCAL_MOL
from machine import tblite
from pipeline_helpers import in_chair, rotation, treated

interface = tblite()

SMILES = ["OC1CCCCC1", "ClC1CCCCC1", "[NH3+]C1CCCCC1", "[O-]C(=O)C1CCCCC1"]


@functools.cache
def _case(smiles: str) -> tuple[XtbModel, Floats]:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    assert rdDistGeom.EmbedMolecule(mol, randomSeed=20261125) == 0
    positions = mol.GetConformer().GetPositions()
    return xtb_model(mol), positions + np.random.default_rng(2019).normal(0.0, 0.03, positions.shape)


@pytest.mark.parametrize(
    "smiles",
    [
        pytest.param(SMILES[0], marks=pytest.mark.long),
        *SMILES[1:3],
        pytest.param(SMILES[3], marks=pytest.mark.long),
    ],
)
def test_gradient_is_the_derivative_of_the_energy(smiles: str) -> None:
    model, positions = _case(smiles)
    assert_gradient_is_the_derivative(model, positions)


@pytest.mark.parametrize("smiles", SMILES)
def test_turning_moving_and_mirroring_changes_nothing(smiles: str) -> None:
    model, positions = _case(smiles)
    energy, gradient = model.energy_and_gradient(positions)
    rng = np.random.default_rng(7)
    for mirror in (1.0, -1.0):
        turn = mirror * rotation(rng)
        moved = positions @ turn.T + rng.normal(0.0, 5.0, 3)
        moved_energy, moved_gradient = model.energy_and_gradient(moved)
        assert moved_energy == pytest.approx(energy, abs=1e-6)
        assert np.abs(moved_gradient - gradient @ turn.T).max() <= 1e-5


@pytest.mark.parametrize("smiles", SMILES)
def test_same_positions_give_the_same_bits_whatever_came_before(smiles: str) -> None:
    model, positions = _case(smiles)
    energy, gradient = model.energy_and_gradient(positions)
    model.energy_and_gradient(positions * 1.1)
    again, gradient_again = model.energy_and_gradient(positions)
    assert energy == again and np.array_equal(gradient, gradient_again)


def test_the_charge_of_an_ion_reaches_the_method() -> None:
    """The ammonium ion asked for directly; without its charge the energy is another."""
    model, positions = _case("[NH3+]C1CCCCC1")
    mol = Chem.AddHs(Chem.MolFromSmiles("[NH3+]C1CCCCC1"))
    numbers = np.array([atom.GetAtomicNum() for atom in mol.GetAtoms()])
    direct = interface.Calculator("GFN2-xTB", numbers, positions / BOHR_ANGSTROM, 1.0, 0)
    direct.set("verbosity", 0)
    energy, _ = model.energy_and_gradient(positions)
    assert energy == pytest.approx(direct.singlepoint().get("energy") * HARTREE_KCAL_MOL, abs=1e-3)


def test_bannwarth_ehlert_grimme_2019_water() -> None:
    """GFN2-xTB energy of water at its own minimum: -5.07054 hartree, r(OH) 0.959 angstrom (both from memory,
    no source seen)."""
    mol = Chem.AddHs(Chem.MolFromSmiles("O"))
    model = xtb_model(mol)
    found = model.minimise(np.array([[0.0, 0.0, 0.0], [0.97, 0.0, 0.0], [-0.2, 0.94, 0.0]]))
    assert found is not None
    assert model.energy_and_gradient(found)[0] / HARTREE_KCAL_MOL == pytest.approx(-5.07054, abs=1e-5)
    assert np.linalg.norm(found[1] - found[0]) == pytest.approx(0.959, abs=1e-3)


def test_both_chairs_of_methylcyclohexane_are_verified_minima() -> None:
    result = treated("1 up CH3")
    topology = result.molecule.topology
    model = xtb_model(open_molecule(result.molecule))
    energies = {}
    for letter in ("A", "B"):
        start = in_chair(result, letter)[0].minimum.positions
        relaxed = model.minimise(start)
        assert relaxed is not None
        settled = verified_minimum(model, relaxed, topology.masses_u, letter)
        assert isinstance(settled, Minimum)
        assert settled.frequencies_cm1[0] > 0.0
        assert gradient_rms(model.energy_and_gradient(settled.positions)[1]) < 1e-6
        shape = ring_shape(settled.positions[topology.ring])
        assert which_chair(shape, result.chairs) == letter
        energies[letter] = settled.energy_kcal_mol
    assert energies["B"] > energies["A"]


def test_minimise_returns_what_settle_demands() -> None:
    model, positions = _case("OC1CCCCC1")
    found = model.minimise(positions)
    assert found is not None
    assert gradient_rms(model.energy_and_gradient(found)[1]) <= GRADIENT_RMS_KCAL_MOL_ANGSTROM


@pytest.mark.parametrize(
    "smiles", [pytest.param("C[Sn](C)(C)C1CCCCC1", marks=pytest.mark.long), "C[Se]C1CCCCC1"]
)
def test_minimises_where_the_force_field_has_no_parameters(
    smiles: str, capfd: pytest.CaptureFixture[str]
) -> None:
    model, positions = _case(smiles)
    assert model.guess is None
    found = model.minimise(positions)
    assert found is not None
    assert gradient_rms(model.energy_and_gradient(found)[1]) <= GRADIENT_RMS_KCAL_MOL_ANGSTROM
    assert capfd.readouterr() == ("", "")


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    model, positions = _case("OC1CCCCC1")
    model.energy_and_gradient(positions)
    assert capfd.readouterr() == ("", "")


# --- what goes wrong ---------------------------------------------------------------------------------------


def test_tblite_absent(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "tblite", None)
    monkeypatch.setitem(sys.modules, "tblite.interface", None)
    with pytest.raises(InputError) as caught:
        xtb_model(Chem.AddHs(Chem.MolFromSmiles("C")))
    assert str(caught.value) == (
        "GFN2-xTB needs the library tblite, which is not installed; install it with "
        "pip install 'chairgap[quantum]', or choose quantum_method = 'none'."
    )


def test_charges_that_do_not_converge() -> None:
    mol = Chem.AddHs(Chem.MolFromSmiles("O"))
    model = xtb_model(mol)
    positions = np.array([[0.0, 0.0, 0.0], [0.97, 0.0, 0.0], [-0.2, 0.94, 0.0]])
    model.energy_and_gradient(positions)
    model.calculator.set("max-iter", 2)
    with pytest.raises(EngineError, match=r"failed at a geometry \(SCF not converged in 2 cycles\); start"):
        model.energy_and_gradient(positions)
    assert model.minimise(positions) is None


def test_atoms_on_one_place() -> None:
    model, positions = _case("OC1CCCCC1")
    with pytest.raises(EngineError, match="start from another geometry"):
        model.energy_and_gradient(np.zeros_like(positions))


def test_positions_of_another_molecule_and_no_numbers() -> None:
    model, positions = _case("OC1CCCCC1")
    with pytest.raises(EngineError, match="the molecule needs"):
        model.energy_and_gradient(positions[:-1])
    broken = positions.copy()
    broken[0, 0] = np.nan
    with pytest.raises(EngineError, match="not a finite number"):
        model.energy_and_gradient(broken)


@pytest.mark.parametrize(
    ("mol", "told"),
    [
        (Chem.AddHs(Chem.MolFromSmiles("[CH2]C")), "is a radical"),
        (Chem.MolFromSmiles("CC"), "add them explicitly"),
        (Chem.MolFromSmiles("[U]"), "cannot be set up for this molecule"),
    ],
)
def test_molecules_it_cannot_take(mol: Chem.Mol, told: str) -> None:
    for atom in mol.GetAtoms() if told.startswith("cannot") else ():
        atom.SetNumRadicalElectrons(0)
    with pytest.raises(MoleculeError, match=told):
        xtb_model(mol)
