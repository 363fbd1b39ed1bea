"""What is published of a molecule, beside its anchored gap: sentences, part of the report, published.csv."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from chairgap.records import (
    Equilibrium,
    LedgerTerm,
    MeasuredGap,
    MeasuredStanding,
    Outcome,
    Result,
    Settings,
    Source,
)
from chairgap.report.blocks import Own, Part, paragraph, table
from chairgap.report.columns import Table, gap, number, text
from chairgap.report.words import short_cited
from chairgap.units import fixed, signed

_STANDS: dict[MeasuredStanding, str] = {
    "agrees": "agrees within the uncertainty",
    "differs": "differs by more than the uncertainty",
    "opposite chair": "prefers the opposite chair",
    "other medium": "not compared: the study has no anchored gap in such a medium",
    "none": "there is no anchored gap",
}
_QUOTED = "as another source quotes it"


def published_quantity(measured: MeasuredGap) -> str:
    """'E(B) - E(A)' of a published energy, 'G(B) - G(A)' of a Gibbs energy or a percentage, '' of a sign."""
    if measured.published.gap_kcal_mol is None:
        return ""
    return "E(B) - E(A)" if _is_energy(measured) else "G(B) - G(A)"


def published_words(measured: MeasuredGap) -> str:
    """'E(B) - E(A) -0.36', 'G(B) - G(A) at least +1.30', 'chair A more populated'; kcal/mol."""
    published = measured.published
    if published.gap_kcal_mol is None:
        return f"chair {published.favoured} more populated"
    error = "" if published.error_kcal_mol is None else f" +- {fixed(published.error_kcal_mol, 2)}"
    bound = f"{published.bound} " if published.bound else ""
    return f"{published_quantity(measured)} {bound}{signed(published.gap_kcal_mol)}{error}"


def original_words(result: Result, measured: MeasuredGap) -> str:
    """The number as its source gives it, of the molecule's own chair: '28 % of chair B (1a 2a)'."""
    row, letter = measured.published.equilibrium, measured.published.this_chair
    chair = next(f"chair {chair.letter} ({chair.name})" for chair in result.chairs if chair.letter == letter)
    if row.value is None:
        return f"{chair} more populated"
    bound = f"{row.bound} " if row.bound else ""
    error = "" if row.error is None else f" +- {row.error:g}"
    if row.kind == "percent":
        return f"{bound}{row.value:g}{error} % of {chair}"
    other = "A" if letter == "B" else "B"
    kind = "G" if row.kind == "gibbs" else "E"
    return f"{kind}({other}) - {kind}({letter}) {bound}{signed(row.value)}{error} kcal/mol"


def temperature_words(row: Equilibrium, at_k: float) -> str:
    """'378.00 K', or that none is stated and which was taken."""
    at = f"{at_k:.2f} K"
    return at if row.temperature_k is not None else f"temperature not stated, {at} taken"


def measured_equilibria(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """One sentence or two for each published value of the molecule, with source and how the anchored gap
    stands to it."""
    return tuple(_sentence(outcome, result, measured) for measured in result.measured)


def _sentence(outcome: Outcome, result: Result, measured: MeasuredGap) -> str:
    published, row = measured.published, measured.published.equilibrium
    unit = "" if published.gap_kcal_mol is None else " kcal/mol"
    medium = "medium not stated" if row.medium_class == "not stated" else row.medium
    where = [medium, temperature_words(row, published.temperature_k), row.method]
    where += [words for words in (_quoted(row), row.note) if words]
    said, original = f"{published_words(measured)}{unit}", original_words(result, measured)
    return (
        f"Published: {said}{'' if original == said else f' ({original})'}, {', '.join(where)}; source: "
        f"{short_cited(row.source, outcome.table, row.known)}. {_beside(measured)}."
        f"{_same_source(outcome, result, measured)}"
    )


def _quoted(row: Equilibrium) -> str:
    return _QUOTED if row.known == "seen as quotation" else ""


def _same_source(outcome: Outcome, result: Result, measured: MeasuredGap) -> str:
    """That the hand sum rests on the source of the published value, so that one is no check of the other; ''
    where it does not."""
    here = set(_keys(measured.published.equilibrium.source))
    shared = [term for term in result.estimate.terms if here & set(_keys(term.source))]
    if not shared:
        return ""
    what = ", ".join(dict.fromkeys(_term_name(term) for term in shared))
    return f" The hand sum takes its {what} from the same source: it is no independent check."


def _keys(source: str) -> list[str]:
    return re.findall(r"[^;,\s]+", source)


def _term_name(term: LedgerTerm) -> str:
    groups = "/".join(term.groups)
    return f"A-value of {groups}" if term.kind == "A-value" else f"{groups} term"


def _beside(measured: MeasuredGap) -> str:
    if measured.anchored_kcal_mol is None:
        words = _STANDS[measured.stands]
        return f"{words[0].upper()}{words[1:]}"
    kinds = " (a Gibbs energy beside an energy)" if _is_energy(measured) else ""
    return f"Anchored gap ({measured.anchored_in}) {_anchored(measured)}: {_STANDS[measured.stands]}{kinds}"


def _is_energy(measured: MeasuredGap) -> bool:
    return measured.published.equilibrium.kind == "energy" and measured.published.gap_kcal_mol is not None


def _anchored(measured: MeasuredGap) -> str:
    if measured.anchored_kcal_mol is None:
        return "none"
    return f"{signed(measured.anchored_kcal_mol)} +- {fixed(measured.uncertainty_kcal_mol, 2)}"


def _short_source(outcome: Outcome, row: Equilibrium) -> str:
    """'Freitas et al. 2005', signed where the value is from memory; the citation is among the sources."""
    quoted = _quoted(row)
    return f"{short_cited(row.source, outcome.table, row.known)}{f', {quoted}' if quoted else ''}"


def _standing_cell(outcome: Outcome, result: Result, measured: MeasuredGap) -> str:
    stands = f"{_STANDS[measured.stands]}{' (G beside E)' if _is_energy(measured) else ''}"
    source = _same_source(outcome, result, measured)
    return f"{stands}.{source}" if source else stands


def measured_part(outcome: Outcome, result: Result) -> Part:
    """The published values of the molecule as a table, nothing where none is known."""
    head = [
        "Published, kcal/mol",
        "As published",
        "Medium",
        "Temperature",
        "Method",
        "Anchored gap G(B) - G(A), same temperature, kcal/mol",
    ]
    rows = [
        [
            published_words(measured),
            original_words(result, measured),
            measured.published.equilibrium.medium,
            temperature_words(measured.published.equilibrium, measured.published.temperature_k),
            measured.published.equilibrium.method,
            _anchored(measured),
            _standing_cell(outcome, result, measured),
            _short_source(outcome, measured.published.equilibrium),
            measured.published.equilibrium.note,
        ]
        for measured in result.measured
    ]
    sign = Own(
        "Positive means that chair A is preferred. G is a Gibbs energy, E an energy without the entropy; "
        "anchored gaps are Gibbs energies, in the same medium or in the gas phase for apolar media."
    )
    return Part(
        key="published",
        title="Published equilibria of this molecule",
        blocks=(paragraph(sign), table([*head, "Anchored against published", "Source", "Note"], rows))
        if rows
        else (),
    )


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A published value of a molecule."""

    result: Result
    settings: Settings
    measured: MeasuredGap
    source: Source | None

    @property
    def row(self) -> Equilibrium:
        return self.measured.published.equilibrium


def _rows(outcome: Outcome) -> Iterator[_Row]:
    sources = outcome.study.tables.sources
    for result in outcome.results:
        for measured in result.measured:
            source = sources.get(measured.published.equilibrium.source)
            yield _Row(result=result, settings=outcome.study.settings, measured=measured, source=source)


# A table of its own, not columns of gaps.csv: a molecule may have several published values.
PUBLISHED: Table[Outcome, _Row] = Table(
    rows=_rows,
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("key", lambda row: row.row.key),
        text("chair_A", lambda row: row.result.chairs[0].name),
        text("chair_B", lambda row: row.result.chairs[1].name),
        gap("published", lambda row: row.measured.published.gap_kcal_mol),
        number("published_error", "kcal_mol", lambda row: row.measured.published.error_kcal_mol),
        text("quantity", lambda row: published_quantity(row.measured) or None),
        text("bound", lambda row: row.measured.published.bound or None),
        text("favoured_chair", lambda row: row.measured.published.favoured or None),
        text("as_published", lambda row: original_words(row.result, row.measured)),
        number("temperature", "k", lambda row: row.measured.published.temperature_k),
        text("temperature_stated", lambda row: "no" if row.row.temperature_k is None else "yes"),
        text("medium", lambda row: row.row.medium),
        text("method", lambda row: row.row.method),
        text("source", lambda row: row.source.citation if row.source else row.row.source),
        text("doi", lambda row: (row.source.doi or None) if row.source else None),
        text("known", lambda row: row.row.known),
        text("model", lambda row: row.settings.model),
        text("anchored_in", lambda row: row.measured.anchored_in or None),
        gap("anchored", lambda row: row.measured.anchored_kcal_mol),
        number(
            "anchored_uncertainty",
            "kcal_mol",
            lambda row: None if row.measured.anchored_kcal_mol is None else row.measured.uncertainty_kcal_mol,
        ),
        # Empty for an energy, from which a Gibbs energy cannot be subtracted.
        gap(
            "anchored_minus_published",
            lambda row: None if _is_energy(row.measured) else row.measured.deviation_kcal_mol,
        ),
        text("anchored_stands", lambda row: row.measured.stands),
        text("note", lambda row: row.row.note or None),
    ),
)
