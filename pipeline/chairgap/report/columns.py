"""Tables of output: a table is a list of columns over one kind of row.

A column holds its name, unit, kind, decimals and how its cell follows from a row; first line and cells of the
CSV file, type in Parquet and in a notebook's frame, and label on the page come from it. A column is added to
a table as one line.

The text of a table depends on its rows alone: fixed decimals by unit, LF, UTF-8, no time, no path, quoted as
RFC 4180 says. An empty cell is a value that does not exist. Spreadsheet programs run a cell that starts with
= + - or @ as a formula; such a *text* cell, unless it is a number, is written with a leading apostrophe,
which they read as 'this is text'. No valid SMILES starts with one of these signs, so SMILES are never
touched.
"""

import csv
import io
import math
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from chairgap.report.words import yes_no
from chairgap.text import one_line
from chairgap.units import fixed, signed

Cell = str | int | float | bool | None
Cells = tuple[Cell, ...]
Kind = Literal["text", "number", "whole number", "yes or no"]
Source = TypeVar("Source")
Row = TypeVar("Row")

# Decimals by unit. A number without unit has significant digits.
_DECIMALS = {
    "kcal_mol": 4,
    "cal_mol_k": 3,
    "debye": 3,
    "percent": 4,
    "angstrom": 4,
    "deg": 2,
    "cm1": 1,
    "k": 2,
    "kcal_mol_per_angstrom": 6,
}
_SIGNIFICANT = 6
GAP_SIGN = "positive_favours_A"
_FORMULA_STARTS = ("=", "+", "-", "@")
PLAIN_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?(?:[eE][-+]?\d+)?", re.ASCII)


@dataclass(frozen=True, kw_only=True)
class Column(Generic[Row]):
    """One column. sign says what a positive number favours; decimals None means significant digits. A column
    with a label stands on the page as well, in the words of `words`."""

    name: str
    kind: Kind
    value: Callable[[Row], Cell]
    unit: str = ""
    sign: str = ""
    decimals: int | None = None
    label: str = ""
    words: Callable[[Row], str] | None = None

    @property
    def header(self) -> str:
        """Name, unit and sign in one word."""
        return "_".join(part for part in (self.name, self.unit, self.sign) if part)

    def written(self, cell: Cell) -> str:
        """A cell as CSV holds it."""
        if cell is None or (isinstance(cell, float) and math.isnan(cell)):
            return ""
        if isinstance(cell, bool):
            return yes_no(cell)
        if isinstance(cell, int):
            return str(cell)
        if isinstance(cell, float):
            return f"{cell + 0.0:.{_SIGNIFICANT}g}" if self.decimals is None else fixed(cell, self.decimals)
        text = one_line(cell)
        runs = text.startswith(_FORMULA_STARTS) and not PLAIN_NUMBER.fullmatch(text)
        return f"'{text}" if runs else text

    def said(self, row: Row) -> str:
        """The cell as the page shows it: a number with its sign, unless the column has words of its own."""
        if self.words is not None:
            return self.words(row)
        value = self.value(row)
        return signed(value) if value is None or isinstance(value, float) else self.written(value)

    def rounded(self, cell: Cell) -> Cell:
        """A cell as a value of its type: numbers as they are written, None for what is not a number."""
        if isinstance(cell, float):
            return None if math.isnan(cell) else float(self.written(cell))
        return cell


@dataclass(frozen=True, kw_only=True)
class Table(Generic[Source, Row]):
    """A table: which rows a source has, and the columns over them."""

    rows: Callable[[Source], Iterable[Row]]
    columns: tuple[Column[Row], ...]

    @property
    def headers(self) -> tuple[str, ...]:
        return tuple(column.header for column in self.columns)

    @property
    def first_line(self) -> str:
        return _csv([self.headers])

    def cells(self, source: Source) -> list[Cells]:
        """The cells of every row, as they are."""
        return [tuple(column.value(row) for column in self.columns) for row in self.rows(source)]

    def csv_lines(self, rows: Iterable[Cells]) -> str:
        """Rows of `cells` as CSV text, without the first line."""
        return _csv(
            [column.written(cell) for column, cell in zip(self.columns, row, strict=True)] for row in rows
        )

    def csv_text(self, source: Source) -> str:
        """The whole CSV file."""
        return self.first_line + self.csv_lines(self.cells(source))

    def rounded(self, rows: Iterable[Cells]) -> tuple[Cells, ...]:
        """Rows of `cells` as values, each number as CSV writes it."""
        return tuple(
            tuple(column.rounded(cell) for column, cell in zip(self.columns, row, strict=True))
            for row in rows
        )


def _csv(rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def text(name: str, value: Callable[[Row], Cell]) -> Column[Row]:
    """A column of text."""
    return Column(name=name, kind="text", value=value)


def yes_or_no(name: str, value: Callable[[Row], bool]) -> Column[Row]:
    """A column of yes and no."""
    return Column(name=name, kind="yes or no", value=value)


def whole(name: str, value: Callable[[Row], int | None]) -> Column[Row]:
    """A column of whole numbers: counts and numbers of things."""
    return Column(name=name, kind="whole number", value=value)


def number(  # noqa: PLR0913 - the parts of a column
    name: str,
    unit: str,
    value: Callable[[Row], float | None],
    *,
    sign: str = "",
    decimals: int | None = None,
    label: str = "",
    words: Callable[[Row], str] | None = None,
) -> Column[Row]:
    """A column of numbers; unit '' for none. Decimals are those of the unit unless given."""
    return Column(
        name=name,
        kind="number",
        value=value,
        unit=unit,
        sign=sign,
        decimals=_DECIMALS.get(unit) if decimals is None else decimals,
        label=label,
        words=words,
    )


def gap(
    kind: str,
    value: Callable[[Row], float | None],
    *,
    label: str = "",
    words: Callable[[Row], str] | None = None,
) -> Column[Row]:
    """A column of gaps E(B) - E(A), in kcal/mol."""
    return number(
        f"{kind}_gap_B_minus_A",
        "kcal_mol",
        value,
        sign=GAP_SIGN,
        label=label,
        words=words,
    )
