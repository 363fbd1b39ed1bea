"""Judging students' claims by a key, with errors carried forward; pure.

A step that is right from the student's own earlier wrong number counts as carried: K, percent and the stable
chair from the own gap, percent from the own K, for the same molecule. Points are the key's; whether a carried
step or another convention earns them is for a person to decide.
"""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from chairgap.errors import ChairgapError
from chairgap.key.answers.dispatch import answer
from chairgap.key.answers.equilibrium import equilibrium_constant
from chairgap.key.check import check_claim
from chairgap.key.choosing import table_of
from chairgap.key.reading import close, same
from chairgap.key.words import number
from chairgap.records import Answer, Claim, EstimateTable, Facts
from chairgap.units import KJ_PER_KCAL

Outcome = Literal["right", "convention", "carried", "wrong", "missing", "unreadable"]
Key = tuple[str, str, tuple[int, ...], str, str]


@dataclass(frozen=True, kw_only=True)
class Marked:
    """One claim of the key as one student answered it. points are the key's when right, else 0; open_points
    are those a person may give for a carried step or another convention.
    """

    student: str
    claim: Claim
    given: str
    outcome: Outcome
    expected: str
    words: str
    slips: tuple[str, ...]
    points: float
    open_points: float


def key_of(claim: Claim) -> Key:
    """What a student's row must share with a row of the key."""
    return claim.item, claim.quantity, claim.carbons, claim.group, claim.chair.replace(",", " ").lower()


def mark(
    student: str,
    key: Iterable[Claim],
    sheet: Iterable[Claim],
    facts_of: Callable[[str], Facts],
    tables: Mapping[str, EstimateTable],
) -> tuple[Marked, ...]:
    """Every claim of the key for one student, in the order of the key."""
    given = {key_of(claim): claim for claim in sheet}
    own: dict[tuple[tuple[str, ...], str], float] = {}
    marks = []
    for asked in key:
        mine = given.get(key_of(asked))
        if mine is None:
            marks.append(_marked(student, replace(asked, claimed=""), "missing", "", "Not answered."))
            continue
        claim = replace(asked, claimed=mine.claimed, unit=mine.unit or asked.unit, cell=mine.cell)
        try:
            facts = tuple(facts_of(text) for text in claim.molecules)
            marks.append(_judged(student, claim, facts, tables, own))
        except ChairgapError as error:
            marks.append(_marked(student, claim, "unreadable", "", error.message))
        _remember(claim, own)
    return tuple(marks)


def _judged(
    student: str,
    claim: Claim,
    facts: tuple[Facts, ...],
    tables: Mapping[str, EstimateTable],
    own: Mapping[tuple[tuple[str, ...], str], float],
) -> Marked:
    finding = check_claim(claim, facts, tables)
    expected = finding.answer.text
    if finding.verdict in ("RIGHT", "REVIEW"):
        return _marked(student, claim, "right", expected, finding.words)
    if finding.verdict == "CONVENTION":
        return _marked(student, claim, "convention", expected, finding.words)
    carried = _carried(claim, facts, tables, own)
    if carried:
        return _marked(student, claim, "carried", expected, carried)
    slips = tuple(diagnosis.slip for diagnosis in finding.diagnoses)
    return _marked(student, claim, "wrong", expected, finding.feedback, slips)


def _marked(
    student: str,
    claim: Claim,
    outcome: Outcome,
    expected: str,
    words: str,
    slips: tuple[str, ...] = (),
) -> Marked:
    points = claim.points or 0.0
    return Marked(
        student=student,
        claim=claim,
        given=claim.claimed,
        outcome=outcome,
        expected=expected,
        words=words,
        slips=slips,
        points=points if outcome == "right" else 0.0,
        open_points=points if outcome in ("convention", "carried") else 0.0,
    )


def _remember(claim: Claim, own: dict[tuple[tuple[str, ...], str], float]) -> None:
    """Keep the student's own gap (kcal/mol, B - A) and K for later steps."""
    found = number(claim.claimed)
    if found is None or claim.quantity not in ("gap", "K"):
        return
    value = found[0]
    if claim.quantity == "gap":
        value = value / KJ_PER_KCAL if claim.unit.lower().startswith("kj") else value
        value = -value if claim.conventions.direction == "A-B" else value
    own[claim.molecules, claim.quantity] = value


def _carried(
    claim: Claim,
    facts: tuple[Facts, ...],
    tables: Mapping[str, EstimateTable],
    own: Mapping[tuple[tuple[str, ...], str], float],
) -> str:
    """Words when the claim follows from the student's own earlier number, else ''."""
    gap, k = own.get((claim.molecules, "gap")), own.get((claim.molecules, "K"))
    if claim.quantity == "stable chair" and gap is not None:
        name = "equal" if gap == 0.0 else facts[0].chairs[0 if gap > 0.0 else 1].name
        follows = same(
            claim, Answer(text=name, value=None, unit="", steps=()), facts, table_of(claim, tables)
        )
        return f"Follows from the own gap of {gap:g} kcal/mol." if follows else ""
    if claim.quantity not in ("K", "percent"):
        return ""
    right = answer(claim, facts, tables)
    sources: list[tuple[str, float]] = []
    if claim.quantity == "percent" and k is not None and k > 0.0:
        sources.append((f"the own K of {k:g}", k))
    if gap is not None and abs(gap) < 100.0:
        sources.append(
            (
                f"the own gap of {gap:g} kcal/mol",
                equilibrium_constant(abs(gap), claim.conventions.temperature_k),
            )
        )
    for words, ratio in sources:
        value = ratio if claim.quantity == "K" else 100.0 * ratio / (1.0 + ratio)
        if math.isfinite(value) and close(claim, right, value):
            return f"Follows from {words}."
    return ""
