"""Tables of solvents and of atomic radii against a solvent: text to records, every problem collected."""

from collections.abc import Collection, Sequence
from typing import Annotated, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from chairgap.errors import InputError
from chairgap.records import BornRadius, Solvent
from chairgap.tables.rows import (
    Filled,
    Kelvin,
    Names,
    Number,
    Problems,
    Reading,
    WithSource,
    filled,
    once,
    read_table,
    reading_of,
)
from chairgap.text import did_you_mean

# Elements of the groups that the force field MMFF94 has parameters for.
Element = Literal["H", "C", "N", "O", "F", "Si", "P", "S", "Cl", "Br", "I"]
ELEMENTS: tuple[Element, ...] = get_args(Element)


def _new_name(name: str, info: ValidationInfo) -> str:
    reading_of(info).claim("name", name.casefold(), shown=name)
    return name


def _new_names(names: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    return tuple(_new_name(name, info) for name in names)


class _Solvent(WithSource):
    name: Annotated[Filled, AfterValidator(_new_name)] = Field(description="the name of the solvent")
    names: Annotated[Names, AfterValidator(_new_names)] = Field(
        description="other names, separated by semicolons"
    )
    dielectric: Number = Field(
        ge=1.0,
        description="the relative permittivity of the liquid, at least 1 (the vacuum), for example 2.02",
    )
    temperature_k: Kelvin = Field(
        description="the temperature of the measurement in kelvin, for example 293.2 (20 Celsius)"
    )


class _BornRadius(WithSource):
    element: Annotated[Element, BeforeValidator(filled), AfterValidator(once)] = Field(
        description=f"the symbol of an element: {', '.join(ELEMENTS)}"
    )
    radius_angstrom: Number = Field(
        gt=0.0, le=5.0, description="the radius in angstrom, above 0 and at most 5, for example 1.70"
    )
    screening: Number = Field(
        gt=0.0, le=1.0, description="the screening factor, above 0 and at most 1, for example 0.72"
    )


def parse_solvents(
    text: str, file: str, *, source_keys: Collection[str]
) -> tuple[tuple[Solvent, ...], Problems]:
    """Solvents in file order and everything wrong with the table. A name may stand once, whatever its
    capitals."""
    return read_table(_Solvent, Solvent, text, Reading(file=file, source_keys=source_keys))


def parse_born_radii(
    text: str, file: str, *, source_keys: Collection[str]
) -> tuple[tuple[BornRadius, ...], Problems]:
    """Radii in file order and everything wrong with the table; each element may stand once."""
    return read_table(_BornRadius, BornRadius, text, Reading(file=file, source_keys=source_keys))


def match_solvent(solvents: Sequence[Solvent], name: str) -> Solvent:
    """The solvent of that name or other name, whatever its capitals.

    Raises InputError, with the nearest name, when there is none.
    """
    wanted = name.strip().casefold()
    for solvent in solvents:
        if wanted in {known.casefold() for known in (solvent.name, *solvent.names)}:
            return solvent
    hint = did_you_mean(name.strip(), [known for item in solvents for known in (item.name, *item.names)])
    listed = ", ".join(item.name for item in solvents)
    message = f"There is no solvent '{name}' in the table.{hint} Write one of: {listed}."
    raise InputError(message, value=name, expected=listed)
