"""The continuum: Born's ion, OpenMM's two implementations, gradients, Hessians, invariances, dipoles."""

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
from chairgap.minimise.hessian import gradient_rms, hessian
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.minimise.solvated import (
    SolvatedModel,
    open_solute,
    polarised_share,
    solvated_check,
    solvated_model,
)
from chairgap.minimise.verified import verified_minimum
from chairgap.records import ForceField, Medium, Minimum
from chairgap.tables.shipped import find_medium

SHIPPED = find_medium("water").born_radii
RADII = {row.element: row for row in SHIPPED}
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


@functools.cache
def _embedded(smiles: str) -> tuple[Chem.Mol, np.ndarray]:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    assert rdDistGeom.EmbedMolecule(mol, randomSeed=20261125) == 0
    positions = mol.GetConformer().GetPositions()
    return mol, positions + np.random.default_rng(2004).normal(0.0, 0.05, positions.shape)


def opened(mol: Chem.Mol, dielectric: float, force_field: ForceField = "MMFF94") -> SolvatedModel:
    return solvated_model(open_solute(mol, force_field, SHIPPED), dielectric)


@functools.cache
def _case(name: str):
    mol, positions = _embedded(SMILES[name])
    return positions, opened(mol, WATER)


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
    energy, gradient = opened(mol, dielectric).energy_and_gradient(origin)
    gas, _ = rdkit_model(mol, "MMFF94").energy_and_gradient(origin)
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


@pytest.mark.parametrize("name", SMILES)
def test_agrees_with_openmm_expressions(name):
    """OpenMM ships the model twice: compiled, and as expressions, whose Coulomb constant has nine figures;
    hence 1e-6."""
    mol, positions = _embedded(SMILES[name])
    continuum = open_solute(mol, "MMFF94", SHIPPED).continuum
    expected, slope = _as_expressions(mol, continuum.charges_e, WATER, positions)
    share = 1.0 - 1.0 / WATER
    energy, gradient = continuum.energy_and_gradient(positions)
    assert expected < -0.1
    assert share * energy == pytest.approx(expected, rel=1e-6)
    assert np.abs(share * gradient - slope).max() <= 1e-5


@pytest.mark.parametrize("dielectric", [2.2379, WATER])
@pytest.mark.parametrize("name", SMILES)
def test_agrees_with_openmm_in_whole(name, dielectric):
    """Force field and continuum by OpenMM alone; force fields agree within 5e-9 and 3e-7 (`minimise`), here
    on geometries that are not minimised."""
    mol, positions = _embedded(SMILES[name])
    energy, gradient = opened(mol, dielectric).energy_and_gradient(positions)
    other, slope = solvated_check(
        mol, "MMFF94", Medium(name="made", dielectric=dielectric, born_radii=SHIPPED)
    ).energy_and_gradient(positions)
    assert energy == pytest.approx(other, abs=1e-6)
    assert np.abs(gradient - slope).max() <= 1e-5


@pytest.mark.parametrize("name", SMILES)
def test_hessian_is_the_derivative_of_the_gradient(name):
    """Central differences of step 1e-4 angstrom of gradients that `_as_expressions` checks. 1e-5: an error of
    the step of about 1e-8 times fourth derivatives of some hundred kcal/mol/angstrom^4."""
    mol, positions = _embedded(SMILES[name])
    continuum = open_solute(mol, "MMFF94", SHIPPED).continuum
    by_differences = hessian(lambda place: continuum.energy_and_gradient(place)[1], positions)
    exact = continuum.hessian(positions)
    assert np.abs(exact).max() > 1.0
    assert np.abs(exact - exact.T).max() <= 1e-10  # rounding
    assert np.abs(exact - by_differences).max() <= 1e-5


@pytest.mark.parametrize("name", ["hydroxy", "trans-dichloro", "ammonium", "cyano"])
def test_gradient_is_the_derivative_of_the_energy(name):
    positions, model = _case(name)
    assert_gradient_is_the_derivative(model, positions)


@pytest.mark.parametrize("force_field", ["MMFF94", "MMFF94s"])
@pytest.mark.parametrize("name", ["hydroxy", "nitro", "carboxylate"])
def test_dielectric_constant_1_is_the_gas_phase(name, force_field):
    mol, positions = _embedded(SMILES[name])
    energy, gradient = opened(mol, 1.0, force_field).energy_and_gradient(positions)
    gas_energy, gas_gradient = rdkit_model(mol, force_field).energy_and_gradient(positions)
    assert energy == pytest.approx(gas_energy, abs=1e-9)
    assert gradient == pytest.approx(gas_gradient, abs=1e-7)


@pytest.mark.parametrize(("name", "alpha"), [("trans-dichloro", 0.571412), ("carboxylate", 0.0)])
def test_how_polarisation_grows_with_the_dielectric_constant(name, alpha):
    """Equations 2 and 3: E = k E_GB with k = (1 - 1/eps) / (1 + alpha/eps), alpha = 0 for an ion."""
    mol, positions = _embedded(SMILES[name])
    gas, _ = rdkit_model(mol, "MMFF94").energy_and_gradient(positions)

    def per_share(dielectric: float) -> float:
        energy, _ = opened(mol, dielectric).energy_and_gradient(positions)
        return (energy - gas) * (1.0 + alpha / dielectric) / (1.0 - 1.0 / dielectric)

    in_water = per_share(WATER)
    assert in_water < 0.0
    for dielectric in (1.5, 2.0243, 4.8069, 37.27):
        assert per_share(dielectric) == pytest.approx(in_water, rel=1e-9)


@pytest.mark.parametrize("dielectric", [1.8371, 2.2379, 4.8069, 8.93, 47.24, WATER])
def test_share_of_a_neutral_molecule_against_multipoles_in_a_sphere(dielectric):
    """A multipole of order l in a sphere is polarised by (eps - 1)/(eps + l/(l + 1)) of what it is against a
    conductor (J. G. Kirkwood, J. Chem. Phys. 1934, 2, 351, from memory): l = 0 is Born's ion, 1 a dipole, 2 a
    quadrupole. A neutral molecule has the last two."""
    dipole, quadrupole = ((dielectric - 1.0) / (dielectric + part) for part in (1.0 / 2.0, 2.0 / 3.0))
    assert quadrupole < polarised_share(dielectric, 0.0) < dipole
    assert polarised_share(dielectric, -1.0) == 1.0 - 1.0 / dielectric


angles = st.floats(min_value=-np.pi, max_value=np.pi)


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(["hydroxy", "trans-dichloro", "carboxylate"]),
    turn=st.tuples(angles, angles, angles),
    shift=st.tuples(*[st.floats(-20.0, 20.0)] * 3),
)
def test_turning_and_moving_the_molecule_changes_nothing(name, turn, shift):
    positions, model = _case(name)
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
    model = opened(mol, find_medium("water").dielectric)
    relaxed = model.minimise(positions)
    assert relaxed is not None
    masses = np.array([atom.GetMass() for atom in mol.GetAtoms()])
    settled = verified_minimum(model, relaxed, masses, "embedded")
    assert isinstance(settled, Minimum)
    assert settled.frequencies_cm1[0] > 0.0
    assert gradient_rms(model.energy_and_gradient(settled.positions)[1]) < 1e-6


def test_same_positions_give_the_same_bits():
    positions, model = _case("trans-dichloro")
    energy, gradient = model.energy_and_gradient(positions)
    model.energy_and_gradient(positions + 0.3 * np.sin(positions))
    again, gradient_again = model.energy_and_gradient(positions)
    assert energy == again
    assert np.array_equal(gradient, gradient_again)


def test_an_element_without_a_radius_is_reported():
    with pytest.raises(MoleculeError) as caught:
        open_solute(Chem.MolFromSmiles("[Na+].[Cl-]"), "MMFF94", SHIPPED)
    assert str(caught.value) == (
        "Na (atom index 0) has no radius against a solvent (there are radii for H, C, N, O, F, Si, P, S, Cl, "
        "Br, I); compute this molecule in the gas phase or leave it out."
    )


@pytest.mark.parametrize("dielectric", [0.99, 0.0, -2.0, float("nan"), float("inf")])
def test_an_impossible_dielectric_constant_is_reported(dielectric):
    mol, _ = _embedded(SMILES["hydroxy"])
    with pytest.raises(EngineError, match="give a finite number of at least 1"):
        opened(mol, dielectric)
