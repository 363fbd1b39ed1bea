"""The lowest path between the two chairs, and rates by transition-state theory. Pure arithmetic."""

import heapq
import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.records import FlipMinimum, FlipRates, FlipSaddle, FlipStep
from chairgap.units import BOLTZMANN_J_PER_K, GAS_CONSTANT_KCAL_PER_MOL_K, PLANCK_J_S

# Saddles nearer to each other are equally high: symmetry makes them equal, and searches find them to 1e-4.
EQUAL_KCAL_MOL = 1e-3


def lowest_path(saddles: Sequence[FlipSaddle], start: str, end: str) -> tuple[FlipStep, ...]:
    """Steps from one ring form to another over saddles of which the highest is as low as possible, then the
    second highest, and so on, with no step too many; () when the saddles do not join them.

    Rotamers of a ring form count as one place: groups turn over barriers of 2 to 5 kcal/mol, far below the
    ring's (common practice, no source). Paths are compared by their saddles from the highest down, and a
    further saddle makes any path longer, so the shortest way to each form is found form by form (E. W.
    Dijkstra, Numer. Math. 1959, 1, 269, doi 10.1007/BF01386390, from memory).
    """
    reached: set[str] = set()
    ways: list[tuple[list[int], list[str], list[int]]] = [([], [start], [])]
    while ways:
        climbs, forms, over = heapq.heappop(ways)
        if forms[-1] == end:
            return tuple(
                FlipStep(from_form=one, to_form=other, saddle=number)
                for (one, other), number in zip(pairwise(forms), over, strict=True)
            )
        if forms[-1] in reached:
            continue
        reached.add(forms[-1])
        for item in saddles:
            height = round(item.saddle.energy_kcal_mol / EQUAL_KCAL_MOL)
            further = sorted([*climbs, height], reverse=True)
            for form in _across(item, forms[-1]):
                heapq.heappush(ways, (further, [*forms, form], [*over, item.number]))
    return ()


def _across(saddle: FlipSaddle, form: str) -> Iterator[str]:
    """The forms on the other side of a saddle from one of those that it leads to."""
    for here, there in (saddle.ends, saddle.ends[::-1]):
        if form in here:
            yield from there


def form_gibbs_kcal_mol(minima: Sequence[FlipMinimum], form: str, temperature_k: float) -> float | None:
    """Gibbs energy of a ring form with all its rotamers, each labelled minimum once."""
    return _gibbs([item for item in minima if item.form == form], temperature_k)


def rates(
    minima: Sequence[FlipMinimum], saddles: Sequence[FlipSaddle], temperature_k: float
) -> FlipRates | None:
    """Rate constants by transition-state theory; None unless both chairs and saddles out of both are known.

    H. Eyring, J. Chem. Phys. 1935, 3, 107 (doi 10.1063/1.1749604, from memory). All saddles out of a chair
    count, so equivalent paths need no factor. What has left a chair comes among the twist-boats, which mix
    much faster than they leave, and goes on to either chair as the saddles allow: cyclohexane goes back half
    of the time. No tunnelling, no recrossing.
    """
    chair_a, chair_b = (form_gibbs_kcal_mol(minima, letter, temperature_k) for letter in ("A", "B"))
    gate_a, gate_b = (
        _gibbs([item for item in saddles if any(letter in side for side in item.ends)], temperature_k)
        for letter in ("A", "B")
    )
    if chair_a is None or chair_b is None or gate_a is None or gate_b is None:
        return None
    leave_a = _eyring(gate_a - chair_a, temperature_k)
    leave_b = _eyring(gate_b - chair_b, temperature_k)
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    # (2) share of the twist-boats that leaves to B: exp(-G_b/RT) / (exp(-G_a/RT) + exp(-G_b/RT))
    to_b = 0.5 * (1.0 + math.tanh((gate_a - gate_b) / (2.0 * rt)))
    return FlipRates(
        temperature_k=temperature_k,
        leave_a_per_s=leave_a,
        leave_b_per_s=leave_b,
        a_to_b_per_s=leave_a * to_b,
        b_to_a_per_s=leave_b * (1.0 - to_b),
        barrier_a_gibbs_kcal_mol=gate_a - chair_a,
        barrier_b_gibbs_kcal_mol=gate_b - chair_b,
    )


def _gibbs(points: Sequence[FlipMinimum | FlipSaddle], temperature_k: float) -> float | None:
    values = [item.gibbs_kcal_mol for item in points]
    return ensemble_kcal_mol(values, [1] * len(values), temperature_k)


def _eyring(barrier_kcal_mol: float, temperature_k: float) -> float:
    # (1) k = kT/h exp(-dG / RT)
    exponent = -barrier_kcal_mol / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k)
    return BOLTZMANN_J_PER_K * temperature_k / PLANCK_J_S * float(np.exp(exponent))
