"""What the key commands read and write, for the commands and for Python."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from chairgap.answer_key.files.checking import KEY_CHECK, CheckedKey, files_read, solutions_text
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.feedback import CLASS_PAGE, PAGES, page_of_class, page_of_student
from chairgap.answer_key.files.qti import package
from chairgap.answer_key.files.questions import QUESTIONS, Asked, questions
from chairgap.answer_key.files.read_key import KeySheet, read_key
from chairgap.answer_key.files.students import (
    CLAIMS,
    FILES,
    PER_CLAIM,
    SUMMARY,
    MarkedFolder,
    by_claim,
    by_student,
    sheets_in,
)
from chairgap.answer_key.rules.feedback import class_summary
from chairgap.errors import Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table

if TYPE_CHECKING:
    from chairgap.answer_key.files.books import Corrected

CHECK_FILE, SOLUTIONS_FILE = "key_check.csv", "solutions.md"
ANNOTATED_FILE, CORRECTED_FILE = "key_annotated.xlsx", "key_corrected.csv"
QUESTIONS_FILE, QTI_FILE = "questions.csv", "questions_qti21.zip"
Purpose = Literal["check", "questions", "mark"]
_FILES: dict[Purpose, Sequence[str]] = {
    "check": (CHECK_FILE, SOLUTIONS_FILE, ANNOTATED_FILE, CORRECTED_FILE),
    "questions": (QUESTIONS_FILE, QTI_FILE),
    "mark": (*FILES, f"{CLASS_PAGE}.html", f"{CLASS_PAGE}.md"),
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


def write_checked_key(
    key: KeyFiles, found: CheckedKey, *, correct_labels: bool = False
) -> tuple["Corrected", tuple[Path, ...]]:
    """Write findings, solutions and the annotated copy of a key, and the corrected key where something is
    other in it; returns what was corrected, and the files. Raises InputError or ChairgapError when that
    cannot be done; so do the next three."""
    # Here and not above: openpyxl is as slow to load as all the rest.
    from chairgap.answer_key.files.books import annotated, book_bytes, corrected_csv

    contents = {
        CHECK_FILE: KEY_CHECK.csv_text(found).encode(),
        SOLUTIONS_FILE: solutions_text(found, key.file.name).encode(),
        ANNOTATED_FILE: book_bytes(annotated(found, key.file)),
    }
    corrected = corrected_csv(found, key.file, labels=correct_labels)
    if corrected.changed:
        contents[CORRECTED_FILE] = corrected.text.encode()
    return corrected, write_files(key.output, contents)


def write_marks(key: KeyFiles, found: MarkedFolder) -> tuple[Path, ...]:
    """Write the marks of all sheets, by claim, by student and by claim of the key; a page of feedback for
    each student and one of the class, as HTML and Markdown. Returns the files but for the students' pages."""
    texts = (table.csv_text(found.marks).encode() for table in (CLAIMS, SUMMARY, PER_CLAIM))
    pages = {f"{PAGES}/{marks[0].student}": page_of_student(marks) for marks in by_student(found.marks)}
    pages[CLASS_PAGE] = page_of_class(class_summary(by_claim(found.marks)))
    contents = dict(zip(FILES, texts, strict=True))
    for name, page in pages.items():
        contents |= {f"{name}.html": page.html().encode(), f"{name}.md": page.markdown().encode()}
    return tuple(path for path in write_files(key.output, contents) if path.parent == key.output.path)


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
