"""A-value tables: text to rows.

An A-value is G(axial) - G(equatorial) of the monosubstituted cyclohexane in kcal/mol; positive means that the
equatorial chair is preferred. Hydrogen has no row: its A-value is 0 by definition.
"""

from collections.abc import Collection
from typing import Annotated

from pydantic import AfterValidator, Field, ValidationInfo

from chairgap.records import AValueRow
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
    once,
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


def _no_smiles(name: str, info: ValidationInfo) -> str:
    if "*" in name:
        raise wrong_complete(f"The name '{name}' has a *. Write a name here and the SMILES under 'fragment'.")
    reading_of(info).claim("name", name)
    return name


def _no_smiles_in(names: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    for name in names:
        _no_smiles(name, info)
    return names


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
    group: Annotated[Filled, AfterValidator(_key), AfterValidator(_no_smiles)] = Field(
        description="the short key of the group, for example CH3"
    )
    names: Annotated[Names, AfterValidator(_no_smiles_in)] = optional(
        "other names of the group, separated by semicolons"
    )
    fragment: Annotated[Filled, AfterValidator(_one_piece), AfterValidator(once)] = Field(
        description="the group as SMILES with * for the ring carbon, for example *C"
    )
    value_kcal_mol: Annotated[Energy, AfterValidator(_like_methyl)] = Field(
        description="G(axial) - G(equatorial) in kcal/mol with a decimal point, for example 1.74"
    )
    low_kcal_mol: EndOfRange = optional(LOW)
    high_kcal_mol: EndOfRange = optional(HIGH)
    temperature_k: KelvinOrNone = optional("the temperature of the measurement in kelvin, for example 298")
    solvent: str = optional("the solvent")
    method: str = optional("how it was measured")


def parse_a_values(
    text: str, file: str, *, source_keys: Collection[str] | None = None
) -> tuple[tuple[AValueRow, ...], Problems]:
    """Rows of an A-value table and everything wrong with it (rows with a problem are left out).

    With `source_keys` (a shipped table) every column is required and `source` must be one of them. Without
    (a user's table) only group, fragment and value_kcal_mol are: an empty low or high equals the value, an
    empty source becomes the file's name, an empty `known` becomes 'compilation'.
    """
    return read_table(_AValue, AValueRow, text, Reading(file=file, source_keys=source_keys))
