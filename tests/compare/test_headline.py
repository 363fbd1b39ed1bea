"""Headlines of made-up anchored gaps, by hand."""

from dataclasses import replace

import pytest

from chairgap.compare.headline import headline, standing
from chairgap.records import Anchored, Estimate, Headline
from pipeline_helpers import SETTINGS, treated


def anchored(gap: float | None, uncertainty: float = 0.3) -> Anchored:
    return Anchored(gap_kcal_mol=gap, uncertainty_kcal_mol=uncertainty, parts=())


def made(
    gap: float | None, uncertainty: float = 0.3, *, non_chair: bool = False, charged: bool = False
) -> Headline:
    base = treated("1 up CH3")
    return headline(
        anchored(gap, uncertainty),
        base.estimate,
        base.gaps,
        SETTINGS,
        non_chair=non_chair,
        charged=charged,
    )


def test_methyl_by_hand() -> None:
    """1.74 +- 0.30 at 298.15 K, RT = 0.5925: exp(2.937) = 18.86, 18.86 / 19.86 = 94.96 %; with 1.44 11.36 and
    91.91 %; with 2.04 31.30 and 96.90 %."""
    found = made(1.74)
    assert (found.chair, found.hand_sum, found.model) == ("A", "agrees", "agrees")
    assert (found.percent, found.low_percent, found.high_percent) == (
        pytest.approx(94.96, abs=0.02),
        pytest.approx(91.91, abs=0.02),
        pytest.approx(96.90, abs=0.02),
    )


def test_a_negative_gap_gives_the_percent_of_chair_b() -> None:
    assert made(-1.74).chair == "B"
    assert made(-1.74).percent == made(1.74).percent


@pytest.mark.parametrize(
    ("gap", "uncertainty", "chair"),
    [(0.3, 0.3, "undecided"), (0.31, 0.3, "A"), (-0.2, 0.3, "undecided"), (None, 0.0, "unknown")],
)
def test_a_gap_within_its_uncertainty_decides_nothing(
    gap: float | None, uncertainty: float, chair: str
) -> None:
    assert made(gap, uncertainty).chair == chair


def test_a_ring_that_is_no_chair_and_equal_chairs() -> None:
    assert made(5.0, non_chair=True).chair == "non-chair"
    base = treated("1 up CH3, 2 up CH3")
    found = headline(anchored(0.0, 0.0), base.estimate, base.gaps, SETTINGS, non_chair=False, charged=False)
    assert (found.chair, found.percent, found.low_percent) == ("equal", 50.0, 50.0)


@pytest.mark.parametrize(
    ("other", "gap", "uncertainty", "expected"),
    [
        (2.0, 1.6, 0.1, "agrees"),  # within the size tolerance of 0.5
        (2.0, 1.4, 0.1, "differs"),
        (2.0, 1.4, 0.7, "agrees"),  # within the uncertainty
        (-0.4, 0.5, 0.1, "opposite chair"),
        (-0.9, 0.5, 0.6, "differs"),  # the anchored gap prefers no chair
        (-0.20, 0.28, 0.14, "differs"),  # within 0.5, but of the wrong sign
        (-0.20, 0.28, 0.30, "agrees"),  # the anchored gap prefers no chair
        (-0.2, 0.5, 0.1, "differs"),  # a gap below 0.3 prefers no chair
        (None, 0.5, 0.1, "none"),
        (1.0, None, 0.1, "none"),
    ],
)
def test_standing(other: float | None, gap: float | None, uncertainty: float, expected: str) -> None:
    assert standing(other, anchored(gap, uncertainty), SETTINGS) == expected


def test_nothing_is_compared_without_a_chair_or_with_a_charge() -> None:
    for found in (made(1.74, non_chair=True), made(1.74, charged=True)):
        assert (found.hand_sum, found.model) == ("not comparable", "not comparable")
    assert made(1.74, charged=True).chair == "A"


def test_an_incomplete_hand_sum_is_called_that() -> None:
    base = treated("1 up CH3")
    lacking: Estimate = replace(base.estimate, missing=("CH3/Cl gauche",))
    found = headline(anchored(1.7), lacking, base.gaps, SETTINGS, non_chair=False, charged=False)
    assert found.hand_sum == "incomplete"
