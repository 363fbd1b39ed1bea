"""Question sheets and keys as records, with the words and pictures that every form of them shows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from importlib.metadata import version as version_of
from pathlib import PurePath

from chairgap.handout import wording
from chairgap.handout.blocks import Answer, Question
from chairgap.handout.choosing import VERSIONS, Asked, Chosen, Match
from chairgap.handout.kinds import FOUR_PART, KINDS
from chairgap.handout.kinds.kind import TABLE, Kind, Task
from chairgap.handout.levels import level_words
from chairgap.handout.pitfalls import in_words
from chairgap.handout.pool import Pool
from chairgap.handout.values import Values, values_for
from chairgap.records import Outcome
from chairgap.report.words import CAUTIONS, citation
from chairgap.text import one_line, typeset

MOST_LISTED = 40


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One version: what its question sheet and its key show. values: None where no question needs them."""

    version: str
    title: str
    conventions: tuple[str, ...]
    values: Values | None
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
        return sum(question.points for question in self.questions)

    @property
    def _four_parts_only(self) -> bool:
        return all(answer.kind == FOUR_PART.title for answer in self.answers)

    @property
    def glance_head(self) -> tuple[str, ...]:
        """The head of the table of all answers."""
        answer = (
            ("dG of (c), kcal/mol", "Preferred", f"K, percent at {self.temperature}")
            if self._four_parts_only
            else ("Asked", "Answer")
        )
        return ("Question", "Molecule", *answer, "Read first")

    @property
    def glance_rows(self) -> tuple[tuple[str, ...], ...]:
        """Its rows, one for each question."""
        return tuple(
            (
                str(answer.question.number),
                answer.name,
                *(answer.glance if self._four_parts_only else (answer.kind, "; ".join(answer.glance))),
                answer.read_first,
            )
            for answer in self.answers
        )


def sheets_of(
    chosen: Chosen, pool: Pool, outcome: Outcome, seed: int, left_out: tuple[str, ...] = ()
) -> tuple[Sheet, ...]:
    """The versions of a handout. left_out: which kinds of questions are not on them, and why."""
    settings, made_by = outcome.study.settings, f"chairgap {version_of('chairgap')}"
    sources = outcome.study.tables.sources
    kinds = [KINDS[match.kind] for match in chosen.matches]
    uses = frozenset(use for kind in kinds for use in kind.uses)
    values = _values(chosen, outcome) if TABLE in uses else None
    common = Sheet(
        version="",
        title=one_line(settings.title),
        conventions=wording.conventions(settings, uses),
        values=values,
        answers=(),
        rubric=_rubric(kinds),
        sources=tuple(
            f"{number}: {citation(key, sources)}"
            for number, key in enumerate(values.keys if values else (), start=1)
        ),
        notes=(*_notes(pool, kinds, versions=len(chosen.orders)), *left_out_words(pool, chosen), *left_out),
        cautions=CAUTIONS,
        temperature=f"{settings.temperature_k:.2f} K",
        origin=f"Made by {made_by}.",
        key_origin=f"Made by {made_by}, seed {seed}, table '{PurePath(outcome.table.name).name}'.",
    )
    return tuple(
        replace(common, version=VERSIONS[number], answers=_answers(number, chosen, outcome))
        for number in range(len(chosen.orders))
    )


def _values(chosen: Chosen, outcome: Outcome) -> Values:
    """Of the molecules of every version, so that they say nothing of a single question."""
    molecules = [
        one.posed.molecule.topology
        for match in chosen.matches
        if KINDS[match.kind].of_energies
        for item in match.asked
        for one in item.everything
    ]
    return values_for(molecules, outcome.table, outcome.study.tables.sources)


def _rubric(kinds: Sequence[Kind]) -> tuple[str, ...]:
    """How to mark."""
    four_part = [kind.name == FOUR_PART.name for kind in kinds]
    head = "Question of four parts: " if not all(four_part) else ""
    return (
        *(f"{head}{line}" for line in wording.FOUR_PART_RUBRIC if any(four_part)),
        *((wording.RUBRIC_OF_STEPS,) if not all(four_part) else ()),
        *wording.RUBRIC,
    )


def _answers(number: int, chosen: Chosen, outcome: Outcome) -> tuple[Answer, ...]:
    return tuple(
        _answer(place, chosen.matches[index], number, _against(index, number, chosen), outcome)
        for place, index in enumerate(chosen.orders[number], start=1)
    )


def _notes(pool: Pool, kinds: Sequence[Kind], *, versions: int) -> tuple[str, ...]:
    """What an instructor must know of the choice."""
    phrases = []
    if any(kind.of_energies for kind in kinds):
        phrases.append(
            "The answers are those of the hand estimate from the table of the sheet; what the force field "
            "says stands beside each, with the reasons where the two differ."
        )
    if versions > 1:
        phrases.append(
            "Questions of equal difficulty have as many groups, the same pitfalls and estimates of like "
            "size; where the study has no such pair, the versions have the same molecule in another writing. "
            "matching.csv says which question of one version matches which of another."
        )
    if pool.drawn < pool.treated:
        phrases.append(f"The seed drew {pool.drawn} of the study's {pool.treated} molecules to choose from.")
    return tuple(phrases)


def left_out_words(pool: Pool, chosen: Chosen) -> tuple[str, ...]:
    """Which molecules are not asked about, and why."""
    asked = {
        one.posed.result.molecule.name
        for match in chosen.matches
        for item in match.asked
        for one in item.everything
    }
    left_out = [(name, why) for name, why in pool.left_out if name not in asked]
    words = [
        f"Not asked about: {one_line(name)}, since {typeset(why)}." for name, why in left_out[:MOST_LISTED]
    ]
    if len(left_out) > MOST_LISTED:
        words.append(f"{len(left_out) - MOST_LISTED} more were not asked about for such reasons.")
    return tuple(words)


def _against(index: int, number: int, chosen: Chosen) -> str:
    """Where the questions of equal difficulty stand on the other versions."""
    return "; ".join(
        f"version {VERSIONS[other]}, question {order.index(index) + 1}"
        for other, order in enumerate(chosen.orders)
        if other != number
    )


def _answer(place: int, match: Match, number: int, against: str, outcome: Outcome) -> Answer:
    asked, kind = match.asked[number], KINDS[match.kind]
    posed = asked.posed
    task = Task(asked=asked, outcome=outcome, version=VERSIONS[number], number=place, seed=match.seed)
    written = kind.write(task)
    candidates = [one.candidate for one in asked.everything]
    difficulties = tuple(candidate.difficulty for candidate in candidates)
    about = (
        f"{kind.title}. {level_words(kind, difficulties)}"
        if kind is not FOUR_PART
        else f"Pitfalls: {in_words(difficulties[0].pitfalls)}."
    )
    return Answer(
        question=Question(
            number=place,
            name=one_line(posed.result.molecule.name) if names_shown(match) else "",
            pieces=written.question,
            whole_page=kind.whole_page,
        ),
        kind=kind.title,
        name=_head(asked),
        systematic="" if asked.beside else wording.systematic_words(posed),
        about=f"{f'Matches {against}. ' if against else ''}{about}",
        doubts=tuple(doubt for one in candidates for doubt in one.doubts) if kind.of_energies else (),
        remarks=tuple(remark for one in candidates for remark in one.remarks) if kind.of_energies else (),
        doubted=kind.doubted,
        pieces=written.answer,
        marks=written.marks,
        glance=written.glance,
    )


def _head(asked: Asked) -> str:
    """The name of the molecule; of several without how the sheet writes them, which their answer says."""
    if not asked.beside:
        return wording.name_as_posed(asked.posed)
    return "; ".join(one_line(one.posed.result.molecule.name) for one in asked.everything)


def names_shown(match: Match) -> bool:
    """Names stand on a sheet when no question of the match is another writing, for which the name would not
    hold, and none of the names gives anything away."""
    return KINDS[match.kind].names_shown and all(
        not item.posed.writing
        and wording.may_be_shown(item.posed.result.molecule.name)
        and item.posed.result.molecule.name != item.posed.molecule.groups_by_face
        for item in match.asked
    )
