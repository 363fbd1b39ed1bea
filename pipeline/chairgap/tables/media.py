"""Tables of solvents and of atomic radii against a solvent: text to records, every problem collected."""

from collections.abc import Collection, Sequence
from typing import Annotated, Literal, get_args

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from chairgap.errors import InputError
from chairgap.records import GAS_PHASE, BornRadius, MediumClass, Solvent
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
from chairgap.validation import wrong_complete

# Elements of the groups that the force field MMFF94 has parameters for.
Element = Literal["H", "C", "N", "O", "F", "Si", "P", "S", "Cl", "Br", "I"]
ELEMENTS: tuple[Element, ...] = get_args(Element)

LiquidClass = Literal["apolar", "polar", "hydrogen bonding"]


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
    medium_class: Annotated[LiquidClass, BeforeValidator(filled)] = Field(
        description="'apolar', 'polar' or 'hydrogen bonding'"
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


def is_gas_phase(name: str) -> bool:
    return name.strip().casefold() in (GAS_PHASE.name, "gas")


def find_solvent(solvents: Sequence[Solvent], name: str) -> Solvent | None:
    """The solvent of that name or other name, whatever its capitals."""
    wanted = name.strip().casefold()
    for solvent in solvents:
        if wanted in {known.casefold() for known in (solvent.name, *solvent.names)}:
            return solvent
    return None


def medium_classes(solvents: Sequence[Solvent]) -> dict[str, MediumClass]:
    """The class of each medium by its name."""
    return {GAS_PHASE.name: "gas", **{solvent.name: solvent.medium_class for solvent in solvents}}


def match_solvent(solvents: Sequence[Solvent], name: str) -> Solvent:
    """As `find_solvent`. Raises InputError, with the nearest name, when there is none."""
    solvent = find_solvent(solvents, name)
    if solvent is not None:
        return solvent
    hint = _nearest(solvents, name)
    listed = ", ".join(item.name for item in solvents)
    message = f"There is no solvent '{name}' in the table.{hint} Write one of: {listed}."
    raise InputError(message, value=name, expected=listed)


def _nearest(solvents: Sequence[Solvent], name: str) -> str:
    return did_you_mean(name.strip(), [known for item in solvents for known in (item.name, *item.names)])


def _medium(name: str, info: ValidationInfo) -> str:
    """The name of the gas phase or of a solvent as we write it; '' stays."""
    if not name:
        return name
    if is_gas_phase(name):
        return GAS_PHASE.name
    solvents = reading_of(info).solvents
    solvent = find_solvent(solvents, name)
    if solvent is None:
        raise wrong_complete(
            f"'{name}' is no solvent that 'chairgap tables --solvents' lists.{_nearest(solvents, name)} "
            f"Write one of these or '{GAS_PHASE.name}', or leave the cell empty."
        )
    return solvent.name


MeasuredIn = Annotated[str, AfterValidator(_medium)]
MEDIUM = "the medium of the measurement, 'gas phase' or a solvent"
