"""What the key commands read and write, for the commands and for Python."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from chairgap.answer_key.files.checking import (
    CHECK_FILE,
    KEY_CHECK,
    SOLUTIONS_FILE,
    CheckedKey,
    files_read,
    solutions_text,
)
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.qti import package
from chairgap.answer_key.files.questions import QUESTIONS, Asked, questions
from chairgap.answer_key.files.read_key import KeySheet, read_key
from chairgap.answer_key.files.students import (
    CLAIMS,
    FILES,
    PER_CLAIM,
    SUMMARY,
    MarkedFolder,
    sheets_in,
)
from chairgap.errors import Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table

ANNOTATED_FILE, CORRECTED_FILE = "key_annotated.xlsx", "key_corrected.csv"
QUESTIONS_FILE, QTI_FILE = "questions.csv", "questions_qti21.zip"


@dataclass(frozen=True, kw_only=True)
class KeyFiles:
    """A key file that was read, and the folder for what is made of it, which was looked at."""

    file: Path
    sheet: KeySheet
    output: OutputFolder


@dataclass(frozen=True, kw_only=True)
class WrittenCheck:
    """The files of a key check, and the cells that are other in the corrected key."""

    paths: tuple[Path, ...]
    changed: tuple[str, ...]


def opened_for_check(file: Path, folder: Path) -> KeyFiles:
    """A key to check. Raises InputError or StudyError when the key cannot be read, or a file that would be
    written is one that is read or is not as chairgap left it; so do the next two."""
    return _opened(file, folder, "check", (CHECK_FILE, SOLUTIONS_FILE, ANNOTATED_FILE, CORRECTED_FILE))


def opened_for_questions(file: Path, folder: Path) -> KeyFiles:
    """A key whose items go to a question bank."""
    return _opened(file, folder, "questions", (QUESTIONS_FILE, QTI_FILE))


def opened_for_students(file: Path, sheets: Path, folder: Path) -> KeyFiles:
    """A key that a folder of sheets is marked by."""
    return _opened(file, folder, "students", FILES, sheets_in(sheets))


def _opened(
    file: Path, folder: Path, kind: str, names: Sequence[str], others: Sequence[Path] = ()
) -> KeyFiles:
    sheet = read_key(file)
    inputs = (*files_read(sheet, file), *others)
    output = OutputFolder(path=folder, command=f"key {kind}", inputs=inputs)
    check_output(output, names)
    return KeyFiles(file=file, sheet=sheet, output=output)


def write_checked_key(key: KeyFiles, found: CheckedKey) -> WrittenCheck:
    """Write findings, solutions and the annotated copy of a key, and the corrected key where something is
    other in it. Raises InputError or ChairgapError when that cannot be done; so do the next three."""
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
    return WrittenCheck(paths=write_files(key.output, contents), changed=changed)


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
