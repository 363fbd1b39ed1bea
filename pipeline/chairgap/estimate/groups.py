"""Finding the row of an A-value table that a person means by a name."""

from collections.abc import Sequence

from chairgap.errors import InputError
from chairgap.records import AValueRow, EstimateTable
from chairgap.text import near_words


def find_row(table: EstimateTable, name: str) -> AValueRow | None:
    """The row a person means by `name`: see `match_name`."""
    return match_name(table.a_values, name)


def needed_row(table: EstimateTable, name: str) -> AValueRow:
    """The row a person means by `name`. Raises InputError, with the nearest names, when there is none."""
    row = find_row(table, name)
    if row is None:
        near = suggest(table, name)
        hint = f" Did you mean {' or '.join(repr(other) for other in near)}?" if near else ""
        message = (
            f"The table '{table.name}' has no group '{name}'.{hint} "
            "'chairgap tables' lists all groups of a table."
        )
        raise InputError(message, value=name)
    return row


def match_name(rows: Sequence[AValueRow], name: str) -> AValueRow | None:
    """The row with this key, else with this alias, else the only one when case is ignored.

    Spaces do not count; of several rows of one group it is the first. None when no row fits, or when several
    groups fit without regard to capitals.
    """
    squeezed = _squeeze(name)
    for row in rows:
        if _squeeze(row.group) == squeezed:
            return row
    for row in rows:
        if squeezed in map(_squeeze, row.names):
            return row
    loose = [row for row in rows if squeezed.casefold() in {_squeeze(n).casefold() for n in _all_names(row)}]
    return loose[0] if len({row.group for row in loose}) == 1 else None


def suggest(table: EstimateTable, name: str) -> tuple[str, ...]:
    """Up to three names of the table that look like `name`, nearest first, at most one for each group."""
    owner = {_squeeze(n).casefold(): (n, row.group) for row in table.a_values for n in _all_names(row)}
    first_by_group: dict[str, str] = {}
    for key in near_words(_squeeze(name), owner, most=12):
        shown, group = owner[key]
        first_by_group.setdefault(group, shown)
    return tuple(first_by_group.values())[:3]


def _all_names(row: AValueRow) -> tuple[str, ...]:
    return (row.group, *row.names)


def _squeeze(name: str) -> str:
    return "".join(name.split())
