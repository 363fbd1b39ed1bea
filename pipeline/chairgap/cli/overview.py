"""The overview of a study on the terminal, and the answer for each molecule; nothing is printed here.

Colour only repeats what words and marks say.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.text import Text

from chairgap.cli.fitting import Column, Fitted, Line
from chairgap.cli.lines import INDENT, about, cell, line
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.answer import answer_lines, chair_line, headline_sentence
from chairgap.report.blocks import AsGiven
from chairgap.report.digest import unfinished_search, untreated
from chairgap.report.headline import (
    anchored_words,
    headline_chair,
    headline_verdict,
    main_reason,
    percent_words,
    short_standing,
)
from chairgap.report.names import other_name_words
from chairgap.report.tally import Tally
from chairgap.report.words import MEMORY_LEGEND, MEMORY_SIGN, SIGN_STATEMENT
from chairgap.text import lines_of, one_line
from chairgap.units import signed

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

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        outcome, wide = self.outcome, options.max_width >= WIDTH_WITH_REASONS
        table = _overview(outcome, wide=wide)
        fits = table.fits(options.max_width)
        if outcome.results:
            yield from (table,) if fits else _headlines(outcome)
        yield line(f"{SIGN_STATEMENT}.")
        if fits and not all(result.estimate.complete for result in outcome.results):
            yield line("* incomplete: a value is not published and is left out.")
        for result in outcome.results:
            reason = main_reason(outcome, result)
            if reason and not (wide and fits):
                yield about(result.molecule.name, reason)
            if unfinished := unfinished_search(result):
                yield about(result.molecule.name, f"{unfinished}.")
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


def _overview(outcome: Outcome, *, wide: bool) -> Fitted:
    settings = outcome.study.settings
    model = settings.force_field_or_quantum_method
    completed = any(result.completed for result in outcome.results)
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
            cell(AsGiven(result.molecule.name)),
            cell(headline_chair(result)),
            cell(anchored_words(result.anchored).replace("0 by symmetry", "exactly 0")),
            Text(percent_words(result).replace(" to ", "\u2013")),
            cell(_marked(result.estimate.shown_kcal_mol[0], complete=result.estimate.complete)),
            *((cell(_completed_sum(result)),) if completed else ()),
            cell(signed(result.gaps.gibbs_kcal_mol)),
            Text(short_standing(result, settings), _COLOURS[headline_verdict(result)]),
            *((cell(main_reason(outcome, result)),) if wide else ()),
        )
        for result in outcome.results
    )
    return Fitted(title=_title(outcome), columns=columns, rows=tuple(rows))


def _title(outcome: Outcome) -> str:
    settings = outcome.study.settings
    model, medium = settings.force_field_or_quantum_method, settings.medium.name
    return f"{one_line(settings.title)}: gaps in kcal/mol, {model}, {medium}, {settings.temperature_k:.2f} K"


def _headlines(outcome: Outcome) -> Iterator[RenderableType]:
    """Each molecule with its headline below, for a terminal that no table fits."""
    yield line(AsGiven(_title(outcome)), style="bold")
    for result in outcome.results:
        yield line(AsGiven(result.molecule.name))
        style = _COLOURS[headline_verdict(result)]
        yield line(headline_sentence(outcome, result), start=2, indent=2, style=style)


def _completed_sum(result: Result) -> str:
    """The sum completed by pair terms, marked as the hand sum is."""
    found = result.completed
    return _marked(found.gap_kcal_mol, complete=found.complete) if found else ""


def _marked(gap_kcal_mol: float | None, *, complete: bool) -> str:
    """A sum without its range, which stands with the ledger; an incomplete one has a star."""
    return signed(gap_kcal_mol) if complete else f"{signed(gap_kcal_mol)}*"


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
