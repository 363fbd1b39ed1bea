"""The commands of the answer-key check; joined to the command line by cli.py."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from chairgap.keydesk.checking import CheckedKey, check_file, summary_table, write_check
from chairgap.records import Settings

_WIDTH = 120

app = typer.Typer(
    no_args_is_help=True, rich_markup_mode=None, help="Check an answer key before a class is marked by it."
)


@app.callback()
def _key() -> None:
    pass


@app.command()
def check(
    file: Annotated[Path, typer.Argument(help="The key, .csv or .xlsx.")],
    compute: Annotated[
        bool, typer.Option("--compute", help="Also run each molecule through the force field.")
    ] = False,
    output: Annotated[Path | None, typer.Option(help="Folder for key_check.csv and solutions.md.")] = None,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Say of each claim whether it is right, right under another convention, doubtful or wrong, and why."""
    del debug
    settings = Settings(title=file.name, output="") if compute else None
    checked = check_file(file, settings=settings)
    _show(checked)
    folder = output or Path("reports") / f"{file.stem}-check"
    paths = write_check(checked, folder, file.name)
    typer.echo(f"Written to {folder}: {', '.join(path.name for path in paths)}")
    typer.echo("A person decides a grade; this check only shows what the numbers rest on.")
    raise typer.Exit(1 if checked.count("ERROR") or checked.problems else 0)


def _show(checked: CheckedKey) -> None:
    console = Console(width=None if Console().is_terminal else _WIDTH)
    if checked.count("RIGHT") < len(checked.report.findings):
        console.print(summary_table(checked))
    for error in checked.problems:
        typer.echo(f"! not checked: {error}")
    for note in checked.sheet.notes:
        typer.echo(f"Note: {note}")
    typer.echo(
        f"{len(checked.report.findings)} claims: {checked.count('ERROR')} wrong, "
        f"{checked.count('REVIEW')} to review, {checked.count('CONVENTION')} right under another convention, {checked.count('RIGHT')} right."
    )
