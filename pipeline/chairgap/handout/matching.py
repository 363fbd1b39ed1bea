"""Which question of one version stands against which of another: pairs of equal difficulty. Pure.

Two molecules are equally hard when they have as many groups, the same pitfalls, and estimated gaps whose
sizes differ by no more than GAP_WITHIN_KCAL_MOL. Among these the best set of pairs is the one of least total
cost, found by minimum-weight matching (networkx); among equally good sets the seed chooses.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from random import Random

GAP_WITHIN_KCAL_MOL = 1.0
# Sizes of gaps that differ by less than the usual range of an A-value are equal.
STEP_KCAL_MOL = 0.25
# A molecule that an instructor is warned about is taken only where another would cost more than this.
WARNED_COST = 4
_CHANCE = 1_000_000

Costs = Mapping[tuple[int, int], int]


@dataclass(frozen=True, kw_only=True)
class Difficulty:
    """What a question is matched by: number of groups, size of the estimated gap in kcal/mol without sign,
    codes of pitfalls, and whether the instructor is warned about it."""

    groups: int
    size_kcal_mol: float
    pitfalls: frozenset[str]
    warned: bool


def cost(one: Difficulty, other: Difficulty) -> int | None:
    """How far two questions are apart, in steps; None when they are not equally hard."""
    if (one.groups, one.pitfalls) != (other.groups, other.pitfalls):
        return None
    apart = round(abs(one.size_kcal_mol - other.size_kcal_mol), 9)
    if apart > GAP_WITHIN_KCAL_MOL:
        return None
    return math.floor(apart / STEP_KCAL_MOL) + WARNED_COST * (one.warned + other.warned)


def costs_of(difficulties: list[Difficulty]) -> dict[tuple[int, int], int]:
    """The cost of every pair (i, j), i < j, of equal difficulty."""
    pairs = combinations(enumerate(difficulties), 2)
    return {(i, j): apart for (i, one), (j, other) in pairs if (apart := cost(one, other)) is not None}


def best_pairs(costs: Costs, *, items: int, most: int, rng: Random) -> tuple[tuple[int, int], ...]:
    """`most` disjoint pairs of 0 .. items - 1, or as many as there are, of least total cost; sorted.

    Exactly r pairs of n items are a perfect matching of the items and n - 2r further nodes that each stand
    against any item at no cost.
    """
    import networkx as nx  # here, since every start of the program would pay for it

    graph: nx.Graph[int] = nx.Graph()
    graph.add_edges_from(costs)
    possible = len(nx.max_weight_matching(graph, maxcardinality=True))
    requested = min(most, possible)
    if requested <= 0:
        return ()
    weighted: nx.Graph[int] = nx.Graph()
    # Chance is a whole number that cannot outweigh a step, so that it decides between equals only.
    for (i, j), steps in sorted(costs.items()):
        weighted.add_edge(i, j, weight=steps * _CHANCE * items + rng.randrange(_CHANCE))
    for spare in range(items - 2 * requested):
        weighted.add_edges_from(((item, items + spare) for item in range(items)), weight=0)
    matching = nx.min_weight_matching(weighted)
    return tuple(sorted((min(pair), max(pair)) for pair in matching if max(pair) < items))
