"""The continuum of the OpenMM engine: Born's ion, OpenMM's other implementation, gradients, invariances."""

import functools

import numpy as np
import openmm
import pytest
from differences import assert_gradient_is_the_derivative
from hypothesis import given, settings
from hypothesis import strategies as st
from openmm import unit
from openmm.app.internal.customgbforces import GBSAOBC2Force
from rdkit import Chem
from rdkit.Chem import rdDistGeom

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.hessian import gradient_rms
from chairgap.minimise.openmm_engine import OpenmmModel, openmm_model
from chairgap.minimise.solvated import solvated_model
from chairgap.minimise.verified import verified_minimum
from chairgap.records import ForceField, Medium, Minimum
from chairgap.tables.shipped import find_medium

RADII = {row.element: row for row in find_medium("water").born_radii}
WATER = 80.1
# Every element of the table, charges of both signs, straight and flat groups.
SMILES = {
    "hydroxy": "OC1CCCCC1",
    "trans-dichloro": "Cl[C@@H]1CCCC[C@H]1Cl",
    "bromo iodo": "BrC1CCCCC1I",
    "fluoro silyl": "FC1CCCCC1[Si](C)(C)C",
    "phosphine and thiol": "CP(C)C1CCCCC1S",
    "nitro": "[O-][N+](=O)C1CCCCC1",
    "cyano": "N#CC1CCCCC1",
    "ammonium": "[NH3+]C1CCCCC1",
    "carboxylate": "[O-]C(=O)C1CCCCC1",
}


def solvated(mol: Chem.Mol, force_field: ForceField, dielectric: float) -> OpenmmModel:
    """The model in a continuum of that dielectric constant, with the shipped radii."""
    medium = Medium(name="made", dielectric=dielectric, born_radii=tuple(RADII.values()))
    return solvated_model(mol, force_field, medium)


@functools.cache
def _embedded(smiles: str) -> tuple[Chem.Mol, np.ndarray]:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    assert rdDistGeom.EmbedMolecule(mol, randomSeed=20261125) == 0
    positions = mol.GetConformer().GetPositions()
    return mol, positions + np.random.default_rng(2004).normal(0.0, 0.05, positions.shape)


@functools.cache
def _case(name: str):
    mol, positions = _embedded(SMILES[name])
    return positions, solvated(mol, "MMFF94", WATER), openmm_model(mol, "MMFF94")


def test_the_cases_hold_every_element_of_the_table():
    found = {atom.GetSymbol() for smiles in SMILES.values() for atom in _embedded(smiles)[0].GetAtoms()}
    assert found == set(RADII)


@pytest.mark.parametrize("dielectric", [2.0243, 8.93, WATER])
@pytest.mark.parametrize("element", ["F", "Cl", "Br"])
def test_born_1920_ion(element, dielectric):
    """E = -166.03 (1 - 1/eps) q^2 / R kcal/mol: M. Born, Z. Phys. 1920, 1, 45 (from memory); half of the
    Coulomb constant 332.06 kcal/mol angstrom/e^2. R is the intrinsic radius less the model's 0.09 angstrom.
    1e-4: the constant has five figures here."""
    mol = Chem.MolFromSmiles(f"[{element}-]")
    origin = np.zeros((1, 3))
    energy, gradient = solvated(mol, "MMFF94", dielectric).energy_and_gradient(origin)
    gas, _ = openmm_model(mol, "MMFF94").energy_and_gradient(origin)
    expected = -166.03 * (1.0 - 1.0 / dielectric) / (RADII[element].radius_angstrom - 0.09)
    assert energy - gas == pytest.approx(expected, rel=1e-4)
    assert np.abs(gradient).max() < 1e-12


def _as_expressions(mol: Chem.Mol, charges: np.ndarray, dielectric: float, positions: np.ndarray):
    """The continuum part alone, energy and gradient, from OpenMM's expressions for the same model."""
    force = GBSAOBC2Force(solventDielectric=dielectric, soluteDielectric=1.0, SA=None)
    for atom, charge in zip(mol.GetAtoms(), charges, strict=True):
        row = RADII[atom.GetSymbol()]
        force.addParticle([float(charge), row.radius_angstrom / 10.0, row.screening])
    force.finalize()
    system = openmm.System()
    for _ in charges:
        system.addParticle(1.0)
    system.addForce(force)
    platform = openmm.Platform.getPlatformByName("Reference")
    context = openmm.Context(system, openmm.VerletIntegrator(0.001), platform)
    context.setPositions(positions / 10.0)
    state = context.getState(energy=True, forces=True)
    energy = state.getPotentialEnergy().value_in_unit(unit.kilocalorie_per_mole)
    forces = state.getForces(asNumpy=True).value_in_unit(unit.kilocalorie_per_mole / unit.angstrom)
    return energy, -np.asarray(forces)


@pytest.mark.parametrize("dielectric", [4.2666, WATER])
@pytest.mark.parametrize("name", SMILES)
def test_agrees_with_openmm_expressions(name, dielectric):
    """OpenMM ships the model twice: compiled (which is used) and as expressions, whose Coulomb constant has
    nine figures; hence 1e-6."""
    mol, positions = _embedded(SMILES[name])
    model, gas = solvated(mol, "MMFF94", dielectric), openmm_model(mol, "MMFF94")
    energy, gradient = _as_expressions(mol, model.terms.charges_e, dielectric, positions)
    with_solvent, alone = model.energy_and_gradient(positions), gas.energy_and_gradient(positions)
    assert energy < -0.1
    assert with_solvent[0] - alone[0] == pytest.approx(energy, rel=1e-6)
    assert np.abs(with_solvent[1] - alone[1] - gradient).max() <= 1e-5


@pytest.mark.parametrize("name", ["hydroxy", "trans-dichloro", "ammonium", "cyano"])
def test_gradient_is_the_derivative_of_the_energy(name):
    positions, model, _ = _case(name)
    assert_gradient_is_the_derivative(model, positions)


@pytest.mark.parametrize("force_field", ["MMFF94", "MMFF94s"])
@pytest.mark.parametrize("name", ["hydroxy", "nitro", "carboxylate"])
def test_dielectric_constant_1_is_the_gas_phase(name, force_field):
    mol, positions = _embedded(SMILES[name])
    energy, gradient = solvated(mol, force_field, 1.0).energy_and_gradient(positions)
    gas_energy, gas_gradient = openmm_model(mol, force_field).energy_and_gradient(positions)
    assert energy == gas_energy
    assert np.array_equal(gradient, gas_gradient)


def test_the_continuum_grows_as_1_less_1_over_the_dielectric_constant():
    """Equation 1 with radii that do not depend on the solvent: a straight line in 1 - 1/eps."""
    mol, positions = _embedded(SMILES["trans-dichloro"])
    gas, _ = openmm_model(mol, "MMFF94").energy_and_gradient(positions)

    def per_factor(dielectric: float) -> float:
        energy, _ = solvated(mol, "MMFF94", dielectric).energy_and_gradient(positions)
        return (energy - gas) / (1.0 - 1.0 / dielectric)

    in_water = per_factor(WATER)
    assert in_water < 0.0
    for dielectric in (1.5, 2.0243, 4.8069, 37.27):
        assert per_factor(dielectric) == pytest.approx(in_water, rel=1e-9)


angles = st.floats(min_value=-np.pi, max_value=np.pi)


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(["hydroxy", "trans-dichloro", "carboxylate"]),
    turn=st.tuples(angles, angles, angles),
    shift=st.tuples(*[st.floats(-20.0, 20.0)] * 3),
)
def test_turning_and_moving_the_molecule_changes_nothing(name, turn, shift):
    positions, model, _ = _case(name)
    rotation = np.eye(3)
    for axis, angle in enumerate(turn):
        i, j = [k for k in range(3) if k != axis]
        one = np.eye(3)
        one[i, i] = one[j, j] = np.cos(angle)
        one[i, j], one[j, i] = -np.sin(angle), np.sin(angle)
        rotation = rotation @ one
    energy, gradient = model.energy_and_gradient(positions)
    moved_energy, moved_gradient = model.energy_and_gradient(positions @ rotation.T + np.array(shift))
    assert moved_energy == pytest.approx(energy, abs=1e-7)
    assert np.abs(moved_gradient - gradient @ rotation.T).max() <= 1e-6


def test_a_minimum_in_water_stands_up_to_verification():
    mol, positions = _embedded(SMILES["hydroxy"])
    model = solvated(mol, "MMFF94", find_medium("water").dielectric)
    relaxed = model.minimise(positions)
    assert relaxed is not None
    masses = np.array([atom.GetMass() for atom in mol.GetAtoms()])
    settled = verified_minimum(model, relaxed, masses, "embedded")
    assert isinstance(settled, Minimum)
    assert settled.frequencies_cm1[0] > 0.0
    assert gradient_rms(model.energy_and_gradient(settled.positions)[1]) < 1e-6


def test_same_positions_give_the_same_bits():
    positions, model, _ = _case("trans-dichloro")
    energy, gradient = model.energy_and_gradient(positions)
    model.energy_and_gradient(positions + 0.3 * np.sin(positions))
    again, gradient_again = model.energy_and_gradient(positions)
    assert energy == again
    assert np.array_equal(gradient, gradient_again)


def test_an_element_without_a_radius_is_reported():
    with pytest.raises(MoleculeError) as caught:
        solvated(Chem.MolFromSmiles("[Na+].[Cl-]"), "MMFF94", WATER)
    assert str(caught.value) == (
        "Na (atom index 0) has no radius against a solvent (there are radii for H, C, N, O, F, Si, P, S, Cl, "
        "Br, I); compute this molecule in the gas phase or leave it out."
    )


@pytest.mark.parametrize("dielectric", [0.99, 0.0, -2.0, float("nan"), float("inf")])
def test_an_impossible_dielectric_constant_is_reported(dielectric):
    mol, _ = _embedded(SMILES["hydroxy"])
    with pytest.raises(EngineError, match="give a finite number of at least 1"):
        solvated(mol, "MMFF94", dielectric)
