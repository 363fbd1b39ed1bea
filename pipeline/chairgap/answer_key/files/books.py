"""Workbooks and keys written back: the annotated copy, the corrected key, the empty template.

The original is only read, and the annotated copy is made of the values that were read of it: nowhere is a
workbook opened with all that it may hold. Text that a spreadsheet would run as a formula is stored as text
with its quote prefix set.
"""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from openpyxl.cell.cell import Cell as BookCell
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.utils import column_index_from_string
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from chairgap.answer_key.files.checking import SEVERITY, CheckedKey, why
from chairgap.answer_key.files.sheets import HINTS, read_rows, xml_text
from chairgap.answer_key.rules.words import stated, unit_of
from chairgap.records import Facts, Finding, KeyVerdict
from chairgap.report.columns import PLAIN_NUMBER

_FORMULA_STARTS = ("=", "+", "-", "@", "\t")
_NOT_IN_A_TITLE, _LONGEST_TITLE = re.compile(r"[\\*?:/\[\]]"), 31
# Colour-blind-safe tints; the verdict also stands in a column of its own.
_TINTS: dict[KeyVerdict, str] = {
    "ERROR": "F4C7A1",
    "REVIEW": "F3E6A2",
    "CONVENTION": "BFD9F2",
    "RIGHT": "FFFFFF",
}


def _put(cell: BookCell, text: str) -> None:
    """Write text so that it stays text; a number with a sign is a number and not a formula."""
    cell.value = text = xml_text(text)
    if text.startswith(_FORMULA_STARTS) and PLAIN_NUMBER.fullmatch(text):
        places = len(text.replace(",", ".").partition(".")[2])
        cell.value = float(text.replace(",", "."))
        cell.number_format = f"0.{'0' * places}" if places and "e" not in text.lower() else "General"
        return
    cell.data_type = "s"
    if text.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True


def _as_book(path: Path) -> tuple[Workbook, dict[str, Worksheet]]:
    """The values of a key as a workbook in memory, with its sheets by the names that they have in the key;
    numbers and dates of a workbook stay what they are."""
    book = Workbook()
    book.remove(book.worksheets[0])
    sheets: dict[str, Worksheet] = {}
    for read in read_rows(path):
        if read.sheet not in sheets:
            title = _NOT_IN_A_TITLE.sub(" ", xml_text(read.sheet))[:_LONGEST_TITLE]
            sheets[read.sheet] = book.create_sheet(title or "key")
        for column, value in enumerate(read.values, start=1):
            target = _cell(sheets[read.sheet], read.number, column)
            if isinstance(value, str):
                _put(target, value)
            else:
                target.value = value
    return book, sheets


def _cell(sheet: Worksheet, row: int, column: int) -> BookCell:
    cell = sheet.cell(row, column)
    assert isinstance(cell, BookCell)  # nothing is merged in a workbook that we made
    return cell


def annotated(checked: CheckedKey, path: Path) -> Workbook:
    """The values of the key with a comment and a tint on each claimed cell and a column 'verdict'."""
    book, sheets = _as_book(path)
    ends = {name: sheet.max_column + 1 for name, sheet in sheets.items()}
    for finding in checked.report.findings:
        place = finding.claim.cell
        target = _cell(sheets[place.sheet], place.row, column_index_from_string(place.column))
        target.fill = PatternFill("solid", fgColor=_TINTS[finding.verdict])
        if finding.verdict != "RIGHT":
            words = xml_text(f"{finding.verdict}: {why(finding)}")
            target.comment = Comment(words, "chairgap")
        verdict = _cell(sheets[place.sheet], place.row, ends[place.sheet])
        # A wide row has several claims: the worst verdict first.
        both = {finding.verdict, *filter(None, str(verdict.value or "").split(", "))}
        _put(verdict, ", ".join(word for word in SEVERITY if word in both))
    return book


@dataclass(frozen=True, kw_only=True)
class Corrected:
    """A key as CSV with right answers put in; the cells that were changed, and those of wrong labels, which
    only a person changes, each with what it should be."""

    text: str
    changed: tuple[str, ...]
    left: tuple[tuple[str, str], ...]


def corrected_csv(checked: CheckedKey, path: Path, *, labels: bool = False) -> Corrected:
    """The key with the right number where a number is an ERROR. A wrong label (axial, cis, R, a chair, an
    order) may be a right one of another numbering or drawing: it is left, unless `labels` asks for it."""
    wrong = {
        (cell.sheet, cell.row, column_index_from_string(cell.column)): finding
        for finding in checked.report.findings
        if finding.verdict == "ERROR"
        for cell in (finding.claim.cell,)
    }
    put = {place: finding for place, finding in wrong.items() if labels or finding.answer.value is not None}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in read_rows(path):
        values = [_plain_text(str(value)) for value in row.values]
        for column in range(1, len(values) + 1):
            finding = put.get((row.sheet, row.number, column))
            if finding is not None:
                values[column - 1] = _right_cell(finding)
        writer.writerow(values)
    return Corrected(
        text=out.getvalue(),
        changed=tuple(str(finding.claim.cell) for finding in put.values()),
        left=tuple(
            (str(finding.claim.cell), finding.answer.text)
            for place, finding in wrong.items()
            if place not in put
        ),
    )


def _right_cell(finding: Finding) -> str:
    """The right answer as the cell has it: with its unit only where the unit stands in the cell."""
    said, unit = stated(finding.claim.claimed), finding.answer.unit
    number = finding.answer.text.removesuffix(unit).strip()
    return f"{number} {unit}" if unit and said and unit_of(said.rest) and said.rest else number


def _plain_text(text: str) -> str:
    """A cell that would run as a formula, with an apostrophe before it; numbers are left alone."""
    if not text.startswith(_FORMULA_STARTS):
        return text
    try:
        float(text.replace(",", "."))
    except ValueError:
        return f"'{text}"
    return text


def template(molecules: Sequence[tuple[str, Facts]]) -> Workbook:
    """An empty, commented key with the usual rows for each (text, facts): positions, pairs, gap, percent."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "key"
    columns = {name: column for column, name in enumerate(HINTS, start=1)}
    for (name, hint), column in zip(HINTS.items(), columns.values(), strict=True):
        head = sheet.cell(1, column)
        head.value, head.comment = name, Comment(hint, "chairgap")
    row = 2
    for number, (text, facts) in enumerate(molecules, start=1):
        name = facts.systematic
        for quantity, carbon, chair, unit in _usual_rows(facts):
            cells = {"item": str(number), "molecule": text, "quantity": quantity, "carbon": carbon}
            cells |= {"chair": chair, "claimed": "", "unit": unit, "systematic_name": name}
            for column, value in ((columns[name], cell) for name, cell in cells.items()):
                target = _cell(sheet, row, column)
                target.number_format = "@"
                _put(target, value)
            row, name = row + 1, ""
    return book


def _usual_rows(facts: Facts) -> list[tuple[str, str, str, str]]:
    carbons = [locant for locant, _ in facts.topology.groups]
    single = [locant for locant in carbons if carbons.count(locant) == 1]
    rows = [("position", str(locant), facts.chairs[0].name, "") for locant in single]
    rows += [("relation", f"{one}-{two}", "", "") for one, two in combinations(single, 2)]
    return [*rows, ("stable chair", "", "", ""), ("gap", "", "", "kcal/mol"), ("percent", "", "", "%")]


def book_bytes(book: Workbook) -> bytes:
    """A workbook as the bytes of its file."""
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()
