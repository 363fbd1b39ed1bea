"""Tables as CSV text.

The text of a table depends on the outcome alone: fixed decimals by unit, LF, UTF-8, no time, no path. An
empty cell is a value that does not exist. Spreadsheet programs run a cell that starts with = + - or @ as a
formula; such a *text* cell is written with a leading apostrophe, which they read as 'this is text'. No valid
SMILES starts with one of these signs, so SMILES are never touched; nor are numbers.
"""

import math
from collections.abc import Iterable

import pandas as pd

from chairgap.report.words import fixed, yes_no
from chairgap.text import one_line

Cell = str | int | float | bool | None
Row = dict[str, Cell]

# The head of every gap column: kind goes before it.
GAP = "gap_B_minus_A_kcal_mol_positive_favours_A"

# Decimals by header: the first fragment found in the header decides. Engine differences have fixed decimals,
# not significant digits: their rounding noise must not change the bytes.
_DECIMALS = (
    ("engine_energy_difference", 8),
    ("engine_gradient_difference", 7),
    ("gradient_rms", 6),
    ("cal_mol_k", 3),
    ("kcal_mol", 4),
    ("debye", 3),
    ("percent", 4),
    ("angstrom", 4),
    ("_deg", 2),
    ("_cm1", 1),
    ("temperature_k", 2),
)
_SIGNIFICANT = 6
_FORMULA_STARTS = ("=", "+", "-", "@")


def csv_text(frame: pd.DataFrame, *, header: bool = True) -> str:
    """A frame as CSV text (RFC 4180 quoting, LF), with or without its first line; see the head of this module
    for the rules."""
    written = {header: [_written(str(header), cell) for cell in frame[header]] for header in frame.columns}
    text: str = pd.DataFrame(written, columns=frame.columns, dtype=object).to_csv(
        index=False, header=header, lineterminator="\n"
    )
    return text


def _written(header: str, cell: Cell) -> str:
    if cell is None or (isinstance(cell, float) and math.isnan(cell)):
        return ""
    if isinstance(cell, bool):
        return yes_no(cell)
    if isinstance(cell, int):
        return str(cell)
    if isinstance(cell, float):
        return number_text(header, cell)
    text = one_line(cell)
    return f"'{text}" if text.startswith(_FORMULA_STARTS) else text


def number_text(header: str, number: float) -> str:
    """A number as its column writes it."""
    decimals = decimals_of(header)
    return f"{number:.{_SIGNIFICANT}g}" if decimals is None else fixed(number, decimals)


def decimals_of(header: str) -> int | None:
    """Fixed decimals of a column of numbers; None where its numbers have no unit."""
    return next((decimals for fragment, decimals in _DECIMALS if fragment in header), None)


def frame_of(rows: Iterable[Row], headers: tuple[str, ...]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(headers), dtype=object)
