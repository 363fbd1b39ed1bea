"""Which row of a literature table a sum takes, where a group or a pair has several.

The rule, in one sentence: the row measured in the study's own medium; without one, the row whose class of
medium stands nearest to the study's on the scale gas, apolar, polar, hydrogen bonding, a row without a
medium counting as of the study's class; among rows of one medium the nearest temperature; on a tie the first
in the file.

Temperatures are compared within one medium only: otherwise the right temperature in the wrong medium would
win. The classes are common practice, no source: see `data/README.md`.
"""

from collections.abc import Callable, Hashable, Iterable
from dataclasses import replace
from math import inf
from typing import TypeVar

from chairgap.records import AValueRow, EstimateTable, InteractionRow, MediumClass

Row = TypeVar("Row", AValueRow, InteractionRow)
SCALE: tuple[MediumClass, ...] = ("gas", "apolar", "polar", "hydrogen bonding")


def rows_for(table: EstimateTable, medium: str, temperature_k: float) -> EstimateTable:
    """The table with one row for each group and pair: the nearest to a study in that medium (a name of
    `medium_classes`) at temperature_k.

    Groups and pairs keep the order of their first rows. `chosen` of the result are the rows that were one of
    several; a table in which nothing is to be chosen is returned as it is.
    """

    def nearest(rows: list[Row]) -> Row:
        media = list(dict.fromkeys(row.medium for row in rows))

        def away(row: Row) -> tuple[int, int, float]:
            warmer_k = inf if row.temperature_k is None else abs(row.temperature_k - temperature_k)
            return _steps(row.medium, medium, table), media.index(row.medium), warmer_k

        return min(rows, key=away)

    groups = _together(table.a_values, lambda row: row.group)
    pairs = _together(table.interactions, lambda row: (row.kind, *sorted((row.group_1, row.group_2))))
    if len(groups) + len(pairs) == len(table.a_values) + len(table.interactions):
        return table
    return replace(
        table,
        a_values=tuple(map(nearest, groups)),
        interactions=tuple(map(nearest, pairs)),
        chosen=(
            *(nearest(rows) for rows in groups if len(rows) > 1),
            *(nearest(rows) for rows in pairs if len(rows) > 1),
        ),
    )


def _steps(measured_in: str, medium: str, table: EstimateTable) -> int:
    """How far a medium is from the study's: 0 for the same, 1 for the same class, one more per class."""
    if measured_in == medium:
        return 0
    if not measured_in:
        return 1
    one, other = (SCALE.index(table.medium_classes[name]) for name in (measured_in, medium))
    return 1 + abs(one - other)


def _together(rows: Iterable[Row], what: Callable[[Row], Hashable]) -> list[list[Row]]:
    found: dict[Hashable, list[Row]] = {}
    for row in rows:
        found.setdefault(what(row), []).append(row)
    return list(found.values())
