"""A folder of student sheets marked by a key, and the two CSV files that tell of it."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.key.students import Marked, mark
from chairgap.keydesk.checking import load_tables
from chairgap.keydesk.facts import FactsDesk
from chairgap.keydesk.read_key import read_key
from chairgap.report.cells import Row, csv_text, frame_of
from chairgap.tables import SHIPPED_TABLES

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
SUMMARY_HEADERS = (
    "student",
    "right",
    "convention",
    "carried",
    "wrong",
    "missing",
    "unreadable",
    "points_of_right_claims",
    "points_for_a_person_to_decide",
    "points_of_the_key",
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
    if not folder.is_dir():
        raise InputError(
            "There is no such folder; give the folder of the sheets.", place=Place(file=str(folder))
        )
    key = read_key(key_file)
    tables = load_tables(key, key_file)
    desk = FactsDesk(tables[SHIPPED_TABLES[0]], place=Place(file=str(key_file)))
    molecules = {claim.item: " | ".join(claim.molecules) for claim in key.claims}
    marks: list[Marked] = []
    problems: list[ChairgapError] = []
    sheets = sorted(path for path in folder.iterdir() if path.suffix.lower() in _KINDS)
    if not sheets:
        raise InputError("The folder holds no sheet (.csv or .xlsx).", place=Place(file=str(folder)))
    for path in sheets:
        try:
            _anonymous(path)
            sheet = read_key(path, molecules=molecules)
            problems += sheet.problems
            marks += mark(path.stem, key.claims, sheet.claims, desk.facts_of, tables)
        except ChairgapError as error:
            problems.append(error)
    return MarkedFolder(marks=tuple(marks), problems=tuple(problems))


def _anonymous(path: Path) -> None:
    """Refuse names that look like a person's: an address, or surname and first name."""
    if any(sign in path.stem for sign in "@, "):
        raise InputError(
            "The file name looks like a person's name or address; name the sheet by an anonymous id.",
            place=Place(file=path.name),
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
        "carbon": "-".join(map(str, claim.carbons)),
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
        row: Row = {"student": student, **{name: counts[name] for name in counts}}
        for name in SUMMARY_HEADERS[1:7]:
            row.setdefault(name, 0)
        row["points_of_right_claims"] = sum(item.points for item in own)
        row["points_for_a_person_to_decide"] = sum(item.open_points for item in own)
        row["points_of_the_key"] = sum(item.claim.points or 0.0 for item in own)
        rows.append(row)
    return csv_text(frame_of(rows, SUMMARY_HEADERS))
