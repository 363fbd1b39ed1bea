"""Workbooks and keys written back: the annotated copy, the corrected key, the empty template.

The original is only read, and the annotated copy is made of the values that were read of it: nowhere is a
workbook opened with all that it may hold. Text that a spreadsheet would run as a formula is stored as text
with its quote prefix set.
"""

import csv
import io
import re
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

from openpyxl.cell.cell import Cell as BookCell
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.utils import column_index_from_string
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from chairgap.answer_key.files.checking import CheckedKey, why
from chairgap.answer_key.files.sheets import HINTS, read_rows, xml_text
from chairgap.records import Facts, KeyVerdict

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
    """Write text so that it stays text."""
    cell.value = text = xml_text(text)
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
        _put(_cell(sheets[place.sheet], place.row, ends[place.sheet]), finding.verdict)
    return book


def corrected_csv(checked: CheckedKey, path: Path) -> tuple[str, tuple[str, ...]]:
    """The key as CSV with the right answer where a claim is an ERROR, and the cells that were changed."""
    wrong = {
        (finding.claim.cell.sheet, finding.claim.cell.row): finding
        for finding in checked.report.findings
        if finding.verdict == "ERROR"
    }
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    changed = []
    for row in read_rows(path):
        values = [_plain_text(str(value)) for value in row.values]
        finding = wrong.get((row.sheet, row.number))
        if finding is not None:
            # The unit has a column of its own.
            right = finding.answer.text.removesuffix(finding.answer.unit).strip()
            values[column_index_from_string(finding.claim.cell.column) - 1] = right
            changed.append(str(finding.claim.cell))
        writer.writerow(values)
    return out.getvalue(), tuple(changed)


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
