"""A folder of student sheets marked by a key, and the CSV files of the marks."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import get_args

from chairgap.answer_key.files.checking import load_tables
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.read_key import EMPTY_CELL, read_key
from chairgap.answer_key.rules.check import KeyReport, check_key
from chairgap.answer_key.rules.students import Marked, Outcome, mark, paired
from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files import is_left_by_us
from chairgap.records import Claim
from chairgap.report.cells import Row, csv_text, frame_of
from chairgap.tables.shipped import SHIPPED_TABLES

FILES = ("students_claims.csv", "students_summary.csv", "students_per_claim.csv")
_KINDS = {".csv", ".tsv", ".txt", ".xlsx"}
CLAIM_HEADERS = (
    "student",
    "item",
    "quantity",
    "carbon",
    "chair",
    "given",
    "outcome",
    "expected",
    "words",
    "slips",
    "points_of_key_when_right",
    "points_for_a_person_to_decide",
)
OUTCOMES = get_args(Outcome)
SUMMARY_HEADERS = (
    "student",
    *OUTCOMES,
    "points_of_right_claims",
    "points_for_a_person_to_decide",
    "points_of_the_key",
)
PER_CLAIM_HEADERS = (
    "item",
    "quantity",
    "carbon",
    "chair",
    "expected",
    "students",
    *OUTCOMES,
    "most_frequent_slip",
    "students_with_it",
    "most_frequent_wrong_answer",
    "students_who_gave_it",
)


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
    desk = FactsLookup(tables[SHIPPED_TABLES[0]], place=Place(file=str(key_file)))
    if not sheets:
        raise InputError("The folder has no sheet (.csv or .xlsx).", place=Place(file=str(folder)))
    marks: list[Marked] = []
    problems = [*key.problems, *_wrong_in_key(check_key(key.claims, desk.facts_of, tables))]
    seen: dict[str, str] = {}
    for path in sheets:
        try:
            _anonymous(path, seen)
            rows, unread = _rows(path, key.claims)
            problems += unread
            marks += mark(path.stem, key.claims, rows, desk.facts_of, tables)
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
    wrong = [finding for finding in report.findings if finding.verdict == "ERROR"]
    return [
        *report.problems,
        *(
            InputError(
                f"The key says {finding.claim.claimed}, but the students are marked by "
                f"{finding.answer.text}; check the key and correct it first.",
                place=Place(file=str(finding.claim.cell)),
            )
            for finding in wrong
        ),
    ]


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


def _rows(path: Path, key: Sequence[Claim]) -> tuple[tuple[tuple[Claim, ...], ...], list[ChairgapError]]:
    """The rows of one sheet beside the key's claims, and what is wrong with it; an empty cell of 'claimed' is
    an answer not given and no problem."""
    molecules = {claim.item: " | ".join(claim.molecules) for claim in key}
    claims: tuple[Claim, ...] = ()
    try:
        sheet = read_key(path, molecules=molecules)
        claims, problems = sheet.claims, sheet.problems
    except StudyError as error:
        problems = error.problems
    unread = [_in_file(path, problem) for problem in problems if not _blank(problem)]
    found = paired(key, claims)
    unread += [
        InputError(
            f"The key asks for no '{row.quantity}' of item '{row.item}' with this carbon and chair; "
            "the row was left out.",
            place=Place(file=f"{path.name}: {row.cell}"),
        )
        for row in found.strays
    ]
    return found.rows, unread


def _blank(problem: ChairgapError) -> bool:
    return problem.place.field == "claimed" and problem.message == EMPTY_CELL


def _in_file(path: Path, problem: ChairgapError) -> ChairgapError:
    """The problem with the file name in front where it names a sheet of a workbook only."""
    if path.name in problem.place.file:
        return problem
    return InputError(
        problem.message, place=replace(problem.place, file=f"{path.name}: {problem.place.file}")
    )


def claims_csv(marks: Sequence[Marked]) -> str:
    """One row for each student and claim."""
    return csv_text(frame_of([_row(item) for item in marks], CLAIM_HEADERS))


def _row(item: Marked) -> Row:
    claim = item.claim
    return {
        "student": item.student,
        "item": claim.item,
        "quantity": claim.quantity,
        "carbon": "-".join(map(str, claim.carbons)) + (f"({claim.group})" if claim.group else ""),
        "chair": claim.chair,
        "given": item.given,
        "outcome": item.outcome,
        "expected": item.expected,
        "words": item.words,
        "slips": "; ".join(item.slips),
        "points_of_key_when_right": item.points,
        "points_for_a_person_to_decide": item.open_points,
    }


def summary_csv(marks: Sequence[Marked]) -> str:
    """One row for each student: counts, and points of the right claims."""
    rows: list[Row] = []
    for student in dict.fromkeys(item.student for item in marks):
        own = [item for item in marks if item.student == student]
        counts = Counter(item.outcome for item in own)
        row: Row = {"student": student, **{outcome: counts[outcome] for outcome in OUTCOMES}}
        row["points_of_right_claims"] = sum(item.points for item in own)
        row["points_for_a_person_to_decide"] = sum(item.open_points for item in own)
        row["points_of_the_key"] = sum(item.claim.points or 0.0 for item in own)
        rows.append(row)
    return csv_text(frame_of(rows, SUMMARY_HEADERS))


def per_claim_csv(marks: Sequence[Marked]) -> str:
    """One row for each claim of the key: how often it was right, and the most frequent slip."""
    by_cell: dict[tuple[str, str, str, str], list[Marked]] = {}
    for item in marks:
        row = _row(item)
        name = (str(row["item"]), str(row["quantity"]), str(row["carbon"]), str(row["chair"]))
        by_cell.setdefault(name, []).append(item)
    rows: list[Row] = []
    for name, own in by_cell.items():
        counts = Counter(item.outcome for item in own)
        # Most frequent first; slips that are as frequent in the order of the alphabet.
        slips = sorted(
            Counter(slip for item in own for slip in item.slips).items(), key=lambda s: (-s[1], s[0])
        )
        wrong = sorted(
            Counter(item.given for item in own if item.outcome == "wrong").items(),
            key=lambda s: (-s[1], s[0]),
        )
        rows.append(
            {
                **dict(zip(("item", "quantity", "carbon", "chair"), name, strict=True)),
                "expected": next((item.expected for item in own if item.expected), ""),
                "students": len(own),
                **{outcome: counts[outcome] for outcome in OUTCOMES},
                "most_frequent_slip": slips[0][0] if slips else "",
                "students_with_it": slips[0][1] if slips else None,
                "most_frequent_wrong_answer": wrong[0][0] if wrong else "",
                "students_who_gave_it": wrong[0][1] if wrong else None,
            }
        )
    return csv_text(frame_of(rows, PER_CLAIM_HEADERS))
