"""A-value tables: text to rows.

An A-value is G(axial) - G(equatorial) of the monosubstituted cyclohexane in kcal/mol; positive means that the
equatorial chair is preferred. Hydrogen has no row: its A-value is 0 by definition.
"""

from collections.abc import Collection

from chairgap.errors import InputError
from chairgap.records import AValueRow
from chairgap.tables.csv_text import (
    Columns,
    Record,
    energy_with_range,
    how_known,
    number,
    read_records,
    required_text,
    source_key,
)
from chairgap.units import KJ_PER_KCAL

NAME_SEPARATOR = ";"

# No source puts methyl outside 1.7 to 1.9 kcal/mol; above this the table must be in another unit.
LARGEST_METHYL_KCAL_MOL = 5.0

_HELP = {
    "group": "the short key of the group, for example CH3",
    "names": "other names of the group, separated by semicolons",
    "fragment": "the group as SMILES with * for the ring carbon, for example *C",
    "value_kcal_mol": "G(axial) - G(equatorial) in kcal/mol, for example 1.74",
    "low_kcal_mol": "the lower end of the range in kcal/mol",
    "high_kcal_mol": "the upper end of the range in kcal/mol",
    "temperature_k": "the temperature of the measurement in kelvin, for example 298",
    "solvent": "the solvent",
    "method": "how it was measured",
    "source": "the key of the source in sources.csv",
    "known": "how the value is known",
    "note": "anything else",
}
_ALWAYS = ("group", "fragment", "value_kcal_mol")
USER_COLUMNS = Columns(
    required=_ALWAYS, optional=tuple(name for name in _HELP if name not in _ALWAYS), help_by_name=_HELP
)
SHIPPED_COLUMNS = Columns(required=tuple(_HELP), optional=(), help_by_name=_HELP)


def parse_a_values(
    text: str, file: str, *, source_keys: Collection[str] | None = None
) -> tuple[tuple[AValueRow, ...], list[InputError]]:
    """Rows of an A-value table and everything wrong with it (rows with a problem are left out).

    With `source_keys` (a shipped table) every column is required and `source` must be one of them. Without
    (a user's table) only group, fragment and value_kcal_mol are: an empty low or high equals the value, an
    empty source becomes the file's name, an empty `known` becomes 'compilation'.
    """
    columns = USER_COLUMNS if source_keys is None else SHIPPED_COLUMNS
    records, problems = read_records(text, file, columns)
    taken_names: dict[str, tuple[str, int]] = {}
    taken_fragments: dict[str, tuple[str, int]] = {}
    rows = []
    for record in records:
        before = len(problems)
        row = _row(record, columns, source_keys, problems)
        _claim_names(record, taken_names, problems)
        _claim_fragment(record, taken_fragments, problems)
        if row is not None and len(problems) == before:
            rows.append(row)
    return tuple(rows), problems


def _row(
    record: Record, columns: Columns, source_keys: Collection[str] | None, problems: list[InputError]
) -> AValueRow | None:
    group = _group(record, columns, problems)
    fragment = _fragment(record, columns, problems)
    energies = energy_with_range(record, problems)
    temperature = _temperature(record, problems)
    source = source_key(record, source_keys, problems)
    known = how_known(record, user_table=source_keys is None, problems=problems)
    if energies is None:
        return None
    value, low, high = energies
    if fragment in ("*C", "C*") and value > LARGEST_METHYL_KCAL_MOL:
        message = (
            f"Methyl is {value:g} here but 1.7 to 1.9 kcal/mol in every source; "
            f"if the table is in kJ/mol divide every energy by {KJ_PER_KCAL:g}, otherwise correct it."
        )
        problems.append(record.problem("value_kcal_mol", message, "about 1.74"))
    return AValueRow(
        group=group,
        names=_aliases(record),
        fragment=fragment,
        value_kcal_mol=value,
        low_kcal_mol=low,
        high_kcal_mol=high,
        temperature_k=temperature,
        solvent=record.text("solvent"),
        method=record.text("method"),
        source=source,
        known=known,
        note=record.text("note"),
    )


def _group(record: Record, columns: Columns, problems: list[InputError]) -> str:
    group = required_text(record, "group", columns, problems)
    if group in ("H", "D", "T"):
        message = f"'{group}' needs no row: hydrogen is the zero of the scale; remove the row."
        problems.append(record.problem("group", message))
    if NAME_SEPARATOR in group:
        message = f"The key '{group}' has several names; write one key here and the others under 'names'."
        problems.append(record.problem("group", message, _HELP["group"]))
    for field, name in [("group", group), *(("names", alias) for alias in _aliases(record))]:
        if "*" in name:
            message = f"The name '{name}' has a *; write a name here and the SMILES under 'fragment'."
            problems.append(record.problem(field, message, _HELP[field]))
    return group


def _fragment(record: Record, columns: Columns, problems: list[InputError]) -> str:
    fragment = required_text(record, "fragment", columns, problems)
    if not fragment:
        return fragment
    stars = fragment.count("*")
    wrong = ""
    if stars != 1:
        wrong = f"has {stars or 'no'} *; write exactly one, where the ring carbon is, for example *OC"
    elif "." in fragment:
        wrong = "has a full stop, that is two pieces; write one group in one piece, for example *OC"
    elif any(character.isspace() for character in fragment):
        wrong = "has a space; write the SMILES without, for example *OC"
    if wrong:
        problems.append(record.problem("fragment", f"The fragment '{fragment}' {wrong}.", _HELP["fragment"]))
    return fragment


def _temperature(record: Record, problems: list[InputError]) -> float | None:
    what = "the temperature in kelvin, for example 298"
    temperature = number(record, "temperature_k", what, problems)
    if temperature is not None and temperature <= 0.0:
        message = f"{temperature:g} is no temperature in kelvin; write kelvin (0 degrees Celsius is 273)."
        problems.append(record.problem("temperature_k", message, what))
    return temperature


def _aliases(record: Record) -> tuple[str, ...]:
    cells = (name.strip() for name in record.text("names").split(NAME_SEPARATOR))
    return tuple(name for name in cells if name)


def _claim_names(record: Record, taken: dict[str, tuple[str, int]], problems: list[InputError]) -> None:
    group = record.text("group")
    for field, name in [("group", group), *(("names", alias) for alias in _aliases(record))]:
        if not name:
            continue
        if name in taken:
            owner, row = taken[name]
            message = f"The name '{name}' already belongs to group '{owner}' in row {row}; remove one."
            problems.append(record.problem(field, message))
        else:
            taken[name] = (group, record.row)


def _claim_fragment(record: Record, taken: dict[str, tuple[str, int]], problems: list[InputError]) -> None:
    fragment = record.text("fragment")
    if fragment in taken:
        owner, row = taken[fragment]
        message = (
            f"The fragment '{fragment}' already belongs to group '{owner}' in row {row}; "
            "keep one row for each group."
        )
        problems.append(record.problem("fragment", message))
    elif fragment:
        taken[fragment] = (record.text("group"), record.row)
