"""What the terminal shows, as rich renderables; nothing is printed here.

Colour only repeats what words and marks say. Every text from outside goes in as `Text`, never as markup, so a
bracket in a SMILES stays a bracket.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.text import Text

from chairgap.cli.fitting import Column, Fitted, Line
from chairgap.compare.reasons import APOLAR
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.answer import answer_lines, chair_line, headline_sentence
from chairgap.report.citations import value_keys
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
    headline_verdict,
    main_reason,
    parts_rows,
    percent_words,
    short_standing,
)
from chairgap.report.names import other_name_words
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
    MEMORY_LEGEND,
    MEMORY_SIGN,
    SIGN_STATEMENT,
    chair_words,
    citation,
    estimate_words,
    form_words,
    joined_numbers,
    preferred_words,
    short_verdict,
    source_words,
    term_words,
)
from chairgap.text import lines_of, one_line, readable, typeset
from chairgap.units import kj_from_kcal, signed

MOST_CONFORMERS_SHOWN = 10
MOST_DISAGREEMENTS_SHOWN = 5
WIDTH_WITH_REASONS = 110
_INDENT = 4

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
        yield Line(words=typeset(f"{SIGN_STATEMENT}."))
        if fits and not all(result.estimate.complete for result in outcome.results):
            yield Line(words="* incomplete: a value is not published and is left out.")
        for result in outcome.results:
            reason = main_reason(outcome, result)
            if reason and not (wide and fits):
                yield _named(result.molecule.name, reason)
            if unfinished := unfinished_search(result):
                yield _named(result.molecule.name, f"{unfinished}.")
        for status, refusal in untreated(outcome):
            first, *more = lines_of(refusal.message)
            yield Line(words=f"! {status}: {one_line(refusal.name)}: {first}", indent=_INDENT)
            yield from (Line(words=f"    {line}", indent=_INDENT) for line in more)


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
                (_text(f"{title}: {word}"), Text(str(count)), Text(f"{100 * count / tally.molecules:.1f}"))
                for title, counted in (
                    ("verdict", tally.verdicts),
                    ("preferred chair", tally.preferred),
                    ("first reason", tally.reasons),
                )
                for word, count in counted
            ),
        )
        yield Line(words=typeset(f"{SIGN_STATEMENT}."))
        for item in tally.largest[:MOST_DISAGREEMENTS_SHOWN]:
            words = (
                f"anchored {item.anchored}, estimate {item.estimate}, computed {item.gibbs}; {item.reason}"
            )
            yield _named(f"{item.verdict}: {item.name}", words)
        refused, failed = len(self.outcome.refused), len(self.outcome.failed)
        if refused or failed:
            yield Line(words=f"! {refused} refused, {failed} failed; gaps.csv says why.")


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
            _name(result.molecule.name),
            _text(headline_chair(result)),
            _text(anchored_words(result.anchored).replace("0 by symmetry", "exactly 0")),
            Text(percent_words(result).replace(" to ", "\u2013")),
            _text(_marked(result.estimate.shown_kcal_mol[0], complete=result.estimate.complete)),
            *((_text(_completed_sum(result)),) if completed else ()),
            _text(signed(result.gaps.gibbs_kcal_mol)),
            Text(short_standing(result, settings), _COLOURS[headline_verdict(result)]),
            *((_text(main_reason(outcome, result)),) if wide else ()),
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
    yield Line(words=_title(outcome), style="bold")
    for result in outcome.results:
        yield Line(words=one_line(result.molecule.name))
        style = _COLOURS[headline_verdict(result)]
        yield Line(words=f"  {typeset(headline_sentence(outcome, result))}", indent=2, style=style)


def _completed_sum(result: Result) -> str:
    """The sum completed by pair terms, marked as the hand sum is."""
    found = result.completed
    return _marked(found.gap_kcal_mol, complete=found.complete) if found else ""


def _marked(gap_kcal_mol: float | None, *, complete: bool) -> str:
    """A sum without its range, which stands with the ledger; an incomplete one has a star."""
    return signed(gap_kcal_mol) if complete else f"{signed(gap_kcal_mol)}*"


def detail_tables(outcome: Outcome, result: Result) -> RenderableType:
    """Ledger, parts, computed gaps and conformers of one molecule, with what was searched and checked."""
    sentences = (uncertainty_sentence(outcome, result), split_sentence(outcome, result))
    return Group(
        _ledger(outcome, result),
        *_completed(outcome, result),
        *_parts(outcome, result),
        Text(),
        _gaps(outcome, result),
        _comparison(result),
        *(_line(sentence) for sentence in sentences if sentence),
        _line(populations_sentence(outcome, result)),
        *_series(outcome, result),
        Text(),
        _conformers(outcome, result),
        Text(),
        _line(coverage_sentences(result)),
        _line(engines_sentence(result)),
        *(_line(f"Note: {note}") for note in notes(result)),
    )


def references(outcome: Outcome) -> RenderableType:
    """The full references of the values, behind everything that names them in short."""
    lines = [citation(key, outcome.study.tables.sources) for key in value_keys(outcome)]
    if not lines:
        return Group()
    legend = [MEMORY_LEGEND] if any(MEMORY_SIGN in line for line in lines) else []
    return Group(Text("References", "bold"), *(_line(line, indent=2) for line in (*lines, *legend)))


def closing_lines(paths: Sequence[Path]) -> list[str]:
    """Where the files are, and the cautions; plain lines, so that no path is broken in two."""
    written = [written_line(paths)] if paths else []
    return [*written, *CAUTIONS]


def written_line(paths: Sequence[Path]) -> str:
    """'Written to out: gaps.csv, ...', with unprintable characters of the folder as code points."""
    return readable(f"Written to {paths[0].parent}: {', '.join(path.name for path in paths)}")


def headlines(outcome: Outcome) -> RenderableType:
    """The answer for each molecule, with both chairs, the reason and what is measured."""
    shown: list[RenderableType] = []
    for result in outcome.results:
        first, *more = answer_lines(outcome, result)
        style = f"bold {_COLOURS[headline_verdict(result)]}".strip()
        shown += [
            _titled(result),
            *(Line(words=f"  {words}", indent=_INDENT) for words in _systematic(result)),
            Line(words=typeset(one_line(first)), indent=2, style=style),
            *(_line(f"  {chair_line(chair)}", indent=_INDENT) for chair in result.chairs),
            *(_line(line, indent=2) for line in more),
        ]
        if any(MEMORY_SIGN in line for line in more):
            shown.append(Line(words=MEMORY_LEGEND))
        shown.append(Text())
    return Group(*shown)


def _systematic(result: Result) -> list[str]:
    """The line of the systematic name, letter by letter; none for a part of a molecule."""
    words = other_name_words(result.molecule)
    return [words] if words else []


def _name(words: str) -> Text:
    """A name as it was given."""
    return Text(one_line(words))


def _text(words: str) -> Text:
    """Words of ours, set in type."""
    return Text(typeset(one_line(words)))


def _line(words: str, *, indent: int = 0) -> Line:
    return Line(words=words[: len(words) - len(words.lstrip())] + typeset(one_line(words)), indent=indent)


def _titled(result: Result) -> Line:
    """The name as it was given, with the numbering that all numbers of carbons keep to."""
    molecule = result.molecule
    numbered = typeset(one_line(molecule.numbered_groups))
    return Line(words=f"{one_line(molecule.name)} ({numbered})", indent=_INDENT)


def _named(name: str, words: str) -> Line:
    return Line(words=f"{one_line(name)}: {typeset(one_line(words))}", indent=_INDENT)


def _columns(heads: Sequence[str], *, right: Sequence[str] = ()) -> tuple[Column, ...]:
    """Columns of these heads; those of numbers stand at the right, and no range is broken."""
    return tuple(
        Column(head=typeset(head), right=head in right, whole=head in right or "range" in head)
        for head in heads
    )


def _parts(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The parts of the anchored gap with their sum; nothing without parts."""
    title = "Anchored gap G(B) - G(A) in parts, kcal/mol (positive: towards chair A)"
    return _with_total(title, PARTS_HEAD, parts_rows(outcome, result))


def _completed(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The completed sum with its subtotals; nothing without one."""
    shown = _with_total(COMPLETED_TITLE, COMPLETED_HEAD, completed_rows(outcome, result))
    return [*shown, *map(_line, completed_sentences(result))]


def _with_total(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[RenderableType]:
    """Rows under a title, the last of them their sum; nothing without rows."""
    if not rows:
        return []
    table = Fitted(
        title=typeset(title),
        columns=_columns(heads, right=("kcal/mol", "+-")),
        rows=tuple(tuple(map(_text, row)) for row in rows),
        total=True,
    )
    return [Text(), table]


def _comparison(result: Result) -> Line:
    """Estimate against computation, the comparison of the program's own table."""
    return _line(
        f"Estimate and computation: {short_verdict(result.comparison)}; preferred by the computation: "
        f"{preferred_words(result)}."
    )


def _gaps(outcome: Outcome, result: Result) -> Fitted:
    settings = outcome.study.settings
    rows = (
        (kind, signed(value), signed(None if value is None else kj_from_kcal(value)))
        for kind, value in gap_kinds(outcome, result)
    )
    return Fitted(
        title=f"Computed gaps, {settings.force_field_or_quantum_method}, {settings.medium.name}",
        columns=_columns(("Kind", "kcal/mol", "kJ/mol"), right=("kcal/mol", "kJ/mol")),
        rows=tuple(tuple(map(_text, row)) for row in rows),
    )


def _series(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The fit of the temperature series, the media of the solvent series, and which of them not to trust."""
    phrase = series_sentence(result)
    shown: list[RenderableType] = [_line(phrase)] if phrase else []
    if result.media:
        numbers = ("Dielectric", "Anchored", "E(B) - E(A)", "G(B) - G(A)", "A, %", "B, %")
        rows = (
            (
                point.medium,
                f"{point.dielectric:.4g}",
                anchored_words(anchored),
                signed(point.potential_kcal_mol),
                signed(point.gibbs_kcal_mol),
                f"{100 * point.population_a:.1f}",
                f"{100 * point.population_b:.1f}",
            )
            for point, anchored in zip(result.media, result.anchored_in_media, strict=True)
        )
        at = f"{outcome.study.settings.temperature_k:.2f} K"
        table = Fitted(
            title=f"Solvents, kcal/mol; G and percent at {at}",
            columns=_columns(("Medium", *numbers), right=numbers),
            rows=tuple(tuple(map(_text, row)) for row in rows),
        )
        shown += [Text(), table]
    distrust = [reason.evidence for reason in result.comparison.reasons if reason.code == APOLAR]
    return shown + [_line(f"{words[0].upper()}{words[1:]}.") for words in distrust]


def _ledger(outcome: Outcome, result: Result) -> Fitted:
    estimate = result.estimate
    caption = f"Estimated gap G(B) - G(A), kcal/mol: {estimate_words(result)}"
    if estimate.missing:
        caption += "; without a published value, and left out: " + "; ".join(estimate.missing)
    rows = (
        (
            term.chair,
            joined_numbers(term.carbons),
            ", ".join(term.groups),
            term_words(term),
            source_words(term.source, outcome.table),
            term.words,
        )
        for term in estimate.terms
    )
    return Fitted(
        title="Hand estimate, Gibbs energy, kcal/mol (positive: unfavourable)",
        columns=_columns(
            ("Chair", "Carbons", "Groups", "Energy in this chair (range)", "Source", "In words")
        ),
        rows=tuple(tuple(map(_text, row)) for row in rows),
        caption=typeset(one_line(caption)),
    )


def _conformers(outcome: Outcome, result: Result) -> Fitted:
    at = f"{outcome.study.settings.temperature_k:.2f} K"
    ordered = by_energy(result.conformers)
    shares = fractions(result.conformers, outcome.study.settings.temperature_k)
    numbers = ("Potential", "Gibbs", "Population", "Degeneracy")
    rows = (
        (
            str(conformer.number),
            chair_words(result, conformer),
            form_words(conformer),
            f"{conformer.minimum.energy_kcal_mol - ordered[0].minimum.energy_kcal_mol:.2f}",
            f"{conformer.gibbs_kcal_mol - min(other.gibbs_kcal_mol for other in ordered):.2f}",
            f"{100 * shares[conformer.number]:.1f} %",
            str(conformer.degeneracy),
        )
        for conformer in ordered[:MOST_CONFORMERS_SHOWN]
    )
    more = len(ordered) - MOST_CONFORMERS_SHOWN
    return Fitted(
        title=f"Conformers: kcal/mol above the lowest; Gibbs and population at {at}",
        columns=_columns(("No.", "Chair", "Ring", *numbers), right=numbers),
        rows=tuple(tuple(map(_text, row)) for row in rows),
        caption=f"{more} more are not shown." if more > 0 else "",
    )
