"""From rows of cells to claims: header, filling down, what spreadsheets do to '1-2', conventions."""

import datetime
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from chairgap.answer_key.files.sheets import COLUMNS, QUANTITIES, SheetRow, Value, read_rows
from chairgap.answer_key.files.wide import WideColumn, wide_columns
from chairgap.answer_key.rules.conventions import parse_conventions
from chairgap.answer_key.rules.words import number, plain, stated, unit_of
from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files.reading import column_name, read_header
from chairgap.records import Cell, Claim, Conventions, Quantity
from chairgap.text import did_you_mean

EMPTY_CELL = "The cell is empty; fill it in."
_MOST = 1000.0  # points, or how far a number may be off in its own unit
_NEEDED = {
    "item": "the number of the question",
    "molecule": "a SMILES, a name, or groups such as 1 up CH3, 2 down OH",
    "quantity": "what is asked for, such as gap",
    "claimed": "the answer",
}
_NEEDED_BY_STUDENTS = {name: what for name, what in _NEEDED.items() if name != "molecule"}
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_CARBON = re.compile(
    r"C?([1-6])(?:\(([^()]*(?:\([^()]*\)[^()]*)*)\))?(?:\s*[-,/. ]\s*C?([1-6]))?", re.IGNORECASE
)


@dataclass(frozen=True, kw_only=True)
class KeySheet:
    """What a key file holds: claims in order, rows that cannot be read, remarks."""

    claims: tuple[Claim, ...]
    problems: tuple[ChairgapError, ...]
    notes: tuple[str, ...]


@dataclass(kw_only=True)
class _Reading:
    columns: dict[str, int] = field(default_factory=dict)
    wide: dict[int, WideColumn] = field(default_factory=dict)
    sheet: str = ""
    item: str = ""
    molecule: str = ""
    known: Mapping[str, str] = field(default_factory=dict)
    base: Conventions = field(default_factory=Conventions)
    claims: list[Claim] = field(default_factory=list)
    problems: list[ChairgapError] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def read_key(path: Path, *, molecules: Mapping[str, str] | None = None) -> KeySheet:
    """Read a key. Rows that cannot be read are reported and the others go on.

    molecules gives the molecule text of each item for sheets that leave it out (students' sheets).
    Raises InputError for a file that cannot be used, StudyError with every problem when no claim is left.
    """
    reading = _Reading(known=molecules or {})
    for row in read_rows(path):
        if row.sheet != reading.sheet:
            reading.sheet, reading.columns, reading.wide = row.sheet, {}, {}
        if not reading.columns:
            reading.columns, reading.wide = _header(
                row, path, needed=_NEEDED_BY_STUDENTS if molecules else _NEEDED
            )
            continue
        try:
            _read_row(row, reading)
        except InputError as error:
            reading.problems.append(error)
    place = Place(file=str(path))
    if not reading.columns and not reading.claims:
        known = ", ".join(COLUMNS)
        raise InputError(f"No row is a header of a key; the columns are {known}.", place=place)
    if not reading.claims:
        raise StudyError(reading.problems or [InputError("The key has no claim.", place=place)])
    return KeySheet(
        claims=tuple(reading.claims), problems=tuple(reading.problems), notes=tuple(reading.notes)
    )


def _header(
    row: SheetRow, path: Path, *, needed: Mapping[str, str]
) -> tuple[dict[str, int], dict[int, WideColumn]]:
    """Column numbers by name when the row is a header, else nothing (title rows above are passed over), and
    the columns of quantities of a wide sheet, which has none for quantity and claimed. Raises StudyError with
    everything wrong in a header."""
    cells = {index: cell for index, value in enumerate(row.values) if (cell := plain(str(value)))}
    names = set(map(column_name, cells.values()))
    quantities = {} if names & {"quantity", "claimed"} else wide_columns(cells)
    named = names & set(COLUMNS)
    if len(named) + len(quantities) < 2 or not named:
        return {}, {}
    place = Place(file=str(path), row=row.number)
    if quantities:
        cells = {index: cell for index, cell in cells.items() if index not in quantities}
        needed = {name: what for name, what in needed.items() if name == "molecule"}
    header = read_header(list(cells.values()), place, known=COLUMNS, needed=needed)
    return dict(zip(header, cells, strict=True)), quantities


def _read_row(row: SheetRow, reading: _Reading) -> None:
    filled = dict(enumerate(row.values))
    cells = {name: filled.get(reading.columns.get(name, -1), "") for name in COLUMNS}
    texts = {name: _text(value) for name, value in cells.items()}
    answers = {index: value for index in reading.wide if _text(value := filled.get(index, ""))}
    if not any(texts.values()) and not answers:
        return
    reading.item = texts["item"] or (reading.item if not reading.wide else str(row.number))
    if reading.item == "*":
        reading.base, reading.item = _conventions(texts, row, reading), ""
        return
    reading.molecule = texts["molecule"] or reading.known.get(reading.item) or reading.molecule
    if not reading.wide:
        where = row.cell(reading.columns["claimed"], "claimed")
        _add_claim(texts, cells, row, reading, where)
    for index, value in answers.items():
        asked = reading.wide[index]
        said = {"quantity": asked.quantity, "carbon": asked.carbon, "claimed": value}
        said |= {"chair": asked.chair or texts["chair"], "unit": asked.unit or texts["unit"]}
        try:
            both = {**cells, **said}
            where = row.cell(index, asked.head)
            _add_claim({name: _text(cell) for name, cell in both.items()}, both, row, reading, where)
        except InputError as error:
            reading.problems.append(error)


def _add_claim(
    texts: Mapping[str, str], cells: Mapping[str, Value], row: SheetRow, reading: _Reading, where: Cell
) -> None:
    notes: list[str] = []
    carbons, group = _carbons(cells["carbon"], row, reading, notes)
    for needed, text in (("molecule", reading.molecule), ("claimed", texts["claimed"])):
        if not text:
            raise InputError(EMPTY_CELL, place=_place(row, reading, needed))
    claimed = _claimed(cells["claimed"], str(where), notes)
    reading.notes += notes
    reading.claims.append(
        Claim(
            item=reading.item,
            molecules=tuple(part.strip() for part in reading.molecule.split(" | ")),
            quantity=_quantity(texts["quantity"], row, reading),
            carbons=carbons,
            group=group,
            chair=texts["chair"],
            claimed=claimed,
            unit=_unit(texts["unit"], claimed),
            tolerance=_number(texts["tolerance"], "tolerance", row, reading),
            points=_number(texts["points"], "points", row, reading),
            conventions=_conventions(texts, row, reading),
            cell=where,
            notes=tuple(notes),
        )
    )


def _unit(column: str, claimed: str) -> str:
    """The energy unit: that behind the number in the cell of the claim, else the column's."""
    said = stated(claimed)
    behind = said.rest if said else ""
    return behind if behind and unit_of(behind) else "" if column == "%" else column


def _conventions(texts: Mapping[str, str], row: SheetRow, reading: _Reading) -> Conventions:
    return parse_conventions(texts["conventions"], reading.base, _place(row, reading, "conventions"))


def _text(value: Value) -> str:
    if isinstance(value, float):
        return f"{value:.15g}"
    return plain(str(value))


def _place(row: SheetRow, reading: _Reading, column: str) -> Place:
    cell = f"{row.letter(reading.columns.get(column, 0))}{row.number}" if row.in_workbook else ""
    return Place(file=row.sheet, row=row.number, field=column, cell=cell)


def _quantity(text: str, row: SheetRow, reading: _Reading) -> Quantity:
    by_name = {name.lower(): name for name in QUANTITIES}
    if text.lower() not in by_name:
        raise InputError(
            f"There is no quantity '{text}'.{did_you_mean(text, QUANTITIES)} "
            f"Known are {', '.join(QUANTITIES)}.",
            place=_place(row, reading, "quantity"),
            value=text,
        )
    return by_name[text.lower()]


def _number(text: str, column: str, row: SheetRow, reading: _Reading) -> float | None:
    if not text:
        return None
    found = number(text)
    if found is not None and found[0] > _MOST:
        raise InputError(
            f"'{text}' is more than {_MOST:,.0f}, which no {column} of a key is; correct it.",
            place=_place(row, reading, column),
            value=text,
        )
    if found is None or found[0] < 0.0:
        raise InputError(
            f"'{text}' is not a number of 0 or more; correct it or leave it empty.",
            place=_place(row, reading, column),
            value=text,
        )
    return found[0]


def _carbons(value: Value, row: SheetRow, reading: _Reading, notes: list[str]) -> tuple[tuple[int, ...], str]:
    """Locants and group of a carbon cell; a pair that a spreadsheet made a date or 1.3 is read, with a
    note."""
    if value == "":
        return (), ""
    place = _place(row, reading, "carbon")
    pair = _pair_from_spreadsheet(value)
    if pair:
        notes.append(
            f"{place.file}: the spreadsheet made '{_text(value)}' of a pair of carbons; read as "
            f"{pair[0]}-{pair[1]}. Format the column as text."
        )
        return pair, ""
    match = _CARBON.fullmatch(_text(value))
    if match is None:
        raise InputError(
            f"'{_text(value)}' is not a ring carbon; write 1, 1-2 or 1(CH3), and format the column as text.",
            place=place,
            value=str(value),
        )
    first, group, second = match.groups()
    return (int(first), int(second)) if second else (int(first),), group or ""


def _pair_from_spreadsheet(value: Value) -> tuple[int, int] | None:
    """The pair behind a date (1-2 became 2 January) or a decimal number (1,3 became 1.3), or None."""
    if isinstance(value, datetime.datetime):
        found = (value.month, value.day)
    elif isinstance(value, float):
        if not math.isfinite(value) or value == int(value):
            return None
        found = (int(value), round(10.0 * (value - int(value))))
        if abs(value - found[0] - 0.1 * found[1]) > 1e-9:
            return None
    else:
        found = _pair_from_date_text(plain(value).lower()) or (0, 0)
    return found if all(1 <= locant <= 6 for locant in found) else None


def _pair_from_date_text(text: str) -> tuple[int, int] | None:
    words = re.fullmatch(r"(\d{1,2})[-. ]+([a-z]{3})[a-z]*\.?|([a-z]{3})[a-z]*[-. ]+(\d{1,2})", text)
    if words:
        day, month = words.group(1) or words.group(4), words.group(2) or words.group(3)
        return (_MONTHS.index(month) + 1, int(day)) if month in _MONTHS else None
    iso = re.fullmatch(r"(?:19|20)\d\d-(\d\d)-(\d\d)(?: 00:00:00)?", text)
    slashed = re.fullmatch(r"(\d{1,2})[./](\d{1,2})[./](?:19|20)\d\d", text)
    match = iso or slashed
    return (int(match.group(1)), int(match.group(2))) if match else None


def _claimed(value: Value, where: str, notes: list[str]) -> str:
    """The claimed text; a date in it was a pair such as 1-3."""
    pair = _pair_from_spreadsheet(value) if isinstance(value, datetime.datetime) else None
    if pair:
        notes.append(f"{where}: the spreadsheet made a date of '{pair[0]}-{pair[1]}'; read as the pair.")
        return f"{pair[0]}-{pair[1]}"
    return _text(value)
