"""Enthalpy, entropy and Gibbs energy against partition functions written out again with scipy's constants,
against the relations that tie them together, and against handbook entropies of small molecules."""

import math
from collections.abc import Callable

import numpy as np
import pytest
import scipy.constants as si
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.compare.thermochemistry import (
    LOW_MODE_CM1,
    LowModes,
    Thermal,
    gibbs_kcal_mol,
    mixture,
    rotational,
    thermal,
    translational,
    vibrational,
)
from chairgap.records import Floats

KCAL_MOL = 1000.0 * si.calorie / si.N_A  # J
R_KCAL = si.R / si.calorie / 1000.0
CM1 = si.h * si.c * 100.0  # J
AT_K = 298.15
STEP_K = 0.01
WATER_U = np.array([15.999, 1.008, 1.008])
METHANE_U = np.array([12.011, 1.008, 1.008, 1.008, 1.008])
MODES = st.lists(st.floats(5.0, 3500.0), min_size=1, max_size=6).map(np.array)
TEMPERATURES = st.floats(150.0, 600.0)


def water() -> Floats:
    angle, length = np.radians(104.5), 0.958
    half = angle / 2.0
    return length * np.array(
        [[0.0, 0.0, 0.0], [math.sin(half), math.cos(half), 0.0], [-math.sin(half), math.cos(half), 0.0]]
    )


def methane() -> Floats:
    """C-H 1.087 angstrom (handbook, from memory)."""
    corners = np.array([[1.0, 1.0, 1.0], [1.0, -1.0, -1.0], [-1.0, 1.0, -1.0], [-1.0, -1.0, 1.0]])
    return np.vstack([np.zeros(3), corners * 1.087 / math.sqrt(3.0)])


def log_q_vibration(modes_cm1: Floats, temperature_k: float) -> float:
    """q = exp(-x/2) / (1 - exp(-x)), x = h nu / kT, of all modes."""
    x = CM1 * modes_cm1 / (si.k * temperature_k)
    return float(np.log(np.exp(-x / 2.0) / (1.0 - np.exp(-x))).sum())


def log_q_water_rotation(temperature_k: float) -> float:
    """Rotational constants 27.88, 14.51, 9.28 cm-1 (handbook, from memory): q = sqrt(pi) sqrt(T^3/ABC)."""
    temperatures = CM1 / si.k * np.array([27.88, 14.51, 9.28])
    return math.log(math.sqrt(math.pi) * math.sqrt(temperature_k**3 / float(np.prod(temperatures))))


def check_against_partition_function(
    found: Thermal, log_q: Callable[[float], float], at_k: float, within_kcal_mol: float
) -> None:
    """G = -RT ln q; U = RT^2 d ln q / dT, which is H where there is no volume; S = (H - G) / T."""
    slope = (log_q(at_k + STEP_K) - log_q(at_k - STEP_K)) / (2.0 * STEP_K)
    gibbs, energy = -R_KCAL * at_k * log_q(at_k), R_KCAL * at_k**2 * slope
    assert found.gibbs_kcal_mol(at_k) == pytest.approx(gibbs, abs=within_kcal_mol)
    assert found.enthalpy_kcal_mol == pytest.approx(energy, abs=within_kcal_mol)
    assert at_k * found.entropy_kcal_mol_k == pytest.approx(energy - gibbs, abs=within_kcal_mol)


def check_relations(at: Callable[[float], Thermal], temperature_k: float) -> None:
    """S = -dG/dT and, after Gibbs and Helmholtz, H = -T^2 d(G/T)/dT, by central differences."""
    here = at(temperature_k)
    above, below = temperature_k + STEP_K, temperature_k - STEP_K
    high, low = at(above).gibbs_kcal_mol(above), at(below).gibbs_kcal_mol(below)
    gibbs = here.enthalpy_kcal_mol - temperature_k * here.entropy_kcal_mol_k
    assert here.gibbs_kcal_mol(temperature_k) == pytest.approx(gibbs, abs=1e-12)
    assert here.entropy_kcal_mol_k == pytest.approx(-(high - low) / (2.0 * STEP_K), abs=1e-8)
    slope = (high / above - low / below) / (2.0 * STEP_K)
    assert here.enthalpy_kcal_mol == pytest.approx(-(temperature_k**2) * slope, abs=1e-5)


@pytest.mark.parametrize("low_modes", ["quasi-harmonic", "harmonic"])
def test_vibrations_by_partition_function(low_modes: LowModes) -> None:
    modes = np.array([400.0, 1500.0])
    found = vibrational(modes, AT_K, low_modes)
    check_against_partition_function(found, lambda at_k: log_q_vibration(modes, at_k), AT_K, 1e-7)


def test_rotation_of_water_by_partition_function() -> None:
    """0.02 kcal/mol, for a geometry that is not quite the one behind the constants."""
    found = rotational(water(), WATER_U, AT_K)
    check_against_partition_function(found, log_q_water_rotation, AT_K, 0.02)
    assert found.enthalpy_kcal_mol == pytest.approx(1.5 * R_KCAL * AT_K, rel=1e-9)


@given(MODES, TEMPERATURES, st.sampled_from(["quasi-harmonic", "harmonic"]))
def test_relations_hold_for_vibrations(modes: Floats, temperature_k: float, low_modes: LowModes) -> None:
    check_relations(lambda at_k: vibrational(modes, at_k, low_modes), temperature_k)


@given(TEMPERATURES)
def test_relations_hold_for_rotation_and_translation(temperature_k: float) -> None:
    check_relations(lambda at_k: rotational(water(), WATER_U, at_k), temperature_k)
    check_relations(lambda at_k: translational(18.015, at_k), temperature_k)


def test_a_conformer_is_its_energy_vibrations_and_rotation() -> None:
    modes, energy = np.array([30.0, 1595.0, 3657.0]), -7.5
    for low_modes in ("quasi-harmonic", "harmonic"):
        state = (energy, modes, water(), WATER_U, 350.0, low_modes)
        vibration, rotation = vibrational(modes, 350.0, low_modes), rotational(water(), WATER_U, 350.0)
        whole = thermal(*state)
        enthalpy = energy + vibration.enthalpy_kcal_mol + rotation.enthalpy_kcal_mol
        entropy = vibration.entropy_kcal_mol_k + rotation.entropy_kcal_mol_k
        assert whole.enthalpy_kcal_mol == pytest.approx(enthalpy, abs=1e-12)
        assert whole.entropy_kcal_mol_k == pytest.approx(entropy, abs=1e-12)
        assert gibbs_kcal_mol(*state) == pytest.approx(enthalpy - 350.0 * entropy, abs=1e-12)


def test_low_modes_are_raised_in_the_quasi_harmonic_form_only() -> None:
    low, raised = np.array([12.0, 800.0]), np.array([LOW_MODE_CM1, 800.0])
    assert vibrational(low, AT_K, "quasi-harmonic") == vibrational(raised, AT_K, "harmonic")
    harmonic = vibrational(low, AT_K, "harmonic")
    check_against_partition_function(harmonic, lambda at_k: log_q_vibration(low, at_k), AT_K, 1e-6)
    # A softer mode has the more entropy: R ln (100 / 12) where both are small against kT.
    more = harmonic.entropy_kcal_mol_k - vibrational(raised, AT_K, "harmonic").entropy_kcal_mol_k
    assert more == pytest.approx(R_KCAL * math.log(LOW_MODE_CM1 / 12.0), rel=0.01)


def test_a_mode_at_the_limit_is_the_same_in_both_forms() -> None:
    modes = np.array([LOW_MODE_CM1, LOW_MODE_CM1 + 1e-9, 2000.0])
    assert vibrational(modes, AT_K, "quasi-harmonic") == vibrational(modes, AT_K, "harmonic")


@pytest.mark.parametrize("lowest", [0.0, -35.0])
def test_a_frequency_that_is_not_positive_is_an_error_in_the_harmonic_form(lowest: float) -> None:
    with pytest.raises(ValueError, match="not positive"):
        vibrational(np.array([lowest, 800.0]), AT_K, "harmonic")


# --- handbook entropies ----------------------------------------------------------------------------------


def test_entropy_of_argon() -> None:
    """154.8 J/mol/K at 298.15 K and 1 bar (CODATA key values 154.846, from memory): translation alone."""
    found = translational(39.948, AT_K)
    assert 1000.0 * si.calorie * found.entropy_kcal_mol_k == pytest.approx(154.846, abs=0.005)
    assert found.enthalpy_kcal_mol == pytest.approx(2.5 * R_KCAL * AT_K, rel=1e-9)


def test_a_tenfold_pressure_costs_r_ln_10() -> None:
    one, ten = translational(39.948, AT_K), translational(39.948, AT_K, pressure_pa=1e6)
    assert one.enthalpy_kcal_mol == ten.enthalpy_kcal_mol
    lost = one.entropy_kcal_mol_k - ten.entropy_kcal_mol_k
    assert lost == pytest.approx(R_KCAL * math.log(10.0), rel=1e-9)


@pytest.mark.parametrize(
    ("positions", "masses_u", "fundamentals_cm1", "symmetry", "measured_j_mol_k"),
    [
        (water(), WATER_U, [1595.0, 3657.0, 3756.0], 2, 188.84),
        (methane(), METHANE_U, [1306.0] * 3 + [1534.0] * 2 + [2917.0] + [3019.0] * 3, 12, 186.25),
    ],
    ids=["water", "methane"],
)
def test_entropies_of_water_and_methane(
    positions: Floats,
    masses_u: Floats,
    fundamentals_cm1: list[float],
    symmetry: int,
    measured_j_mol_k: float,
) -> None:
    """S(298.15 K, 1 bar), fundamentals and symmetry numbers from handbooks, from memory. 0.3 J/mol/K for
    the quantum correction of light rotors, which the classical formula leaves out."""
    parts = vibrational(np.array(fundamentals_cm1), AT_K, "harmonic") + rotational(positions, masses_u, AT_K)
    whole = parts + translational(float(masses_u.sum()), AT_K)
    found = 1000.0 * si.calorie * whole.entropy_kcal_mol_k - si.R * math.log(symmetry)
    assert found == pytest.approx(measured_j_mol_k, abs=0.3)


# --- mixtures --------------------------------------------------------------------------------------------


def made(enthalpy: float, entropy_cal: float) -> Thermal:
    return Thermal(enthalpy_kcal_mol=enthalpy, entropy_kcal_mol_k=entropy_cal / 1000.0)


def test_mixture_by_hand() -> None:
    """At 300 K: G 2 - 0.3 = 1.7, once; G 1 - 0 = 1, twice."""
    rt = R_KCAL * 300.0
    found = mixture([made(2.0, 1.0), made(1.0, 0.0)], [1.0, 2.0], 300.0)
    first, second = math.exp(-1.7 / rt), 2.0 * math.exp(-1.0 / rt)
    gibbs = -rt * math.log(first + second)
    enthalpy = (2.0 * first + 1.0 * second) / (first + second)
    assert found.gibbs_kcal_mol(300.0) == pytest.approx(gibbs, abs=1e-12)
    assert found.enthalpy_kcal_mol == pytest.approx(enthalpy, abs=1e-12)
    assert found.entropy_kcal_mol_k == pytest.approx((enthalpy - gibbs) / 300.0, abs=1e-12)


def test_the_entropy_of_a_mixture_is_that_of_its_members_and_of_mixing() -> None:
    """S = sum p S - R sum p ln (p / w)."""
    parts, weights = [made(0.4, 3.0), made(0.0, 2.0), made(1.0, 9.0)], [1.0, 2.0, 0.5]
    found = mixture(parts, weights, 250.0)
    boltzmann = np.array(
        [
            weight * math.exp(-part.gibbs_kcal_mol(250.0) / (R_KCAL * 250.0))
            for part, weight in zip(parts, weights, strict=True)
        ]
    )
    shares = boltzmann / boltzmann.sum()
    own = shares @ [part.entropy_kcal_mol_k for part in parts]
    mixing = -R_KCAL * float(np.sum(shares * np.log(shares / weights)))
    assert found.entropy_kcal_mol_k == pytest.approx(own + mixing, abs=1e-12)


def test_two_equal_members_gain_r_ln_2_and_no_enthalpy() -> None:
    member = made(3.0, 5.0)
    for found in (mixture([member, member], [1.0, 1.0], AT_K), mixture([member], [2.0], AT_K)):
        assert found.enthalpy_kcal_mol == pytest.approx(3.0)
        gained = found.entropy_kcal_mol_k - member.entropy_kcal_mol_k
        assert gained == pytest.approx(R_KCAL * math.log(2.0), rel=1e-9)


def test_members_without_weight_do_not_count() -> None:
    assert mixture([made(0.0, 0.0), made(5.0, 1.0)], [0.0, 1.0], AT_K).enthalpy_kcal_mol == 5.0
    for parts, weights in (([made(0.0, 0.0)], [0.0]), ([], [])):
        with pytest.raises(ValueError, match="nothing"):
            mixture(parts, weights, AT_K)


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.floats(-3.0, 3.0), st.floats(-10.0, 10.0), st.integers(1, 6)), min_size=1),
    TEMPERATURES,
)
def test_relations_hold_for_mixtures(members: list[tuple[float, float, int]], temperature_k: float) -> None:
    parts = [made(enthalpy, entropy_cal) for enthalpy, entropy_cal, _ in members]
    check_relations(lambda at_k: mixture(parts, [float(w) for *_, w in members], at_k), temperature_k)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("low_modes", ["quasi-harmonic", "harmonic"])
def test_at_one_kelvin_only_the_zero_point_energy_is_left(low_modes: LowModes) -> None:
    """And no library remarks that exp(h nu / RT) is too large for a number. Found by tests/fuzz."""
    cold = vibrational(np.array([150.0, 1000.0, 3000.0]), 1.0, low_modes)
    zero_point = 0.5 * 4150.0 * CM1 / KCAL_MOL
    assert cold.enthalpy_kcal_mol == pytest.approx(zero_point, rel=1e-9)
    assert cold.entropy_kcal_mol_k == pytest.approx(0.0, abs=1e-12)
