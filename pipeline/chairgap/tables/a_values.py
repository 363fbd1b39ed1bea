"""A-value tables: text to rows.

An A-value is G(axial) - G(equatorial) of the monosubstituted cyclohexane in kcal/mol; positive means that the
equatorial chair is preferred. Hydrogen has no row: its A-value is 0 by definition.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Annotated, Self

from pydantic import AfterValidator, Field, ValidationInfo, model_validator

from chairgap.records import AValueRow, Solvent
from chairgap.tables.media import MEDIUM, MeasuredIn
from chairgap.tables.rows import (
    HIGH,
    LOW,
    NAME_SEPARATOR,
    EndOfRange,
    Energy,
    Filled,
    KelvinOrNone,
    Names,
    Problems,
    Reading,
    WithSource,
    optional,
    read_table,
    reading_of,
)
from chairgap.units import KJ_PER_KCAL
from chairgap.validation import wrong_complete

# No source puts methyl outside 1.7 to 1.9 kcal/mol; above this the table must be in another unit.
LARGEST_METHYL_KCAL_MOL = 5.0


def _key(group: str) -> str:
    if group in ("H", "D", "T"):
        raise wrong_complete(f"'{group}' needs no row: hydrogen is the zero of the scale. Remove the row.")
    if NAME_SEPARATOR in group:
        raise wrong_complete(
            f"The key '{group}' has several names. Write one key here and the others under 'names'."
        )
    return group


def _no_smiles(name: str) -> str:
    if "*" in name:
        raise wrong_complete(f"The name '{name}' has a *. Write a name here and the SMILES under 'fragment'.")
    return name


def _first_row(group: str | None, reading: Reading) -> int | None:
    """The row above that has the same key, if any."""
    row, owner = reading.taken.get(("name", group or ""), (reading.row, ""))
    return row if row != reading.row and owner == group else None


def _of_one_group(group: str, info: ValidationInfo) -> str:
    if _first_row(group, reading_of(info)) is None:
        reading_of(info).claim("name", group)
    return group


def _names_once(names: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    reading, group = reading_of(info), info.data.get("group")
    first = _first_row(group, reading)
    if names and first is not None:
        raise wrong_complete(f"The other names of '{group}' belong in row {first}. Leave this cell empty.")
    for name in names:
        reading.claim("name", _no_smiles(name))
    return names


def _fragment_of_group(fragment: str, info: ValidationInfo) -> str:
    reading, group = reading_of(info), info.data.get("group")
    first = _first_row(group, reading)
    if first is None:
        reading.claim("fragment", fragment)
    elif reading.taken.get(("fragment", fragment), (0, ""))[0] != first:
        raise wrong_complete(
            f"'{group}' has another fragment in row {first}. Write the same one, or another key in 'group'."
        )
    return fragment


def _one_piece(fragment: str) -> str:
    stars = fragment.count("*")
    if stars != 1:
        raise wrong_complete(
            f"The fragment '{fragment}' has {stars or 'no'} *. Write exactly one, where the ring carbon is, "
            "for example *OC."
        )
    if "." in fragment:
        raise wrong_complete(
            f"The fragment '{fragment}' has a full stop, that is two pieces. Write one group in one piece, "
            "for example *OC."
        )
    if any(character.isspace() for character in fragment):
        raise wrong_complete(
            f"The fragment '{fragment}' has a space. Write the SMILES without, for example *OC."
        )
    return fragment


def _like_methyl(value: float, info: ValidationInfo) -> float:
    if info.data.get("fragment") in ("*C", "C*") and value > LARGEST_METHYL_KCAL_MOL:
        raise wrong_complete(
            f"Methyl is {value:g} here but 1.7 to 1.9 kcal/mol in every source. "
            f"If the table is in kJ/mol divide every energy by {KJ_PER_KCAL:g}, otherwise correct it."
        )
    return value


class _AValue(WithSource):
    group: Annotated[
        Filled, AfterValidator(_key), AfterValidator(_no_smiles), AfterValidator(_of_one_group)
    ] = Field(description="the short key of the group, for example CH3")
    names: Annotated[Names, AfterValidator(_names_once)] = optional(
        "other names of the group, separated by semicolons"
    )
    fragment: Annotated[Filled, AfterValidator(_one_piece), AfterValidator(_fragment_of_group)] = Field(
        description="the group as SMILES with * for the ring carbon, for example *C"
    )
    value_kcal_mol: Annotated[Energy, AfterValidator(_like_methyl)] = Field(
        description="G(axial) - G(equatorial) in kcal/mol with a decimal point, for example 1.74"
    )
    low_kcal_mol: EndOfRange = optional(LOW)
    high_kcal_mol: EndOfRange = optional(HIGH)
    temperature_k: KelvinOrNone = optional("the temperature of the measurement in kelvin, for example 298")
    medium: MeasuredIn = optional(MEDIUM)
    solvent: str = optional("the solvent as the source says")
    method: str = optional("how it was measured")

    @model_validator(mode="after")
    def _differs_from_the_rows_above(self, info: ValidationInfo) -> Self:
        reading_of(info).claim(
            "row",
            f"{self.group}|{self.medium}|{self.temperature_k}",
            shown=self.group,
            advice="Keep one of them, or give each its own medium or temperature_k.",
        )
        return self


def parse_a_values(
    text: str,
    file: str,
    *,
    source_keys: Collection[str] | None = None,
    solvents: Sequence[Solvent] = (),
) -> tuple[tuple[AValueRow, ...], Problems]:
    """Rows of an A-value table and everything wrong with it (rows with a problem are left out).

    With `source_keys` (a shipped table) every column is required and `source` must be one of them. Without
    (a user's table) only group, fragment and value_kcal_mol are: an empty low or high equals the value, an
    empty source becomes the file's name, an empty `known` becomes 'compilation'. A group may stand in several
    rows that differ in medium (one of `solvents`, or the gas phase) or temperature; the first has its names,
    which the records of the others have too.
    """
    reading = Reading(file=file, source_keys=source_keys, solvents=solvents)
    rows, problems = read_table(_AValue, AValueRow, text, reading)
    first: dict[str, AValueRow] = {}
    return tuple(replace(row, names=first.setdefault(row.group, row).names) for row in rows), problems
