"""The account of a run against numbers made for it, what is usual, and its projection by hand."""

import math

import numpy as np
import pytest

from chairgap.batch.cost import cost_of, projected_hours, usual_seconds


def test_tasks_that_take_twice_what_is_expected_of_each() -> None:
    cost = cost_of([(n, 0.004 * n, 0.002 * n) for n in range(18, 60)])
    assert cost is not None
    assert cost.of_expected == pytest.approx(2.0) and cost.scatter == pytest.approx(0.0, abs=1e-12)
    assert (cost.least_atoms, cost.most_atoms, cost.tasks) == (18, 59, 42)
    assert cost.mean_atoms == 38.5 and cost.mean_s == pytest.approx(0.154)


def test_scatter_is_reported_as_it_is() -> None:
    rng = np.random.default_rng(1)
    expected = rng.uniform(0.1, 9.0, 4000)
    seconds = expected * np.exp(rng.normal(0.7, 0.4, 4000))
    cost = cost_of([(20, one, other) for one, other in zip(seconds.tolist(), expected.tolist(), strict=True)])
    assert cost is not None
    assert cost.scatter == pytest.approx(0.4, abs=0.02)
    assert cost.of_expected == pytest.approx(math.exp(0.7 + 0.4**2 / 2.0), rel=0.03)


@pytest.mark.parametrize("costs", [[], [(20, 1.0, 1.0)] * 4, [(0, 1.0, 1.0), (20, 0.0, 1.0)] * 9])
def test_too_little_gives_no_account(costs: list[tuple[int, float, float]]) -> None:
    assert cost_of(costs) is None


def test_projection_by_hand() -> None:
    # 3600 tasks of 2 s: 2 h on one core, 1 h on two; with 0.5 s each that nothing shares never under 0.5 h
    assert projected_hours(tasks=3600, mean_s=2.0, cores=1) == 2.0
    assert projected_hours(tasks=3600, mean_s=2.0, cores=2) == 1.0
    assert math.isclose(projected_hours(tasks=3600, mean_s=2.0, cores=256, serial_s_per_task=0.5), 0.5)


def test_what_is_usual_is_near_what_was_measured() -> None:
    """Of the 60 molecules: methyl 0.08 s (21 atoms, 5 starts), menthol 0.61 (31, 72), the diester of
    4-methylcyclohexane 3.0 (33, 1152), within twice and half. By hand: 0.00041 x 21^1.17 x 5^0.69 x
    exp(0.35^2 / 2) = 0.0467. GFN2-xTB: 6.7 s for methylcyclohexane, 50 for cis-2-methylcyclohexanol, 15 for
    chlorofluorocyclohexane."""
    assert usual_seconds(21, 5, "none") == pytest.approx(0.0467, abs=0.0001)
    for atoms, starts, seconds in ((21, 5, 0.08), (31, 72, 0.61), (33, 1152, 3.0)):
        assert seconds / 2.0 < usual_seconds(atoms, starts, "none") < seconds * 2.0
    for atoms, starts, seconds in ((21, 5, 6.7), (22, 24, 50.0), (18, 8, 15.0)):
        assert seconds / 2.0 < usual_seconds(atoms, starts, "GFN2-xTB") < seconds * 2.0
