"""The overview of a study on the terminal, and the answer for each molecule; nothing is printed here.

Colour only repeats what words and marks say.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.text import Text

from chairgap.cli.fitting import Column, Fitted, Line
from chairgap.cli.lines import INDENT, about, cell, line
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.answer import answer_lines, chair_line
from chairgap.report.blocks import AsGiven
from chairgap.report.digest import untreated
from chairgap.report.headline import headline_verdict
from chairgap.report.names import other_name_words
from chairgap.report.overview import OverviewRow
from chairgap.report.tally import Tally
from chairgap.report.words import MEMORY_LEGEND, MEMORY_SIGN, SIGN_STATEMENT
from chairgap.text import lines_of, one_line

MOST_DISAGREEMENTS_SHOWN = 5
WIDTH_WITH_REASONS = 110

_COLOURS: dict[Verdict, str] = {
    "agrees": "green",
    "disagrees": "red",
    "undecided": "yellow",
    "not comparable": "",
}


@dataclass(frozen=True, kw_only=True)
class OutcomeTable:
    """The table a person reads in ten seconds: who is preferred, by how much, how sure, whether hand sum and
    model agree, and the first reason where they do not (report.md gives all, with their numbers).

    On a narrow terminal the reasons stand under the table instead of in its last column; where not even the
    longest words of the columns have room, each molecule has its headline instead.
    """

    outcome: Outcome
    rows: tuple[OverviewRow, ...]

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        outcome, rows, wide = self.outcome, self.rows, options.max_width >= WIDTH_WITH_REASONS
        table = _overview(outcome, rows, wide=wide)
        fits = table.fits(options.max_width)
        if rows:
            yield from (table,) if fits else _headlines(outcome, rows)
        yield line(f"{SIGN_STATEMENT}.")
        if fits and not all(row.complete for row in rows):
            yield line("* incomplete: a value is not published and is left out.")
        for row in rows:
            if row.reason and not (wide and fits):
                yield about(row.name, row.reason)
            if row.unfinished:
                yield about(row.name, f"{row.unfinished}.")
        for status, refusal in untreated(outcome):
            first, *more = lines_of(refusal.message)
            yield line(AsGiven(f"! {status}: {refusal.name}: {first}"), indent=INDENT)
            yield from (line(AsGiven(words), start=INDENT, indent=INDENT) for words in more)


@dataclass(frozen=True, kw_only=True)
class TallyTable:
    """A study too large for a table of molecules, in counts, with its largest disagreements."""

    outcome: Outcome
    tally: Tally

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        tally, settings = self.tally, self.outcome.study.settings
        yield Fitted(
            title=f"{one_line(settings.title)}: {tally.molecules} molecules, {settings.model}",
            columns=(Column(head=""), Column(head="Molecules", right=True), Column(head="%", right=True)),
            rows=tuple(
                (cell(f"{title}: {word}"), Text(str(count)), Text(f"{100 * count / tally.molecules:.1f}"))
                for title, counted in (
                    ("verdict", tally.verdicts),
                    ("preferred chair", tally.preferred),
                    ("first reason", tally.reasons),
                )
                for word, count in counted
            ),
        )
        yield line(f"{SIGN_STATEMENT}.")
        for item in tally.largest[:MOST_DISAGREEMENTS_SHOWN]:
            words = (
                f"anchored {item.anchored}, estimate {item.estimate}, computed {item.gibbs}; {item.reason}"
            )
            yield about(f"{item.verdict}: {item.name}", words)
        refused, failed = len(self.outcome.refused), len(self.outcome.failed)
        if refused or failed:
            yield line(f"! {refused} refused, {failed} failed; gaps.csv says why.")


def _overview(outcome: Outcome, shown: Sequence[OverviewRow], *, wide: bool) -> Fitted:
    model = outcome.study.settings.force_field_or_quantum_method
    completed = any(row.completed for row in shown)
    columns = (
        Column(head="Molecule"),
        Column(head="Preferred chair"),
        Column(head="Gap", right=True),
        Column(head="Percent", right=True),
        Column(head="Hand sum", right=True),
        *((Column(head="Completed", right=True),) if completed else ()),
        Column(head=model, right=True),
        Column(head="Verdict"),
        *((Column(head="Main reason"),) if wide else ()),
    )
    rows = (
        (
            cell(AsGiven(row.name)),
            cell(row.chair),
            cell(row.gap),
            Text(row.percent),
            cell(row.hand_sum),
            *((cell(row.completed),) if completed else ()),
            cell(row.model_gap),
            Text(row.standing, _COLOURS[row.verdict]),
            *((cell(row.reason),) if wide else ()),
        )
        for row in shown
    )
    return Fitted(title=_title(outcome), columns=columns, rows=tuple(rows))


def _title(outcome: Outcome) -> str:
    settings = outcome.study.settings
    model, medium = settings.force_field_or_quantum_method, settings.medium.name
    return f"{one_line(settings.title)}: gaps in kcal/mol, {model}, {medium}, {settings.temperature_k:.2f} K"


def _headlines(outcome: Outcome, rows: Sequence[OverviewRow]) -> Iterator[RenderableType]:
    """Each molecule with its headline below, for a terminal that no table fits."""
    yield line(AsGiven(_title(outcome)), style="bold")
    for row in rows:
        yield line(AsGiven(row.name))
        yield line(row.sentence, start=2, indent=2, style=_COLOURS[row.verdict])


def headlines(outcome: Outcome) -> RenderableType:
    """The answer for each molecule, with both chairs, the reason and what is measured."""
    shown: list[RenderableType] = []
    for result in outcome.results:
        first, *more = answer_lines(outcome, result)
        style = f"bold {_COLOURS[headline_verdict(result)]}".strip()
        shown += [
            _titled(result),
            *(line(words, start=2, indent=INDENT) for words in _systematic(result)),
            line(first, indent=2, style=style),
            *(line(chair_line(chair), start=2, indent=INDENT) for chair in result.chairs),
            *(line(words, indent=2) for words in more),
        ]
        if any(MEMORY_SIGN in words for words in more):
            shown.append(line(MEMORY_LEGEND))
        shown.append(Text())
    return Group(*shown)


def _titled(result: Result) -> Line:
    """The name as it was given, with the numbering that all numbers of carbons keep to."""
    molecule = result.molecule
    return line(AsGiven(f"{molecule.name} ({molecule.numbered_groups})"), indent=INDENT)


def _systematic(result: Result) -> list[AsGiven]:
    """The line of the systematic name; none for a part of a molecule."""
    words = other_name_words(result.molecule)
    return [words] if words else []
