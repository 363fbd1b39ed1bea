"""The commands of the answer-key check."""

from pathlib import Path
from typing import Annotated

import typer
from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from chairgap.answer_key.files.checking import SEVERITY, CheckedKey, check_file, why
from chairgap.answer_key.files.students import mark_folder
from chairgap.answer_key.files.written import (
    CORRECTED_FILE,
    opened,
    write_checked_key,
    write_marks,
    write_questions,
    write_template,
)
from chairgap.cli.lines import written_line
from chairgap.cli.options import Debug
from chairgap.errors import Place
from chairgap.text import one_line, readable

_Output = Annotated[Path | None, typer.Option(help="Folder for the files that are written.")]
_WIDTH = 120
_MARKS = {"ERROR": "x", "REVIEW": "?", "CONVENTION": "~", "RIGHT": "+"}

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Check an answer key before a class is marked with it.",
)


@app.command()
def check(
    file: Annotated[Path, typer.Argument(help="The key, .csv or .xlsx.")],
    compute: Annotated[
        bool, typer.Option("--compute", help="Also run each molecule through the force field.")
    ] = False,
    correct_labels: Annotated[
        bool,
        typer.Option(
            "--correct-labels", help="Put right labels, too, into the corrected key, not numbers alone."
        ),
    ] = False,
    output: _Output = None,
    debug: Debug = False,
) -> None:
    """Judge each claim of a key, with the reason. It may be right by another convention."""
    key = opened(file, output or Path("reports") / f"{file.stem}-check", "check")
    checked = check_file(file, key.sheet, compute=compute)
    _show(checked)
    corrected, paths = write_checked_key(key, checked, correct_labels=correct_labels)
    if corrected.changed:
        typer.echo(f"Changed in {CORRECTED_FILE}: {', '.join(corrected.changed)}")
    if corrected.left:
        labels = "; ".join(f"{cell}: {one_line(right)}" for cell, right in corrected.left)
        typer.echo(f"Wrong labels, left as they are (--correct-labels puts these in): {labels}")
    typer.echo(written_line(paths))
    typer.echo("A person decides a grade; this check only shows the basis of the numbers.")
    raise typer.Exit(1 if checked.count("ERROR") or checked.problems else 0)


@app.command()
def mark(
    file: Annotated[Path, typer.Argument(help="The key.")],
    folder: Annotated[Path, typer.Argument(help="The sheets, one for each anonymous id.")],
    output: _Output = None,
    debug: Debug = False,
) -> None:
    """Mark a folder of student sheets by a key. It writes a page of feedback for each, one of the class."""
    key = opened(file, output or Path("reports") / f"{file.stem}-students", "mark", folder)
    marked = mark_folder(file, folder)
    for error in marked.problems:
        typer.echo(f"! {error}")
    typer.echo(written_line(write_marks(key, marked)))
    typer.echo("Points are those of the key. A person decides a grade.")
    raise typer.Exit(1 if marked.problems else 0)


@app.command()
def export(
    file: Annotated[Path, typer.Argument(help="The key.")],
    output: _Output = None,
    debug: Debug = False,
) -> None:
    """Write a key for question banks: QTI 2.1 and CSV. Wrong claims are left out."""
    key = opened(file, output or Path("reports") / f"{file.stem}-questions", "questions")
    checked = check_file(file, key.sheet)
    asked, paths = write_questions(key, checked)
    for claim, reason in asked.left_out:
        typer.echo(f"Left out: {claim.cell} (item {one_line(claim.item)}), {reason.rstrip('.')}.")
    typer.echo(f"{written_line(paths)} ({len(asked.questions)} questions)")
    typer.echo("A person decides a grade; try the questions in your question bank before a class sees them.")
    raise typer.Exit(1 if checked.count("ERROR") or checked.problems else 0)


@app.command("template")
def make_template(
    molecules: Annotated[
        list[str], typer.Argument(help="SMILES, names or '1 up CH3, 2 down OH', one or more.")
    ],
    file: Annotated[Path, typer.Option(help="The workbook to write.")] = Path("key.xlsx"),
    debug: Debug = False,
) -> None:
    """Make an empty key for some molecules. It has the usual rows; no file that is there is overwritten."""
    write_template(molecules, file, Place(file="command line"), "name another one with --file")
    shown = readable(str(file))
    typer.echo(f"Written: {shown}. Fill in the column 'claimed', then: chairgap key check {shown}")


def _show(checked: CheckedKey) -> None:
    console = Console(width=None if Console().is_terminal else _WIDTH)
    if checked.count("RIGHT") < len(checked.report.findings):
        console.print(_summary_table(checked))
    for error in checked.problems:
        typer.echo(f"! not checked: {error}")
    for note in checked.sheet.notes:
        typer.echo(f"Note: {note}")
    wrong, doubtful, other, right = map(checked.count, SEVERITY)
    typer.echo(
        f"{len(checked.report.findings)} claims: {wrong} wrong, {doubtful} to review, "
        f"{other} right under another convention, {right} right."
    )


def _summary_table(checked: CheckedKey) -> Table:
    """What is not plainly right, worst first, with its cell."""
    table = Table(box=SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
    for head in ("Cell", "Item", "Quantity", "Claimed", "Verdict", "Why"):
        table.add_column(head, overflow="fold")
    doubted = (finding for finding in checked.report.findings if finding.verdict != "RIGHT")
    for finding in sorted(doubted, key=lambda finding: SEVERITY.index(finding.verdict)):
        cells = (
            str(finding.claim.cell),
            finding.claim.item,
            finding.claim.quantity,
            finding.claim.claimed,
            f"{_MARKS[finding.verdict]} {finding.verdict}",
            why(finding),
        )
        table.add_row(*(Text(one_line(cell)) for cell in cells))
    return table
