"""What a student's marks say: what was right in the way, the one sentence to read; and how each claim did in
the class. Pure.

Difficulty is the share of right answers among those who answered; discrimination is the correlation of right
(1) or not (0) with the student's points in the other claims (corrected item-total correlation, point
biserial; common practice, no source), by `statistics.correlation`.
"""

import statistics
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from chairgap.answer_key.rules.students import Marked

# With fewer students a correlation says nothing.
FEWEST_STUDENTS = 10
_RIGHT_IN_THE_WAY = {
    "sign-reversed": "The size is right.",
    "kcal-kj": "The number is right in the other unit.",
    "sum-for-difference": "The energy of each chair is right.",
    "gauche-dropped": "The A-values are right.",
    "gauche-twice": "The terms are right, one is counted twice.",
    "gauche-sign": "The terms are right, one stands in the other chair.",
    "syn-dropped": "The A-values are right.",
    "syn-added-twice": "The terms are right, part of one is counted twice.",
    "group-forgotten": "The terms that are there are right.",
    "half-a-value": "The axial groups are right.",
    "double-a-value": "The axial groups are right.",
    "wrong-row": "The sum is right with the value that was read.",
    "k-inverted": "The gap and the exponential are right.",
    "log10-for-ln": "The gap is right.",
    "celsius": "The gap and the formula are right.",
    "r-in-wrong-unit": "The gap and the formula are right.",
    "r-mistyped": "The gap and the formula are right.",
    "other-chair": "The work is right for the other chair.",
    "ratio-for-percent": "K is right.",
    "percent-for-k": "The percent is right.",
    "fraction-for-percent": "The fraction is right.",
    "flat-drawing-misread": "The work is right for the isomer that was read.",
    "cis-trans-from-ae": "Axial and equatorial are right.",
    "flip-incomplete": "Part of the groups is right.",
    "order-reversed": "The order is right, written the other way round.",
}


def right_in_the_way(mark: Marked) -> str:
    """What is right in an answer that is not right as a whole; '' where nothing is known to be."""
    if mark.outcome == "carried":
        return "The step is right from the own earlier number."
    if mark.outcome == "convention":
        return "It is right by another source or convention."
    return _RIGHT_IN_THE_WAY.get(mark.slips[0], "") if mark.slips and mark.outcome == "wrong" else ""


@dataclass(frozen=True, kw_only=True)
class ClaimInClass:
    """How a claim of the key did. expected: the right answer; students: who were marked; answered: of these
    who gave a readable answer; right: of these; difficulty: right / answered; discrimination: None with fewer
    than FEWEST_STUDENTS or where all or none were right. slips and wrong_answers: the most frequent first,
    with their numbers."""

    first: Marked
    expected: str
    students: int
    answered: int
    right: int
    difficulty: float | None
    discrimination: float | None
    slips: tuple[tuple[str, int], ...]
    wrong_answers: tuple[tuple[str, int], ...]


def class_summary(by_claim: Sequence[Sequence[Marked]]) -> tuple[ClaimInClass, ...]:
    """One for each claim of the key, in its order; by_claim: the marks of each claim, of every student."""
    totals: Counter[str] = Counter()
    for mark in (mark for marks in by_claim for mark in marks):
        totals[mark.student] += mark.outcome == "right"
    return tuple(_in_class(marks, totals) for marks in by_claim)


def _in_class(marks: Sequence[Marked], totals: Mapping[str, int]) -> ClaimInClass:
    answered = [mark for mark in marks if mark.outcome not in ("missing", "unreadable")]
    right = [mark.outcome == "right" for mark in answered]
    rest = [float(totals[mark.student] - (mark.outcome == "right")) for mark in answered]
    wrong = [mark for mark in answered if mark.outcome == "wrong"]
    return ClaimInClass(
        first=marks[0],
        expected=next((mark.expected for mark in marks if mark.expected), ""),
        students=len(marks),
        answered=len(answered),
        right=sum(right),
        difficulty=sum(right) / len(right) if right else None,
        discrimination=_correlation([float(one) for one in right], rest),
        slips=_most_frequent(slip for mark in wrong for slip in mark.slips[:1]),
        wrong_answers=_most_frequent(mark.given for mark in wrong),
    )


def _correlation(right: Sequence[float], rest: Sequence[float]) -> float | None:
    if len(right) < FEWEST_STUDENTS or len(set(right)) < 2 or len(set(rest)) < 2:
        return None
    return statistics.correlation(right, rest)


def _most_frequent(words: Iterable[str]) -> tuple[tuple[str, int], ...]:
    """With their numbers; of those that are as frequent the first in the order of the alphabet first."""
    return tuple(sorted(Counter(words).items(), key=lambda item: (-item[1], item[0])))
