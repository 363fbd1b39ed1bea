"""How a literature table is read: a model says what its rows hold, `read_table` checks a text against it.

A table is a model with a field per column, in the order of the columns. The `description` of a field
completes 'Write ...'; a column that a user's own table may leave out is `optional`.
"""

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from typing import Annotated, Any, TypeVar, cast

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    ValidationInfo,
)
from pydantic.fields import FieldInfo

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files.reading import read_header, split_table
from chairgap.records import AValueRow, Known, Solvent
from chairgap.text import did_you_mean
from chairgap.units import KJ_PER_KCAL, LARGEST_ENERGY_KCAL_MOL
from chairgap.validation import problem_of, wrong, wrong_complete

NAME_SEPARATOR = ";"
LONGEST_CELL = 1_000
_MOST_ROWS = 100_000

Record = TypeVar("Record")
Problems = list[ChairgapError]


class Row(BaseModel):
    """One row of a table."""

    model_config = ConfigDict(frozen=True)


@dataclass(kw_only=True)
class Reading:
    """What validators may ask for: the table, the row that is read (its number, and the cell of the first
    column as `key`), and what the rows above hold. `source_keys` are None for a user's own table; `a_values`
    has the groups that an interaction may name, None when that table could not be read whole; `solvents` are
    the media that a row may name besides the gas phase."""

    file: str
    source_keys: Collection[str] | None
    a_values: Sequence[AValueRow] | None = None
    solvents: Sequence[Solvent] = ()
    decimal_comma: bool = False
    row: int = 0
    key: str = ""
    taken: dict[tuple[str, str], tuple[int, str]] = field(default_factory=dict)

    def claim(self, what: str, value: str, *, shown: str = "", advice: str = "") -> None:
        """Raises the error of a validator when `value`, called `shown`, is already the `what` of a row."""
        if (what, value) in self.taken:
            row, owner = self.taken[what, value]
            whose = "" if advice or owner == (shown or value) else f" ('{owner}')"
            advice = advice or "Keep one of them."
            raise wrong_complete(f"'{shown or value}' is already in row {row}{whose}. {advice}")
        self.taken[what, value] = (self.row, self.key)


def read_table(
    model: type[Row],
    record: Callable[..., Record],
    text: str,
    reading: Reading,
    *,
    may_be_empty: bool = False,
) -> tuple[tuple[Record, ...], Problems]:
    """A record of each row that is right, in the order of the table, and everything wrong with the others.

    No record is returned when the header or the quoting cannot be used. `may_be_empty` allows a header alone.
    """
    fields = columns_of(model)
    needed = {
        name: field.description or ""
        for name, field in fields.items()
        if field.is_required() or reading.source_keys is not None
    }
    try:
        table = split_table(text, reading.file, columns=fields, most_rows=_MOST_ROWS)
        (header_row, header), *rows = table.filled(needed)
        names = read_header(
            header, Place(file=reading.file, row=header_row), known=tuple(fields), needed=needed
        )
    except StudyError as error:
        return (), list(error.problems)
    except InputError as error:
        return (), [error]
    reading.decimal_comma = table.decimal_comma
    problems: Problems = []
    if not rows and not may_be_empty:
        message = "There is a header but no row below it. Write one row per entry."
        problems.append(InputError(message, place=Place(file=reading.file, row=header_row)))
    records = []
    for number, cells in rows:
        while len(cells) > len(names) and not cells[-1]:
            cells.pop()
        if len(cells) != len(names):
            problems.append(table.ragged(cells, names, Place(file=reading.file, row=number)))
            continue
        filled_in = dict.fromkeys(fields, "") | dict(zip(names, cells, strict=True))
        reading.row, reading.key = number, next(iter(filled_in.values()))
        found = _checked(model, filled_in, reading)
        if isinstance(found, list):
            problems += found
        else:
            records.append(record(**found.model_dump()))
    return tuple(records), problems


def columns_of(model: type[Row]) -> dict[str, FieldInfo]:
    """The columns of a table in their order."""
    names = [name for name in model.model_fields if name not in WithSource.model_fields]
    last = [name for name in model.model_fields if name in WithSource.model_fields]
    return {model.model_fields[name].alias or name: model.model_fields[name] for name in (*names, *last)}


def _checked(model: type[Row], cells: dict[str, str], reading: Reading) -> Row | list[InputError]:
    """The row, or everything wrong with it in the order of the columns."""
    place = Place(file=reading.file, row=reading.row)
    too_long = [
        InputError(
            f"The cell has {len(cell):,} characters. Use at most {LONGEST_CELL:,}.",
            place=replace(place, field=name),
            value=cell,
        )
        for name, cell in cells.items()
        if len(cell) > LONGEST_CELL
    ]
    if too_long:
        return too_long
    try:
        return model.model_validate(cells, context=reading)
    except ValidationError as error:
        details = error.errors(include_url=False)
        by_column = {str(detail["loc"][0]): detail for detail in details if detail["loc"]}
        of_cells = [
            problem_of({**by_column[name], "input": cells[name]}, field, replace(place, field=name))
            for name, field in columns_of(model).items()
            if name in by_column
        ]
        return of_cells or [InputError(detail["msg"], place=place) for detail in details]


# --- cells -----------------------------------------------------------------------------------------------


def reading_of(info: ValidationInfo) -> Reading:
    return cast(Reading, info.context)


def once(value: str, info: ValidationInfo) -> str:
    """A cell that no other row may hold in this column."""
    reading_of(info).claim(info.field_name or "", value)
    return value


def filled(text: str) -> str:
    """A cell that may not be empty."""
    if not text:
        raise wrong("The cell is empty.")
    return text


def _number(text: str, info: ValidationInfo) -> float:
    digits, reading = filled(text), reading_of(info)
    if text.count(",") == 1 and text.replace(",", "").lstrip("+-").isdecimal():
        digits = text.replace(",", ".")
        if not reading.decimal_comma:
            raise wrong_complete(f"'{text}' has a decimal comma. Write {digits} with a point.")
    try:
        value = float(digits)
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or "_" in text:
        raise wrong(f"'{text}' is not a number.")
    return value


def _number_or_none(text: str, info: ValidationInfo) -> float | None:
    return _number(text, info) if text else None


def _kelvin(value: float | None) -> float | None:
    if value is not None and value <= 0.0:
        raise wrong(f"{value:g} is no temperature in kelvin (0 degrees Celsius is 273).")
    return value


def _names(text: str) -> tuple[str, ...]:
    return tuple(name for name in map(str.strip, text.split(NAME_SEPARATOR)) if name)


def _source(key: str, info: ValidationInfo) -> str:
    reading = reading_of(info)
    if reading.source_keys is None:
        return key or PurePath(reading.file).name
    if key not in reading.source_keys:
        hint = did_you_mean(key, reading.source_keys)
        raise wrong_complete(f"Source '{key}' is not in sources.csv.{hint} Add it there or correct the key.")
    return key


def _known(text: str, info: ValidationInfo) -> str:
    return filled(text) if text or reading_of(info).source_keys is not None else "compilation"


Filled = Annotated[str, AfterValidator(filled)]
Number = Annotated[float, BeforeValidator(_number)]
NumberOrNone = Annotated[float | None, BeforeValidator(_number_or_none)]
Kelvin = Annotated[Number, AfterValidator(_kelvin)]
KelvinOrNone = Annotated[NumberOrNone, AfterValidator(_kelvin)]
Names = Annotated[tuple[str, ...], BeforeValidator(_names)]


def optional(description: str) -> Any:
    """A column that a user's own table may leave out."""
    return Field("", description=description)


class WithSource(Row):
    """The last columns of a literature table: where a value comes from."""

    source: Annotated[str, AfterValidator(_source)] = optional("the key of the source in sources.csv")
    known: Annotated[Known, BeforeValidator(_known)] = optional(
        "how the value is known: 'primary', 'compilation', 'derived' or 'from memory'"
    )
    note: str = optional("anything else")


# --- energies with a range -------------------------------------------------------------------------------


def _of_this_unit(value: float) -> float:
    if abs(value) > LARGEST_ENERGY_KCAL_MOL:
        raise wrong_complete(
            f"{value:g} is too large for kcal/mol (at most {LARGEST_ENERGY_KCAL_MOL:g} is accepted). "
            f"If it is in kJ/mol divide it by {KJ_PER_KCAL:g}, otherwise correct it."
        )
    return value


def _end(text: str, info: ValidationInfo) -> float:
    """An end of the range; an empty one is the value."""
    if text:
        return _number(text, info)
    value: float = info.data.get("value_kcal_mol", 0.0)
    return value


def _in_order(end: float, info: ValidationInfo) -> float:
    value = info.data.get("value_kcal_mol", end)
    if info.field_name == "low_kcal_mol" and end > value:
        raise wrong_complete(f"The lower end {end:g} is above the value {value:g}. Exchange or correct them.")
    if info.field_name == "high_kcal_mol" and end < value:
        raise wrong_complete(f"The upper end {end:g} is below the value {value:g}. Exchange or correct them.")
    return end


Energy = Annotated[Number, AfterValidator(_of_this_unit)]
EndOfRange = Annotated[float, BeforeValidator(_end), AfterValidator(_of_this_unit), AfterValidator(_in_order)]
LOW = "the lower end of the range in kcal/mol with a decimal point, or leave it empty"
HIGH = "the upper end of the range in kcal/mol with a decimal point, or leave it empty"
