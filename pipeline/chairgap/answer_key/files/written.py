"""What the key commands read and write, for the commands and for Python."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from chairgap.answer_key.files.checking import KEY_CHECK, CheckedKey, files_read, solutions_text
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.qti import package
from chairgap.answer_key.files.questions import QUESTIONS, Asked, questions
from chairgap.answer_key.files.read_key import KeySheet, read_key
from chairgap.answer_key.files.students import CLAIMS, FILES, PER_CLAIM, SUMMARY, MarkedFolder, sheets_in
from chairgap.errors import Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table

CHECK_FILE, SOLUTIONS_FILE = "key_check.csv", "solutions.md"
ANNOTATED_FILE, CORRECTED_FILE = "key_annotated.xlsx", "key_corrected.csv"
QUESTIONS_FILE, QTI_FILE = "questions.csv", "questions_qti21.zip"
Purpose = Literal["check", "questions", "students"]
_FILES: dict[Purpose, Sequence[str]] = {
    "check": (CHECK_FILE, SOLUTIONS_FILE, ANNOTATED_FILE, CORRECTED_FILE),
    "questions": (QUESTIONS_FILE, QTI_FILE),
    "students": FILES,
}


@dataclass(frozen=True, kw_only=True)
class KeyFiles:
    """A key file that was read, and the folder for what is made of it, which was looked at."""

    file: Path
    sheet: KeySheet
    output: OutputFolder


def opened(file: Path, folder: Path, purpose: Purpose, sheets: Path | None = None) -> KeyFiles:
    """A key to be checked, to make questions of, or to mark a folder of sheets by. Raises InputError or
    StudyError when the key cannot be read, or a file that would be written is one that is read or is not as
    chairgap left it."""
    others = () if sheets is None else sheets_in(sheets)
    sheet = read_key(file)
    inputs = (*files_read(sheet, file), *others)
    output = OutputFolder(path=folder, command=f"key {purpose}", inputs=inputs)
    check_output(output, _FILES[purpose])
    return KeyFiles(file=file, sheet=sheet, output=output)


def write_checked_key(key: KeyFiles, found: CheckedKey) -> tuple[tuple[str, ...], tuple[Path, ...]]:
    """Write findings, solutions and the annotated copy of a key, and the corrected key where something is
    other in it; returns its cells that are, and the files. Raises InputError or ChairgapError when that
    cannot be done; so do the next three."""
    # Here and not above: openpyxl is as slow to load as all the rest.
    from chairgap.answer_key.files.books import annotated, book_bytes, corrected_csv

    contents = {
        CHECK_FILE: KEY_CHECK.csv_text(found).encode(),
        SOLUTIONS_FILE: solutions_text(found, key.file.name).encode(),
        ANNOTATED_FILE: book_bytes(annotated(found, key.file)),
    }
    text, changed = corrected_csv(found, key.file)
    if changed:
        contents[CORRECTED_FILE] = text.encode()
    return changed, write_files(key.output, contents)


def write_marks(key: KeyFiles, found: MarkedFolder) -> tuple[Path, ...]:
    """Write the marks of all sheets, by claim, by student and by claim of the key."""
    texts = (table.csv_text(found.marks).encode() for table in (CLAIMS, SUMMARY, PER_CLAIM))
    return write_files(key.output, dict(zip(FILES, texts, strict=True)))


def write_questions(key: KeyFiles, found: CheckedKey) -> tuple[Asked, tuple[Path, ...]]:
    """Write the questions of a checked key as CSV and QTI 2.1; with what was asked and left out."""
    asked = questions(found, key.file)
    contents = {
        QUESTIONS_FILE: QUESTIONS.csv_text(asked.questions).encode(),
        QTI_FILE: package(asked.questions),
    }
    return asked, write_files(key.output, contents)


def write_template(molecules: Sequence[str], file: Path, place: Place, advice: str) -> Path:
    """Write an empty key with the usual rows for some molecules, typed at `place`; never over a file.
    advice says how to name another."""
    from chairgap.answer_key.files.books import book_bytes, template

    output = OutputFolder(path=file.parent, command="key template", advice=advice, once=advice)
    check_output(output, (file.name,))
    facts = FactsLookup(read_estimate_table(SHIPPED_TABLES[0]), place=place)
    book = template([(text, facts.facts_of(text)) for text in molecules])
    return write_files(output, {file.name: book_bytes(book)})[0]
