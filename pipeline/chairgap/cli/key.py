"""The commands of the answer-key check; joined to the command line by cli.py."""

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from chairgap.answer_key.files.books import annotated, corrected_csv, save, template
from chairgap.answer_key.files.checking import (
    SEVERITY,
    CheckedKey,
    check_file,
    summary_table,
    write_bytes,
    write_check,
    write_text,
)
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.qti import package
from chairgap.answer_key.files.questions import questions, questions_csv
from chairgap.answer_key.files.students import claims_csv, mark_folder, per_claim_csv, summary_csv
from chairgap.errors import InputError, Place
from chairgap.input_files import is_file
from chairgap.records import Settings
from chairgap.report.terminal import written_line
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table
from chairgap.text import one_line, readable

_WIDTH = 120
ANNOTATED_FILE, CORRECTED_FILE = "key_annotated.xlsx", "key_corrected.csv"

app = typer.Typer(
    no_args_is_help=True, rich_markup_mode=None, help="Check an answer key before it is used to mark a class."
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
    output: Annotated[Path | None, typer.Option(help="Folder for the files that are written.")] = None,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Say of each claim whether it is right, right under another convention, doubtful or wrong, and why."""
    del debug
    settings = Settings(title=file.name, output="") if compute else None
    checked = check_file(file, settings=settings)
    _show(checked)
    folder = output or Path("reports") / f"{file.stem}-check"
    paths = [
        *write_check(checked, folder, file.name),
        save(annotated(checked, file), folder / ANNOTATED_FILE),
    ]
    text, changed = corrected_csv(checked, file)
    if changed:
        paths.append(write_text(folder / CORRECTED_FILE, text))
        typer.echo(f"Changed in {CORRECTED_FILE}: {', '.join(changed)}")
    typer.echo(written_line(paths))
    typer.echo("A person decides a grade; this check only shows the basis of the numbers.")
    raise typer.Exit(1 if checked.count("ERROR") or checked.problems else 0)


@app.command()
def students(
    file: Annotated[Path, typer.Argument(help="The key.")],
    folder: Annotated[Path, typer.Argument(help="The sheets, one for each anonymous id.")],
    output: Annotated[Path | None, typer.Option(help="Folder for the files that are written.")] = None,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Mark a folder of student sheets by a key: right, wrong, another convention, or carried forward."""
    del debug
    marked = mark_folder(file, folder)
    for error in marked.problems:
        typer.echo(f"! {error}")
    home = output or Path("reports") / f"{file.stem}-students"
    paths = (
        write_text(home / "students_claims.csv", claims_csv(marked.marks)),
        write_text(home / "students_summary.csv", summary_csv(marked.marks)),
        write_text(home / "students_per_claim.csv", per_claim_csv(marked.marks)),
    )
    typer.echo(written_line(paths))
    typer.echo("Points are those of the key. A person decides a grade.")
    raise typer.Exit(1 if marked.problems else 0)


@app.command()
def export(
    file: Annotated[Path, typer.Argument(help="The key.")],
    output: Annotated[Path | None, typer.Option(help="Folder for the files that are written.")] = None,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Write the items of a key for question banks: QTI 2.1 and CSV; wrong claims are left out."""
    del debug
    checked = check_file(file)
    asked = questions(checked, file)
    home = output or Path("reports") / f"{file.stem}-questions"
    paths = (
        write_text(home / "questions.csv", questions_csv(asked.questions)),
        write_bytes(home / "questions_qti21.zip", package(asked.questions)),
    )
    for claim, reason in asked.left_out:
        typer.echo(f"Left out: {claim.cell} (item {one_line(claim.item)}), {reason.rstrip('.')}.")
    typer.echo(f"{written_line(paths)} ({len(asked.questions)} questions)")
    typer.echo("A person decides a grade; try the questions in your question bank before a class sees them.")
    raise typer.Exit(1 if checked.count("ERROR") or checked.problems else 0)


@app.command("template")
def make_template(
    molecules: Annotated[list[str], typer.Argument(help="SMILES or '1 up CH3, 2 down OH', one or more.")],
    file: Annotated[Path, typer.Option(help="The workbook to write.")] = Path("key.xlsx"),
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Make an empty key with the usual rows for some molecules; a file that is there is not overwritten."""
    del debug
    if is_file(file):
        raise InputError(
            "A file of this name exists already; name another one with --file.", place=Place(file=str(file))
        )
    desk = FactsLookup(read_estimate_table(SHIPPED_TABLES[0]), place=Place(file="command line"))
    save(template([(text, desk.facts_of(text)) for text in molecules]), file)
    shown = readable(str(file))
    typer.echo(f"Written: {shown}. Fill in the column 'claimed', then: chairgap key check {shown}")


def _show(checked: CheckedKey) -> None:
    console = Console(width=None if Console().is_terminal else _WIDTH)
    if checked.count("RIGHT") < len(checked.report.findings):
        console.print(summary_table(checked))
    for error in checked.problems:
        typer.echo(f"! not checked: {error}")
    for note in checked.sheet.notes:
        typer.echo(f"Note: {note}")
    counts = {verdict: checked.count(verdict) for verdict in SEVERITY}
    typer.echo(
        f"{len(checked.report.findings)} claims: {counts['ERROR']} wrong, {counts['REVIEW']} to review, "
        f"{counts['CONVENTION']} right under another convention, {counts['RIGHT']} right."
    )
