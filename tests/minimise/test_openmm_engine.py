"""The OpenMM engine: agreement with RDKit, gradients, invariances, reproducibility, minimiser."""

import functools

import numpy as np
import pytest
from differences import assert_gradient_is_the_derivative
from force_field_molecules import SMILES, embedded
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem
from rdkit.Chem import rdForceFieldHelpers

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.mmff_terms import LINEAR_TYPES, mmff_terms
from chairgap.minimise.openmm_engine import openmm_model, openmm_system

ENERGY_KCAL_MOL = 1e-6
GRADIENT_KCAL_MOL_ANGSTROM = 1e-5
VARIANTS = ("MMFF94", "MMFF94s")


def _rdkit(mol: Chem.Mol, force_field: str):
    """RDKit's own force field as a function; its gradient is right only after an energy at the same place."""
    properties = rdForceFieldHelpers.MMFFGetMoleculeProperties(mol, mmffVariant=force_field)
    field = rdForceFieldHelpers.MMFFGetMoleculeForceField(
        mol, properties, nonBondedThresh=1000.0, ignoreInterfragInteractions=False
    )

    def energy_and_gradient(positions):
        flat = positions.ravel().tolist()
        energy = field.CalcEnergy(flat)
        return energy, np.array(field.CalcGrad(flat)).reshape(-1, 3)

    return energy_and_gradient


def _rdkit_minimum(mol: Chem.Mol, force_field: str, positions: np.ndarray) -> np.ndarray:
    own = Chem.Mol(mol)
    own.GetConformer().SetPositions(np.ascontiguousarray(positions))
    properties = rdForceFieldHelpers.MMFFGetMoleculeProperties(own, mmffVariant=force_field)
    field = rdForceFieldHelpers.MMFFGetMoleculeForceField(own, properties, nonBondedThresh=1000.0)
    assert field.Minimize(20000, forceTol=1e-6) == 0
    return own.GetConformer().GetPositions()


@pytest.mark.parametrize("force_field", VARIANTS)
@pytest.mark.parametrize("name", SMILES)
def test_agrees_with_rdkit(name, force_field):
    """Embedded, distorted twice, and at the minimum, where straight groups are nearly straight."""
    mol, start_geometry = embedded(SMILES[name])
    model = openmm_model(mol, force_field)
    rdkit = _rdkit(mol, force_field)
    random = np.random.default_rng(1996)
    geometries = {
        "embedded": start_geometry,
        "distorted": start_geometry + random.normal(0.0, 0.05, start_geometry.shape),
        "strongly distorted": start_geometry + random.normal(0.0, 0.15, start_geometry.shape),
        "minimum": _rdkit_minimum(mol, force_field, start_geometry),
    }
    for where, positions in geometries.items():
        energy, gradient = rdkit(positions)
        own_energy, own_gradient = model.energy_and_gradient(positions)
        assert abs(own_energy - energy) <= ENERGY_KCAL_MOL, where
        assert np.abs(own_gradient - gradient).max() <= GRADIENT_KCAL_MOL_ANGSTROM, where


def test_the_cases_hold_every_kind_of_term_and_every_straight_type():
    """Otherwise the agreement above could be agreement about nothing."""
    kinds, straight = set(), set()
    for smiles in SMILES.values():
        terms = mmff_terms(Chem.AddHs(Chem.MolFromSmiles(smiles)), "MMFF94")
        system = openmm_system(terms)  # owns its forces: it must outlive them
        kinds |= {force.getName() for force in system.getForces()}
        straight |= set(terms.types[terms.linear_bends.atoms[:, 1]].tolist())
    assert straight == LINEAR_TYPES
    assert kinds == {
        "bond stretch",
        "angle bend",
        "linear bend",
        "stretch-bend",
        "out of plane",
        "torsion",
        "nonbonded",
    }


def test_variants_differ():
    """MMFF94s keeps the nitrogen of an aniline flatter: the two must not be mixed up."""
    mol, positions = embedded(SMILES["anilino"])
    energies = [openmm_model(mol, variant).energy_and_gradient(positions)[0] for variant in VARIANTS]
    assert abs(energies[0] - energies[1]) > 0.05


@pytest.mark.parametrize("bend_rad", [0.0, 1e-8, 1e-6, 1e-5, 1e-4, 1e-2])
@pytest.mark.parametrize("smiles", ["CC#N", "CC#CC", "C[N+]#[C-]", "CN=[N+]=[N-]", "CN=C=S"])
def test_straight_centres_have_the_right_gradient(smiles, bend_rad):
    """OpenMM's angle forces lose their gradient within 5e-5 radian of 180 degrees; ours must not use them."""
    mol, positions = embedded(smiles)
    i, j, k = openmm_model(mol, "MMFF94").terms.linear_bends.atoms[0]
    along = (positions[j] - positions[i]) / np.linalg.norm(positions[j] - positions[i])
    aside = np.cross(along, [0.3, 0.5, 0.7])
    aside /= np.linalg.norm(aside)
    length = np.linalg.norm(positions[k] - positions[j])
    positions[k] = positions[j] + length * (np.cos(bend_rad) * along + np.sin(bend_rad) * aside)
    _, gradient = openmm_model(mol, "MMFF94").energy_and_gradient(positions)
    _, expected = _rdkit(mol, "MMFF94")(positions)
    assert np.abs(gradient - expected).max() <= GRADIENT_KCAL_MOL_ANGSTROM


@pytest.mark.parametrize("name", ["cyano", "sulfone", "dimethylamide", "cyclobutyl", "phosphine oxide"])
@pytest.mark.parametrize("force_field", VARIANTS)
def test_gradient_is_the_derivative_of_the_energy(name, force_field):
    mol, positions = embedded(SMILES[name])
    positions = positions + np.random.default_rng(7).normal(0.0, 0.05, positions.shape)
    model = openmm_model(mol, force_field)
    assert_gradient_is_the_derivative(model, positions)


@functools.cache
def _case(name: str):
    mol, positions = embedded(SMILES[name])
    return mol, positions, openmm_model(mol, "MMFF94")


angles = st.floats(min_value=-np.pi, max_value=np.pi)
names = st.sampled_from(["hydroxy", "cyano", "amide"])


@settings(max_examples=40, deadline=None)
@given(name=names, turn=st.tuples(angles, angles, angles), shift=st.tuples(*[st.floats(-20.0, 20.0)] * 3))
def test_turning_and_moving_the_molecule_changes_nothing(name, turn, shift):
    _, positions, model = _case(name)
    rotation = np.eye(3)
    for axis, angle in enumerate(turn):
        one = np.eye(3)
        p, q = [(1, 2), (0, 2), (0, 1)][axis]
        one[[p, q], [p, q]] = np.cos(angle)
        one[p, q], one[q, p] = -np.sin(angle), np.sin(angle)
        rotation = rotation @ one
    energy, gradient = model.energy_and_gradient(positions)
    turned_energy, turned_gradient = model.energy_and_gradient(positions @ rotation.T + np.array(shift))
    assert turned_energy == pytest.approx(energy, abs=1e-9)
    np.testing.assert_allclose(turned_gradient, gradient @ rotation.T, atol=1e-8)


@settings(max_examples=20, deadline=None)
@given(name=names, seed=st.integers(0, 2**32 - 1))
def test_renumbering_the_atoms_changes_nothing(name, seed):
    mol, positions, model = _case(name)
    order = np.random.default_rng(seed).permutation(len(positions)).tolist()
    energy, gradient = model.energy_and_gradient(positions)
    other = openmm_model(Chem.RenumberAtoms(mol, order), "MMFF94")
    other_energy, other_gradient = other.energy_and_gradient(positions[order])
    assert other_energy == pytest.approx(energy, abs=1e-9)
    np.testing.assert_allclose(other_gradient, gradient[order], atol=1e-8)


def test_a_mirror_image_has_the_same_energy():
    _, positions, model = _case("hydroxy")
    energy, _ = model.energy_and_gradient(positions)
    mirrored, _ = model.energy_and_gradient(positions * np.array([1.0, 1.0, -1.0]))
    assert mirrored == pytest.approx(energy, abs=1e-9)


def test_same_positions_give_the_same_bits():
    mol, positions = embedded(SMILES["menthyl benzoate"])
    model = openmm_model(mol, "MMFF94")
    energy, gradient = model.energy_and_gradient(positions)
    lowest = model.minimise(positions, gradient_rms_kcal_mol_angstrom=1e-4)
    again_energy, again_gradient = model.energy_and_gradient(positions)
    assert again_energy == energy
    assert np.array_equal(again_gradient, gradient)
    fresh = openmm_model(mol, "MMFF94")
    fresh_energy, fresh_gradient = fresh.energy_and_gradient(positions)
    assert fresh_energy == energy
    assert np.array_equal(fresh_gradient, gradient)
    assert np.array_equal(fresh.minimise(positions, gradient_rms_kcal_mol_angstrom=1e-4), lowest)


@pytest.mark.parametrize("rms", [1e-3, 1e-4, 1e-6])
@pytest.mark.parametrize("name", ["cyclohexane", "cyano", "amide", "zwitterion", "menthyl benzoate"])
def test_minimiser_reaches_the_gradient_asked_for(name, rms):
    mol, positions = embedded(SMILES[name])
    model = openmm_model(mol, "MMFF94")
    start = positions.copy()
    found = model.minimise(positions, gradient_rms_kcal_mol_angstrom=rms)
    assert np.array_equal(positions, start)
    energy, gradient = model.energy_and_gradient(found)
    assert np.sqrt(np.mean(gradient**2)) <= rms
    assert energy < model.energy_and_gradient(start)[0]


@pytest.mark.parametrize("force_field", VARIANTS)
@pytest.mark.parametrize("name", ["methyl", "chloro", "methoxy", "cyano", "amide", "phenyl"])
def test_both_minimisers_find_the_same_energy_in_one_basin(name, force_field):
    """Both start from RDKit's minimum, knocked about by less than it takes to leave the basin."""
    mol, start_geometry = embedded(SMILES[name])
    bottom = _rdkit_minimum(mol, force_field, start_geometry)
    start = bottom + np.random.default_rng(11).normal(0.0, 0.03, bottom.shape)
    model = openmm_model(mol, force_field)
    found = model.minimise(start)
    assert np.sqrt(np.mean(model.energy_and_gradient(found)[1] ** 2)) <= 1e-4
    expected, _ = _rdkit(mol, force_field)(_rdkit_minimum(mol, force_field, start))
    assert model.energy_and_gradient(found)[0] == pytest.approx(expected, abs=1e-4)


def test_minimiser_that_cannot_reach_the_gradient_gives_nothing():
    mol, positions = embedded(SMILES["hydroxy"])
    assert openmm_model(mol, "MMFF94").minimise(positions, gradient_rms_kcal_mol_angstrom=1e-15) is None


def test_positions_of_another_molecule_are_refused():
    _, positions, model = _case("hydroxy")
    with pytest.raises(EngineError, match=r"shape \(18, 3\), the molecule needs \(19, 3\)"):
        model.energy_and_gradient(positions[:-1])


def test_positions_that_are_no_numbers_are_refused():
    _, positions, model = _case("hydroxy")
    broken = positions.copy()
    broken[2, 2] = np.nan
    with pytest.raises(EngineError, match="not a finite number"):
        model.energy_and_gradient(broken)


def test_two_atoms_in_one_place_are_refused():
    _, positions, model = _case("hydroxy")
    broken = positions.copy()
    broken[1] = broken[0]
    with pytest.raises(EngineError, match="atoms coincide"):
        model.energy_and_gradient(broken)


def test_a_molecule_without_parameters_has_no_model():
    with pytest.raises(MoleculeError, match="no parameters"):
        openmm_model(Chem.AddHs(Chem.MolFromSmiles("OB(O)C1CCCCC1")), "MMFF94")
