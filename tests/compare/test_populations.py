"""Boltzmann sums and Gibbs energies against formulas written out again, and constants from scipy."""

import math

import numpy as np
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.populations import ensemble_kcal_mol, shares
from chairgap.compare.thermochemistry import (
    LOW_MODE_CM1,
    rotational_gibbs_kcal_mol,
    vibrational_gibbs_kcal_mol,
)
from chairgap.units import (
    CM1_PER_ROOT_FORCE_CONSTANT,
    GAS_CONSTANT_KCAL_PER_MOL_K,
    KCAL_MOL_PER_CM1,
)

RT = GAS_CONSTANT_KCAL_PER_MOL_K * 298.15


def test_constants_against_scipy() -> None:
    calorie = scipy.constants.calorie
    assert pytest.approx(scipy.constants.R / calorie / 1000.0, rel=1e-9) == GAS_CONSTANT_KCAL_PER_MOL_K
    wavenumber_j_mol = scipy.constants.h * scipy.constants.c * 100.0 * scipy.constants.N_A
    assert pytest.approx(wavenumber_j_mol / calorie / 1000.0, rel=1e-9) == KCAL_MOL_PER_CM1
    per_root = math.sqrt(1000.0 * calorie / scipy.constants.N_A * 1e20 / scipy.constants.u)
    per_root /= 2.0 * math.pi * scipy.constants.c * 100.0
    assert pytest.approx(per_root, rel=1e-6) == CM1_PER_ROOT_FORCE_CONSTANT


def test_two_equal_rotamers_gain_rt_ln_2() -> None:
    assert ensemble_kcal_mol([3.0, 3.0], [1, 1], 298.15) == pytest.approx(3.0 - RT * math.log(2.0))
    assert ensemble_kcal_mol([3.0], [2], 298.15) == pytest.approx(3.0 - RT * math.log(2.0))


def test_members_without_copies_do_not_count() -> None:
    assert ensemble_kcal_mol([0.0, 5.0], [0, 1], 298.15) == pytest.approx(5.0)
    assert ensemble_kcal_mol([0.0], [0], 298.15) is None


@given(st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=6), st.floats(-100.0, 100.0))
def test_shift_of_all_energies_shifts_the_ensemble(energies: list[float], shift: float) -> None:
    copies = [1] * len(energies)
    before = ensemble_kcal_mol(energies, copies, 298.15)
    after = ensemble_kcal_mol([energy + shift for energy in energies], copies, 298.15)
    assert before is not None and after == pytest.approx(before + shift, abs=1e-9)


def test_textbook_percentages() -> None:
    """An axial methyl of 7.6 kJ/mol leaves 95 : 5 at room temperature (OpenStax Organic Chemistry 4.7)."""
    first, second = shares([0.0, 7.6 / 4.184], 298.15)
    assert first == pytest.approx(0.955, abs=0.005)
    assert first + second == pytest.approx(1.0)
    assert shares([1.0, None], 298.15) == (1.0, 0.0)


def test_vibrational_gibbs_energy_by_partition_function() -> None:
    """-RT ln q with q = exp(-x/2) / (1 - exp(-x)), x = h nu / kT, for two modes."""
    modes = np.array([400.0, 1500.0])
    kt = scipy.constants.k * 298.15
    x = scipy.constants.h * scipy.constants.c * 100.0 * modes / kt
    q = np.exp(-x / 2.0) / (1.0 - np.exp(-x))
    assert vibrational_gibbs_kcal_mol(modes, 298.15) == pytest.approx(-RT * np.log(q).sum(), rel=1e-8)


def test_low_modes_are_raised() -> None:
    low = vibrational_gibbs_kcal_mol(np.array([12.0, 800.0]), 298.15)
    assert low == vibrational_gibbs_kcal_mol(np.array([LOW_MODE_CM1, 800.0]), 298.15)


def test_rotational_gibbs_energy_of_water() -> None:
    """Rotational constants of water 27.88, 14.51, 9.28 cm-1 (handbook, from memory): q = sqrt(pi)
    sqrt(T^3/ABC).
    """
    angle, length = np.radians(104.5), 0.958
    positions = length * np.array(
        [
            [0.0, 0.0, 0.0],
            [math.sin(angle / 2), math.cos(angle / 2), 0.0],
            [-math.sin(angle / 2), math.cos(angle / 2), 0.0],
        ]
    )
    kelvin = scipy.constants.h * scipy.constants.c * 100.0 / scipy.constants.k
    temperatures = kelvin * np.array([27.88, 14.51, 9.28])
    q = math.sqrt(math.pi) * math.sqrt(298.15**3 / np.prod(temperatures))
    found = rotational_gibbs_kcal_mol(positions, np.array([15.999, 1.008, 1.008]), 298.15)
    assert found == pytest.approx(-RT * math.log(q), abs=0.02)
