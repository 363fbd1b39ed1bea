"""Workbooks and keys written back: the annotated copy, the corrected key, the empty template.

The original is only read. Text that a spreadsheet would run as a formula is stored as text with its quote
prefix set, also where it was a formula in the original.
"""

import csv
import io
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import openpyxl
from openpyxl.cell.cell import Cell as BookCell
from openpyxl.cell.cell import MergedCell
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill
from openpyxl.utils import column_index_from_string
from openpyxl.workbook import Workbook

from chairgap.answer_key.files.checking import CheckedKey, why
from chairgap.answer_key.files.sheets import HINTS, read_rows, xml_text
from chairgap.records import Facts, KeyVerdict

_FORMULA_STARTS = ("=", "+", "-", "@", "\t")
# Colour-blind-safe tints; the verdict also stands in a column of its own.
_TINTS: dict[KeyVerdict, str] = {
    "ERROR": "F4C7A1",
    "REVIEW": "F3E6A2",
    "CONVENTION": "BFD9F2",
    "RIGHT": "FFFFFF",
}


def _put(cell: BookCell | MergedCell, text: str) -> None:
    """Write text so that it stays text; of a merged block only the first cell takes any."""
    if isinstance(cell, MergedCell):
        return
    cell.value = text = xml_text(text)
    cell.data_type = "s"
    if text.startswith(_FORMULA_STARTS):
        cell.quotePrefix = True


def _as_book(path: Path) -> Workbook:
    """The original as a workbook in memory, formulas made text; a CSV becomes its one sheet."""
    if path.suffix.lower() == ".xlsx":
        book = openpyxl.load_workbook(path)
        for sheet in book.worksheets:
            for row in sheet.iter_rows():
                for cell in row:
                    if isinstance(cell.value, str):
                        _put(cell, cell.value)
        return book
    book = Workbook()
    sheet = book.worksheets[0]
    for read in read_rows(path):
        for column, value in enumerate(read.values, start=1):
            _put(sheet.cell(read.number, column), str(value))
    return book


def annotated(checked: CheckedKey, path: Path) -> Workbook:
    """A copy of the key with a comment and a tint on each claimed cell and a column 'verdict'."""
    book = _as_book(path)
    ends = {sheet.title: (sheet.max_column or 0) + 1 for sheet in book.worksheets}
    for finding in checked.report.findings:
        cell = finding.claim.cell
        sheet = book[cell.sheet] if cell.sheet in book.sheetnames else book.worksheets[0]
        target = sheet.cell(cell.row, column_index_from_string(cell.column))
        target.fill = PatternFill("solid", fgColor=_TINTS[finding.verdict])
        # Only the first cell of a merged block takes a comment.
        if finding.verdict != "RIGHT" and isinstance(target, BookCell):
            words = xml_text(f"{finding.verdict}: {why(finding)}")
            target.comment = Comment(words, "chairgap")
        _put(sheet.cell(cell.row, ends[sheet.title]), finding.verdict)
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
    for column, (name, hint) in enumerate(HINTS.items(), start=1):
        head = sheet.cell(1, column)
        head.value, head.comment = name, Comment(hint, "chairgap")
    row = 2
    for number, (text, facts) in enumerate(molecules, start=1):
        for quantity, carbon, chair, unit in _usual_rows(facts):
            cells = (str(number), text, quantity, carbon, chair, "", unit)
            for column, value in enumerate(cells, start=1):
                target = sheet.cell(row, column)
                target.number_format = "@"
                _put(target, value)
            row += 1
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
