"""All about one molecule on the terminal, below its answer; nothing is printed here."""

from collections.abc import Sequence

from rich.console import Group, RenderableType
from rich.text import Text

from chairgap.cli.fitting import Fitted, Line
from chairgap.cli.lines import cells, columns, line
from chairgap.compare.reasons import APOLAR
from chairgap.records import Outcome, Result
from chairgap.report.blocks import in_type
from chairgap.report.citations import cited_of, value_keys
from chairgap.report.completed import (
    COMPLETED_HEAD,
    COMPLETED_TITLE,
    completed_rows,
    completed_sentences,
)
from chairgap.report.digest import by_energy, fractions, notes
from chairgap.report.headline import PARTS_HEAD, anchored_words, parts_rows
from chairgap.report.sentences import (
    coverage_sentences,
    engines_sentence,
    gap_kinds,
    populations_sentence,
    series_sentence,
    split_sentence,
    uncertainty_sentence,
)
from chairgap.report.words import (
    MEMORY_LEGEND,
    MEMORY_SIGN,
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
from chairgap.units import kj_from_kcal, signed

MOST_CONFORMERS_SHOWN = 10


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
        *(line(sentence) for sentence in sentences if sentence),
        line(populations_sentence(outcome, result)),
        *_series(outcome, result),
        Text(),
        _conformers(outcome, result),
        Text(),
        line(coverage_sentences(result)),
        line(engines_sentence(result)),
        *(line(f"Note: {note}") for note in notes(result)),
    )


def references(outcome: Outcome) -> RenderableType:
    """The full references of the values, behind everything that names them in short."""
    lines = [citation(key, outcome.study.tables.sources) for key in value_keys(cited_of(outcome))]
    if not lines:
        return Group()
    legend = [MEMORY_LEGEND] if any(MEMORY_SIGN in words for words in lines) else []
    return Group(Text("References", "bold"), *(line(words, indent=2) for words in (*lines, *legend)))


def _parts(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The parts of the anchored gap with their sum; nothing without parts."""
    title = "Anchored gap G(B) - G(A) in parts, kcal/mol (positive: towards chair A)"
    return _with_total(title, PARTS_HEAD, parts_rows(outcome, result))


def _completed(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The completed sum with its subtotals; nothing without one."""
    shown = _with_total(COMPLETED_TITLE, COMPLETED_HEAD, completed_rows(outcome, result))
    return [*shown, *map(line, completed_sentences(result))]


def _with_total(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[RenderableType]:
    """Rows under a title, the last of them their sum; nothing without rows."""
    if not rows:
        return []
    table = Fitted(
        title=in_type(title),
        columns=columns(heads, right=("kcal/mol", "+-")),
        rows=cells(rows),
        total=True,
    )
    return [Text(), table]


def _comparison(result: Result) -> Line:
    """Estimate against computation, the comparison of the program's own table."""
    return line(
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
        columns=columns(("Kind", "kcal/mol", "kJ/mol"), right=("kcal/mol", "kJ/mol")),
        rows=cells(rows),
    )


def _series(outcome: Outcome, result: Result) -> list[RenderableType]:
    """The fit of the temperature series, the media of the solvent series, and which of them not to trust."""
    phrase = series_sentence(outcome, result)
    shown: list[RenderableType] = [line(phrase)] if phrase else []
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
        settings = outcome.study.settings
        model, at = settings.force_field_or_quantum_method, f"{settings.temperature_k:.2f} K"
        table = Fitted(
            title=f"Solvents, {model}, kcal/mol; G and percent at {at}",
            columns=columns(("Medium", *numbers), right=numbers),
            rows=cells(rows),
        )
        shown += [Text(), table]
    distrust = [reason.evidence for reason in result.comparison.reasons if reason.code == APOLAR]
    return shown + [line(f"{words[0].upper()}{words[1:]}.") for words in distrust]


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
        columns=columns(("Chair", "Carbons", "Groups", "Energy in this chair (range)", "Source", "In words")),
        rows=cells(rows),
        caption=in_type(caption),
    )


def _conformers(outcome: Outcome, result: Result) -> Fitted:
    settings = outcome.study.settings
    model, at = settings.force_field_or_quantum_method, f"{settings.temperature_k:.2f} K"
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
        title=f"Conformers by {model}: kcal/mol above the lowest; Gibbs and population at {at}",
        columns=columns(("No.", "Chair", "Ring", *numbers), right=numbers),
        rows=cells(rows),
        caption=f"{more} more are not shown." if more > 0 else "",
    )
