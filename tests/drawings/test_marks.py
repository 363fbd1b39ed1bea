"""Words and places of labels."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from chairgap.drawings.marks import percent, shortened, spread


@given(st.lists(st.floats(-50.0, 350.0), min_size=1, max_size=12))
def test_labels_keep_their_distance_order_and_room(places: list[float]) -> None:
    put = spread(places, 15.0, 0.0, 300.0)
    by_place = np.array(put)[np.argsort(places, kind="stable")]
    assert np.all(np.diff(by_place) >= 15.0 - 1e-9)
    assert by_place[0] >= -1e-9 and by_place[-1] <= 300.0 + 1e-9


@pytest.mark.parametrize(
    "places", [[10.0, 12.0, 14.0, 90.0], [5.0, 5.0], [100.0, 40.0, 41.0, 60.0, 61.0, 62.0]]
)
def test_labels_stay_as_near_as_least_squares_allow(places: list[float]) -> None:
    """Against scipy's constrained minimiser (SLSQP)."""
    order = np.argsort(places, kind="stable")
    wanted = np.array(places)[order]
    distances = [
        {"type": "ineq", "fun": lambda at, k=k: at[k + 1] - at[k] - 15.0} for k in range(len(places) - 1)
    ]
    found = minimize(
        lambda at: np.sum((at - wanted) ** 2), wanted + 15.0 * np.arange(len(places)), constraints=distances
    )
    put = np.array(spread(places, 15.0, -1e3, 1e3))[order]
    assert put == pytest.approx(found.x, abs=1e-3)


def test_without_room_labels_go_beyond_the_upper_end() -> None:
    assert spread([1.0, 2.0, 3.0], 10.0, 0.0, 15.0) == [0.0, 10.0, 20.0]


def test_numbers_and_names() -> None:
    assert [percent(each) for each in (0.0, 1e-9, 0.5, 0.99999, 1.0)] == [
        "0.0 %",
        "below 0.1 %",
        "50.0 %",
        "above 99.9 %",
        "100.0 %",
    ]
    assert shortened("a\nb\x00", 10) == "a b"
    assert shortened("abcdef", 4) == "abc…"
