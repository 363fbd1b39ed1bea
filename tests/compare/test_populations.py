"""Boltzmann sums and shares worked out by hand, and constants from scipy."""

import math

import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.populations import ensemble_kcal_mol, shares
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
    degeneracies = [1] * len(energies)
    before = ensemble_kcal_mol(energies, degeneracies, 298.15)
    after = ensemble_kcal_mol([energy + shift for energy in energies], degeneracies, 298.15)
    assert before is not None and after == pytest.approx(before + shift, abs=1e-9)


def test_textbook_percentages() -> None:
    """An axial methyl of 7.6 kJ/mol leaves 95 : 5 at room temperature (OpenStax Organic Chemistry 4.7)."""
    first, second = shares([0.0, 7.6 / 4.184], 298.15)
    assert first == pytest.approx(0.955, abs=0.005)
    assert first + second == pytest.approx(1.0)
    assert shares([1.0, None], 298.15) == (1.0, 0.0)
