"""Second derivatives and normal modes against surfaces that are known without them."""

import numpy as np
import pytest
import scipy.linalg
import scipy.optimize
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.minimise.hessian import hessian, newton_step, normal_modes, rigid_motions
from chairgap.minimise.openmm_engine import openmm_model
from chairgap.molecule.build import open_molecule
from chairgap.records import Floats
from chairgap.units import CM1_PER_ROOT_FORCE_CONSTANT
from pipeline_helpers import mmff94, molecule, rotation, treated


@settings(max_examples=20, derandomize=True)
@given(st.integers(0, 10_000))
def test_quadratic_surface(seed: int) -> None:
    """g = A x is linear, so central differences are exact but for rounding."""
    rng = np.random.default_rng(seed)
    half = rng.normal(size=(12, 12))
    matrix = half + half.T

    def gradient(positions: Floats) -> Floats:
        return (matrix @ positions.ravel()).reshape(-1, 3)

    assert hessian(gradient, rng.normal(size=(4, 3))) == pytest.approx(matrix, abs=1e-7)


def test_rosenbrock_surface() -> None:
    """SciPy's Rosenbrock function in nine variables, with its analytic gradient and Hessian."""

    def gradient(positions: Floats) -> Floats:
        return scipy.optimize.rosen_der(positions.ravel()).reshape(-1, 3)

    positions = np.random.default_rng(1).normal(size=(3, 3))
    exact = scipy.optimize.rosen_hess(positions.ravel())
    # (1) error of the central difference: h^2 / 6 times the fourth derivative, 2400: 4e-6
    assert hessian(gradient, positions) == pytest.approx(exact, abs=2e-5)


def springs(positions: Floats, constant: float) -> Floats:
    """Gradient of three equal springs of rest length 1 between three atoms."""
    gradient = np.zeros((3, 3))
    for i, j in ((0, 1), (1, 2), (2, 0)):
        arm = positions[i] - positions[j]
        length = float(np.linalg.norm(arm))
        pull = constant * (length - 1.0) * arm / length
        gradient[i] += pull
        gradient[j] -= pull
    return gradient


def test_modes_of_a_triangle_of_springs() -> None:
    """Equal masses m: breathing at omega^2 = 3k/m, and a pair at 3k/2m (G. Herzberg, Infrared and Raman
    Spectra, 1945, the X3 molecule; from memory)."""
    constant, mass = 500.0, 16.0
    triangle = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.5, np.sqrt(0.75), 0.0]])
    triangle = triangle @ rotation(np.random.default_rng(2)).T
    second = hessian(lambda x: springs(x, constant), triangle)
    frequencies, modes = normal_modes(second, triangle, np.full(3, mass))
    expected = CM1_PER_ROOT_FORCE_CONSTANT * np.sqrt(constant / mass * np.array([1.5, 1.5, 3.0]))
    assert frequencies == pytest.approx(expected, rel=1e-6)
    breathing = modes[:, 2].reshape(3, 3)
    outward = triangle - triangle.mean(axis=0)
    cosines = (breathing * outward).sum(axis=1) / (
        np.linalg.norm(breathing, axis=1) * np.linalg.norm(outward, axis=1)
    )
    assert np.abs(cosines) == pytest.approx(1.0, abs=1e-6)


def test_imaginary_frequencies_are_written_as_negative_ones() -> None:
    """The same triangle with the sign of every force constant turned round."""
    triangle = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.5, np.sqrt(0.75), 0.0]])
    second = hessian(lambda x: springs(x, 500.0), triangle)
    frequencies, _ = normal_modes(-second, triangle, np.full(3, 16.0))
    assert np.all(frequencies < 0.0)
    assert np.abs(frequencies[::-1]) == pytest.approx(
        normal_modes(second, triangle, np.full(3, 16.0))[0], rel=1e-9
    )


@pytest.mark.parametrize("groups_by_face", ["1 up CH3", "1 up Cl, 2 down OH"])
def test_frequencies_by_the_generalised_eigenproblem(groups_by_face: str) -> None:
    """H v = omega^2 M v over all 3n coordinates by SciPy; the six rigid motions fall out near zero."""
    result = treated(groups_by_face)
    masses = result.molecule.topology.masses_u
    minimum = result.conformers[0].minimum
    second = hessian(mmff94(groups_by_face).gradient, minimum.positions)
    values = scipy.linalg.eigh(second, np.diag(np.repeat(masses, 3)), eigvals_only=True)
    wavenumbers = CM1_PER_ROOT_FORCE_CONSTANT * np.sign(values) * np.sqrt(np.abs(values))
    inner = wavenumbers[np.argsort(np.abs(values))][6:]
    assert np.abs(wavenumbers[np.argsort(np.abs(values))][:6]).max() < 1.0
    assert minimum.frequencies_cm1 == pytest.approx(np.sort(inner), abs=0.05)


def test_both_engines_give_the_same_frequencies() -> None:
    groups_by_face = "1 up CO2CH3"
    minimum = treated(groups_by_face).conformers[0].minimum
    masses = molecule(groups_by_face).topology.masses_u
    other = openmm_model(open_molecule(molecule(groups_by_face)), "MMFF94")
    second = hessian(other.gradient, minimum.positions)
    frequencies, _ = normal_modes(second, minimum.positions, masses)
    assert frequencies == pytest.approx(minimum.frequencies_cm1, abs=0.05)


def test_frequencies_do_not_depend_on_where_the_molecule_lies() -> None:
    minimum = treated("1 up CH3").conformers[0].minimum
    masses = molecule("1 up CH3").topology.masses_u
    moved = minimum.positions @ rotation(np.random.default_rng(5)).T + [5.0, -3.0, 8.0]
    second = hessian(mmff94("1 up CH3").gradient, moved)
    assert normal_modes(second, moved, masses)[0] == pytest.approx(minimum.frequencies_cm1, abs=0.05)


def test_ch_stretches_of_cyclohexane_lie_where_they_are_measured() -> None:
    """Twelve C-H stretches between 2850 and 2940 cm-1 in the infrared and Raman spectra (T. Shimanouchi,
    Tables of Molecular Vibrational Frequencies I, 1972, from memory); a harmonic force field may be 5 % off.
    The lowest mode is the e_u deformation of the ring, 248 cm-1 there, again within 5 %."""
    frequencies = treated("1 up H").conformers[0].minimum.frequencies_cm1
    stretches = frequencies[frequencies > 2000.0]
    assert len(stretches) == 12
    assert stretches.min() > 0.95 * 2850.0 and stretches.max() < 1.05 * 2940.0
    assert frequencies[0] == pytest.approx(248.0, rel=0.05)
    assert frequencies[1] == pytest.approx(frequencies[0], abs=0.1)  # doubly degenerate


@settings(max_examples=10, derandomize=True)
@given(st.integers(0, 10_000))
def test_newton_step_lands_on_the_minimum_of_a_quadratic(seed: int) -> None:
    rng = np.random.default_rng(seed)
    positions = rng.normal(size=(4, 3)) * 2.0
    rigid = rigid_motions(positions, np.ones(4))
    inner = np.eye(12) - rigid @ rigid.T
    half = rng.normal(size=(12, 12))
    matrix = inner @ (half @ half.T + np.eye(12)) @ inner  # stiff inside, free to move as a whole
    away = inner @ rng.normal(size=12)
    step = newton_step(matrix, (matrix @ away).reshape(-1, 3), positions)
    assert step.ravel() == pytest.approx(-away, abs=1e-8)
    assert np.abs(rigid.T @ step.ravel()).max() < 1e-10
