"""A-value tables and sources on the terminal, as rich renderables; nothing is printed here."""

from collections.abc import Iterable, Mapping, Sequence

from rich.box import SIMPLE_HEAD
from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from chairgap.estimate.groups import needed_row
from chairgap.records import AValueRow, EstimateTable, InteractionRow, Solvent, Source
from chairgap.report.words import citation, source_words, with_range
from chairgap.text import one_line

A_VALUE_STATEMENT = (
    "A-value = G(axial) - G(equatorial) in kcal/mol; positive means that the equatorial chair is preferred"
)


def estimate_table_view(table: EstimateTable) -> RenderableType:
    """All rows of an A-value table, and its interactions."""
    a_values = _table(
        f"A-values of table '{one_line(table.name)}', kcal/mol",
        ("Group", "Also called", "A-value (range)", "T, K", "Known", "Source"),
        (
            (
                row.group,
                ", ".join(row.names),
                _value(row),
                "" if row.temperature_k is None else f"{row.temperature_k:g}",
                row.known,
                source_words(row.source, table),
            )
            for row in table.a_values
        ),
    )
    interactions = _table(
        "Interactions between two groups, kcal/mol, positive = unfavourable",
        ("Kind", "Groups", "Energy (range)", "Used as", "Known", "Source"),
        (
            (
                row.kind,
                f"{row.group_1} / {row.group_2}",
                _value(row),
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
    return Group(a_values, Text(f"{A_VALUE_STATEMENT}."), Text(), interactions, Text(legend))


def solvents_view(solvents: Sequence[Solvent], sources: Mapping[str, Source]) -> RenderableType:
    """All solvents by rising dielectric constant."""
    return _table(
        "Solvents, with the dielectric constant of the liquid",
        ("Solvent", "Also called", "Dielectric constant", "T, K", "Source"),
        (
            (
                solvent.name,
                ", ".join(solvent.names),
                f"{solvent.dielectric:.4g}",
                f"{solvent.temperature_k:g}",
                sources[solvent.source].short,
            )
            for solvent in sorted(solvents, key=lambda item: item.dielectric)
        ),
    )


def group_view(table: EstimateTable, name: str, sources: Mapping[str, Source]) -> RenderableType:
    """Everything the table knows of one group; InputError with 'did you mean' when there is no such row."""
    row = needed_row(table, name)
    lines = [
        ("group", row.group),
        ("also called", ", ".join(row.names) or "nothing else"),
        ("SMILES fragment", f"{row.fragment} (* is the ring carbon)"),
        ("A-value", f"{_value(row)} kcal/mol"),
        ("temperature", "not stated" if row.temperature_k is None else f"{row.temperature_k:g} K"),
        ("solvent", row.solvent or "not stated"),
        ("measured by", row.method or "not stated"),
        ("known from", row.known),
        ("source", citation(row.source, sources)),
        ("note", row.note or "none"),
    ]
    grid = Table.grid(padding=(0, 2))
    for label, words in lines:
        grid.add_row(label, _text(words))
    return Group(grid, Text(f"{A_VALUE_STATEMENT}."))


def sources_view(sources: Mapping[str, Source]) -> RenderableType:
    """The literature sources of the shipped tables."""
    rows = ((key, citation(key, sources)) for key in sources)
    return _table("Sources of the shipped tables", ("Key", "Source"), rows)


def _value(row: AValueRow | InteractionRow) -> str:
    return with_range(row.value_kcal_mol, row.low_kcal_mol, row.high_kcal_mol)


def _table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Table:
    table = Table(
        title=Text(title, style="bold"),
        title_justify="left",
        box=SIMPLE_HEAD,
        show_edge=False,
        pad_edge=False,
    )
    for head in heads:
        table.add_column(head, overflow="fold", no_wrap="range" in head)
    for row in rows:
        table.add_row(*map(_text, row))
    return table


def _text(words: str) -> Text:
    return Text(one_line(words))
