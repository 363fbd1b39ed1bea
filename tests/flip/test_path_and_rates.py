"""The lowest path and the rates on landscapes made up so that every number can be worked out by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
import scipy.constants
from hypothesis import given
from hypothesis import strategies as st

from chairgap.flip.path import EQUAL_KCAL_MOL, form_gibbs_kcal_mol, lowest_path, rates
from chairgap.records import FlipMinimum, FlipSaddle
from chairgap.shape.pucker_vector import on_sphere, pucker_vector, pucker_vector_and_gradient
from chairgap.shape.puckering import puckering, ring_from_puckering
from flip_helpers import flipped

FLIP = flipped("1 up CH3")[0]
RT = scipy.constants.R * 300.0 / (1000.0 * scipy.constants.calorie)


def saddle(number: int, one: str, other: str, energy: float) -> FlipSaddle:
    pattern = FLIP.saddles[0]
    return replace(
        pattern,
        number=number,
        ends=({one: 1}, {other: 2}),
        saddle=replace(pattern.saddle, energy_kcal_mol=energy),
        gibbs_kcal_mol=energy,
    )


def minimum(form: str, gibbs: float) -> FlipMinimum:
    return replace(FLIP.minima[0], form=form, gibbs_kcal_mol=gibbs)


def test_path_takes_the_lower_pass_though_it_is_longer() -> None:
    saddles = [
        saddle(1, "A", "T", 10.0),
        saddle(2, "T", "U", 7.0),
        saddle(3, "U", "B", 10.5),
        saddle(4, "T", "B", 12.0),
        saddle(5, "A", "B", 13.0),
    ]
    steps = [(step.from_form, step.to_form, step.saddle) for step in lowest_path(saddles, "A", "B")]
    assert steps == [("A", "T", 1), ("T", "U", 2), ("U", "B", 3)]


def test_of_two_saddles_between_the_same_forms_the_lower_counts() -> None:
    saddles = [saddle(1, "A", "B", 11.0), saddle(2, "B", "A", 10.0)]
    (step,) = lowest_path(saddles, "A", "B")
    assert (step.from_form, step.to_form, step.saddle) == ("A", "B", 2)


def test_no_step_too_many_where_a_saddle_leads_to_two_forms() -> None:
    """A over 10 to T or U by mirror symmetry; U goes on to B: no way over T and the low pass between them."""
    divided = replace(saddle(1, "A", "T", 10.0), ends=({"A": 1}, {"T": 2, "U": 3}))
    saddles = [divided, saddle(2, "T", "U", 6.0), saddle(3, "U", "B", 11.0)]
    for start, end, over in (("A", "B", [1, 3]), ("B", "A", [3, 1])):
        steps = lowest_path(saddles, start, end)
        assert [step.saddle for step in steps] == over and steps[0].to_form == steps[1].from_form == "U"


def test_saddles_equal_to_rounding_are_equal() -> None:
    """All gates of cyclohexane are equal, and any twist-boat leads on: two steps, not a tour of low boats."""
    saddles = [
        saddle(1, "A", "T", 10.0),
        saddle(2, "T", "U", 6.0),
        saddle(3, "T", "B", 10.0 + 2e-7),
        saddle(4, "U", "B", 10.0 + 1e-7),
    ]
    assert [step.saddle for step in lowest_path(saddles, "A", "B")] == [1, 3]
    assert [
        step.saddle for step in lowest_path([*saddles[:2], saddle(3, "T", "B", 10.1), saddles[3]], "A", "B")
    ] == [1, 2, 4]


def test_rates_count_a_saddle_once_that_leads_to_two_forms() -> None:
    minima = [minimum("A", 0.0), minimum("B", 0.0)]
    plain = [saddle(1, "A", "T", 10.0), saddle(2, "B", "T", 10.0)]
    divided = [replace(item, ends=(item.ends[0], {"T": 2, "U": 3})) for item in plain]
    assert rates(minima, divided, 300.0) == rates(minima, plain, 300.0)


def test_no_path_without_a_connection() -> None:
    assert lowest_path([saddle(1, "A", "T", 10.0), saddle(2, "U", "B", 10.0)], "A", "B") == ()
    assert lowest_path([saddle(1, "A", "T", 10.0)], "A", "B") == ()
    assert lowest_path([], "A", "B") == ()


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.floats(1.0, 20.0)), max_size=14))
def test_no_route_has_a_lower_highest_saddle(edges: list[tuple[int, int, float]]) -> None:
    saddles = [saddle(n, f"F{a}", f"F{b}", e) for n, (a, b, e) in enumerate(edges, start=1) if a != b]
    path = lowest_path(saddles, "F0", "F1")

    def joined(limit: float) -> bool:
        reached = {"F0"}
        for _ in range(6):
            for item in saddles:
                joins = {*item.ends[0], *item.ends[1]}
                if item.saddle.energy_kcal_mol <= limit and reached & joins:
                    reached |= joins
        return "F1" in reached

    if not path:
        assert not joined(np.inf)
        return
    energies = {item.number: item.saddle.energy_kcal_mol for item in saddles}
    highest = max(energies[step.saddle] for step in path)
    assert joined(highest) and not joined(highest - EQUAL_KCAL_MOL)


def test_rates_by_hand() -> None:
    """A at 0, B at 1; gates at 10 (two of them) out of A, 11 out of B."""
    minima = [minimum("A", 0.0), minimum("B", 1.0)]
    saddles = [saddle(1, "A", "T", 10.0), saddle(2, "A", "U", 10.0), saddle(3, "B", "T", 11.0)]
    found = rates(minima, saddles, 300.0)
    assert found is not None
    prefactor = scipy.constants.k * 300.0 / scipy.constants.h
    leave_a = 2.0 * prefactor * math.exp(-10.0 / RT)
    leave_b = prefactor * math.exp(-10.0 / RT)
    assert found.leave_a_per_s == pytest.approx(leave_a, rel=1e-9)
    assert found.leave_b_per_s == pytest.approx(leave_b, rel=1e-9)
    to_b = math.exp(-11.0 / RT) / (math.exp(-11.0 / RT) + 2.0 * math.exp(-10.0 / RT))
    assert found.a_to_b_per_s == pytest.approx(leave_a * to_b, rel=1e-9)
    assert found.b_to_a_per_s == pytest.approx(leave_b * (1.0 - to_b), rel=1e-9)
    # Detailed balance: forward over backward is the equilibrium constant [B]/[A] = exp(-1/RT).
    assert found.a_to_b_per_s / found.b_to_a_per_s == pytest.approx(math.exp(-1.0 / RT), rel=1e-9)


def test_rates_need_both_chairs_and_their_gates() -> None:
    both = [minimum("A", 0.0), minimum("B", 1.0)]
    assert rates(both, [saddle(1, "A", "T", 10.0)], 300.0) is None
    assert rates(both[:1], [saddle(1, "A", "T", 10.0), saddle(2, "B", "T", 10.0)], 300.0) is None


def test_rotamers_of_a_form_add_up() -> None:
    minima = [minimum("A", 2.0), minimum("A", 2.0), minimum("B", 0.0)]
    assert form_gibbs_kcal_mol(minima, "A", 300.0) == pytest.approx(2.0 - RT * math.log(2.0))
    assert form_gibbs_kcal_mol(minima, "C", 300.0) is None


@given(st.floats(0.2, 0.8), st.floats(5.0, 175.0), st.floats(0.0, 359.0), st.integers(0, 10**6))
def test_pucker_vector_is_the_published_coordinates_and_its_gradient_is_right(
    q: float, theta: float, phi: float, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    ring = ring_from_puckering(q, theta, phi) + rng.normal(0.0, 0.05, (6, 3))
    vector, gradient = pucker_vector_and_gradient(ring)
    assert np.allclose(vector, on_sphere(*puckering(ring)), atol=1e-12)
    j, x = int(rng.integers(6)), int(rng.integers(3))
    ahead, behind = ring.copy(), ring.copy()
    ahead[j, x] += 1e-5
    behind[j, x] -= 1e-5
    slope = (pucker_vector(ahead) - pucker_vector(behind)) / 2e-5
    assert np.allclose(gradient[:, j, x], slope, atol=1e-7)
