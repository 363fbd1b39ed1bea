"""Verdicts at and beside their thresholds, and each reason earned and narrowly not."""

from dataclasses import replace

import numpy as np
import pytest

from chairgap.compare.domain import net_charge
from chairgap.compare.gaps import compute_gaps
from chairgap.compare.reasons import Case, find_reasons
from chairgap.compare.verdict import compare, preferred_form
from chairgap.records import Estimate, Gaps, Result, Settings
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from pipeline_helpers import treated

SETTINGS = Settings(title="t", output="o")


def estimate(gap: float | None, half_range: float = 0.1, missing: tuple[str, ...] = ()) -> Estimate:
    low, high = (None, None) if gap is None else (gap - half_range, gap + half_range)
    return Estimate(
        terms=(), gap_kcal_mol=gap, low_kcal_mol=low, high_kcal_mol=high, missing=missing, flags=()
    )


def gaps(value: float | None, share_a: float = 0.9, other: float = 0.0, equal: bool = False) -> Gaps:
    return Gaps(
        potential_kcal_mol=value,
        ensemble_kcal_mol=value,
        gibbs_kcal_mol=value,
        enthalpy_kcal_mol=value,
        entropy_cal_mol_k=None if value is None else 0.0,
        harmonic_gibbs_kcal_mol=value,
        to_non_chair_kcal_mol=5.0,
        population_a=share_a * (1.0 - other),
        population_b=(1.0 - share_a) * (1.0 - other),
        population_non_chair=other,
        equilibrium_constant=None,
        equal_by_symmetry=equal,
    )


@pytest.mark.parametrize(
    ("hand", "computed", "sign"),
    [
        (1.0, 1.0, "agrees"),
        (1.0, -1.0, "disagrees"),
        (1.0, 0.29, "undecided"),
        (1.0, 0.31, "agrees"),
        (0.29, 1.0, "undecided"),
        (0.31, 1.0, "agrees"),
        (None, 1.0, "not comparable"),
        (1.0, None, "not comparable"),
    ],
)
def test_sign(hand: float | None, computed: float | None, sign: str) -> None:
    assert compare(estimate(hand), gaps(computed), SETTINGS, (), 0.0).sign == sign


def test_range_across_zero_is_undecided() -> None:
    assert compare(estimate(0.5, 0.51), gaps(1.0), SETTINGS, (), 0.0).sign == "undecided"
    assert compare(estimate(0.5, 0.49), gaps(1.0), SETTINGS, (), 0.0).sign == "agrees"


@pytest.mark.parametrize(
    ("computed", "size"), [(1.59, "agrees"), (1.61, "disagrees"), (0.41, "agrees"), (0.39, "disagrees")]
)
def test_size_is_the_range_widened_by_the_tolerance(computed: float, size: str) -> None:
    assert compare(estimate(1.0), gaps(computed), SETTINGS, (), 0.0).size == size


def test_incomplete_estimate_is_not_compared() -> None:
    found = compare(estimate(1.0, missing=("x",)), gaps(1.0), SETTINGS, (), 0.0)
    assert (found.sign, found.size) == ("not comparable", "not comparable")
    assert found.difference_kcal_mol == pytest.approx(0.0)


def test_missing_crowding_in_the_worse_chair_leaves_the_sign() -> None:
    """1,3-tert-butyl/methyl diaxial has no published value, but can only make the diaxial chair worse."""
    result = treated("1 up C(CH3)3, 3 up CH3")
    assert not result.estimate.complete
    assert (result.comparison.sign, result.comparison.size) == ("agrees", "not comparable")
    gauche = treated("1 up C(CH3)3, 2 down CH3")  # the missing gauche term burdens the better chair
    assert gauche.comparison.sign == "not comparable"


def test_charged_groups_are_not_compared() -> None:
    assert net_charge("*C(=O)[O-]") == -1 and net_charge("*[N+](=O)[O-]") == 0 and net_charge("*[NH3+]") == 1
    ion, nitro = treated("1 up NH3+"), treated("1 up NO2")
    assert "charged-groups" in reason_codes(ion) and "charged-groups" not in reason_codes(nitro)
    assert ion.comparison.sign == ion.comparison.size == "not comparable"


def test_equal_chairs_have_an_estimate_of_zero_whatever_the_table_lacks() -> None:
    result = treated("1 up *[C@@H](C)F, 4 up *[C@H](C)F")
    assert result.gaps.equal_by_symmetry
    assert (result.estimate.gap_kcal_mol, result.estimate.missing) == (0.0, ())
    assert result.comparison.sign == "agrees"


def test_preferred_form() -> None:
    assert preferred_form(gaps(1.0), SETTINGS, 0.0) == "A"
    assert preferred_form(gaps(-1.0, share_a=0.1), SETTINGS, 0.0) == "B"
    assert preferred_form(gaps(0.1, share_a=0.55), SETTINGS, 0.0) == "undecided"
    assert preferred_form(gaps(0.0, share_a=0.5, equal=True), SETTINGS, 0.0) == "equal"
    assert preferred_form(gaps(0.0, share_a=0.5, other=0.9, equal=True), SETTINGS, 0.0) == "non-chair"
    assert compare(estimate(0.0, 0.0), gaps(0.0, 0.5, 0.9, True), SETTINGS, (), 0.0).sign == "not comparable"


def test_missing_chair_leaves_its_gaps_empty() -> None:
    result = treated("1 up CH3")
    without_b = [item for item in result.conformers if item.degeneracy_b == 0]
    found = compute_gaps(without_b, 298.15, equal_by_symmetry=False)
    assert found.potential_kcal_mol is found.ensemble_kcal_mol is found.gibbs_kcal_mol is None
    assert found.population_b == 0.0 and found.equilibrium_constant is None
    assert found.population_a + found.population_non_chair == pytest.approx(1.0)
    codes = reason_codes(replace(result, conformers=tuple(without_b), gaps=found))
    assert "chair-missing" in codes and "chair-missing" not in reason_codes(result)


def reason_codes(result: Result) -> set[str]:
    found = find_reasons(
        Case(
            topology=result.molecule.topology,
            chairs=result.chairs,
            conformers=result.conformers,
            estimate=result.estimate,
            gaps=result.gaps,
            split=result.split,
            temperature_k=298.15,
            table_temperature_k=None,
            gibbs_at_table_kcal_mol=None,
        )
    )
    return {reason.code for reason in found}


@pytest.mark.parametrize(
    ("code", "earns", "does_not"),
    [
        ("equal-by-symmetry", "1 up CH3, 2 up CH3", "1 up CH3, 2 down CH3"),
        ("missing-table-value", "1 up Br, 2 down Br", "1 up Br, 4 down Br"),
        ("geminal-non-additivity", "1 up CH3, 1 down C6H5", "1 up CH3, 2 down C6H5"),
        ("twist-boat-intrudes", "1 up C(CH3)3, 4 up C(CH3)3", "1 up C(CH3)3, 4 down C(CH3)3"),
        ("internal-hydrogen-bond", "1 up OH, 3 up OH", "1 up OH, 4 down OH"),
        ("rotamer-entropy", "1 up CH(CH3)2", "1 up CH3"),
        ("vibrations", "1 up C2H5", "1 up NH2"),
        ("within-error", "1 up CH3", "1 up C(CH3)3"),
    ],
)
def test_each_reason_is_earned(code: str, earns: str, does_not: str) -> None:
    assert code in reason_codes(treated(earns))
    assert code not in reason_codes(treated(does_not))


def test_hydrogen_bond_numbers() -> None:
    result = treated("1 up OH, 3 up OH")
    best_b = next(item for item in result.conformers if item.degeneracy_b)
    ((length, angle),) = hydrogen_bonds(result.molecule.topology, best_b.minimum.positions)
    assert 1.5 < length < 2.5 and 100.0 < angle <= 180.0
    far = best_b.minimum.positions * np.array([3.0, 3.0, 3.0])
    assert hydrogen_bonds(result.molecule.topology, far) == ()
