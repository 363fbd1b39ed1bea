"""A folder of student sheets marked by a key, and the CSV files of the marks."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import get_args

from chairgap.answer_key.files.checking import carbons_words, facts_desk, load_tables
from chairgap.answer_key.files.read_key import EMPTY_CELL, read_key
from chairgap.answer_key.rules.students import Marked, MarkingKey, Outcome, Rows, mark, paired
from chairgap.answer_key.rules.whole_key import KeyReport, check_key
from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files import is_left_by_us
from chairgap.records import Claim
from chairgap.report.columns import Column, Table, number, text, whole

FILES = ("students_claims.csv", "students_summary.csv", "students_per_claim.csv")
_KINDS = {".csv", ".tsv", ".txt", ".xlsx"}
OUTCOMES = get_args(Outcome)


@dataclass(frozen=True, kw_only=True)
class MarkedFolder:
    """All marks, sheet by sheet in the order of their names, and the sheets that could not be used."""

    marks: tuple[Marked, ...]
    problems: tuple[ChairgapError, ...]


def mark_folder(key_file: Path, folder: Path) -> MarkedFolder:
    """Mark every sheet of a folder; the file name without its ending is the anonymous id.

    Raises InputError when the key or the folder cannot be used.
    """
    sheets = sheets_in(folder)
    key = read_key(key_file)
    tables = load_tables(key, key_file)
    desk = facts_desk(tables, key_file)
    if not sheets:
        raise InputError("The folder has no sheet (.csv or .xlsx).", place=Place(file=str(folder)))
    marks: list[Marked] = []
    report = check_key(key.claims, desk.facts_of, tables)
    problems = [*key.problems, *_wrong_in_key(report)]
    by = MarkingKey(claims=key.claims, facts_of=desk.facts_of, tables=tables, report=report)
    seen: dict[str, str] = {}
    for path in sheets:
        try:
            _anonymous(path, seen)
            rows, unread = _rows(path, key.claims)
            problems += unread
            marks += mark(path.stem, by, rows)
        except ChairgapError as error:
            problems.append(error)
    return MarkedFolder(marks=tuple(marks), problems=tuple(problems))


def sheets_in(folder: Path) -> list[Path]:
    """The sheets of a folder by name. Raises InputError when there is no such folder."""
    try:
        return sorted(path for path in folder.iterdir() if path.suffix.lower() in _KINDS and _meant(path))
    except OSError:
        message = "There is no such folder; give the folder of the sheets."
        raise InputError(message, place=Place(file=str(folder))) from None


def _wrong_in_key(report: KeyReport) -> list[ChairgapError]:
    """What is wrong with the key itself: students are marked by the right answer, not by the cell."""
    wrong = [
        InputError(
            f"The key says {finding.claim.claimed}, but the students are marked by "
            f"{finding.answer.text}; check the key and correct it first.",
            place=Place(file=str(finding.claim.cell)),
        )
        for finding in report.findings
        if finding.verdict == "ERROR"
    ]
    return [*report.problems, *wrong]


def _meant(path: Path) -> bool:
    """False for the hidden files that systems and spreadsheet programs leave beside a sheet, and for what was
    written of the sheets before."""
    ours = path.name in FILES and is_left_by_us(path.parent, path.name)
    return path.is_file() and not path.name.startswith((".", "~$")) and not ours


def _anonymous(path: Path, seen: dict[str, str]) -> None:
    """Refuse names that look like a person's (an address; surname and first name), and ids used twice."""
    if any(sign in path.stem for sign in "@, "):
        raise InputError(
            "The file name looks like a person's name or address; name the sheet by an anonymous id.",
            place=Place(file=path.name),
        )
    other = seen.setdefault(path.stem.casefold(), path.name)
    if other != path.name:
        raise InputError(
            f"The id '{path.stem}' is that of {other}, too; only {other} was marked. Keep one of them.",
            place=Place(file=path.name),
        )


def _rows(path: Path, key: Sequence[Claim]) -> tuple[list[Rows], list[ChairgapError]]:
    """The rows of one sheet beside the key's claims, and what is wrong with it; an empty cell of 'claimed' is
    an answer not given and no problem."""
    molecules = {claim.item: " | ".join(claim.molecules) for claim in key}
    claims: tuple[Claim, ...] = ()
    try:
        sheet = read_key(path, molecules=molecules)
        claims, problems = sheet.claims, sheet.problems
    except StudyError as error:
        problems = error.problems
    unread = [
        _in_file(path, problem)
        for problem in problems
        if (problem.place.field, problem.message) != ("claimed", EMPTY_CELL)
    ]
    rows, strays = paired(key, claims)
    unread += [
        InputError(
            f"The key asks for no '{row.quantity}' of item '{row.item}' with this carbon and chair; "
            "the row was left out.",
            place=Place(file=f"{path.name}: {row.cell}"),
        )
        for row in strays
    ]
    return rows, unread


def _in_file(path: Path, problem: ChairgapError) -> ChairgapError:
    """The problem with the file name in front where it names a sheet of a workbook only."""
    if path.name in problem.place.file:
        return problem
    place = replace(problem.place, file=f"{path.name}: {problem.place.file}")
    return InputError(problem.message, place=place)


# One row for each student and claim.
CLAIMS: Table[Iterable[Marked], Marked] = Table(
    rows=lambda marks: marks,
    columns=(
        text("student", lambda item: item.student),
        text("item", lambda item: item.claim.item),
        text("quantity", lambda item: item.claim.quantity),
        text("carbon", lambda item: carbons_words(item.claim)),
        text("chair", lambda item: item.claim.chair),
        text("given", lambda item: item.given),
        text("outcome", lambda item: item.outcome),
        text("expected", lambda item: item.expected),
        text("words", lambda item: item.words),
        text("slips", lambda item: "; ".join(item.slips)),
        number("points_of_key_when_right", "", lambda item: item.points),
        number("points_for_a_person_to_decide", "", lambda item: item.open_points),
    ),
)


def by_claim(marks: Iterable[Marked]) -> list[tuple[Marked, ...]]:
    """The marks of each claim of the key, in its order."""
    return [together.marks for together in _together(marks, _claim_of)]


def by_student(marks: Iterable[Marked]) -> list[tuple[Marked, ...]]:
    """The marks of each student."""
    return [together.marks for together in _together(marks, lambda item: item.student)]


@dataclass(frozen=True, kw_only=True)
class _Marks:
    """Some marks together: those of a student, or those of a claim."""

    marks: tuple[Marked, ...]

    @property
    def first(self) -> Marked:
        return self.marks[0]

    def count(self, outcome: Outcome) -> int:
        return sum(item.outcome == outcome for item in self.marks)

    @cached_property
    def slip(self) -> tuple[str, int | None]:
        """The most frequent slip and how often it was made."""
        return _most_frequent(slip for item in self.marks for slip in item.slips)

    @cached_property
    def wrong_answer(self) -> tuple[str, int | None]:
        """The most frequent wrong answer and how often it was given."""
        return _most_frequent(item.given for item in self.marks if item.outcome == "wrong")


def _most_frequent(words: Iterable[str]) -> tuple[str, int | None]:
    """Of those that are as frequent the first in the order of the alphabet."""
    counts: Counter[str] = Counter(words)
    return min(counts.items(), key=lambda item: (-item[1], item[0]), default=("", None))


def _together(marks: Iterable[Marked], by: Callable[[Marked], Hashable]) -> list[_Marks]:
    groups: dict[Hashable, list[Marked]] = {}
    for item in marks:
        groups.setdefault(by(item), []).append(item)
    return [_Marks(marks=tuple(group)) for group in groups.values()]


def _count(outcome: Outcome) -> Column[_Marks]:
    return whole(outcome, lambda row: row.count(outcome))


# One row for each student: counts, and points of the right claims.
SUMMARY: Table[Iterable[Marked], _Marks] = Table(
    rows=lambda marks: _together(marks, lambda item: item.student),
    columns=(
        text("student", lambda row: row.first.student),
        *map(_count, OUTCOMES),
        number("points_of_right_claims", "", lambda row: sum(item.points for item in row.marks)),
        number("points_for_a_person_to_decide", "", lambda row: sum(item.open_points for item in row.marks)),
        number("points_of_the_key", "", lambda row: sum(item.claim.points or 0.0 for item in row.marks)),
    ),
)


def _claim_of(item: Marked) -> tuple[str, str, str, str]:
    return item.claim.item, item.claim.quantity, carbons_words(item.claim), item.claim.chair


# One row for each claim of the key: how often it was right, and the most frequent slip.
PER_CLAIM: Table[Iterable[Marked], _Marks] = Table(
    rows=lambda marks: _together(marks, _claim_of),
    columns=(
        text("item", lambda row: row.first.claim.item),
        text("quantity", lambda row: row.first.claim.quantity),
        text("carbon", lambda row: carbons_words(row.first.claim)),
        text("chair", lambda row: row.first.claim.chair),
        text("expected", lambda row: next((item.expected for item in row.marks if item.expected), "")),
        whole("students", lambda row: len(row.marks)),
        *map(_count, OUTCOMES),
        text("most_frequent_slip", lambda row: row.slip[0]),
        whole("students_with_it", lambda row: row.slip[1]),
        text("most_frequent_wrong_answer", lambda row: row.wrong_answer[0]),
        whole("students_who_gave_it", lambda row: row.wrong_answer[1]),
    ),
)
