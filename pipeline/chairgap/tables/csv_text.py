"""Text of a comma-separated table in, records out; every problem is collected, none is raised.

Rows are counted as a spreadsheet counts them: the header is row 1, blank rows count.
"""

import csv
import io
import math
from collections.abc import Collection
from dataclasses import dataclass
from pathlib import PurePath
from typing import Literal, TypeVar

from chairgap.errors import InputError, Place
from chairgap.text import did_you_mean, nearest
from chairgap.units import KJ_PER_KCAL, LARGEST_ENERGY_KCAL_MOL

LONGEST_CELL = 1_000

Known = Literal["primary", "compilation", "from memory"]
KNOWN: tuple[Known, ...] = ("primary", "compilation", "from memory")

Word = TypeVar("Word", bound=str)


@dataclass(frozen=True, kw_only=True)
class Record:
    """One row: its file, its 1-based row number and its cells (stripped) by column name."""

    file: str
    row: int
    cells: dict[str, str]

    def text(self, field: str) -> str:
        """The cell, or '' when the table has no such column."""
        return self.cells.get(field, "")

    def problem(self, field: str, message: str, expected: str = "") -> InputError:
        """An error about this cell."""
        place = Place(file=self.file, row=self.row, field=field)
        return InputError(message, place=place, value=self.text(field), expected=expected)


@dataclass(frozen=True, kw_only=True)
class Columns:
    """The columns a table must have and may have; `help_by_name` says what to write into each.

    `may_be_empty` allows a header without any row.
    """

    required: tuple[str, ...]
    optional: tuple[str, ...]
    help_by_name: dict[str, str]
    may_be_empty: bool = False

    @property
    def all(self) -> tuple[str, ...]:
        return self.required + self.optional


def read_records(text: str, file: str, columns: Columns) -> tuple[tuple[Record, ...], list[InputError]]:
    """Records of a CSV text (commas, decimal points, header in row 1) and everything wrong with its form.

    A byte-order mark is taken off. When the header cannot be used no records are returned.
    """
    rows: list[list[str]] = []
    try:
        rows.extend(csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), strict=True))
    except csv.Error as error:
        message = f"The text cannot be split into cells ({error}); check the double quotes from this row on."
        return (), [InputError(message, place=Place(file=file, row=len(rows) + 1))]
    filled = [(number, row) for number, row in enumerate(rows, start=1) if any(cell.strip() for cell in row)]
    if not filled:
        message = f"The file is empty; write the columns {', '.join(columns.required)} and one row per entry."
        return (), [InputError(message, place=Place(file=file))]
    header_row, header_cells = filled[0]
    header = [cell.strip() for cell in header_cells]
    problems = _header_problems(header, Place(file=file, row=header_row), columns)
    if problems:
        return (), problems
    if len(filled) == 1 and not columns.may_be_empty:
        message = "There is a header but no row below it; write one row per entry."
        problems.append(InputError(message, place=Place(file=file, row=header_row)))
    records = []
    for number, row in filled[1:]:
        cells = [cell.strip() for cell in row]
        if len(cells) != len(header):
            problems.append(_ragged(cells, header, Place(file=file, row=number)))
            continue
        record = Record(file=file, row=number, cells=dict(zip(header, cells, strict=True)))
        problems += [
            record.problem(name, f"The cell has {len(cell):,} characters; use at most {LONGEST_CELL:,}.")
            for name, cell in record.cells.items()
            if len(cell) > LONGEST_CELL
        ]
        records.append(record)
    return tuple(records), problems


def _header_problems(header: list[str], place: Place, columns: Columns) -> list[InputError]:
    if len(header) == 1 and (";" in header[0] or "\t" in header[0]):
        separator = "semicolons" if ";" in header[0] else "tabs"
        message = (
            f"The columns are separated by {separator}; save the table with commas between the columns "
            "and points in the numbers."
        )
        return [InputError(message, place=place, value=header[0], expected=",".join(columns.required))]
    problems = []
    misspelt = set()
    for name in dict.fromkeys(header):
        at = Place(file=place.file, row=place.row, field=name)
        if not name:
            message = f"Column {header.index(name) + 1} has no name; name it or remove it."
            problems.append(InputError(message, place=at, expected=", ".join(columns.all)))
        elif name not in columns.all:
            misspelt.add(nearest(name, columns.all))
            message = f"Column '{name}' is not known.{_column_advice(name, columns)}"
            problems.append(InputError(message, place=at, value=name, expected=", ".join(columns.all)))
        elif header.count(name) > 1:
            problems.append(InputError(f"Column '{name}' is there twice; keep one.", place=at, value=name))
    for name in columns.required:
        if name not in header and name not in misspelt:
            at = Place(file=place.file, row=place.row, field=name)
            message = f"Column '{name}' is missing; add it ({columns.help_by_name[name]})."
            problems.append(InputError(message, place=at, expected=columns.help_by_name[name]))
    return problems


def _column_advice(name: str, columns: Columns) -> str:
    near = nearest(name, columns.all)
    if near.endswith("_kcal_mol") and "kj" in name.casefold():
        return f" Divide its numbers by {KJ_PER_KCAL:g} (energies are kcal/mol) and name it '{near}'."
    if near:
        return f" Did you mean '{near}'? Rename or remove it."
    return f" The columns are {', '.join(columns.all)}. Rename or remove it."


def _ragged(cells: list[str], header: list[str], place: Place) -> InputError:
    message = (
        f"This row has {len(cells)} cells, the header {len(header)}; "
        "put text that holds a comma in double quotes, and give every column a cell."
    )
    return InputError(message, place=place, value=",".join(cells), expected=f"{len(header)} cells")


def required_text(record: Record, field: str, columns: Columns, problems: list[InputError]) -> str:
    """The cell; an empty one is a problem."""
    text = record.text(field)
    if not text:
        what = columns.help_by_name[field]
        problems.append(record.problem(field, f"The cell is empty; write {what}.", what))
    return text


def one_of(record: Record, field: str, choices: tuple[Word, ...], problems: list[InputError]) -> Word:
    """The cell if it is one of the words allowed; anything else is a problem and gives the first word."""
    word = record.text(field)
    for choice in choices:
        if choice == word:
            return choice
    listed = ", ".join(f"'{choice}'" for choice in choices)
    message = f"'{word}' is not allowed here.{did_you_mean(word, choices)} Write one of {listed}."
    problems.append(record.problem(field, message, listed))
    return choices[0]


def number(record: Record, field: str, what: str, problems: list[InputError]) -> float | None:
    """The cell as a finite number; None (and a problem, unless the cell is empty) when it is none.

    `what` completes 'write ...', for example 'the energy in kcal/mol, for example 1.74'.
    """
    text = record.text(field)
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if math.isfinite(value) and "_" not in text:
        return value
    if text.count(",") == 1 and text.replace(",", "").lstrip("+-").isdecimal():
        message = f"'{text}' has a decimal comma; write {text.replace(',', '.')} with a point."
    else:
        message = f"'{text}' is not a number; write {what}."
    problems.append(record.problem(field, message, what))
    return None


def energy_with_range(record: Record, problems: list[InputError]) -> tuple[float, float, float] | None:
    """(value, low, high) in kcal/mol from the three energy columns; an empty low or high equals the value.

    None, with the problems added, unless all three are usable: numbers of at most 10 kcal/mol in size (more
    is taken for another unit) with low <= value <= high.
    """
    before = len(problems)
    what = "an energy in kcal/mol with a decimal point, for example 1.74"
    fields = ("value_kcal_mol", "low_kcal_mol", "high_kcal_mol")
    value, low, high = (number(record, field, what, problems) for field in fields)
    if value is None:
        if not record.text("value_kcal_mol"):
            problems.append(record.problem("value_kcal_mol", f"The cell is empty; write {what}.", what))
        return None
    low = value if low is None else low
    high = value if high is None else high
    for field, energy in zip(fields, (value, low, high), strict=True):
        if record.text(field) and abs(energy) > LARGEST_ENERGY_KCAL_MOL:
            message = (
                f"{energy:g} is too large for kcal/mol (at most {LARGEST_ENERGY_KCAL_MOL:g} is accepted); "
                f"if it is in kJ/mol divide it by {KJ_PER_KCAL:g}, otherwise correct it."
            )
            problems.append(record.problem(field, message, what))
    if low > value:
        message = f"The lower end {low:g} is above the value {value:g}; exchange or correct them."
        problems.append(record.problem("low_kcal_mol", message, f"at most {value:g}"))
    if high < value:
        message = f"The upper end {high:g} is below the value {value:g}; exchange or correct them."
        problems.append(record.problem("high_kcal_mol", message, f"at least {value:g}"))
    return None if len(problems) > before else (value, low, high)


def source_key(record: Record, source_keys: Collection[str] | None, problems: list[InputError]) -> str:
    """The cell `source`: one of `source_keys`; where these are None any text, the file's name when empty."""
    key = record.text("source")
    if source_keys is None:
        return key or PurePath(record.file).name
    if key not in source_keys:
        hint = did_you_mean(key, source_keys)
        message = f"Source '{key}' is not in sources.csv.{hint} Add it there or correct the key."
        problems.append(record.problem("source", message, "a key of sources.csv"))
    return key


def how_known(record: Record, *, user_table: bool, problems: list[InputError]) -> Known:
    """The cell `known`; a user's table may leave it empty, which means 'compilation'."""
    if user_table and not record.text("known"):
        return "compilation"
    return one_of(record, "known", KNOWN, problems)
