"""A-value tables and sources on the terminal, as rich renderables; nothing is printed here."""

from collections.abc import Iterable, Mapping, Sequence

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from chairgap.cli.fitting import Column, Fitted
from chairgap.cli.lines import cell, cells, line
from chairgap.estimate.groups import needed_row
from chairgap.estimate.nearest import SCALE
from chairgap.records import AValueRow, EstimateTable, InteractionRow, Solvent, Source
from chairgap.report.blocks import AsGiven
from chairgap.report.words import MEMORY_LEGEND, provenance, source_words, with_range
from chairgap.text import one_line

A_VALUE_STATEMENT = (
    "A-value = G(axial) - G(equatorial) in kcal/mol; positive means that the equatorial chair is preferred"
)

_CHOICE = (
    "Of several rows a study takes the one in its own medium, else in the nearest class of medium "
    f"({', '.join(SCALE)}), and then the nearest temperature."
)


def estimate_table_view(table: EstimateTable) -> RenderableType:
    """All rows of an A-value table (as `read_whole_table` gives it), and its interactions."""
    a_values = _table(
        f"A-values of table '{one_line(table.name)}', kcal/mol",
        ("Group", "Also called", "A-value (range)", "T, K", "Medium", "Known", "Source"),
        (
            (
                AsGiven(row.group),
                AsGiven(", ".join(row.names)),
                _value(row),
                _kelvin(row),
                row.medium,
                row.known,
                source_words(row.source, table),
            )
            for row in table.a_values
        ),
    )
    interactions = _table(
        "Interactions between two groups, kcal/mol, positive = unfavourable",
        ("Kind", "Groups", "Energy (range)", "T, K", "Medium", "Used as", "Known", "Source"),
        (
            (
                row.kind,
                AsGiven(f"{row.group_1} / {row.group_2}"),
                _value(row),
                _kelvin(row),
                row.medium,
                row.form,
                row.known,
                source_words(row.source, table),
            )
            for row in table.interactions
        ),
    )
    legend = (
        "replacing: the whole energy of the pair, in place of two group/H contacts; excess: on top of them."
    )
    return Group(a_values, line(f"{A_VALUE_STATEMENT}. {_CHOICE}"), Text(), interactions, line(legend))


def solvents_view(solvents: Sequence[Solvent], sources: Mapping[str, Source]) -> RenderableType:
    """All solvents by rising dielectric constant, with their classes."""
    return _table(
        "Solvents, with the dielectric constant of the liquid",
        ("Solvent", "Also called", "Dielectric constant", "T, K", "Class", "Source"),
        (
            (
                AsGiven(solvent.name),
                AsGiven(", ".join(solvent.names)),
                f"{solvent.dielectric:.4g}",
                f"{solvent.temperature_k:g}",
                solvent.medium_class,
                sources[solvent.source].short,
            )
            for solvent in sorted(solvents, key=lambda item: item.dielectric)
        ),
    )


def group_view(table: EstimateTable, name: str, sources: Mapping[str, Source]) -> RenderableType:
    """All that a table (as `read_whole_table` gives it) knows of a group; InputError with 'did you mean' when
    it has no such group."""
    first = needed_row(table, name)
    rows = [row for row in table.a_values if row.group == first.group]
    lines: list[tuple[str, str]] = [
        ("group", AsGiven(first.group)),
        ("also called", AsGiven(", ".join(first.names) or "nothing else")),
        ("SMILES fragment", AsGiven(f"{first.fragment} (* is the ring carbon)")),
    ]
    for row in rows:
        lines += [
            ("A-value", f"{_value(row)} kcal/mol"),
            ("medium", row.medium or "not stated"),
            ("temperature", f"{_kelvin(row)} K" if row.temperature_k else "not stated"),
            ("solvent", row.solvent or "not stated"),
            ("measured by", row.method or "not stated"),
            ("known from", row.known),
            ("source", provenance(row.source, sources)),
            ("note", row.note or "none"),
        ]
    grid = Table.grid(padding=(0, 2))
    for label, words in lines:
        grid.add_row(label, cell(words))
    return Group(grid, line(f"{A_VALUE_STATEMENT}." + (f" {_CHOICE}" if len(rows) > 1 else "")))


def sources_view(sources: Mapping[str, Source]) -> RenderableType:
    """The literature sources of the shipped tables."""
    rows = ((key, provenance(key, sources)) for key in sources)
    return Group(_table("Sources of the shipped tables", ("Key", "Source"), rows), line(MEMORY_LEGEND))


def _value(row: AValueRow | InteractionRow) -> str:
    return with_range(row.value_kcal_mol, row.low_kcal_mol, row.high_kcal_mol)


def _kelvin(row: AValueRow | InteractionRow) -> str:
    return "" if row.temperature_k is None else f"{row.temperature_k:g}"


def _table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Fitted:
    return Fitted(
        title=title,
        columns=tuple(Column(head=head, whole="range" in head) for head in heads),
        rows=cells(rows),
    )
