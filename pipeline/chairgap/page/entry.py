"""What the page says of one molecule: its row, its section, and the numbers packed into the page."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from chairgap.flip.found import molecule_key
from chairgap.page.forms import Form
from chairgap.page.numbers import shape_numbers, thermal_numbers
from chairgap.page.packing import packed
from chairgap.page.pictures import drawings_of
from chairgap.page.rendering import rendered
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.answer import answer_lines
from chairgap.report.columns import Cell
from chairgap.report.detail_tables import ledger_terms
from chairgap.report.digest import by_energy
from chairgap.report.gaps_table import treated
from chairgap.report.headline import (
    farthest_kcal_mol,
    headline_chair,
    headline_verdict,
    main_reason,
    percent_words,
    short_standing,
)
from chairgap.report.names import other_name_words
from chairgap.report.sections import molecule_parts
from chairgap.report.study_tables import labelled
from chairgap.report.words import chair_words, form_words, preferred_words

MOST_CONFORMERS = 200


@dataclass(frozen=True, kw_only=True)
class Row:
    """A molecule in the table of verdicts, in the words of the report's own.

    numbers: words and value (None where there is none) of each column of gaps.csv that has a label.
    reason: the first one, where hand sum and model do not both agree.
    """

    name: str
    preferred: str
    percent: str
    verdict: Verdict
    short_standing: str
    chair_a: str
    chair_b: str
    prefers: str
    numbers: tuple[tuple[str, Cell], ...]
    reason: str
    farthest_kcal_mol: float | None


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A molecule on the page. section is HTML ('' when it is packed or there is none); numbers and details
    are packed ('' where there are none); molecule is its key (`chairgap.flip.found.molecule_key`)."""

    row: Row
    molecule: str = ""
    section: str = ""
    numbers: str = ""
    details: str = ""


@dataclass(frozen=True, kw_only=True)
class Texts:
    """What the files of the study say of the same molecules, without first lines; the first line of the
    ledger."""

    gaps: str
    ledger: str
    structures: str
    ledger_head: str


def entries_of(outcome: Outcome, form: Form, texts: Texts) -> tuple[Entry, ...]:
    """The results of an outcome; in counts only those that disagree, as rows alone."""
    if form == "counts":
        rows = (_row(outcome, result) for result in outcome.results)
        return tuple(Entry(row=row) for row in rows if row.verdict == "disagrees")
    shared = zip(outcome.results, _by_molecule(outcome, texts), strict=True)
    return tuple(_entry(outcome, result, form, own) for result, own in shared)


def _by_molecule(outcome: Outcome, texts: Texts) -> Iterator[dict[str, str]]:
    """The share of each molecule in the texts: rows are lines, and records end with their own line."""
    gaps, ledger = iter(texts.gaps.split("\n")), iter(texts.ledger.split("\n"))
    records = iter(texts.structures.split("$$$$\n"))
    for result in outcome.results:
        terms = "".join(f"{line}\n" for line in islice(ledger, len(ledger_terms(result))))
        yield {
            "gaps": f"{next(gaps)}\n",
            "ledger": texts.ledger_head + terms,
            "structures": "".join(f"{record}$$$$\n" for record in islice(records, len(result.conformers))),
        }


def _entry(outcome: Outcome, result: Result, form: Form, own: dict[str, str]) -> Entry:
    section, lazy = _section(outcome, result, form), form == "lazy"
    return Entry(
        row=_row(outcome, result),
        molecule=molecule_key(result.molecule),
        section="" if lazy else section,
        numbers=packed({"gaps": own["gaps"], "conformers": thermal_numbers(result)}),
        details=packed(
            {
                "section": section if lazy else "",
                "ledger": own["ledger"],
                "structures": own["structures"],
                "shape": shape_numbers(result),
            }
        ),
    )


def _row(outcome: Outcome, result: Result) -> Row:
    (chair_a, chair_b), of_gaps = result.chairs, treated(outcome, result)
    return Row(
        name=result.molecule.name,
        preferred=headline_chair(result),
        percent=percent_words(result),
        verdict=headline_verdict(result),
        short_standing=short_standing(result, outcome.study.settings),
        chair_a=chair_a.name,
        chair_b=chair_b.name,
        prefers=preferred_words(result),
        numbers=tuple((column.said(of_gaps), column.value(of_gaps)) for column in labelled()),
        reason=main_reason(outcome, result),
        farthest_kcal_mol=farthest_kcal_mol(result),
    )


def _section(outcome: Outcome, result: Result, form: Form) -> str:
    conformers = by_energy(result.conformers)
    return rendered(
        "section.html",
        result=result,
        answer=answer_lines(outcome, result),
        systematic=other_name_words(result.molecule),
        parts={part.key: part for part in molecule_parts(outcome, result, most_conformers=MOST_CONFORMERS)},
        pictures=drawings_of(outcome, result, form),
        conformers=[
            (item.number, f"{item.number}: {chair_words(result, item)}; {form_words(item)}")
            for item in conformers
        ],
        model=outcome.study.settings.force_field_or_quantum_method,
        temperature_k=outcome.study.settings.temperature_k,
    )
