"""Marking students' claims by a key, with errors carried forward; pure.

A step that is right from the student's own earlier wrong number counts as carried (see carried_forward.py).
Points are the key's; whether a carried step or another convention earns them is for a person to decide.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from chairgap.answer_key.rules.answers.energies import in_unit
from chairgap.answer_key.rules.carried_forward import carried
from chairgap.answer_key.rules.check import verdict_on
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.reading import same
from chairgap.answer_key.rules.sources import KeyTables
from chairgap.answer_key.rules.whole_key import KeyReport
from chairgap.answer_key.rules.words import number, pattern, plain
from chairgap.errors import ChairgapError
from chairgap.records import Claim, Facts, Finding

Outcome = Literal["right", "convention", "carried", "wrong", "missing", "unreadable"]
# For one claim: none when it was not answered, several when it was answered in different ways.
Rows = tuple[Claim, ...]
Key = tuple[str, str, tuple[int, ...], str, str]


@dataclass(frozen=True, kw_only=True)
class Marked:
    """One claim of the key as one student answered it. points are the key's when right, else 0; open_points
    are those a person may give for a carried step or another convention. read: the one
    sentence for the student.
    """

    student: str
    claim: Claim
    outcome: Outcome
    expected: str
    words: str
    slips: tuple[str, ...] = ()
    read: str = ""

    @property
    def given(self) -> str:
        return self.claim.claimed

    @property
    def points(self) -> float:
        return (self.claim.points or 0.0) if self.outcome == "right" else 0.0

    @property
    def open_points(self) -> float:
        return (self.claim.points or 0.0) if self.outcome in ("convention", "carried") else 0.0


def key_of(claim: Claim) -> Key:
    """What a student's row must share with a row of the key, whatever the order of carbons or labels."""
    carbons = claim.carbons if claim.quantity == "newman" else tuple(sorted(claim.carbons))
    found = pattern(claim.chair)
    chair = " ".join(f"{c}{a}{g}" for c, a, g in found) if found else plain(claim.chair).lower()
    return plain(claim.item).lower(), claim.quantity, carbons, plain(claim.group).lower(), chair


def paired(key: Sequence[Claim], sheet: Iterable[Claim]) -> tuple[list[Rows], list[Claim]]:
    """A student's rows for each claim of a key, and rows that belong to none.

    Match by item, quantity, carbons, group and chair; a row without a chair also matches the only claim
    that differs in the chair alone ('stable' is the same as none). Rows that say the same count once.
    """
    keys = [key_of(claim) for claim in key]
    found: list[dict[str, Claim]] = [{} for _ in key]
    strays = []
    for row in sheet:
        asked = key_of(row)
        here = [index for index, name in enumerate(keys) if name == asked]
        if not here and asked[4] in ("", "stable"):
            alike = [index for index, name in enumerate(keys) if name[:4] == asked[:4]]
            stable = [index for index in alike if keys[index][4] in ("", "stable")]
            here = stable or (alike if asked[4] == "" and len(alike) == 1 else [])
        for index in here:
            found[index].setdefault(f"{plain(row.claimed)} {plain(row.unit)}", row)
        if not here:
            strays.append(row)
    return [tuple(rows.values()) for rows in found], strays


@dataclass(frozen=True, kw_only=True)
class MarkingKey:
    """A key to mark sheets by: its claims, the facts of its molecules, its tables, and what the check of the
    key itself found out of the book it goes by and of the numbers it uses."""

    claims: Sequence[Claim]
    facts_of: Callable[[str], Facts]
    tables: KeyTables
    report: KeyReport

    def case(self, claim: Claim) -> Case:
        """A claim with its facts. Raises ChairgapError for a molecule that has none."""
        facts = self.report.facts_for(claim, self.facts_of)
        return Case(claim=claim, molecules=facts, tables=self.tables)


def mark(student: str, key: MarkingKey, rows: Sequence[Rows]) -> tuple[Marked, ...]:
    """Every claim of the key for one student, in the order of the key; rows as `paired` gives them."""
    claims = [
        _as_asked(asked, mine[0]) if len(mine) == 1 else None
        for asked, mine in zip(key.claims, rows, strict=True)
    ]
    own = [claim for claim in claims if claim is not None]
    marks = []
    for asked, mine, claim in zip(key.claims, rows, claims, strict=True):
        if claim is None:
            marks.append(_unmarked(student, asked, mine))
            continue
        try:
            marks.append(_judged(student, key.case(claim), own, key.report.book))
        except ChairgapError as error:
            marks.append(replace(_marked(student, claim, "unreadable", error.message), read=error.message))
    return tuple(marks)


def _unmarked(student: str, asked: Claim, mine: Rows) -> Marked:
    """A claim without an answer, or with several that differ."""
    if not mine:
        return _marked(student, replace(asked, claimed=""), "missing", "Not answered.")
    given, cells = "; ".join(row.claimed for row in mine), ", ".join(str(row.cell) for row in mine)
    words = f"Answered in different ways in {cells}; leave one of them."
    return _marked(student, replace(asked, claimed=given), "unreadable", words)


def _as_asked(asked: Claim, mine: Claim) -> Claim:
    """The row of the key with the student's number in it. A tolerance of the key goes into the student's
    unit; what is no energy unit is left for the check to refuse."""
    found = number(mine.claimed)
    energy = found and found[1].replace(" ", "").lower() in {"kcal/mol", "kj/mol", "kcal", "kj"}
    inside = found[1] if found and energy else ""
    unit = mine.unit or inside or asked.unit
    claim = replace(asked, claimed=mine.claimed, unit=unit, cell=mine.cell)
    if asked.quantity not in ("gap", "term", "flip stages") or asked.tolerance is None:
        return claim
    try:
        return replace(claim, tolerance=asked.tolerance * in_unit(claim, 1.0)[0] / in_unit(asked, 1.0)[0])
    except ChairgapError:
        return claim


def _judged(student: str, case: Case, own: Sequence[Claim], book: str) -> Marked:
    same_cell = f"finding {case.claim.claimed!r} {case.claim.tolerance}"
    finding = case.remembered(same_cell, lambda: verdict_on(case, book))
    outcome = _outcome(case, finding)
    follows = carried(case, own) if outcome == "wrong" else ""
    slips = tuple(diagnosis.slip for diagnosis in finding.diagnoses) if outcome == "wrong" else ()
    if follows:
        outcome, words, read, slips = "carried", follows, follows, ()
    elif outcome == "wrong":
        words = finding.feedback or finding.words
        read = finding.diagnoses[0].words if finding.diagnoses else finding.answer.steps[-1]
    else:
        words, read = finding.words, "" if outcome == "right" else finding.words
    return replace(_marked(student, case.claim, outcome, words, finding.answer.text, slips), read=read)


def _outcome(case: Case, finding: Finding) -> Outcome:
    """Right by the key's own table; 'convention' is what a person looks at: another source or convention, or
    a number that cannot be judged. A number that no one source gives is wrong, though it is in the range."""
    if finding.verdict == "ERROR":
        return "wrong"
    if finding.verdict == "CONVENTION" or finding.source:
        return "convention"
    if finding.verdict == "REVIEW" and not same(case, finding.answer):
        return "convention" if case.estimate.missing else "wrong"
    return "right"


def _marked(
    student: str, claim: Claim, outcome: Outcome, words: str, expected: str = "", slips: tuple[str, ...] = ()
) -> Marked:
    return Marked(student=student, claim=claim, outcome=outcome, expected=expected, words=words, slips=slips)
