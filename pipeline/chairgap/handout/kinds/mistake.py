"""Find the mistake: a worked solution with exactly one slip, of those that key checking knows.

A slip is taken only where it stands in one step and the steps after it go on rightly from there, and where
key checking, asked about the wrong number or label, calls it an error and names this slip among its causes.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace

from chairgap.answer_key.rules.answers.equilibrium import exponential
from chairgap.answer_key.rules.check import verdict_on
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.misreading import misreadings
from chairgap.answer_key.rules.slips_numbers import (
    slipped_ledgers,
    slipped_numbers,
    wrong_exponents,
    wrong_gaps,
)
from chairgap.errors import InputError
from chairgap.estimate.ledger import energy_words, estimate_gap
from chairgap.handout import wording
from chairgap.handout.blocks import Blanks, Bullets, Mark, Part, Space, Together, Words
from chairgap.handout.kinds.isomers import lacks_terms
from chairgap.handout.kinds.kind import Task, Written, case_of
from chairgap.handout.kinds.working import (
    CHAIR_1,
    CHAIR_2,
    ENERGY_1,
    ENERGY_2,
    GAP,
    PERCENT,
    PREFERRED,
    READING,
    K,
    Working,
    axial_place,
    of_chairs,
    step_lines,
    worked,
)
from chairgap.handout.pool import Candidate
from chairgap.handout.posed import Posed, as_written
from chairgap.records import Chair, Diagnosis, Outcome, Position
from chairgap.shape.chairs import chair_name

_SEEN_KCAL_MOL = 0.05
_SEEN_EXPONENT = 0.1
_LARGEST_EXPONENT = 40.0
_GAP_SLIPS = ("sign-reversed", "sum-for-difference")
_STAGES = ((READING, CHAIR_1, CHAIR_2), (ENERGY_1, ENERGY_2), (GAP, PREFERRED), (K, PERCENT))
_PERCENT_SLIPS = ("other-chair", "fraction-for-percent")
# Key checking has them of K = [more stable chair] / [other one], which is the K of the solution only then.
_OF_STABLE = ("one-minus-1-over-k", "ratio-for-percent")


@dataclass(frozen=True, kw_only=True)
class Mistake:
    """A slip in a step: its name, what was done, in words, and the solution that has it."""

    step: int
    slip: str
    words: str
    working: Working


def lacks_mistake(candidate: Candidate, outcome: Outcome) -> str:
    """Why no mistake can be planted in the solution of a molecule."""
    why = lacks_terms(candidate, outcome)
    if why:
        return why
    if abs(candidate.result.estimate.gap_kcal_mol or 0.0) < _SEEN_KCAL_MOL:
        return "its dG is 0, which few slips change"
    found = next(mistakes(as_written(candidate.result), outcome), None)
    return "" if found else "no known slip changes its answer"


def find_the_mistake(task: Task) -> Written:
    """Which step is wrong, and what is right?"""
    posed, settings = task.posed, task.settings
    planted = planted_in(task, list(mistakes(posed, task.outcome)))
    right = step_lines(posed, worked(posed, settings), settings)
    wrong = step_lines(posed, planted.working, settings)
    left, other = wording.left_and_right(posed)
    frames = (
        f"{name.capitalize()} is the chair with carbons "
        f"{'1, 3 and 5' if chair.odd_up_axial else '2, 4 and 6'} raised."
        for name, chair in zip(wording.FRAMES, (left, other), strict=True)
    )
    ask = (
        "Exactly one step of the solution below has a mistake; every step after it follows rightly from what "
        "stands before it. Which step is it?"
    )
    return Written(
        question=(
            task.molecule(),
            Words(text=" ".join(frames), note=True),
            Part(letter="a", text=ask, points=1),
            Bullets(lines=wrong, numbered=True),
            Blanks(labels=(("The step with the mistake:", ""),)),
            Together(
                pieces=(
                    Part(
                        letter="b",
                        text="Write the step as it should be. Then work out dG, the preferred chair, K and "
                        "percent as they should be.",
                        points=3,
                    ),
                    Space(),
                ),
                grows=True,
            ),
        ),
        answer=(
            Bullets(
                lines=(
                    f"(a) Step {planted.step}. {planted.words}",
                    f"As it stands: {wrong[planted.step - 1]}",
                    f"(b) As it should be: {right[planted.step - 1]}",
                )
            ),
            Words(text="The right solution:"),
            Bullets(lines=right, numbered=True),
            task.chairs_of_key(),
            task.computation(),
        ),
        glance=(f"step {planted.step}", planted.words),
        marks=(
            Mark(points=1, words=f"(a) step {planted.step}, and no other."),
            Mark(points=1, words="(b) the step as it should be."),
            Mark(points=1, words="(b) dG and the preferred chair, or that they stay as they are."),
            Mark(points=1, words="(b) K and percent, from the student's own dG."),
        ),
    )


def planted_in(task: Task, found: list[Mistake]) -> Mistake:
    """A stage by chance, alike on all versions where their molecules allow it; then a step of it and one of
    its slips, so that the number of the step is no answer that a neighbour can use."""
    stages = [stage for stage in _STAGES if any(one.step in stage for one in found)]
    stage, rng = task.rng_of_all.choice(stages), task.rng
    step = rng.choice(sorted({one.step for one in found if one.step in stage}))
    slip = rng.choice(sorted({one.slip for one in found if one.step == step}))
    return rng.choice([one for one in found if (one.step, one.slip) == (step, slip)])


def mistakes(posed: Posed, outcome: Outcome) -> Iterator[Mistake]:
    """Every mistake that can be planted."""
    settings = outcome.study.settings
    lines = step_lines(posed, worked(posed, settings), settings)
    for found in _mistakes(posed, outcome):
        shown = step_lines(posed, found.working, settings)
        # Nothing before the step differs, and the step itself does.
        if (
            shown[: found.step - 1] == lines[: found.step - 1]
            and shown[found.step - 1] != lines[found.step - 1]
        ):
            yield found


def _mistakes(posed: Posed, outcome: Outcome) -> Iterator[Mistake]:
    case = case_of((posed,), outcome, "gap")
    yield from _of_labels(posed, outcome, case)
    yield from _of_terms(posed, outcome, case)
    yield from _of_the_gap(posed, outcome, case)
    yield from _of_the_end(posed, outcome, case)


def _cause(case: Case, *slips: str) -> Diagnosis | None:
    """The diagnosis of key checking, where it finds an error and one of these slips (any, without)."""
    with suppress(InputError):
        finding = verdict_on(case)
        if finding.verdict == "ERROR":
            return next((one for one in finding.diagnoses if not slips or one.slip in slips), None)
    return None


def _gap_case(posed: Posed, case: Case, working: Working) -> Case:
    """The claim of this dG, as G(B) - G(A)."""
    gap = wording.direction_of(posed) * working.gap_kcal_mol
    return case.asking(claimed=energy_words(gap))


def _of_labels(posed: Posed, outcome: Outcome, case: Case) -> Iterator[Mistake]:
    """The drawing misread, a label of chair 1 wrong, or a flip that is incomplete."""
    left, right = wording.left_and_right(posed)
    for misread in misreadings(case.facts):
        chairs = tuple(sorted(misread.chairs, key=lambda one: one.odd_up_axial != left.odd_up_axial))
        wrong = _with_chairs(posed, outcome, (chairs[0], chairs[1]))
        if wrong and _changed(posed, wrong, outcome) and _same_reference(posed, chairs[0]):
            cause = _cause(_gap_case(posed, case, wrong), "flat-drawing-misread")
            if cause:
                yield Mistake(step=READING, slip=cause.slip, words=misread.words, working=wrong)
    for index, group in enumerate(left.groups):
        if (group.carbon, group.face) == posed.reference:
            continue
        turned, other = _turned(left, index), _turned(right, index)
        wrong = _with_chairs(posed, outcome, (turned, other))
        label = case.asking(
            quantity="position",
            carbons=(group.carbon,),
            group=group.group,
            chair=left.letter,
            claimed=turned.groups[index].position,
        )
        cause = _cause(label, "axial-for-up", "alternation-forgotten")
        if wrong and cause and _changed(posed, wrong, outcome):
            yield Mistake(step=CHAIR_1, slip=cause.slip, words=cause.words, working=wrong)
        wrong = _with_chairs(posed, outcome, (left, other))
        flip = case.asking(quantity="flip", chair=left.letter, claimed=chair_name(other.groups))
        cause = _cause(flip, "flip-incomplete")
        if wrong and cause and _changed(posed, wrong, outcome):
            yield Mistake(step=CHAIR_2, slip=cause.slip, words=cause.words, working=wrong)


def _turned(chair: Chair, index: int) -> Chair:
    """With the label of one group exchanged."""
    groups = list(chair.groups)
    other: Position = "axial" if groups[index].position == "equatorial" else "equatorial"
    groups[index] = replace(groups[index], position=other)
    return replace(chair, groups=tuple(groups))


def _same_reference(posed: Posed, left: Chair) -> bool:
    """Whether the group that gives dG its direction is still where it was."""
    return any((group.carbon, group.face) == posed.reference for group in left.groups)


def _with_chairs(posed: Posed, outcome: Outcome, seen: tuple[Chair, Chair]) -> Working | None:
    """The solution that goes on from these chairs, in the order of the frames; None without a value."""
    lettered = (replace(seen[0], letter="A"), replace(seen[1], letter="B"))
    estimate = estimate_gap(lettered, outcome.table)
    if any(term.value_kcal_mol is None for term in estimate.terms):
        return None
    one, other = (tuple(term for term in estimate.terms if term.chair == letter) for letter in ("A", "B"))
    return worked(posed, outcome.study.settings, chairs=seen, terms=(one, other))


def _changed(posed: Posed, wrong: Working, outcome: Outcome) -> bool:
    """Whether a slip changes dG by more than rounding."""
    right = worked(posed, outcome.study.settings)
    return abs(wrong.gap_kcal_mol - right.gap_kcal_mol) > _SEEN_KCAL_MOL


def _of_terms(posed: Posed, outcome: Outcome, case: Case) -> Iterator[Mistake]:
    """Slips in the energy of one chair."""
    right = of_chairs(posed, posed.estimate.terms)
    for slip, words, terms in slipped_ledgers(posed.estimate.terms, outcome.table):
        split = of_chairs(posed, terms)
        places = [place for place in (0, 1) if split[place] != right[place]]
        wrong = worked(posed, outcome.study.settings, terms=split)
        if (
            len(places) == 1
            and _changed(posed, wrong, outcome)
            and _cause(_gap_case(posed, case, wrong), slip)
        ):
            step = (ENERGY_1, ENERGY_2)[places[0]]
            yield Mistake(step=step, slip=slip, words=words, working=wrong)


def _of_the_gap(posed: Posed, outcome: Outcome, case: Case) -> Iterator[Mistake]:
    """The difference of the two energies."""
    for slip, words, gap in wrong_gaps(case):
        if slip in _GAP_SLIPS:
            changes: dict[str, float | bool] = {"gap_kcal_mol": wording.direction_of(posed) * gap}
            wrong = worked(posed, outcome.study.settings, changes=changes)
            if _changed(posed, wrong, outcome) and _cause(_gap_case(posed, case, wrong), slip):
                yield Mistake(step=GAP, slip=slip, words=words, working=wrong)


def _of_the_end(posed: Posed, outcome: Outcome, case: Case) -> Iterator[Mistake]:
    """The preferred chair, K and percent."""
    settings = outcome.study.settings
    right = worked(posed, settings)
    equatorial = wording.left_and_right(posed)[1 - axial_place(posed)]
    axial = wording.left_and_right(posed)[axial_place(posed)]
    chosen = axial if right.prefers_equatorial else equatorial
    cause = _cause(case.asking(quantity="stable chair", claimed=chosen.name))
    if cause:
        wrong = worked(posed, settings, changes={"prefers_equatorial": not right.prefers_equatorial})
        yield Mistake(step=PREFERRED, slip=cause.slip, words=cause.words, working=wrong)
    sign = 1.0 if right.gap_kcal_mol > 0.0 else -1.0
    for slip, words, exponent in wrong_exponents(settings.temperature_k, abs(right.gap_kcal_mol)):
        claim = case.asking(quantity="K", claimed=f"{exponential(exponent):.4g}")
        seen = abs(sign * exponent - right.exponent) > _SEEN_EXPONENT
        if seen and abs(exponent) < _LARGEST_EXPONENT and _cause(claim, slip):
            wrong = worked(posed, settings, changes={"exponent": sign * exponent})
            yield Mistake(step=K, slip=slip, words=words, working=wrong)
    share = case.under(percent_of=equatorial.letter).asking(quantity="percent")
    slips = (*_PERCENT_SLIPS, *(_OF_STABLE if right.gap_kcal_mol > 0.0 else ()))
    for slip, words, value in slipped_numbers(share):
        claim = share.asking(claimed=f"{value:.2f}")
        if slip in slips and 0.0 <= value <= 100.0 and _cause(claim, slip):
            wrong = worked(posed, settings, changes={"percent": value})
            yield Mistake(step=PERCENT, slip=slip, words=words, working=wrong)
