"""What the report says of each molecule: its rows in the tables at the top, and its section. Made a few
molecules at a time, by whichever process, and put one behind the other."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain
from typing import Any

from chairgap.records import Outcome, Result
from chairgap.report.answer import answer_part, answer_row
from chairgap.report.blocks import AsGiven, Part
from chairgap.report.columns import Column
from chairgap.report.gaps_table import treated
from chairgap.report.headline import (
    anchored_words,
    headline_chair,
    percent_words,
    short_standing,
    shown_reasons,
)
from chairgap.report.sections import molecule_section
from chairgap.report.study_tables import labelled
from chairgap.report.words import preferred_words, reasons_in_words, verdict_words


@dataclass(frozen=True, kw_only=True)
class ByMolecule:
    """Of some molecules, in order: the answer where the study has one molecule alone, the rows of the tables
    of answers and of verdicts, the sections as Markdown."""

    alone: Part | None = None
    answers: tuple[tuple[str, ...], ...] = ()
    verdicts: tuple[tuple[str, ...], ...] = ()
    sections: tuple[str, ...] = ()


def by_molecule(outcome: Outcome, *, first: int = 1, alone: bool) -> ByMolecule:
    """The results of an outcome; first is the number of the first in its study, alone whether the study has
    no other."""
    return ByMolecule(
        alone=answer_part(outcome, outcome.results[0]) if alone and outcome.results else None,
        answers=tuple(answer_row(outcome, result) for result in outcome.results),
        verdicts=tuple(verdict_row(outcome, result) for result in outcome.results),
        sections=tuple(
            "\n".join(molecule_section(outcome, number, result, alone=alone))
            for number, result in enumerate(outcome.results, first)
        ),
    )


def joined(parts: Iterable[ByMolecule]) -> ByMolecule:
    """One behind the other."""
    every = tuple(parts)
    return ByMolecule(
        alone=next((part.alone for part in every if part.alone), None),
        answers=tuple(chain.from_iterable(part.answers for part in every)),
        verdicts=tuple(chain.from_iterable(part.verdicts for part in every)),
        sections=tuple(chain.from_iterable(part.sections for part in every)),
    )


def verdict_row(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """The row of a molecule in the table of verdicts."""
    (chair_a, chair_b), row = result.chairs, treated(outcome, result)
    return (
        AsGiven(result.molecule.name),
        headline_chair(result),
        anchored_words(result.anchored),
        percent_words(result),
        short_standing(result, outcome.study.settings),
        chair_a.name,
        chair_b.name,
        *(column.said(row) for column in verdict_numbers()),
        preferred_words(result),
        "; ".join(verdict_words(result.comparison)),
        reasons_in_words(shown_reasons(outcome, result)),
    )


def verdict_numbers() -> list[Column[Any]]:
    """The columns of gaps.csv that stand in the table of verdicts."""
    by_name = {column.name: column for column in labelled()}
    return [by_name[f"{kind}_gap_B_minus_A"] for kind in ("estimate", "gibbs", "potential")]
