"""The claims of a checked key as questions, and those left out with the reason; plain CSV."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from chairgap.answer_key.files.checking import CheckedKey, load_tables
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.rules.asking import Question, question
from chairgap.errors import InputError, Place
from chairgap.records import Claim
from chairgap.report.cells import Row, csv_text, frame_of
from chairgap.tables.shipped import SHIPPED_TABLES

CSV_HEADERS = (
    "item",
    "prompt",
    "choices",
    "answer",
    "low",
    "high",
    "unit",
    "points",
    "feedback",
    "feedback_to_slips",
)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Questions in the order of the key, and (claim, reason) of each claim that makes none."""

    questions: tuple[Question, ...]
    left_out: tuple[tuple[Claim, str], ...]


def questions(checked: CheckedKey, path: Path) -> Asked:
    """The questions of a key checked from the file at `path`."""
    tables = load_tables(checked.sheet, path)
    desk = FactsLookup(tables[SHIPPED_TABLES[0]], place=Place(file=str(path)))
    asked: list[Question] = []
    left: list[tuple[Claim, str]] = []
    for finding in checked.report.findings:
        facts = tuple(desk.facts_of(text) for text in finding.claim.molecules)
        try:
            asked.append(question(finding, facts, tables))
        except InputError as error:
            left.append((finding.claim, error.message))
    return Asked(questions=tuple(asked), left_out=tuple(left))


def questions_csv(asked: Iterable[Question]) -> str:
    """The questions as CSV, each number with the range that counts as right (same unit)."""
    return csv_text(frame_of([_row(item) for item in asked], CSV_HEADERS))


def _row(item: Question) -> Row:
    slips = "; ".join(
        f"{slip.choice if slip.number is None else format(slip.number, 'g')}: {slip.words}"
        for slip in item.slips
    )
    return {
        "item": item.title,
        "prompt": item.prompt,
        "choices": " | ".join(item.choices),
        "answer": " | ".join(item.answers) if item.choices else item.number,
        "low": item.low,
        "high": item.high,
        "unit": item.unit,
        "points": item.points,
        "feedback": item.feedback,
        "feedback_to_slips": slips,
    }
