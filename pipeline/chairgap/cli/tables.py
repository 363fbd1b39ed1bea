"""The command that shows and checks tables of the literature."""

from typing import Annotated

import typer

from chairgap.cli.options import Debug
from chairgap.cli.showing import show
from chairgap.cli.table_views import estimate_table_view, group_view, solvents_view, sources_view
from chairgap.molecule.substituents import row_names
from chairgap.tables.shipped import SHIPPED_TABLES, read_solvents, read_sources, read_whole_table
from chairgap.text import readable


def tables(
    table: Annotated[str, typer.Argument(help="A shipped table, or the CSV file of your own.")] = "chairgap",
    check: Annotated[bool, typer.Option("--check", help="Only check whether the table is sound.")] = False,
    group: Annotated[str, typer.Option(help="Show everything about one group, such as CH3.")] = "",
    sources: Annotated[bool, typer.Option("--sources", help="List the literature sources.")] = False,
    solvents: Annotated[bool, typer.Option("--solvents", help="List the solvents a study may name.")] = False,
    debug: Debug = False,
) -> None:
    """Show A-values with their sources, or check your own."""
    if sources:
        show(sources_view(read_sources()))
        return
    if solvents:
        show(solvents_view(read_solvents(), read_sources()))
        return
    read = read_whole_table(table)
    row_names(read)  # fragments are read as chemistry only when a molecule is built
    if group:
        show(group_view(read, group, read_sources()))
    elif check:
        typer.echo(
            f"Table '{readable(table)}' is sound: {len({row.group for row in read.a_values})} groups, "
            f"{len(read.interactions)} interactions."
        )
    else:
        show(estimate_table_view(read))
        typer.echo(f"Shipped tables: {', '.join(SHIPPED_TABLES)}.")
