"""Question sheets and keys as records, with the words and pictures that every form of them shows."""

from dataclasses import dataclass, replace
from importlib.metadata import version as version_of
from pathlib import PurePath

from chairgap.drawings.picture import Picture
from chairgap.handout import pictures, wording
from chairgap.handout.answers import Glance, Term, computed_lines, estimate_lines, glance, terms
from chairgap.handout.choosing import LETTERS, Chosen, Match
from chairgap.handout.pitfalls import in_words
from chairgap.handout.pool import Pool
from chairgap.handout.values import Values, values_for
from chairgap.records import Outcome
from chairgap.report.names import name_words
from chairgap.report.words import CAUTIONS, citation
from chairgap.text import one_line, typeset

MOST_LISTED = 40


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question as students see it. name: '' where it would give something away. odd_raised_left: carbons
    1, 3 and 5 are raised in the left frame. numbered: by which numbers its carbons go, in a sentence."""

    number: int
    name: str
    molecule: Picture
    frames: Picture
    odd_raised_left: bool
    single_frames: tuple[Picture, ...]
    groups: tuple[str, ...]
    numbered: str
    parts: tuple[wording.Part, ...]


@dataclass(frozen=True, kw_only=True)
class Answer:
    """The answer to a question, for the instructor. systematic: the systematic name as this sheet draws the
    molecule, in a sentence. positions: (group, in chair 1, in chair 2)."""

    question: Question
    name: str
    systematic: str
    against: str
    doubts: tuple[str, ...]
    remarks: tuple[str, ...]
    chairs: Picture
    single_chairs: tuple[Picture, ...]
    positions: tuple[tuple[str, str, str], ...]
    glance: Glance
    terms: tuple[Term, ...]
    estimate: tuple[str, ...]
    computed: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One version: what its question sheet and its key show."""

    letter: str
    title: str
    conventions: tuple[str, ...]
    values: Values
    answers: tuple[Answer, ...]
    rubric: tuple[str, ...]
    sources: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    origin: str
    key_origin: str
    temperature: str

    @property
    def questions(self) -> tuple[Question, ...]:
        return tuple(answer.question for answer in self.answers)

    @property
    def points(self) -> int:
        return sum(part.points for question in self.questions for part in question.parts)


def sheets_of(chosen: Chosen, pool: Pool, outcome: Outcome, seed: int) -> tuple[Sheet, ...]:
    """The versions of a handout."""
    settings, made_by = outcome.study.settings, f"chairgap {version_of('chairgap')}"
    sources = outcome.study.tables.sources
    values = values_for(
        [item.posed.molecule.topology for match in chosen.matches for item in match.asked],
        outcome.table,
        sources,
    )
    common = Sheet(
        letter="",
        title=one_line(settings.title),
        conventions=wording.conventions(settings),
        values=values,
        answers=(),
        rubric=wording.RUBRIC,
        sources=tuple(
            f"{number}: {citation(key, sources)}" for number, key in enumerate(values.keys, start=1)
        ),
        notes=_notes(pool, versions=len(chosen.orders)),
        cautions=CAUTIONS,
        temperature=f"{settings.temperature_k:.2f} K",
        origin=f"Made by {made_by}.",
        key_origin=f"Made by {made_by}, seed {seed}, table '{PurePath(outcome.table.name).name}'.",
    )
    return tuple(
        replace(common, letter=LETTERS[number], answers=_answers(number, chosen, outcome))
        for number in range(len(chosen.orders))
    )


def _answers(number: int, chosen: Chosen, outcome: Outcome) -> tuple[Answer, ...]:
    return tuple(
        _answer(place, chosen.matches[index], number, _against(index, number, chosen), outcome)
        for place, index in enumerate(chosen.orders[number], start=1)
    )


def _notes(pool: Pool, *, versions: int) -> tuple[str, ...]:
    """What an instructor must know of the choice."""
    phrases = [
        "The answers are those of the hand estimate from the table of the sheet; what the force field says "
        "stands beside each, with the reasons where the two differ.",
    ]
    if versions > 1:
        phrases.append(
            "Questions of equal difficulty have as many groups, the same pitfalls and estimates of like "
            "size; where the study has no such pair, the versions have the same molecule in another writing. "
            "matching.csv says which question of one version matches which of another."
        )
    if pool.drawn < pool.treated:
        phrases.append(f"The seed drew {pool.drawn} of the study's {pool.treated} molecules to choose from.")
    return (*phrases, *left_out_words(pool))


def left_out_words(pool: Pool) -> tuple[str, ...]:
    """Which molecules are not asked about, and why."""
    words = [
        f"Not asked about: {one_line(name)}, since {typeset(why)}."
        for name, why in pool.left_out[:MOST_LISTED]
    ]
    if len(pool.left_out) > MOST_LISTED:
        words.append(f"{len(pool.left_out) - MOST_LISTED} more were not asked about for such reasons.")
    return tuple(words)


def _against(index: int, number: int, chosen: Chosen) -> str:
    """Where the questions of equal difficulty stand on the other versions."""
    return "; ".join(
        f"version {LETTERS[other]}, question {order.index(index) + 1}"
        for other, order in enumerate(chosen.orders)
        if other != number
    )


def _answer(place: int, match: Match, number: int, against: str, outcome: Outcome) -> Answer:
    asked = match.asked[number]
    posed, candidate = asked.posed, asked.candidate
    settings, name = outcome.study.settings, one_line(posed.result.molecule.name)
    left, right = wording.left_and_right(posed)
    writing = f" ({posed.writing} for this sheet: {posed.molecule.groups_by_face})" if posed.writing else ""
    stands = f"Matches {against}. " if against else ""
    return Answer(
        question=Question(
            number=place,
            name=name if names_shown(match) else "",
            molecule=pictures.molecule_picture(posed),
            frames=pictures.frames_picture(posed.left_odd_up_axial),
            odd_raised_left=posed.left_odd_up_axial,
            single_frames=pictures.single_frames(posed.left_odd_up_axial),
            groups=tuple(wording.group_words(group) for group in posed.chairs[0].groups),
            numbered=wording.numbered_words(posed),
            parts=wording.parts(posed, settings),
        ),
        name=f"{name}{writing}",
        systematic=name_words(posed.molecule.naming),
        against=f"{stands}Pitfalls: {in_words(candidate.difficulty.pitfalls)}.",
        doubts=candidate.doubts,
        remarks=candidate.remarks,
        chairs=pictures.chairs_picture(posed),
        single_chairs=pictures.single_chairs(posed),
        positions=tuple(
            (wording.group_words(one), one.position, other.position)
            for one, other in zip(left.groups, right.groups, strict=True)
        ),
        glance=glance(posed, settings),
        terms=terms(posed),
        estimate=estimate_lines(posed, settings),
        computed=computed_lines(posed, outcome),
    )


def names_shown(match: Match) -> bool:
    """Names stand on a sheet when no question of the match is another writing, for which the name would not
    hold, and none of the names gives anything away."""
    return all(
        not item.posed.writing
        and wording.may_be_shown(item.posed.result.molecule.name)
        and item.posed.result.molecule.name != item.posed.molecule.groups_by_face
        for item in match.asked
    )
