"""The check of an answer key, and what is made of a key: the same as the commands of `chairgap key`."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from chairgap.answer_key.files.checking import KEY_CHECK, SEVERITY, CheckedKey, check_file, solutions_text
from chairgap.answer_key.files.students import CLAIMS, PER_CLAIM, SUMMARY, MarkedFolder, mark_folder
from chairgap.answer_key.files.written import (
    opened,
    write_checked_key,
    write_marks,
    write_questions,
    write_template,
)
from chairgap.errors import ChairgapError, Place
from chairgap.notebook.frames import frame_of

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class KeyCheck:
    """The claims of an answer key with their verdicts. paths: the files that were written."""

    _checked: CheckedKey
    _title: str
    paths: tuple[Path, ...]

    @property
    def counts(self) -> Mapping[str, int]:
        """How many claims have each verdict: ERROR, REVIEW, CONVENTION, RIGHT."""
        return {verdict: self._checked.count(verdict) for verdict in SEVERITY}

    @property
    def problems(self) -> tuple[ChairgapError, ...]:
        """The rows that could not be checked, and why."""
        return self._checked.problems

    @property
    def notes(self) -> tuple[str, ...]:
        """Remarks on how the key was read."""
        return self._checked.sheet.notes

    @property
    def solutions(self) -> str:
        """Worked solutions of every claim that has an answer, as Markdown; the text of solutions.md."""
        return solutions_text(self._checked, self._title)

    def to_frame(self) -> "pd.DataFrame":
        """One row for each claim with the columns of key_check.csv; rows that were not checked come last."""
        return frame_of(KEY_CHECK, self._checked)

    def __repr__(self) -> str:
        told = ", ".join(f"{count} {verdict}" for verdict, count in self.counts.items())
        return f"<{self._title}: {told}; {len(self.problems)} rows not checked>"


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class StudentMarks:
    """The sheets of a class marked by a key. A person decides a grade. paths: the files that were written."""

    _marked: MarkedFolder
    paths: tuple[Path, ...]

    @property
    def problems(self) -> tuple[ChairgapError, ...]:
        """What is wrong with the key, with sheets and with their rows."""
        return self._marked.problems

    @property
    def claims(self) -> "pd.DataFrame":
        """One row for each student and claim; the columns of students_claims.csv."""
        return frame_of(CLAIMS, self._marked.marks)

    @property
    def summary(self) -> "pd.DataFrame":
        """One row for each student; the columns of students_summary.csv."""
        return frame_of(SUMMARY, self._marked.marks)

    @property
    def per_claim(self) -> "pd.DataFrame":
        """One row for each claim of the key; the columns of students_per_claim.csv."""
        return frame_of(PER_CLAIM, self._marked.marks)

    def __repr__(self) -> str:
        students = len({mark.student for mark in self._marked.marks})
        return f"<{students} sheets marked, {len(self.problems)} problems>"


@dataclass(frozen=True, kw_only=True)
class ExportedQuestions:
    """paths: the files for question banks; left_out: (cell of the key, why) of claims that make none."""

    paths: tuple[Path, ...]
    left_out: tuple[tuple[str, str], ...]


def check_key(file: str | Path, *, compute: bool = False, output: str | Path | None = None) -> KeyCheck:
    """Check the claims of an answer key, .csv or .xlsx (configs/key_format.md).

    compute: run each molecule through the force field as well. output: a folder for the files of `chairgap
    key check`; without it nothing is written. Raises InputError or StudyError when the key, or a table that
    it names, cannot be used; a row that cannot be checked is in `problems`.
    """
    path = Path(file)
    key = None if output is None else opened(path, Path(output), "check")
    checked = check_file(path, key.sheet if key else None, compute=compute)
    paths = write_checked_key(key, checked)[1] if key else ()
    return KeyCheck(_checked=checked, _title=path.name, paths=paths)


def mark_students(key: str | Path, folder: str | Path, *, output: str | Path | None = None) -> StudentMarks:
    """Mark every sheet of a folder, one for each anonymous id, by a key.

    output: a folder for the files of `chairgap key mark`; without it nothing is written. Raises
    InputError or StudyError when the key or the folder cannot be used.
    """
    file, sheets = Path(key), Path(folder)
    read = None if output is None else opened(file, Path(output), "mark", sheets)
    marked = mark_folder(file, sheets)
    return StudentMarks(_marked=marked, paths=() if read is None else write_marks(read, marked))


def export_questions(key: str | Path, *, output: str | Path) -> ExportedQuestions:
    """Write the items of a key for question banks, QTI 2.1 and CSV, into a folder; wrong claims are left out.

    Raises InputError or StudyError when the key cannot be used or a file cannot be written.
    """
    read = opened(Path(key), Path(output), "questions")
    asked, paths = write_questions(read, check_file(read.file, read.sheet))
    left_out = tuple((str(claim.cell), reason) for claim, reason in asked.left_out)
    return ExportedQuestions(paths=paths, left_out=left_out)


def make_key(molecules: str | Sequence[str], file: str | Path) -> Path:
    """Make a workbook with the usual rows of a key for some molecules, each a SMILES or groups such as
    '1 up CH3, 2 down OH'; the claims are left empty. Returns its path.

    Raises InputError when there is a file of that name, or a molecule cannot be treated.
    """
    texts = [molecules] if isinstance(molecules, str) else list(molecules)
    return write_template(texts, Path(file), Place(file="make_key()"), "name another one")
