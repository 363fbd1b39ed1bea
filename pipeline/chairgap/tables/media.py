"""Tables of solvents and of atomic radii against a solvent: text to records, every problem collected."""

from collections.abc import Collection, Sequence

from chairgap.errors import InputError
from chairgap.records import BornRadius, Solvent
from chairgap.tables.csv_text import (
    KNOWN,
    Columns,
    Record,
    number,
    one_of,
    read_records,
    required_text,
    source_key,
)
from chairgap.text import did_you_mean

# Elements of the groups that the force field MMFF94 has parameters for.
ELEMENTS = ("H", "C", "N", "O", "F", "Si", "P", "S", "Cl", "Br", "I")
LARGEST_RADIUS_ANGSTROM = 5.0

_SHARED_HELP = {
    "source": "the key of the source in sources.csv",
    "known": "how the value is known",
    "note": "anything else",
}
_SOLVENT_HELP = {
    "name": "the name of the solvent",
    "names": "other names, separated by ;",
    "dielectric": "the relative permittivity of the liquid, for example 2.02",
    "temperature_k": "the temperature of the measurement in kelvin, for example 293.2",
    **_SHARED_HELP,
}
_RADIUS_HELP = {
    "element": "the symbol of an element, for example Cl",
    "radius_angstrom": "the radius in angstrom, for example 1.70",
    "screening": "the screening factor, for example 0.72",
    **_SHARED_HELP,
}
SOLVENT_COLUMNS = Columns(required=tuple(_SOLVENT_HELP), optional=(), help_by_name=_SOLVENT_HELP)
RADIUS_COLUMNS = Columns(required=tuple(_RADIUS_HELP), optional=(), help_by_name=_RADIUS_HELP)


def parse_solvents(
    text: str, file: str, *, source_keys: Collection[str]
) -> tuple[tuple[Solvent, ...], list[InputError]]:
    """Solvents in file order and everything wrong with the table.

    A dielectric constant below 1 (the vacuum's) is refused, and so is a name that stands twice, whatever its
    capitals.
    """
    records, problems = read_records(text, file, SOLVENT_COLUMNS)
    taken: dict[str, int] = {}
    solvents = []
    for record in records:
        before = len(problems)
        name = required_text(record, "name", SOLVENT_COLUMNS, problems)
        names = tuple(part.strip() for part in record.text("names").split(";") if part.strip())
        dielectric = _needed(record, "dielectric", _SOLVENT_HELP, problems)
        temperature_k = _needed(record, "temperature_k", _SOLVENT_HELP, problems)
        if dielectric is not None and dielectric < 1.0:
            message = f"A dielectric constant of {dielectric:g} is below that of the vacuum, 1; correct it."
            problems.append(record.problem("dielectric", message, "at least 1"))
        if temperature_k is not None and temperature_k <= 0.0:
            message = f"{temperature_k:g} K is no temperature; write kelvin, for example 293.2 (20 Celsius)."
            problems.append(record.problem("temperature_k", message, "above 0"))
        _refuse_taken(record, (name, *names), taken, problems)
        source = source_key(record, source_keys, problems)
        known = one_of(record, "known", KNOWN, problems)
        if len(problems) == before and dielectric is not None and temperature_k is not None:
            solvents.append(
                Solvent(
                    name=name,
                    names=names,
                    dielectric=dielectric,
                    temperature_k=temperature_k,
                    source=source,
                    known=known,
                    note=record.text("note"),
                )
            )
    return tuple(solvents), problems


def parse_born_radii(
    text: str, file: str, *, source_keys: Collection[str]
) -> tuple[tuple[BornRadius, ...], list[InputError]]:
    """Radii in file order and everything wrong with the table; each element may stand once."""
    records, problems = read_records(text, file, RADIUS_COLUMNS)
    taken: dict[str, int] = {}
    radii = []
    for record in records:
        before = len(problems)
        element = one_of(record, "element", ELEMENTS, problems)
        radius = _needed(record, "radius_angstrom", _RADIUS_HELP, problems)
        screening = _needed(record, "screening", _RADIUS_HELP, problems)
        if radius is not None and not 0.0 < radius <= LARGEST_RADIUS_ANGSTROM:
            message = (
                f"A radius of {radius:g} angstrom is no atom's; write one above 0 and at most "
                f"{LARGEST_RADIUS_ANGSTROM:g}, in angstrom."
            )
            problems.append(record.problem("radius_angstrom", message, _RADIUS_HELP["radius_angstrom"]))
        if screening is not None and not 0.0 < screening <= 1.0:
            message = f"A screening factor of {screening:g} is not possible; write one above 0 and at most 1."
            problems.append(record.problem("screening", message, _RADIUS_HELP["screening"]))
        if len(problems) == before:
            _refuse_taken(record, (element,), taken, problems)
        source = source_key(record, source_keys, problems)
        known = one_of(record, "known", KNOWN, problems)
        if len(problems) == before and radius is not None and screening is not None:
            radii.append(
                BornRadius(
                    element=element,
                    radius_angstrom=radius,
                    screening=screening,
                    source=source,
                    known=known,
                    note=record.text("note"),
                )
            )
    return tuple(radii), problems


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


def _needed(
    record: Record, field: str, help_by_name: dict[str, str], problems: list[InputError]
) -> float | None:
    if not record.text(field):
        what = help_by_name[field]
        problems.append(record.problem(field, f"The cell is empty; write {what}.", what))
        return None
    return number(record, field, help_by_name[field], problems)


def _refuse_taken(
    record: Record, names: Sequence[str], taken: dict[str, int], problems: list[InputError]
) -> None:
    field = "name" if "name" in record.cells else "element"
    for name in names:
        row = taken.setdefault(name.casefold(), record.row)
        if row != record.row:
            message = f"'{name}' is already in row {row}; keep one of them."
            problems.append(record.problem(field, message))
