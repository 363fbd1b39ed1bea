"""The uncertainty of a computed gap: its equation by hand, what cancels, and what it does to the verdict."""

import csv
import math
from dataclasses import replace
from pathlib import Path

import pytest

from chairgap.compare.uncertainty import (
    GroupError,
    group_errors,
    model_uncertainty_kcal_mol,
    net_axial,
    table_temperature_k,
)
from chairgap.compare.verdict import compare, percent_a, preferred_form
from chairgap.errors import Place
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import (
    AValueRow,
    Chair,
    Estimate,
    EstimateTable,
    Gaps,
    MoleculeRequest,
    PlacedLigand,
    Position,
    Result,
    Settings,
)
from pipeline_helpers import TABLE, treated, treated_with

SCORECARD = Path(__file__).parents[2] / "data" / "scorecard.csv"
SETTINGS = Settings(title="t", output="o")
FLIPPED: dict[Position, Position] = {"axial": "equatorial", "equatorial": "axial"}
ERRORS = {
    "X": GroupError(error_kcal_mol=0.3, half_range_kcal_mol=0.4),
    "Y": GroupError(error_kcal_mol=-1.2, half_range_kcal_mol=0.5),
}


def pair_of_chairs(*positions_in_a: tuple[str, Position]) -> tuple[Chair, Chair]:
    """Chairs A and B by (group, position in A); carbons 1, 2, 3 ... and faces do not matter here."""
    a = tuple(
        PlacedLigand(carbon=carbon, face="up", group=group, position=position)
        for carbon, (group, position) in enumerate(positions_in_a, start=1)
    )
    b = tuple(replace(ligand, position=FLIPPED[ligand.position]) for ligand in a)
    return (
        Chair(letter="A", odd_up_axial=True, name="a", groups=a),
        Chair(letter="B", odd_up_axial=False, name="b", groups=b),
    )


def made_row(group: str, temperature_k: float | None = None) -> AValueRow:
    return replace(TABLE.a_values[0], group=group, names=(), temperature_k=temperature_k)


def made_table(*rows: AValueRow) -> EstimateTable:
    return EstimateTable(name="made", a_values=rows, interactions=())


def uncertainty(result: Result) -> float:
    low, high = result.comparison.computed_low_kcal_mol, result.comparison.computed_high_kcal_mol
    gibbs = result.gaps.gibbs_kcal_mol
    assert low is not None and high is not None and gibbs is not None
    assert high - gibbs == pytest.approx(gibbs - low)
    return 0.5 * (high - low)


def a_value(group: str) -> AValueRow:
    (row,) = [row for row in TABLE.a_values if row.group == group]
    return row


def error_squared(group: str) -> float:
    """(computed Gibbs gap of the group alone - A-value)^2 + (half the table's range)^2."""
    gibbs, row = treated(f"1 up {group}").gaps.gibbs_kcal_mol, a_value(group)
    assert gibbs is not None
    return (gibbs - row.value_kcal_mol) ** 2 + ((row.high_kcal_mol - row.low_kcal_mol) / 2.0) ** 2


# --- the equation by hand ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("positions_in_a", "net", "squared"),
    [
        # 0.3^2 + 0.4^2 = 0.25 and 1.2^2 + 0.5^2 = 1.69
        ([("X", "equatorial")], {"X": 1}, 0.25),
        ([("X", "axial")], {"X": -1}, 0.25),
        ([("X", "equatorial"), ("Y", "equatorial")], {"X": 1, "Y": 1}, 0.25 + 1.69),
        ([("X", "equatorial"), ("Y", "axial")], {"X": 1, "Y": -1}, 0.25 + 1.69),
        ([("Y", "equatorial"), ("Y", "equatorial")], {"Y": 2}, 4 * 1.69),
        ([("Y", "axial"), ("Y", "axial"), ("Y", "axial")], {"Y": -3}, 9 * 1.69),
        ([("X", "axial"), ("X", "equatorial")], {}, 0.0),
        ([("X", "axial"), ("X", "equatorial"), ("Y", "equatorial")], {"Y": 1}, 1.69),
        ([("X", "equatorial"), ("X", "axial"), ("X", "axial")], {"X": -1}, 0.25),
        ([("Z", "equatorial")], {"Z": 1}, 0.49),  # unknown: the mean absolute error, 0.7
        ([("Z", "axial"), ("Z", "axial"), ("X", "axial")], {"Z": -2, "X": -1}, 4 * 0.49 + 0.25),
        ([("Z", "axial"), ("Z", "equatorial")], {}, 0.0),
        ([], {}, 0.0),
    ],
)
def test_equation(positions_in_a: list[tuple[str, Position]], net: dict[str, int], squared: float) -> None:
    chairs = pair_of_chairs(*positions_in_a)
    assert net_axial(chairs) == net
    assert model_uncertainty_kcal_mol(chairs, ERRORS, 0.7) == pytest.approx(math.sqrt(squared), abs=1e-12)
    assert model_uncertainty_kcal_mol((chairs[1], chairs[0]), ERRORS, 0.7) == pytest.approx(
        math.sqrt(squared)
    )


def test_error_of_a_group_is_computed_minus_tabulated() -> None:
    """Methyl by the shipped table: 1.74, 1.70 to 1.82 (Booth & Everett 1980)."""
    found = group_errors(TABLE, {"CH3": 2.0, "not tabulated": 1.0})
    assert set(found) == {"CH3"}
    assert found["CH3"].error_kcal_mol == pytest.approx(0.26)
    assert found["CH3"].half_range_kcal_mol == pytest.approx(0.06)


# --- molecules -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("group", ["CH3", "Cl", "C(CH3)3"])
def test_one_group(group: str) -> None:
    assert uncertainty(treated(f"1 up {group}")) == pytest.approx(math.sqrt(error_squared(group)))


@pytest.mark.parametrize(
    ("groups_by_face", "counts"),
    [
        ("1 up Cl, 2 down Cl", {"Cl": 2}),  # trans-1,2: both axial in one chair
        ("1 up Cl, 4 up CH3", {"Cl": 1, "CH3": 1}),  # cis-1,4: one axial in each
        ("1 up Cl, 3 up CH3", {"Cl": 1, "CH3": 1}),  # cis-1,3: both axial in one chair
        ("1 up CH3, 1 down Cl", {"Cl": 1, "CH3": 1}),
        ("1 up Cl, 2 up Cl, 4 up CH3", {"CH3": 1}),  # cis-1,2: one chlorine axial in each chair
    ],
)
def test_several_groups(groups_by_face: str, counts: dict[str, int]) -> None:
    expected = math.sqrt(sum(n**2 * error_squared(group) for group, n in counts.items()))
    assert uncertainty(treated(groups_by_face)) == pytest.approx(expected)


def test_groups_that_cancel_count_nothing_though_the_chairs_differ() -> None:
    """cis-1,2 with two groups of one handedness: their chairs are not mirror images."""
    result = treated("1 up *[C@H](F)C, 2 up *[C@H](F)C")
    gibbs = result.gaps.gibbs_kcal_mol
    assert gibbs is not None and not result.gaps.equal_by_symmetry and abs(gibbs) > 0.1
    assert uncertainty(result) == 0.0


def test_a_group_of_no_table_takes_the_mean_error_of_the_model() -> None:
    with SCORECARD.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["model"] == "MMFF94"]
    errors = [abs(float(cell)) for row in rows if (cell := row["gibbs_minus_a_value_kcal_mol"])]
    mean = sum(errors) / len(errors)
    assert 0.1 < mean < 2.0
    # The file holds four decimals.
    assert uncertainty(treated("1 up *CF")) == pytest.approx(mean, abs=1e-4)
    together = uncertainty(treated("1 up *CF, 4 down CH3"))
    assert together == pytest.approx(math.sqrt(mean**2 + error_squared("CH3")), abs=1e-4)


def test_equal_chairs_have_no_uncertainty() -> None:
    result = treated("1 up CH3, 2 up CH3")
    assert uncertainty(result) == 0.0 and result.comparison.preferred == "equal"


def test_uncertainty_of_one_group_reaches_its_a_value() -> None:
    for group in ("CH3", "Cl", "CHO", "OH", "C(CH3)3"):
        low, high = (
            treated(f"1 up {group}").comparison.computed_low_kcal_mol,
            treated(f"1 up {group}").comparison.computed_high_kcal_mol,
        )
        assert low is not None and high is not None
        assert low <= a_value(group).value_kcal_mol <= high


# --- what it does to the verdict -----------------------------------------------------------------------


def made_gaps(share_a: float, non_chair: float = 0.0) -> Gaps:
    """Gaps whose populations and Gibbs gap belong together, at the temperature of SETTINGS."""
    rt = 8.314462618 / 4184.0 * SETTINGS.temperature_k  # kcal/mol; R: CODATA 2018
    gap = rt * math.log(share_a / (1.0 - share_a))
    return Gaps(
        potential_kcal_mol=gap,
        ensemble_kcal_mol=gap,
        gibbs_kcal_mol=gap,
        enthalpy_kcal_mol=gap,
        entropy_cal_mol_k=0.0,
        harmonic_gibbs_kcal_mol=gap,
        to_non_chair_kcal_mol=5.0,
        population_a=share_a * (1.0 - non_chair),
        population_b=(1.0 - share_a) * (1.0 - non_chair),
        population_non_chair=non_chair,
        equilibrium_constant=share_a / (1.0 - share_a),
        equal_by_symmetry=False,
    )


def made_estimate(gap: float) -> Estimate:
    return Estimate(
        terms=(), gap_kcal_mol=gap, low_kcal_mol=gap - 0.1, high_kcal_mol=gap + 0.1, missing=(), flags=()
    )


@pytest.mark.parametrize(("share_a", "letter", "sign"), [(0.9, "A", "agrees"), (0.1, "B", "disagrees")])
def test_range_across_zero_is_undecided(share_a: float, letter: str, sign: str) -> None:
    """RT ln 9 is 1.3018 kcal/mol at 298.15 K."""
    gaps = made_gaps(share_a)
    assert gaps.gibbs_kcal_mol is not None and abs(gaps.gibbs_kcal_mol) == pytest.approx(1.3018, abs=1e-4)
    inside = compare(made_estimate(1.0), gaps, SETTINGS, (), 1.30)
    assert (inside.preferred, inside.sign) == (letter, sign)
    assert inside.computed_low_kcal_mol == pytest.approx(gaps.gibbs_kcal_mol - 1.30)
    assert inside.computed_high_kcal_mol == pytest.approx(gaps.gibbs_kcal_mol + 1.30)
    across = compare(made_estimate(1.0), gaps, SETTINGS, (), 1.31)
    assert (across.preferred, across.sign) == ("undecided", "undecided")
    assert across.computed_low_kcal_mol is not None and across.computed_high_kcal_mol is not None
    assert across.computed_low_kcal_mol < 0.0 < across.computed_high_kcal_mol
    assert across.size == inside.size  # by the estimate's range alone


def test_small_uncertainty_does_not_undo_the_threshold() -> None:
    gaps = made_gaps(0.6)  # RT ln 1.5 = 0.24, below 0.3
    assert preferred_form(gaps, SETTINGS, 0.0) == "undecided"
    assert compare(made_estimate(1.0), gaps, SETTINGS, (), 0.0).sign == "undecided"


def test_uncertainty_of_the_chairs_says_nothing_against_other_forms() -> None:
    assert preferred_form(made_gaps(0.9, non_chair=0.8), SETTINGS, 5.0) == "non-chair"
    # Chair B is no rival here: the runner-up is the non-chair.
    assert preferred_form(made_gaps(0.999, non_chair=0.1), SETTINGS, 5.0) == "A"


def test_wrong_sign_of_the_model_is_undecided_once_its_error_is_known() -> None:
    """MMFF94 puts isocyanato axial by 0.5; it errs by 1.0 there, which is more than that lead."""
    result = treated("1 up NCO")
    gibbs = result.gaps.gibbs_kcal_mol
    assert gibbs is not None and gibbs < -SETTINGS.undecided_below_kcal_mol
    assert uncertainty(result) > -gibbs
    assert (result.comparison.sign, result.comparison.preferred) == ("undecided", "undecided")


def test_range_that_ends_at_zero_is_undecided() -> None:
    """The A-value of HgBr is 0.00 (Jensen et al. 1969): the error of UFF is its whole gap, about -1.0."""
    request = MoleculeRequest(name="m", place=Place(), substituents=read_group_list("1 up HgBr").groups)
    (built,) = build_molecules(request, TABLE, force_field="UFF", atom_limit=100)
    result = treated_with(built, replace(SETTINGS, force_field="UFF"))
    gibbs = result.gaps.gibbs_kcal_mol
    assert gibbs is not None and gibbs < -SETTINGS.undecided_below_kcal_mol
    assert result.comparison.computed_high_kcal_mol == 0.0
    assert result.comparison.preferred == "undecided"


def test_two_groups_known_to_err_little_are_decided() -> None:
    result = treated("1 up CH3, 4 down CH3")
    assert uncertainty(result) < 0.2
    assert (result.comparison.sign, result.comparison.preferred) == ("agrees", "A")


# --- percent -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("temperature_k", [193.0, 298.15, 600.0])
@pytest.mark.parametrize("ratio", [1.0, 3.0, 0.25, 99.0])
def test_percent_from_a_ratio(ratio: float, temperature_k: float) -> None:
    gap = 8.314462618 / 4184.0 * temperature_k * math.log(ratio)  # R: CODATA 2018
    assert percent_a(gap, temperature_k) == pytest.approx(100.0 * ratio / (1.0 + ratio), rel=1e-9)


def test_percent_of_equatorial_methyl() -> None:
    """95 % at 25 degrees Celsius: Eliel, Wilen & Mander 1994, chapter 11, from memory; given to 1 %."""
    assert percent_a(1.74, 298.15) == pytest.approx(95.0, abs=0.5)


@pytest.mark.parametrize("gap", [25.0, 1e3, 1e6, 1e308, math.inf])
def test_percent_at_extreme_gaps(gap: float) -> None:
    assert percent_a(gap, 298.15) == pytest.approx(100.0, abs=1e-9)
    assert percent_a(-gap, 298.15) == pytest.approx(0.0, abs=1e-9)
    assert 0.0 <= percent_a(-gap, 1.0) <= percent_a(gap, 1.0) <= 100.0


# --- temperature of the table --------------------------------------------------------------------------


def test_table_temperature() -> None:
    table = made_table(made_row("X", 193.0), made_row("Y", 320.0), made_row("Z", None))
    alone = pair_of_chairs(("X", "equatorial"))
    assert table_temperature_k(alone, table, 298.15) == 193.0
    both = pair_of_chairs(("X", "equatorial"), ("Y", "axial"))
    assert table_temperature_k(both, table, 298.15) == 193.0  # 105 K away, the other 22 K
    assert table_temperature_k(both, table, 200.0) == 320.0
    cancels = pair_of_chairs(("X", "equatorial"), ("X", "axial"), ("Y", "axial"))
    assert table_temperature_k(cancels, table, 298.15) == 320.0
    assert table_temperature_k(pair_of_chairs(("Z", "axial")), table, 298.15) is None
    assert table_temperature_k(pair_of_chairs(("Z", "axial"), ("Y", "axial")), table, 298.15) == 320.0
    assert table_temperature_k(pair_of_chairs(("W", "axial")), table, 298.15) is None
    assert table_temperature_k(pair_of_chairs(), table, 298.15) is None
