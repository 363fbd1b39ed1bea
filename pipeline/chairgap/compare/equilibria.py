"""Gaps against published equilibria: what a published number means, errors, and the spread of pairs.

With x the published percent of one chair ('this'), both chairs together 100, and T the published temperature,
298.15 K where none is stated:

    (1) G(other) - G(this) = R T ln(x / (100 - x))
    (2) error of it = R T 100 dx / (x (100 - x)),  dx the error of x
    (3) G(B) - G(A) = G(other) - G(this) where this chair is A, its negative where it is B

A published energy difference from a fit is taken as a Gibbs energy: the sources do not part the two. 'More
than x' is a lower bound in the sense of (3) where this chair is A, an upper one where it is B. 'About' is
counted as a number.

Errors of a model are over published numbers; a wrong sign counts where the published gap is at least 0.2
kcal/mol from zero. The spread of a kind of pairs, by method, relation and hydrogen bond, is

    (4) spread = root mean square of (anchored gap with pairs of the method - published gap)

over numbers of rings with two groups in the gas phase, apolar media and media that are not stated. It holds
the error of the A-values and of the measurement too, so it is rather too wide. Populations of 95 percent and
more are not in (4): by (2) an error of 3 percent makes theirs 1.4 to 2.3 kcal/mol, more than the spread (they
count in the errors). A kind of fewer than three values, or of none, has

    (5) spread = the larger of its own (4) and (4) over all values of the method

so that no spread is narrower than what was seen. Nothing from memory or a textbook statement is in (4).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from statistics import fmean
from typing import get_args

from chairgap.records import (
    ChairLetter,
    Equilibrium,
    EquilibriumScore,
    MediumGroup,
    PairSpread,
    PublishedGap,
    Separation,
)
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, STANDARD_TEMPERATURE_K

CLEAR_KCAL_MOL = 0.2
FEWEST_VALUES = 3
SHARP_PERCENT = 95.0
HAND_SUMS = ("hand sum", "hand sum, incomplete")
CLASSES: tuple[MediumGroup, ...] = ("gas", "apolar", "not stated", "polar", "hydrogen bonding")
# Media in which gaps are those of the gas phase.
GAS_LIKE: tuple[MediumGroup, ...] = ("gas", "apolar", "not stated")


def published_gap(equilibrium: Equilibrium, this_chair: ChairLetter) -> PublishedGap:
    """The published value as G(B) - G(A); this_chair is the letter of the chair that the value speaks of."""
    at_k = equilibrium.temperature_k or STANDARD_TEMPERATURE_K
    other_minus_this, error = _other_minus_this(equilibrium, at_k)
    # (3)
    sign = 1.0 if this_chair == "A" else -1.0
    gap = None if other_minus_this is None else sign * other_minus_this
    return PublishedGap(
        equilibrium=equilibrium,
        this_chair=this_chair,
        temperature_k=at_k,
        gap_kcal_mol=gap,
        error_kcal_mol=error,
        bound=(
            ("at least" if this_chair == "A" else "at most")
            if equilibrium.bound == "more than"
            else equilibrium.bound
        ),
        favoured=this_chair if gap is None else "A" if gap > 0.0 else "B" if gap < 0.0 else "",
    )


def _other_minus_this(equilibrium: Equilibrium, at_k: float) -> tuple[float | None, float | None]:
    """(G(other) - G(this), its error), kcal/mol."""
    value, error = equilibrium.value, equilibrium.error
    if value is None or equilibrium.kind != "percent":
        return value, error
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * at_k
    rest = 100.0 - value
    # (1)
    gap = rt * math.log(value / rest)
    # (2)
    return gap, None if error is None else rt * 100.0 * error / (value * rest)


@dataclass(frozen=True, kw_only=True)
class EquilibriumErrors:
    """How one model does over one class of medium ('all' for all of them). Deviations are model - published,
    G(B) - G(A): a positive bias favours the chair with fewer axial groups too much. The errors are None
    without a value; the common error is over the values that every computed model of the class has. Bounds
    and signs alone are counted as right and tried."""

    model: str
    medium_class: str
    values: int
    mean_absolute_error_kcal_mol: float | None
    common_values: int
    common_mean_absolute_error_kcal_mol: float | None
    bias_kcal_mol: float | None
    largest_error_kcal_mol: float | None
    clear_signs: int
    wrong_signs: int
    bounds: int
    bounds_held: int
    only_signs: int
    only_signs_right: int
    without_gap: int


def equilibrium_errors(scores: Sequence[EquilibriumScore]) -> tuple[EquilibriumErrors, ...]:
    """One row per class of medium and model, in the order of CLASSES, hand sums first; all media last."""
    models = sorted(dict.fromkeys(score.model for score in scores), key=lambda name: name not in HAND_SUMS)
    rows = []
    for name in (*CLASSES, "all"):
        chosen = [
            score
            for score in scores
            if name in (score.published.equilibrium.medium_class, "all")
            and score.published.equilibrium.measured
        ]
        common = _common(chosen)
        for model in models:
            own = [score for score in chosen if score.model == model]
            if own:
                rows.append(_errors(model, name, own, common))
    return tuple(rows)


def is_hand_sum(score: EquilibriumScore) -> bool:
    """Whether a score is that of a hand sum, complete or not."""
    return score.model in HAND_SUMS


def _common(scores: Sequence[EquilibriumScore]) -> frozenset[str]:
    """Keys of the values that every computed model with any value in the class has."""
    have: dict[str, set[str]] = {}
    for score in scores:
        if score.counted and not is_hand_sum(score):
            have.setdefault(score.model, set()).add(score.published.equilibrium.key)
    return frozenset(set.intersection(*have.values())) if have else frozenset()


def _errors(
    model: str, medium_class: str, scores: Sequence[EquilibriumScore], common: frozenset[str]
) -> EquilibriumErrors:
    counted = [score for score in scores if score.counted]
    off = [score.deviation_kcal_mol or 0.0 for score in counted]
    shared = [
        abs(score.deviation_kcal_mol or 0.0) for score in counted if score.published.equilibrium.key in common
    ]
    clear = [score for score in counted if abs(score.published.gap_kcal_mol or 0.0) >= CLEAR_KCAL_MOL]
    bounds = [score for score in scores if score.published.bound in ("at least", "at most") and score.verdict]
    signs = [score for score in scores if score.published.gap_kcal_mol is None and score.verdict]
    return EquilibriumErrors(
        model=model,
        medium_class=medium_class,
        values=len(counted),
        mean_absolute_error_kcal_mol=fmean(map(abs, off)) if off else None,
        common_values=len(shared),
        common_mean_absolute_error_kcal_mol=fmean(shared) if shared else None,
        bias_kcal_mol=fmean(off) if off else None,
        largest_error_kcal_mol=max(map(abs, off), default=None),
        clear_signs=len(clear),
        wrong_signs=sum(score.verdict == "wrong" for score in clear),
        bounds=len(bounds),
        bounds_held=sum(score.verdict == "right" for score in bounds),
        only_signs=len(signs),
        only_signs_right=sum(score.verdict == "right" for score in signs),
        without_gap=sum(score.gap_kcal_mol is None for score in scores),
    )


def pair_spreads(scores: Sequence[EquilibriumScore]) -> tuple[PairSpread, ...]:
    """The spread of every kind of pairs, by method; (4) and (5)."""
    used = [score for score in scores if score.pairs_by and _tells_a_spread(score)]
    spreads = []
    for method in dict.fromkeys(score.pairs_by for score in used):
        of_method = [score for score in used if score.pairs_by == method]
        for separation, bonding in product(get_args(Separation), (False, True)):
            kind = [score for score in of_method if _kind(score) == (separation, bonding)]
            # (4), (5)
            counted = (kind,) if len(kind) >= FEWEST_VALUES else (kind, of_method)
            spreads.append(
                PairSpread(
                    method=method,
                    relation=separation,
                    hydrogen_bond=bonding,
                    spread_kcal_mol=max(map(_root_mean_square, counted)),
                    values=len(kind),
                )
            )
    return tuple(spreads)


def _tells_a_spread(score: EquilibriumScore) -> bool:
    published = score.published.equilibrium
    sharp = published.kind != "percent" or abs((published.value or 50.0) - 50.0) < SHARP_PERCENT - 50.0
    in_gas_like = published.medium_class in GAS_LIKE
    return score.counted and score.separation is not None and in_gas_like and sharp


def _kind(score: EquilibriumScore) -> tuple[Separation, bool]:
    return score.separation or "geminal", score.hydrogen_bond


def _root_mean_square(scores: Sequence[EquilibriumScore]) -> float:
    return math.sqrt(fmean((score.deviation_kcal_mol or 0.0) ** 2 for score in scores)) if scores else 0.0
