"""How hard a question is: easy, medium or hard, from its chemistry alone.

One step for each group after the first; one for each pitfall (`chairgap.handout.pitfalls`) that matters for
the kind of question, two for one whose sum is ambiguous: its range over the table includes zero, or the
computation prefers the other chair or none. A question on several molecules is as hard as the hardest of
them. Up to one step is easy, two are medium, more are hard (common practice, no source).
"""

from collections.abc import Iterable
from typing import Literal, get_args

from chairgap.handout.kinds.kind import Kind
from chairgap.handout.matching import Difficulty
from chairgap.handout.pitfalls import in_words

Level = Literal["easy", "medium", "hard"]
LEVELS: tuple[Level, ...] = get_args(Level)
_MOST_EASY, _MOST_MEDIUM, _AMBIGUOUS = 1, 2, 2


def level_of(kind: Kind, difficulties: Iterable[Difficulty]) -> Level:
    """The level of a question of this kind on these molecules."""
    steps = max(_steps(kind, one) for one in difficulties)
    return "easy" if steps <= _MOST_EASY else "medium" if steps <= _MOST_MEDIUM else "hard"


def _steps(kind: Kind, one: Difficulty) -> int:
    ambiguous = _AMBIGUOUS if kind.of_energies and one.warned else 0
    return one.groups - 1 + len(one.pitfalls & kind.hard_by) + ambiguous


def level_words(kind: Kind, difficulties: tuple[Difficulty, ...]) -> str:
    """'Level: medium (2 groups; a gauche pair that does not cancel)'."""
    most = max(difficulties, key=lambda one: _steps(kind, one))
    groups = f"{most.groups} group{'' if most.groups == 1 else 's'}"
    counted = most.pitfalls & kind.hard_by
    reasons = [groups, *([in_words(counted)] if counted else [])]
    if kind.of_energies and most.warned:
        reasons.append("an ambiguous sum")
    return f"Level: {level_of(kind, difficulties)} ({'; '.join(reasons)})."
