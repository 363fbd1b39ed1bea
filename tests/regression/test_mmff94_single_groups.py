"""What MMFF94 gives for single groups today (potential gap, kcal/mol): no literature, only a guard against
change.

`python tests/regression/test_mmff94_single_groups.py` prints new values. The first block is known to have
the wrong sign against every published A-value; it is reported as it is, and no test may ask for agreement.
"""

import pytest

from pipeline_helpers import TABLE, treated

WRONG_SIGN = {"F": -0.37, "Cl": -0.35, "CN": -0.34, "C#CH": -0.34, "CO2CH3": -0.38, "CHO": -0.57}
RIGHT_SIGN = {
    "CH3": 1.37,
    "C2H5": 1.47,
    "CH(CH3)2": 1.71,
    "C(CH3)3": 6.21,
    "CF3": 1.99,
    "OH": 0.32,
    "OCH3": 0.41,
    "NH2": 0.67,
    "SH": 0.37,
    "NO2": 1.08,
    "I": 0.74,
    "CH=CH2": 0.76,
    "C6H5": 2.58,
}


@pytest.mark.parametrize(("group", "gap"), {**WRONG_SIGN, **RIGHT_SIGN}.items())
def test_potential_gap(group: str, gap: float) -> None:
    assert treated(f"1 up {group}").gaps.potential_kcal_mol == pytest.approx(gap, abs=0.006)


@pytest.mark.parametrize("group", WRONG_SIGN)
def test_known_disagreement_is_reported(group: str) -> None:
    result = treated(f"1 up {group}")
    gap = result.gaps.gibbs_kcal_mol
    a_value = next(row.value_kcal_mol for row in TABLE.a_values if row.group == group)
    assert gap is not None and result.comparison.difference_kcal_mol == pytest.approx(gap - a_value)
    assert result.comparison.sign in ("disagrees", "undecided")
    assert result.comparison.preferred in ("undecided", "B")
    (reason,) = [item for item in result.comparison.reasons if item.code == "model-error-of-single-groups"]
    assert reason.size_kcal_mol == pytest.approx(gap - a_value)


if __name__ == "__main__":
    for name in (*WRONG_SIGN, *RIGHT_SIGN):
        print(f'    "{name}": {treated(f"1 up {name}").gaps.potential_kcal_mol:.2f},')  # noqa: T201
