"""A key file as plain rows of cells: CSV (comma, semicolon or tab) or the sheets of an .xlsx workbook."""

import datetime
import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import get_args

from chairgap.errors import InputError, Place
from chairgap.files.reading import read_bytes, split_table
from chairgap.records import Cell, Quantity

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
    "systematic_name": "The name of the molecule, for you; the check does not use it.",
}
COLUMNS = tuple(HINTS)
MOST_MB = 20
MOST_ROWS = 50_000
MOST_COLUMNS = 1_000
MOST_CHARACTERS = 32_767  # of a cell: more no spreadsheet program holds


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """One row: sheet (or file) name, 1-based row number, cell values by column letter order; of a workbook or
    of a table of text."""

    sheet: str
    number: int
    values: tuple[Value, ...]
    in_workbook: bool

    def letter(self, column: int) -> str:
        """The letters of a 0-based column: A to Z, AA to AZ ..."""
        before, last = divmod(column, 26)
        return (self.letter(before - 1) if before else "") + chr(ord("A") + last)

    def cell(self, column: int, name: str) -> Cell:
        """The cell of a 0-based column of this name."""
        known_by = "" if self.in_workbook else name
        return Cell(sheet=self.sheet, column=self.letter(column), row=self.number, text_column=known_by)


def read_rows(path: Path) -> tuple[SheetRow, ...]:
    """All rows of a key file. Raises InputError for a file that is none or is too large."""
    place, kind = Place(file=str(path)), path.suffix.lower()
    if kind not in {".xlsx", ".csv", ".tsv", ".txt"}:
        raise InputError(f"'{kind}' is not a file type of a key; save it as .xlsx or .csv.", place=place)
    raw = read_bytes(path, at_most_mb=MOST_MB)
    rows = tuple(_workbook_rows(raw, place) if kind == ".xlsx" else _text_rows(raw, path, place))
    for row in rows:
        _check_cells(row, place)
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
        yield SheetRow(sheet=path.name, number=number, values=tuple(values), in_workbook=False)


def _decoded(raw: bytes, place: Place) -> str:
    for encoding in ("utf-8-sig", "cp1252"):  # spreadsheet programs on Windows still write the second
        with suppress(UnicodeDecodeError):
            text = raw.decode(encoding)
            if "\0" not in text:
                return text
    raise InputError("The file is not text; save it as CSV in UTF-8.", place=place)


def _check_cells(row: SheetRow, place: Place) -> None:
    message = ""
    if len(row.values) > MOST_COLUMNS:
        message = f"The row has more than {MOST_COLUMNS} cells; leave the columns of the key."
    elif any(isinstance(value, str) and len(value) > MOST_CHARACTERS for value in row.values):
        message = f"A cell of the row has more than {MOST_CHARACTERS:,} characters; shorten it."
    if message:
        raise InputError(message, place=replace(place, row=row.number))


def _workbook_rows(raw: bytes, place: Place) -> Iterator[SheetRow]:
    # Here and not above: most keys are CSV.
    from chairgap.files.workbooks import READER

    for sheet, rows in READER.read(raw, place):
        yield from (
            SheetRow(sheet=sheet, number=number, values=values, in_workbook=True) for number, values in rows
        )
