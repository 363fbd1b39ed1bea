"""What is published of a molecule, beside its anchored gap: sentences, part of the report, published.csv."""

from collections.abc import Iterator
from dataclasses import dataclass

from chairgap.records import Equilibrium, MeasuredGap, MeasuredStanding, Outcome, Result, Settings, Source
from chairgap.report.blocks import Own, Part, paragraph, table
from chairgap.report.columns import Table, gap, number, text
from chairgap.report.words import cited, fixed, signed

_STANDS: dict[MeasuredStanding, str] = {
    "agrees": "agrees within the uncertainty",
    "differs": "differs by more than the uncertainty",
    "opposite chair": "prefers the opposite chair",
    "other medium": "not compared: the study has no anchored gap in such a medium",
    "none": "there is no anchored gap",
}
_KNOWN = {
    "seen as quotation": "as another source quotes it",
    "from memory": "from memory, not from the paper",
}


def published_quantity(measured: MeasuredGap) -> str:
    """'E(B) - E(A)' of a published energy, 'G(B) - G(A)' of a Gibbs energy or a percentage, '' of a sign."""
    if measured.published.gap_kcal_mol is None:
        return ""
    return "E(B) - E(A)" if measured.published.equilibrium.kind == "energy" else "G(B) - G(A)"


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
    known = _KNOWN.get(row.known)
    where = [medium, temperature_words(row, published.temperature_k), row.method]
    where += [words for words in (known, row.note) if words]
    return (
        f"Published: {published_words(measured)}{unit} ({original_words(result, measured)}), "
        f"{', '.join(where)}; source: {cited(row.source, outcome.table, outcome.study.tables.sources)}. "
        f"{_beside(measured)}."
    )


def _beside(measured: MeasuredGap) -> str:
    if measured.anchored_kcal_mol is None:
        return f"Anchored gap: {_STANDS[measured.stands]}"
    return f"Anchored gap ({measured.anchored_in}) {_anchored(measured)}: {_STANDS[measured.stands]}"


def _anchored(measured: MeasuredGap) -> str:
    if measured.anchored_kcal_mol is None:
        return "none"
    return f"{signed(measured.anchored_kcal_mol)} +- {fixed(measured.uncertainty_kcal_mol, 2)}"


def _short_source(outcome: Outcome, row: Equilibrium) -> str:
    """'Freitas et al. 2005, DOI 10.1016/j.saa.2004.07.007, seen'; the whole citation is among the sources."""
    source = outcome.study.tables.sources.get(row.source)
    short = row.source if source is None else f"{source.short}{f', DOI {source.doi}' if source.doi else ''}"
    return f"{short}, {_KNOWN.get(row.known, 'seen')}"


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
            _STANDS[measured.stands],
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
        gap("anchored_minus_published", lambda row: row.measured.deviation_kcal_mol),
        text("anchored_stands", lambda row: row.measured.stands),
        text("note", lambda row: row.row.note or None),
    ),
)
