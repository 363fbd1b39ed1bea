"""Gap, equilibrium constant and populations over temperatures, and the line dG = dH - T dS through them."""

import numpy as np
import pytest
import scipy.constants as si
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.series import anchored_at_kcal_mol, gibbs_gap_kcal_mol, linear_fit, temperature_series
from chairgap.records import Result, TemperatureSeries
from pipeline_helpers import CYCLOHEXANE, enthalpy_and_entropy_gap, non_chairs, treated

R_KCAL = si.R / si.calorie / 1000.0
SERIES_K = (200.0, 250.0, 298.15, 350.0, 400.0)
UNEQUAL = ("1 up CH3", "1 up CH(CH3)2", "1 up Cl", "1 up CH3, 2 down OH", "1 up CH3, 3 up C(CH3)3")
EQUAL = (CYCLOHEXANE, "1 up CH3, 2 up CH3", "1 up CH3, 3 down CH3", "1 up C(CH3)3, 4 up C(CH3)3")


def series(result: Result, temperatures_k: tuple[float, ...] = SERIES_K) -> TemperatureSeries:
    return temperature_series(result.conformers, result.molecule.topology.masses_u, temperatures_k)


# --- the line, made up ------------------------------------------------------------------------------------


@given(
    st.floats(-6.0, 6.0),
    st.floats(-10.0, 10.0),
    st.lists(st.integers(100, 700), min_size=2, max_size=8, unique=True),
)
def test_an_exact_line_gives_its_enthalpy_and_entropy(
    enthalpy: float, entropy_cal: float, temperatures: list[int]
) -> None:
    fit = linear_fit([(float(at), enthalpy - at * entropy_cal / 1000.0) for at in temperatures])
    assert fit is not None
    assert fit.enthalpy_kcal_mol == pytest.approx(enthalpy, abs=1e-8)
    assert fit.entropy_cal_mol_k == pytest.approx(entropy_cal, abs=1e-7)
    assert fit.largest_deviation_kcal_mol == pytest.approx(0.0, abs=1e-9)


def test_least_squares_and_largest_deviation_by_hand() -> None:
    """200, 300, 400 K with 1, 2, 4: mean 7/3, slope 3/200, so 5/6 at 200 K; off by 1/6, -1/3, 1/6."""
    fit = linear_fit([(200.0, 1.0), (300.0, 2.0), (400.0, 4.0)])
    assert fit is not None
    assert fit.entropy_cal_mol_k == pytest.approx(-15.0)
    assert fit.enthalpy_kcal_mol == pytest.approx(5.0 / 6.0 - 3.0)
    assert fit.largest_deviation_kcal_mol == pytest.approx(1.0 / 3.0)


@pytest.mark.parametrize("gaps", [[], [(298.15, 1.7)]])
def test_one_temperature_makes_no_line(gaps: list[tuple[float, float]]) -> None:
    assert linear_fit(gaps) is None


# --- molecules --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("groups_by_face", [*UNEQUAL, *EQUAL])
@pytest.mark.parametrize("study_k", [298.15, 350.0])
def test_at_the_temperature_of_the_study_the_series_gives_its_gaps(
    groups_by_face: str, study_k: float
) -> None:
    result = treated(groups_by_face, temperature_k=study_k)
    (point,) = (found for found in series(result).points if found.temperature_k == study_k)
    gaps = result.gaps
    assert point.gibbs_kcal_mol == pytest.approx(gaps.gibbs_kcal_mol, abs=1e-9)
    assert point.equilibrium_constant == pytest.approx(gaps.equilibrium_constant, rel=1e-9)
    assert (point.population_a, point.population_b, point.population_non_chair) == pytest.approx(
        (gaps.population_a, gaps.population_b, gaps.population_non_chair), abs=1e-12
    )
    masses = result.molecule.topology.masses_u
    assert gibbs_gap_kcal_mol(result.conformers, masses, study_k) == point.gibbs_kcal_mol


@pytest.mark.parametrize("groups_by_face", UNEQUAL)
def test_equilibrium_constant_and_populations_at_every_temperature(groups_by_face: str) -> None:
    """K = [A]/[B] = exp((G_B - G_A) / RT), the constant of scipy."""
    points = series(treated(groups_by_face)).points
    assert [point.temperature_k for point in points] == list(SERIES_K)
    for point in points:
        assert point.gibbs_kcal_mol is not None
        expected = np.exp(point.gibbs_kcal_mol / (R_KCAL * point.temperature_k))
        assert point.equilibrium_constant == pytest.approx(expected, rel=1e-8)
        assert point.population_a / point.population_b == pytest.approx(expected, rel=1e-8)
        total = point.population_a + point.population_b + point.population_non_chair
        assert total == pytest.approx(1.0, abs=1e-12)


@pytest.mark.parametrize("groups_by_face", UNEQUAL)
@pytest.mark.parametrize("study_k", [298.15, 350.0])
def test_enthalpy_and_entropy_gap_are_the_slopes_of_the_gibbs_gap(
    groups_by_face: str, study_k: float
) -> None:
    """S = -dG/dT and H = G + TS, from temperatures 1 K apart; the curvature over 1 K leaves 1e-5."""
    result = treated(groups_by_face, temperature_k=study_k)
    enthalpy, entropy = enthalpy_and_entropy_gap(result, study_k)
    assert result.gaps.enthalpy_kcal_mol == pytest.approx(enthalpy, abs=1e-5)
    assert result.gaps.entropy_cal_mol_k == pytest.approx(entropy, abs=1e-4)
    gibbs = result.gaps.enthalpy_kcal_mol - study_k * result.gaps.entropy_cal_mol_k / 1000.0  # type: ignore[operator]
    assert result.gaps.gibbs_kcal_mol == pytest.approx(gibbs, abs=1e-9)


@pytest.mark.parametrize("groups_by_face", UNEQUAL)
def test_fit_near_room_temperature_gives_the_enthalpy_and_entropy_there(groups_by_face: str) -> None:
    """dH changes with T by dCp only, so a fit over 288 to 308 K comes within 0.002 kcal/mol; over 200 to
    400 K it is an average, and what the line leaves out stays small."""
    result = treated(groups_by_face)
    near = series(result, (288.15, 298.15, 308.15)).fit
    assert near is not None
    assert near.enthalpy_kcal_mol == pytest.approx(result.gaps.enthalpy_kcal_mol, abs=0.002)
    assert near.entropy_cal_mol_k == pytest.approx(result.gaps.entropy_cal_mol_k, abs=0.01)
    wide = series(result).fit
    assert wide is not None
    assert wide.enthalpy_kcal_mol == pytest.approx(result.gaps.enthalpy_kcal_mol, abs=0.05)
    assert near.largest_deviation_kcal_mol < wide.largest_deviation_kcal_mol < 0.02


@pytest.mark.parametrize("groups_by_face", EQUAL)
def test_equal_chairs_have_no_gap_at_any_temperature(groups_by_face: str) -> None:
    found = series(treated(groups_by_face))
    for point in found.points:
        assert (point.gibbs_kcal_mol, point.equilibrium_constant) == (0.0, 1.0)
        assert point.population_a == point.population_b
    assert found.fit is not None
    # An exact line through zeros; least squares may leave the last bit.
    assert found.fit.enthalpy_kcal_mol == pytest.approx(0.0, abs=1e-12)
    assert found.fit.entropy_cal_mol_k == pytest.approx(0.0, abs=1e-12)
    gaps = treated(groups_by_face).gaps
    assert (gaps.enthalpy_kcal_mol, gaps.entropy_cal_mol_k) == (0.0, 0.0)


def test_temperatures_are_sorted_and_reported_once() -> None:
    found = series(treated("1 up CH3"), (350.0, 200.0, 350.0))
    assert [point.temperature_k for point in found.points] == [200.0, 350.0]


def test_more_twist_boats_when_it_is_hot() -> None:
    points = series(treated(CYCLOHEXANE)).points
    boats = [point.population_non_chair for point in points]
    assert boats == sorted(boats) and boats[0] < boats[-1] / 100.0


def test_without_chairs_there_is_no_gap_and_no_line() -> None:
    result = treated("1 up CH3")
    found = temperature_series(non_chairs(result), result.molecule.topology.masses_u, SERIES_K)
    assert found.fit is None
    for point in found.points:
        assert (point.gibbs_kcal_mol, point.equilibrium_constant) == (None, None)
        assert point.population_non_chair == 1.0


def test_the_anchored_gap_moves_with_temperature_as_the_model_does() -> None:
    """0.53 measured; the model gives -0.10 at the study's temperature and -0.16 there: 0.53 - 0.06 = 0.47."""
    assert anchored_at_kcal_mol(0.53, -0.10, -0.16) == pytest.approx(0.47)
    assert anchored_at_kcal_mol(0.53, -0.10, -0.10) == pytest.approx(0.53)
    for lost in ((None, 0.1, 0.1), (0.5, None, 0.1), (0.5, 0.1, None)):
        assert anchored_at_kcal_mol(*lost) is None
