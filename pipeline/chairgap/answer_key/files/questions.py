"""The claims of a checked key as questions, and those left out with the reason; plain CSV."""

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from chairgap.answer_key.files.checking import CheckedKey, facts_desk, load_tables
from chairgap.answer_key.rules.asking import Question, question
from chairgap.errors import InputError
from chairgap.records import Claim
from chairgap.report.columns import Table, number, text


@dataclass(frozen=True, kw_only=True)
class Asked:
    """Questions in the order of the key, and (claim, reason) of each claim that makes none."""

    questions: tuple[Question, ...]
    left_out: tuple[tuple[Claim, str], ...]


def questions(checked: CheckedKey, path: Path) -> Asked:
    """The questions of a key checked from the file at `path`."""
    tables = load_tables(checked.sheet, path)
    desk = facts_desk(tables, path)
    asked: list[Question] = []
    left: list[tuple[Claim, str]] = []
    for finding in checked.report.findings:
        facts = checked.report.facts_for(finding.claim, desk.facts_of)
        try:
            asked.append(question(finding, facts, tables))
        except InputError as error:
            left.append((finding.claim, error.message))
    return Asked(questions=tuple(asked), left_out=tuple(left))


def _answer(question: Question) -> str | float | None:
    return " | ".join(question.answers) if question.choices else question.number


def _slips(question: Question) -> str:
    return "; ".join(
        f"{slip.choice if slip.number is None else format(slip.number, 'g')}: {slip.words}"
        for slip in question.slips
    )


# Each number with the range that counts as right, in the same unit.
QUESTIONS: Table[Iterable[Question], Question] = Table(
    rows=lambda asked: asked,
    columns=(
        text("item", lambda question: question.title),
        text("prompt", lambda question: question.prompt),
        text("choices", lambda question: " | ".join(question.choices)),
        text("answer", _answer),
        number("low", "", lambda question: question.low),
        number("high", "", lambda question: question.high),
        text("unit", lambda question: question.unit),
        number("points", "", lambda question: question.points),
        text("feedback", lambda question: question.feedback),
        text("feedback_to_slips", _slips),
    ),
)
