"""The commands of the answer-key check."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from chairgap.answer_key.files.checking import (
    CHECK_FILE,
    KEY_CHECK,
    SEVERITY,
    SOLUTIONS_FILE,
    CheckedKey,
    check_sheet,
    files_read,
    solutions_text,
    summary_table,
)
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.qti import package
from chairgap.answer_key.files.questions import QUESTIONS, questions
from chairgap.answer_key.files.read_key import KeySheet, read_key
from chairgap.answer_key.files.students import (
    CLAIMS,
    FILES,
    PER_CLAIM,
    SUMMARY,
    mark_folder,
    sheets_in,
)
from chairgap.errors import Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.records import Settings
from chairgap.report.terminal import written_line
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table
from chairgap.text import one_line, readable

_WIDTH = 120
ANNOTATED_FILE, CORRECTED_FILE = "key_annotated.xlsx", "key_corrected.csv"
QUESTIONS_FILE, QTI_FILE = "questions.csv", "questions_qti21.zip"

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Check an answer key before it is used to mark a class.",
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
    # Here and not above: openpyxl is as slow to load as all the rest.
    from chairgap.answer_key.files.books import annotated, book_bytes, corrected_csv

    sheet = read_key(file)
    place = _place(sheet, file, output, "check")
    check_output(place, (CHECK_FILE, SOLUTIONS_FILE, ANNOTATED_FILE, CORRECTED_FILE))
    settings = Settings(title=file.name, output="") if compute else None
    checked = check_sheet(sheet, file, settings=settings)
    _show(checked)
    contents = {
        CHECK_FILE: KEY_CHECK.csv_text(checked).encode(),
        SOLUTIONS_FILE: solutions_text(checked, file.name).encode(),
        ANNOTATED_FILE: book_bytes(annotated(checked, file)),
    }
    text, changed = corrected_csv(checked, file)
    if changed:
        contents[CORRECTED_FILE] = text.encode()
    paths = write_files(place, contents)
    if changed:
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
    place = _place(read_key(file), file, output, "students", sheets_in(folder))
    check_output(place, FILES)
    marked = mark_folder(file, folder)
    for error in marked.problems:
        typer.echo(f"! {error}")
    tables = (CLAIMS, SUMMARY, PER_CLAIM)
    texts = (table.csv_text(marked.marks).encode() for table in tables)
    paths = write_files(place, dict(zip(FILES, texts, strict=True)))
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
    sheet = read_key(file)
    place = _place(sheet, file, output, "questions")
    check_output(place, (QUESTIONS_FILE, QTI_FILE))
    checked = check_sheet(sheet, file)
    asked = questions(checked, file)
    contents = {
        QUESTIONS_FILE: QUESTIONS.csv_text(asked.questions).encode(),
        QTI_FILE: package(asked.questions),
    }
    paths = write_files(place, contents)
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
    from chairgap.answer_key.files.books import book_bytes, template

    other = "name another one with --file"
    place = OutputFolder(path=file.parent, command="key template", advice=other, once=other)
    check_output(place, (file.name,))
    desk = FactsLookup(read_estimate_table(SHIPPED_TABLES[0]), place=Place(file="command line"))
    book = template([(text, desk.facts_of(text)) for text in molecules])
    write_files(place, {file.name: book_bytes(book)})
    shown = readable(str(file))
    typer.echo(f"Written: {shown}. Fill in the column 'claimed', then: chairgap key check {shown}")


def _place(
    sheet: KeySheet, file: Path, output: Path | None, kind: str, others: Sequence[Path] = ()
) -> OutputFolder:
    """Where the files of a command go that reads a key, its tables, and others."""
    return OutputFolder(
        path=output or Path("reports") / f"{file.stem}-{kind}",
        command=f"key {kind}",
        inputs=(*files_read(sheet, file), *others),
    )


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
