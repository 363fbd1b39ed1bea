"""A key file as plain rows of cells: CSV (comma, semicolon or tab) or the sheets of an .xlsx workbook."""

import datetime
import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, get_args

from chairgap.errors import InputError, Place
from chairgap.files.reading import read_bytes, split_table
from chairgap.records import Quantity

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

Value = str | float | datetime.datetime
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)
# The columns of a key, each with its hint in an empty one.
HINTS = {
    "item": "A name of your own; blank means the one above.",
    "molecule": "SMILES, or carbon face group: 1 up CH3, 2 down OH.",
    "quantity": "One of: " + ", ".join(QUANTITIES),
    "carbon": "1 or 1-2 (the column is text, so that no date comes of it).",
    "chair": "A, B, stable, other, or who is axial: 1a 2e.",
    "claimed": "What the key says.",
    "unit": "kcal/mol, kJ/mol or %.",
    "tolerance": "How far a number may be off.",
    "points": "Points of the item; the check does not use them.",
    "conventions": "name=value; name=value, for example gauche=0.9.",
}
COLUMNS = tuple(HINTS)
MOST_MB = 20
MOST_UNPACKED_BYTES = 60_000_000
MOST_ROWS = 50_000
MOST_COLUMNS = 1_000
MOST_CELLS = 1_000_000
_LARGEST = 1e300


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """One row: sheet (or file) name, 1-based row number, cell values by column letter order."""

    sheet: str
    number: int
    values: tuple[Value, ...]

    def letter(self, column: int) -> str:
        """The letters of a 0-based column: A to Z, AA to AZ ..."""
        before, last = divmod(column, 26)
        return (self.letter(before - 1) if before else "") + chr(ord("A") + last)


def read_rows(path: Path) -> tuple[SheetRow, ...]:
    """All rows of a key file. Raises InputError for a file that is none or is too large."""
    place, kind = Place(file=str(path)), path.suffix.lower()
    if kind not in {".xlsx", ".csv", ".tsv", ".txt"}:
        raise InputError(f"'{kind}' is not a file type of a key; save it as .xlsx or .csv.", place=place)
    raw = read_bytes(path, at_most_mb=MOST_MB)
    rows = tuple(_workbook_rows(raw, place) if kind == ".xlsx" else _text_rows(raw, path, place))
    if not rows:
        raise InputError("The file has no rows; fill in at least a header and one claim.", place=place)
    return rows


def xml_text(text: str) -> str:
    """Text with a blank for each character that XML 1.0, and with it a workbook, cannot hold."""
    return re.sub(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", " ", text)


def _text_rows(raw: bytes, path: Path, place: Place) -> Iterator[SheetRow]:
    text = _decoded(raw, place)
    table = split_table(text, str(path), columns=COLUMNS, most_rows=MOST_ROWS)
    for number, values in enumerate(table.rows, start=1):
        _check_width(values, number, place)
        yield SheetRow(sheet=path.name, number=number, values=tuple(values))


def _decoded(raw: bytes, place: Place) -> str:
    for encoding in ("utf-8-sig", "cp1252"):  # spreadsheet programs on Windows still write the second
        with suppress(UnicodeDecodeError):
            text = raw.decode(encoding)
            if "\0" not in text:
                return text
    raise InputError("The file is not text; save it as CSV in UTF-8.", place=place)


def _check_width(values: Sequence[object], number: int, place: Place) -> None:
    if len(values) > MOST_COLUMNS:
        message = f"The row has more than {MOST_COLUMNS} cells; leave the columns of the key."
        raise InputError(message, place=replace(place, row=number))


def _workbook_rows(raw: bytes, place: Place) -> Iterator[SheetRow]:
    from openpyxl import load_workbook  # not at every start: most keys are CSV

    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as archive:
            unpacked = sum(member.file_size for member in archive.infolist())
            if unpacked > MOST_UNPACKED_BYTES or _merged_cells(archive) > MOST_CELLS:
                raise InputError("The workbook unpacks to too much; save only the key's sheet.", place=place)
        book = load_workbook(io.BytesIO(raw), data_only=True)
    except InputError:
        raise
    except Exception:  # openpyxl raises what its parsers raise: any of them means a broken workbook
        raise InputError(
            "The workbook cannot be opened (damaged, encrypted, no .xlsx); save it anew, without a password.",
            place=place,
        ) from None
    for sheet in book.worksheets:
        if sheet.sheet_state == "visible":
            yield from _sheet_rows(sheet, place)


def _merged_cells(archive: zipfile.ZipFile) -> int:
    """Cells in merged blocks, counted before openpyxl makes an object of each."""
    from openpyxl.utils import range_boundaries

    count = 0
    for member in archive.namelist():
        if member.startswith("xl/worksheets/"):
            for block in re.findall(rb'mergeCell\s[^>]*?ref="([A-Z]+\d+:[A-Z]+\d+)"', archive.read(member)):
                left, top, right, bottom = range_boundaries(block.decode())
                count += ((right or 0) - (left or 0) + 1) * ((bottom or 0) - (top or 0) + 1)
    return count


def _check_extent(sheet: "Worksheet", place: Place) -> None:
    """One filled cell far away makes a sheet of millions of empty ones."""
    rows, columns = sheet.max_row or 0, sheet.max_column or 0
    if rows > MOST_ROWS:
        raise InputError(f"Sheet '{sheet.title}' has more than {MOST_ROWS} rows; split it.", place=place)
    if columns > MOST_COLUMNS or rows * columns > MOST_CELLS:
        message = f"Sheet '{sheet.title}' reaches far beyond a key; clear the cells right of and below it."
        raise InputError(message, place=place)


def _sheet_rows(sheet: "Worksheet", place: Place) -> Iterator[SheetRow]:
    _check_extent(sheet, place)
    merged: dict[tuple[int | None, int | None], object] = {
        (row, column): sheet.cell(block.min_row, block.min_col).value
        for block in sheet.merged_cells.ranges
        for row in range(block.min_row, block.max_row + 1)
        for column in range(block.min_col, block.max_col + 1)
    }
    for cells in sheet.iter_rows():
        values = tuple(_value(merged.get((cell.row, cell.column), cell.value)) for cell in cells)
        if any(value != "" for value in values):
            yield SheetRow(sheet=sheet.title, number=cells[0].row or 0, values=values)


def _value(value: object) -> Value:
    if value is None:
        return ""
    if isinstance(value, datetime.datetime):
        return value
    if isinstance(value, datetime.date):
        return datetime.datetime(value.year, value.month, value.day)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return float(value) if abs(value) < _LARGEST else str(value)
    return str(value)
