"""The process that reads workbooks: run as a file by `workbooks.py`, and free to be killed.

It imports nothing of chairgap. A workbook comes in as its length (8 bytes) and its bytes; back goes the
length of a JSON text and the text: `{"sheets": [[name, [[row, [cell, ...]], ...]], ...]}`, or
`{"problem": ...}`. A cell is a text, a number, or a list with a date in it. Only visible worksheets are read.

python-calamine (MIT) was chosen over openpyxl: it reads values and merged blocks and nothing else (no styles,
comments, links or formulas, whose objects a small file can ask for by the million). It has no bounds of its
own, so the process has: memory, CPU seconds for each workbook, and none left over when nobody asks.
"""

import datetime
import io
import json
import resource
import signal
import sys
import zipfile
from typing import Any

from python_calamine import CalamineSheet, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

MOST_UNPACKED_BYTES = 60_000_000
MOST_PARTS, MOST_SHEETS = 1_000, 50
MOST_ROWS, MOST_COLUMNS, MOST_CELLS = 50_000, 1_000, 1_000_000
MOST_CHARACTERS = 20_000_000  # in all cells together
MOST_MEMORY_BYTES, MOST_CPU_S, MOST_IDLE_S = 1_000_000_000, 10, 20
_LARGEST = 1e300
_CANNOT_BE_OPENED = (
    "The workbook cannot be opened (damaged, encrypted, no .xlsx); save it anew, without a password."
)
_UNPACKS_TO_TOO_MUCH = "The workbook unpacks to too much; save only the sheet that is needed."
Cell = str | float | list[str]


class RefusedError(Exception):
    """Why a workbook is not read, in words for the user."""


class _Left:
    """How many cells and characters may still be read of a workbook."""

    def __init__(self) -> None:
        self.cells, self.characters = MOST_CELLS, MOST_CHARACTERS

    def take(self, *, cells: int = 0, characters: int = 0) -> None:
        self.cells -= cells
        self.characters -= characters
        if self.cells < 0 or self.characters < 0:
            raise RefusedError(_UNPACKS_TO_TOO_MUCH)


def sheets_of(raw: bytes) -> list[tuple[str, list[tuple[int, list[Cell]]]]]:
    """Name and rows, those with content, of each visible worksheet. Raises RefusedError for a workbook beyond
    the bounds, and whatever the libraries raise for what is none."""
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        parts = archive.infolist()
    if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED_BYTES:
        raise RefusedError(_UNPACKS_TO_TOO_MUCH)
    if not any(part.filename == "xl/workbook.xml" for part in parts):  # other kinds are packed likewise
        raise RefusedError(_CANNOT_BE_OPENED)
    book = CalamineWorkbook.from_filelike(io.BytesIO(raw))
    names = [
        about.name
        for about in book.sheets_metadata
        if about.typ == SheetTypeEnum.WorkSheet and about.visible == SheetVisibleEnum.Visible
    ]
    if len(names) > MOST_SHEETS:
        raise RefusedError(
            f"The workbook has more than {MOST_SHEETS} sheets; save only the sheet that is needed."
        )
    left = _Left()
    return [(name, _rows(book.get_sheet_by_name(name), left)) for name in names]


def _rows(sheet: CalamineSheet, left: _Left) -> list[tuple[int, list[Cell]]]:
    height, width = sheet.total_height, sheet.total_width
    if height > MOST_ROWS:
        raise RefusedError(f"Sheet '{sheet.name}' has more than {MOST_ROWS} rows; split it.")
    if width > MOST_COLUMNS or height * width > left.cells:
        raise RefusedError(
            f"Sheet '{sheet.name}' reaches far beyond a table; clear the cells right of and below it."
        )
    left.take(cells=height * width)
    table: list[list[Any]] = sheet.to_python(skip_empty_area=False)
    for (top, first), (bottom, last) in sheet.merged_cell_ranges or ():
        _fill(table, (top, bottom + 1), (first, last + 1), left)
    rows = []
    for number, values in enumerate(table, start=1):
        cells = [_cell(value) for value in values]
        while cells and cells[-1] == "":
            cells.pop()
        left.take(characters=sum(len(cell) for cell in cells if isinstance(cell, str)))
        if cells:
            rows.append((number, cells))
    return rows


def _fill(table: list[list[Any]], rows: tuple[int, int], columns: tuple[int, int], left: _Left) -> None:
    """The value of a merged block in all its cells that the sheet has."""
    (top, below), (first, behind) = rows, columns
    if top >= min(below, len(table)) or first >= min(behind, len(table[top])):
        left.take(cells=1)
        return
    value = table[top][first]
    for row in table[top:below]:
        behind = min(behind, len(row))
        left.take(cells=behind - first)
        row[first:behind] = [value] * (behind - first)


def _cell(value: object) -> Cell:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return float(value) if abs(value) < _LARGEST else str(value)
    if isinstance(value, datetime.date):  # with or without a time of day
        return [datetime.datetime.combine(value, getattr(value, "time", datetime.time)()).isoformat()]
    return str(value)


def _reply(raw: bytes) -> dict[str, object]:
    try:
        return {"sheets": sheets_of(raw)}
    except RefusedError as error:
        return {"problem": str(error)}
    except Exception:  # the libraries raise what they like: any of it means a broken workbook
        return {"problem": _CANNOT_BE_OPENED}


def _limit(what: int, most: int, *, keep_open: bool = False) -> None:
    """A bound that ends the process, never above what the system allows; with keep_open it may be raised
    again."""
    allowed = resource.getrlimit(what)[1]
    most = most if allowed == resource.RLIM_INFINITY else min(most, allowed)
    resource.setrlimit(what, (most, allowed if keep_open else most))


def main() -> None:
    """Answer until nobody asks. What the bounds forbid ends the process without an answer."""
    _limit(resource.RLIMIT_AS, MOST_MEMORY_BYTES)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    asked, answers = sys.stdin.buffer, sys.stdout.buffer
    while True:
        signal.alarm(MOST_IDLE_S)
        length = asked.read(8)
        signal.alarm(0)
        if len(length) < 8:
            return
        usage = resource.getrusage(resource.RUSAGE_SELF)
        most_s = int(usage.ru_utime + usage.ru_stime) + 1 + MOST_CPU_S
        _limit(resource.RLIMIT_CPU, most_s, keep_open=True)
        answer = json.dumps(_reply(asked.read(int.from_bytes(length)))).encode()
        answers.write(len(answer).to_bytes(8) + answer)
        answers.flush()


if __name__ == "__main__":
    main()
