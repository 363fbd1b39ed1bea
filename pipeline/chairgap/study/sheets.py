"""A file of molecules as plain rows of cells: text (commas, semicolons or tabs) or the sheets of an .xlsx
workbook, by its content."""

import datetime
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import takewhile
from pathlib import Path

from chairgap.errors import InputError, Place
from chairgap.files.reading import TextTable, column_name, filled_text, read_bytes, split_table
from chairgap.text import printable, tidy

Row = tuple[int, list[str]]
_MOST_TEXT_MB, _MOST_WORKBOOK_MB = 100, 20
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")  # how an .xlsx and what may be taken for one begin
_DATE = "\0date"  # a cell of which the spreadsheet made a date


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A table of cells. called: what messages call it; short: the name of its file, and of its sheet where
    there are several; header: number and cells of the first row, rows: those below, none without content."""

    called: str
    short: str
    header: Row
    rows: list[Row]
    text: TextTable | None = None

    def too_long(self, cells: Sequence[str], columns: Sequence[str], place: Place) -> InputError:
        """What is wrong with a row that has content right of the last column."""
        if self.text:
            return self.text.ragged(cells, columns, place)
        message = "The row has a cell right of the last column. Clear it, or name its column in the header."
        return InputError(message, place=place, expected=f"{len(columns)} cells")


def is_date(cell: str) -> bool:
    return cell == _DATE


def read_sheets(path: Path, *, columns: Collection[str], most_rows: int) -> tuple[list[Sheet], list[str]]:
    """The tables of a file, and a remark on every sheet of a workbook that was passed over, since none of its
    rows has the name of one of `columns`.

    A title above the header, a row with one cell, is passed over too. Raises InputError for a file that
    cannot be read, and for a text whose quoting breaks.
    """
    raw = read_bytes(path, at_most_mb=_MOST_TEXT_MB)
    if path.suffix.casefold() == ".xlsx" or raw.startswith(_WORKBOOKS):
        return _workbook(raw, path, columns)
    table = split_table(filled_text(raw, str(path)), str(path), columns=columns, most_rows=most_rows)
    header, *rows = _without_title(table.filled(columns), columns)
    return [Sheet(called=str(path), short=path.name, header=header, rows=rows, text=table)], []


def _workbook(raw: bytes, path: Path, columns: Collection[str]) -> tuple[list[Sheet], list[str]]:
    from chairgap.files.workbooks import READER  # here and not above: most files are text

    place = Place(file=str(path))
    if len(raw) > _MOST_WORKBOOK_MB * 1_000_000:
        message = f"The workbook is larger than {_MOST_WORKBOOK_MB} MB. Split it into several."
        raise InputError(message, place=place)
    read = READER.read(raw, place)
    found = []
    for name, numbered in read:
        rows = [(number, list(map(_text, cells))) for number, cells in numbered]
        filled = _without_title([row for row in rows if any(row[1])], columns)
        if filled:
            found.append((name, filled))
    if not found:
        message = f"The workbook is empty. Write the columns {', '.join(columns)}, and one row per entry."
        raise InputError(message, place=place)
    with_header = [(name, rows) for name, rows in found if _knows(rows[0], columns)]
    sheets = [
        Sheet(
            called=f"{path}, sheet '{printable(name)}'",
            short=f"{path.name} {printable(name)}" if len(with_header) > 1 else path.name,
            header=rows[0],
            rows=rows[1:],
        )
        for name, rows in with_header or found[:1]
    ]
    passed_over = [name for name, rows in found if with_header and not _knows(rows[0], columns)]
    notes = [
        f"{path}, sheet '{printable(name)}' has no column '{next(iter(columns))}' and was passed over"
        for name in passed_over
    ]
    return sheets, notes


def _text(value: str | float | datetime.datetime) -> str:
    if isinstance(value, datetime.datetime):
        return _DATE
    return f"{value:.15g}" if isinstance(value, float) else tidy(value)


def _knows(row: Row, columns: Collection[str]) -> bool:
    return any(column_name(cell) in columns for cell in row[1])


def _without_title(rows: list[Row], columns: Collection[str]) -> list[Row]:
    """The rows from the header on where only rows with one cell stand above it, else all."""
    above = list(takewhile(lambda row: not _knows(row, columns) and sum(map(bool, row[1])) == 1, rows))
    header_is_next = len(above) < len(rows) and _knows(rows[len(above)], columns)
    return rows[len(above) :] if header_is_next else rows
