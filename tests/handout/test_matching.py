"""Pairs of equal difficulty, against brute force."""

from itertools import combinations
from random import Random

import pytest
from handout_helpers import hard
from hypothesis import given
from hypothesis import strategies as st

from chairgap.handout.matching import WARNED_COST, best_pairs, cost, costs_of


@pytest.mark.parametrize(
    ("one", "other", "steps"),
    [
        (hard(1.74), hard(1.79), 0),
        (hard(1.74), hard(2.21), 1),
        (hard(0.5), hard(1.5), 4),
        (hard(0.5), hard(1.51), None),  # sizes too unlike
        (hard(1.0, 1), hard(1.0, 2), None),  # numbers of groups
        (hard(1.0, 2, "gauche"), hard(1.0, 2, "syn-diaxial"), None),
        (hard(1.0, 2, "gauche"), hard(1.0, 2), None),
        (hard(1.0, 2, "gauche", "tie"), hard(1.0, 2, "tie", "gauche"), 0),
        (hard(1.0, warned=True), hard(1.0), WARNED_COST),
        (hard(1.0, warned=True), hard(1.0, warned=True), 2 * WARNED_COST),
    ],
)
def test_what_is_equally_hard(one, other, steps) -> None:
    assert cost(one, other) == cost(other, one) == steps


def all_sets(costs: dict[tuple[int, int], int], size: int):
    """Every set of `size` disjoint pairs, by brute force."""
    for chosen in combinations(costs, size):
        if len({item for pair in chosen for item in pair}) == 2 * size:
            yield chosen


@given(
    st.dictionaries(
        st.sampled_from(list(combinations(range(7), 2))), st.integers(0, 5), min_size=0, max_size=12
    ),
    st.integers(0, 4),
    st.integers(0, 2**31),
)
def test_pairs_are_the_best_there_are(costs, most, seed) -> None:
    found = best_pairs(costs, items=7, most=most, rng=Random(seed))
    possible = max(size for size in range(4) if size == 0 or any(all_sets(costs, size)))
    assert len(found) == min(most, possible)
    assert len({item for pair in found for item in pair}) == 2 * len(found)
    least = min((sum(costs[pair] for pair in one) for one in all_sets(costs, len(found))), default=0)
    assert sum(costs[pair] for pair in found) == least


def test_seed_chooses_among_equals_and_is_kept() -> None:
    costs = costs_of([hard(1.0) for _ in range(6)])
    by_seed = [best_pairs(costs, items=6, most=2, rng=Random(seed)) for seed in range(20)]
    assert len(set(by_seed)) > 5
    assert by_seed == [best_pairs(costs, items=6, most=2, rng=Random(seed)) for seed in range(20)]


def test_warned_molecules_come_last() -> None:
    costs = costs_of([hard(1.0, warned=True), hard(1.1), hard(1.9), hard(1.0, warned=True)])
    assert best_pairs(costs, items=4, most=1, rng=Random(3)) == ((1, 2),)


def test_result_does_not_hang_on_the_order_of_the_costs() -> None:
    costs = costs_of([hard(size) for size in (0.5, 1.7, 0.6, 1.8, 0.9, 1.2)])
    turned = dict(reversed(list(costs.items())))
    assert best_pairs(costs, items=6, most=3, rng=Random(1)) == best_pairs(
        turned, items=6, most=3, rng=Random(1)
    )
