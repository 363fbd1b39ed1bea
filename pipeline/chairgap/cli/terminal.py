"""What the terminal shows, as rich renderables; nothing is printed here.

Colour only repeats what words and marks say. Every text from outside goes in as `Text`, never as markup, so a
bracket in a SMILES stays a bracket.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.box import SIMPLE_HEAD
from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.table import Table
from rich.text import Text

from chairgap.compare.reasons import APOLAR
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.completed import (
    COMPLETED_HEAD,
    COMPLETED_TITLE,
    completed_rows,
    completed_sentences,
)
from chairgap.report.digest import by_energy, fractions, notes, unfinished_search, untreated
from chairgap.report.headline import (
    PARTS_HEAD,
    anchored_words,
    headline_chair,
    headline_sentence,
    headline_verdict,
    main_reason,
    measured_sentences,
    medium_sentence,
    parts_rows,
    percent_words,
    short_standing,
)
from chairgap.report.measured import measured_equilibria
from chairgap.report.sentences import (
    coverage_sentences,
    engines_sentence,
    gap_kinds,
    populations_sentence,
    series_sentence,
    split_sentence,
    uncertainty_sentence,
)
from chairgap.report.tally import Tally
from chairgap.report.words import (
    CAUTIONS,
    SIGN_STATEMENT,
    chair_words,
    estimate_words,
    form_words,
    joined_numbers,
    preferred_words,
    short_verdict,
    signed,
    source_words,
    term_words,
)
from chairgap.text import lines_of, one_line, readable
from chairgap.units import kj_from_kcal

MOST_CONFORMERS_SHOWN = 10
MOST_DISAGREEMENTS_SHOWN = 5
WIDTH_WITH_REASONS = 110
WIDTH_OF_NAMES = 78
WIDTH_OF_LONG_NAMES = 110

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

    On a narrow terminal the reasons stand under the table instead of in its last column.
    """

    outcome: Outcome

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        wide = options.max_width >= WIDTH_WITH_REASONS
        if self.outcome.results:
            yield _overview(self.outcome, width=options.max_width)
        yield Text(f"{SIGN_STATEMENT}.")
        if not wide and not all(result.estimate.complete for result in self.outcome.results):
            yield Text("* incomplete: a pair has no published value and is left out.")
        for result in self.outcome.results:
            reason = main_reason(self.outcome, result)
            if reason and not wide:
                yield _text(f"{result.molecule.name}: {reason}")
            if unfinished := unfinished_search(result):
                yield _text(f"{result.molecule.name}: {unfinished}.")
        for status, refusal in untreated(self.outcome):
            first, *more = lines_of(refusal.message)
            yield _text(f"! {status}: {refusal.name}: {first}")
            yield from (Text(f"    {line}") for line in more)


@dataclass(frozen=True, kw_only=True)
class TallyTable:
    """A study too large for a table of molecules, in counts, with its largest disagreements."""

    outcome: Outcome
    tally: Tally

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        tally, settings = self.tally, self.outcome.study.settings
        table = _table(f"{one_line(settings.title)}: {tally.molecules} molecules, {settings.model}")
        table.add_column("")
        table.add_column("Molecules", justify="right")
        table.add_column("%", justify="right")
        for title, counted in (
            ("verdict", tally.verdicts),
            ("preferred chair", tally.preferred),
            ("first reason", tally.reasons),
        ):
            for word, count in counted:
                table.add_row(_text(f"{title}: {word}"), str(count), f"{100 * count / tally.molecules:.1f}")
        yield table
        yield Text(f"{SIGN_STATEMENT}.")
        for item in tally.largest[:MOST_DISAGREEMENTS_SHOWN]:
            yield _text(
                f"{item.verdict}: {item.name}: anchored {item.anchored}, estimate {item.estimate}, computed "
                f"{item.gibbs}; {item.reason}"
            )
        refused, failed = len(self.outcome.refused), len(self.outcome.failed)
        if refused or failed:
            yield Text(f"! {refused} refused, {failed} failed; gaps.csv says why.")


def _overview(outcome: Outcome, *, width: int) -> Table:
    settings, wide = outcome.study.settings, width >= WIDTH_WITH_REASONS
    conditions = (
        f"{settings.force_field_or_quantum_method}, {settings.medium.name}, {settings.temperature_k:.2f} K"
    )
    table = _table(f"{one_line(settings.title)}: gaps in kcal/mol, {conditions}")
    names = 17 if width >= WIDTH_OF_LONG_NAMES else 15 if width >= WIDTH_OF_NAMES else None
    table.add_column("Molecule", min_width=names, overflow="fold")
    table.add_column("Preferred chair", max_width=16 if wide else 12, overflow="fold")
    table.add_column("Gap", justify="right", no_wrap=True)
    table.add_column("Percent", justify="right", no_wrap=True)
    table.add_column("Hand sum", justify="right", min_width=6)
    completed = any(result.completed for result in outcome.results)
    if completed:
        table.add_column("Completed", justify="right", min_width=6)
    table.add_column(settings.force_field_or_quantum_method, justify="right", min_width=6)
    table.add_column("Verdict", max_width=20 if wide else 12, overflow="fold")
    if wide:
        table.add_column("Main reason", max_width=26, overflow="fold")
    for result in outcome.results:
        gap, percent = anchored_words(result.anchored), percent_words(result)
        cells = [
            _text(result.molecule.name),
            _text(headline_chair(result)),
            Text(gap if wide else gap.replace(" +- ", "\n+- ")),
            Text(percent if wide else percent.replace(" (", "\n").rstrip(")")),
            Text(_hand_sum(result, wide=wide)),
            *([Text(_completed_sum(result, wide=wide))] if completed else []),
            Text(signed(result.gaps.gibbs_kcal_mol)),
            Text(short_standing(result, settings), _COLOURS[headline_verdict(result)]),
        ]
        table.add_row(*cells, *([_text(main_reason(outcome, result))] if wide else []))
    return table


def _hand_sum(result: Result, *, wide: bool) -> str:
    """The sum without its range, which stands with the ledger; an incomplete one is marked."""
    return _marked(result.estimate.shown_kcal_mol[0], complete=result.estimate.complete, wide=wide)


def _completed_sum(result: Result, *, wide: bool) -> str:
    """The sum completed by pair terms, marked as the hand sum is."""
    found = result.completed
    return _marked(found.gap_kcal_mol, complete=found.complete, wide=wide) if found else ""


def _marked(gap_kcal_mol: float | None, *, complete: bool, wide: bool) -> str:
    gap = signed(gap_kcal_mol)
    return gap if complete else f"{gap}\nincomplete" if wide else f"{gap}*"


def detail_tables(outcome: Outcome, result: Result) -> RenderableType:
    """Ledger, parts, computed gaps and conformers of one molecule, with what was searched and checked."""
    return Group(
        _ledger(outcome, result),
        *_completed(outcome, result),
        *_parts(outcome, result),
        Text(),
        _gaps(outcome, result),
        _comparison(result),
        *(
            _text(line)
            for line in (uncertainty_sentence(outcome, result), split_sentence(outcome, result))
            if line
        ),
        Text(populations_sentence(outcome, result)),
        *_series(outcome, result),
        Text(),
        _conformers(outcome, result),
        Text(),
        Text(coverage_sentences(result)),
        Text(engines_sentence(result)),
        *(_text(f"Note: {note}") for note in notes(result)),
    )


def closing_lines(paths: Sequence[Path]) -> list[str]:
    """Where the files are, and the cautions; plain lines, so that no path is broken in two."""
    written = [written_line(paths)] if paths else []
    return [*written, *CAUTIONS]


def written_line(paths: Sequence[Path]) -> str:
    """'Written to out: gaps.csv, ...', with unprintable characters of the folder as code points."""
    return readable(f"Written to {paths[0].parent}: {', '.join(path.name for path in paths)}")


def _table(title: str) -> Table:
    return Table(
        title=Text(title, style="bold"),
        title_justify="left",
        box=SIMPLE_HEAD,
        show_edge=False,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )


def _text(words: str) -> Text:
    return Text(one_line(words))


def headlines(outcome: Outcome) -> RenderableType:
    """The answer for each molecule in sentences."""
    shown: list[RenderableType] = []
    for result in outcome.results:
        lines = (
            f"{result.molecule.name}: {headline_sentence(outcome, result)}",
            *measured_sentences(outcome, result),
            medium_sentence(outcome, result),
            *measured_equilibria(outcome, result),
        )
        shown += [*(_text(line) for line in lines if line), Text()]
    return Group(*shown)


def _parts(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The parts of the anchored gap with their sum; nothing without parts."""
    title = "Anchored gap G(B) - G(A) in parts, kcal/mol (positive: towards chair A)"
    return _with_total(title, PARTS_HEAD, parts_rows(outcome, result))


def _completed(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The completed sum with its subtotals; nothing without one."""
    shown = _with_total(COMPLETED_TITLE, COMPLETED_HEAD, completed_rows(outcome, result))
    return [*shown, *map(_text, completed_sentences(result))]


def _with_total(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[RenderableType]:
    """Rows under a title, the last of them their sum; nothing without rows."""
    if not rows:
        return []
    table = _table(title)
    for head in heads:
        number = head in ("kcal/mol", "+-")
        table.add_column(head, justify="right" if number else "left", no_wrap=number, overflow="fold")
    for row in rows[:-1]:
        table.add_row(*map(_text, row))
    table.add_section()
    table.add_row(*map(_text, rows[-1]))
    return [Text(), table]


def _comparison(result: Result) -> Text:
    """Estimate against computation, the comparison of the program's own table."""
    return _text(
        f"Estimate and computation: {short_verdict(result.comparison)}; preferred by the computation: "
        f"{preferred_words(result)}."
    )


def _gaps(outcome: Outcome, result: Result) -> Table:
    settings = outcome.study.settings
    table = _table(f"Computed gaps, {settings.force_field_or_quantum_method}, {settings.medium.name}")
    table.add_column("Kind", overflow="fold")
    table.add_column("kcal/mol", justify="right")
    table.add_column("kJ/mol", justify="right")
    for kind, value in gap_kinds(outcome, result):
        table.add_row(kind, signed(value), signed(None if value is None else kj_from_kcal(value)))
    return table


def _series(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The fit of the temperature series, the media of the solvent series, and which of them not to trust."""
    phrase = series_sentence(result)
    shown: list[RenderableType] = [Text(phrase)] if phrase else []
    if result.media:
        table = _table(f"Solvents, kcal/mol; G and percent at {outcome.study.settings.temperature_k:.2f} K")
        table.add_column("Medium", overflow="fold")
        for head in ("Dielectric", "Anchored", "E(B) - E(A)", "G(B) - G(A)", "A, %", "B, %"):
            table.add_column(head, justify="right")
        for point, anchored in zip(result.media, result.anchored_in_media, strict=True):
            table.add_row(
                _text(point.medium),
                f"{point.dielectric:.4g}",
                Text(anchored_words(anchored)),
                signed(point.potential_kcal_mol),
                signed(point.gibbs_kcal_mol),
                f"{100 * point.population_a:.1f}",
                f"{100 * point.population_b:.1f}",
            )
        shown += [Text(), table]
    distrust = [reason.evidence for reason in result.comparison.reasons if reason.code == APOLAR]
    return shown + [_text(f"{words[0].upper()}{words[1:]}.") for words in distrust]


def _ledger(outcome: Outcome, result: Result) -> Table:
    table = _table("Hand estimate, Gibbs energy, kcal/mol (positive: unfavourable)")
    for head in ("Chair", "Carbons", "Groups", "Energy in this chair (range)", "Source", "In words"):
        table.add_column(head, overflow="fold", no_wrap="range" in head)
    for term in result.estimate.terms:
        table.add_row(
            term.chair,
            joined_numbers(term.carbons),
            _text(", ".join(term.groups)),
            _text(term_words(term)),
            _text(source_words(term.source, outcome.table)),
            _text(term.words),
        )
    estimate = result.estimate
    caption = f"Estimated gap G(B) - G(A), kcal/mol: {estimate_words(result)}"
    if estimate.missing:
        caption += "; without a published value, and left out: " + "; ".join(estimate.missing)
    table.caption, table.caption_justify = _text(caption), "left"
    return table


def _conformers(outcome: Outcome, result: Result) -> Table:
    at = f"{outcome.study.settings.temperature_k:.2f} K"
    table = _table(f"Conformers: kcal/mol above the lowest; Gibbs and population at {at}")
    for head in ("No.", "Chair", "Ring"):
        table.add_column(head, overflow="fold")
    for head in ("Potential", "Gibbs", "Population", "Degeneracy"):
        table.add_column(head, justify="right")
    ordered = by_energy(result.conformers)
    shares = fractions(result.conformers, outcome.study.settings.temperature_k)
    for conformer in ordered[:MOST_CONFORMERS_SHOWN]:
        table.add_row(
            str(conformer.number),
            _text(chair_words(result, conformer)),
            _text(form_words(conformer)),
            f"{conformer.minimum.energy_kcal_mol - ordered[0].minimum.energy_kcal_mol:.2f}",
            f"{conformer.gibbs_kcal_mol - min(other.gibbs_kcal_mol for other in ordered):.2f}",
            f"{100 * shares[conformer.number]:.1f} %",
            str(conformer.degeneracy),
        )
    if len(ordered) > MOST_CONFORMERS_SHOWN:
        table.caption = Text(f"{len(ordered) - MOST_CONFORMERS_SHOWN} more are not shown.")
        table.caption_justify = "left"
    return table
