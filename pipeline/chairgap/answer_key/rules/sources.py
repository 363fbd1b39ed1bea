"""Every published value as a table of its own, and the range over all of them. Pure.

A claim is wrong only when no source has it. A source's table is the default one with the values that the
source prints put in, so that what it does not print is still there; a source that prints kcal/mol and kJ/mol
has a table for each, since books round both.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from typing import Any, TypeVar

from chairgap.estimate.groups import match_name
from chairgap.records import AValueRow, Equilibrium, EstimateTable, InteractionRow, PublishedValue
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, KJ_PER_KCAL, STANDARD_TEMPERATURE_K

IN_KJ = " (kJ/mol)"
PRINTED = "As printed: "
# The book behind table 'textbook'.
TEXTBOOK_SOURCE = "openstax_organic"
_THE_KEY = "the key"
Row = TypeVar("Row", AValueRow, InteractionRow)


@dataclass(frozen=True, kw_only=True, eq=False)
class KeyTables:
    """The tables of a key. named: shipped ones, and those that the key names; published: one for each source
    (and unit, and further value of a group), by its name; ranges: the default rows, each with the range over
    all that is published; short_sources: 'Booth & Everett 1980' by the key of a source;
    equilibria: what is measured; memo: what was worked out
    with them, which students' claims ask for again and again."""

    named: Mapping[str, EstimateTable]
    published: Mapping[str, EstimateTable]
    ranges: EstimateTable
    short_sources: Mapping[str, str]
    equilibria: tuple[Equilibrium, ...]
    memo: dict[tuple[object, ...], Any] = field(default_factory=dict)

    @cached_property
    def methyl_gauche_kcal_mol(self) -> tuple[float, ...]:
        """Every published energy of two methyl groups gauche."""
        tables = (*self.named.values(), *self.published.values())
        rows = (row for table in tables for row in table.interactions if row.kind == "vicinal gauche")
        return tuple(
            sorted({round(row.value_kcal_mol, 4) for row in rows if {row.group_1, row.group_2} == {"CH3"}})
        )

    def table(self, name: str, *, in_kj: bool) -> EstimateTable:
        """The table of that name, with the values that it prints in kJ/mol where they are asked for."""
        if in_kj and f"{name}{IN_KJ}" in (known := {**self.published, **self.named}):
            return known[f"{name}{IN_KJ}"]
        return self.named.get(name) or self.published[name]


def key_tables(
    named: Mapping[str, EstimateTable],
    whole: EstimateTable,
    values: Sequence[PublishedValue],
    equilibria: tuple[Equilibrium, ...],
) -> KeyTables:
    """named: with the default table first; whole: all rows of it, in every medium."""
    base = next(iter(named.values()))
    published = _published(base, values)
    textbook = f"{base.short_sources[TEXTBOOK_SOURCE]}{IN_KJ}"
    with_kj = {"textbook" + IN_KJ: published[textbook]} if textbook in published else {}
    return KeyTables(
        named={**named, **with_kj},
        published=published,
        ranges=_over_all(base, whole, values),
        short_sources=base.short_sources,
        equilibria=equilibria,
    )


def book_named(tables: Mapping[str, EstimateTable], name: str) -> str:
    """The published table that a person means by 'Wade' or 'mcmurry'; '' when it is none."""
    asked = name.casefold().strip()
    for full in tables:
        words = full.casefold()
        if asked and (words == asked or words.replace(",", " ").split()[0] == asked) and IN_KJ not in full:
            return full
    only_kj = [full for full in tables if full.casefold().startswith(asked) and full.endswith(IN_KJ)]
    return only_kj[0] if asked and only_kj else ""


def kcal_mol(value: PublishedValue) -> float:
    """A published value in kcal/mol; from K by RT ln K at 298.15 K."""
    if value.unit == "K":
        return GAS_CONSTANT_KCAL_PER_MOL_K * STANDARD_TEMPERATURE_K * math.log(value.value)
    return value.value / KJ_PER_KCAL if value.unit == "kJ/mol" else value.value


def printed(value: PublishedValue) -> str:
    """'7.6 kJ/mol', or 'K = 18'."""
    return f"K = {value.value:g}" if value.unit == "K" else f"{value.value:g} {value.unit}"


def _published(base: EstimateTable, values: Sequence[PublishedValue]) -> dict[str, EstimateTable]:
    together: dict[str, dict[tuple[str, ...], list[PublishedValue]]] = {}
    for value in values:
        name = base.short_sources[value.source] + (IN_KJ if value.unit == "kJ/mol" else "")
        key = (value.kind, *sorted((value.group_1, value.group_2)))
        together.setdefault(name, {}).setdefault(key, []).append(value)
    # A source that has several values of a group, of editions or solvents, has a table for each.
    return {
        name + (f", value {number + 1}" if number else ""): _with(
            base, [of_key[min(number, len(of_key) - 1)] for of_key in by_key.values()]
        )
        for name, by_key in together.items()
        for number in range(max(map(len, by_key.values())))
    }


def _with(base: EstimateTable, values: Sequence[PublishedValue]) -> EstimateTable:
    groups = {value.group_1: value for value in values if value.kind == "A-value"}
    pairs = {
        (value.kind, *sorted((value.group_1, value.group_2))): value
        for value in values
        if value.kind != "A-value"
    }
    return replace(
        base,
        a_values=tuple(
            _valued(row, groups[row.group]) if row.group in groups else row for row in base.a_values
        ),
        interactions=tuple(
            _valued(row, pairs[key]) if (key := _pair(row)) in pairs else row for row in base.interactions
        ),
    )


def _pair(row: InteractionRow) -> tuple[str, ...]:
    return (row.kind, *sorted((row.group_1, row.group_2)))


def _valued(row: Row, value: PublishedValue) -> Row:
    energy, words = kcal_mol(value), printed(value)
    return replace(
        row,
        value_kcal_mol=energy,
        low_kcal_mol=energy,
        high_kcal_mol=energy,
        medium="",
        source=value.source,
        known=value.known,
        note=f"{PRINTED}{words}",
    )


def _over_all(base: EstimateTable, whole: EstimateTable, values: Sequence[PublishedValue]) -> EstimateTable:
    ends: dict[tuple[str, ...], list[float]] = {}
    for row in whole.a_values:
        ends.setdefault(("A-value", row.group), []).extend((row.low_kcal_mol, row.high_kcal_mol))
    for pair in whole.interactions:
        ends.setdefault(_pair(pair), []).extend((pair.low_kcal_mol, pair.high_kcal_mol))
    for value in values:
        groups = sorted(filter(None, (value.group_1, value.group_2)))
        ends.setdefault((value.kind, *groups), []).append(kcal_mol(value))
    return replace(
        base,
        a_values=tuple(_ranged(row, ends["A-value", row.group]) for row in base.a_values),
        interactions=tuple(_ranged(row, ends[_pair(row)]) for row in base.interactions),
    )


def _ranged(row: Row, ends: Sequence[float]) -> Row:
    return replace(
        row,
        low_kcal_mol=min(row.low_kcal_mol, *ends),
        high_kcal_mol=max(row.high_kcal_mol, *ends),
    )


def declared_table(
    table: EstimateTable, own: Sequence[tuple[str, str, str, float]], gauche_kcal_mol: float | None
) -> EstimateTable:
    """The table with what the key declares in place of its rows: (kind, group, other group, kcal/mol), and
    the energy of two methyl groups gauche. A pair that the table lacks is added."""
    for kind, first, second, value in own:
        table = _with_own(table, kind, first, second, value)
    return (
        table
        if gauche_kcal_mol is None
        else _with_own(table, "vicinal gauche", "CH3", "CH3", gauche_kcal_mol)
    )


def _with_own(table: EstimateTable, kind: str, first: str, second: str, value: float) -> EstimateTable:
    keys = [row.group if (row := match_name(table.a_values, name)) else name for name in (first, second)]
    if kind == "A-value":
        rows = tuple(_own_row(row, value) if row.group == keys[0] else row for row in table.a_values)
        return replace(table, a_values=rows)
    pair = InteractionRow(
        kind="syn-diaxial" if kind == "syn-diaxial" else "vicinal gauche",
        group_1=keys[0],
        group_2=keys[1],
        form="replacing" if kind == "syn-diaxial" else "excess",
        value_kcal_mol=value,
        low_kcal_mol=value,
        high_kcal_mol=value,
        temperature_k=None,
        medium="",
        source=_THE_KEY,
        known="compilation",
        note="",
    )
    others = tuple(row for row in table.interactions if _pair(row) != _pair(pair))
    return replace(table, interactions=(*others, pair))


@lru_cache(256)
def printed_only(table: EstimateTable) -> tuple[AValueRow, ...]:
    """The rows that the source of a published table prints; none of another table."""
    return tuple(row for row in table.a_values if row.note.startswith(PRINTED))


@lru_cache(256)
def book_key(table: EstimateTable) -> str:
    """The one source of a table; '' where it has several."""
    sources = {row.source for row in printed_only(table) or table.a_values}
    return sources.pop() if len(sources) == 1 else ""


def _own_row(row: AValueRow, value: float) -> AValueRow:
    return replace(
        row, value_kcal_mol=value, low_kcal_mol=value, high_kcal_mol=value, medium="", source=_THE_KEY
    )


def printed_rows(table: EstimateTable, short_sources: Mapping[str, str], groups: frozenset[str]) -> str:
    """What a published table has of these groups: 'CH3 7.6 kJ/mol (Wade)'; '' when it prints none of them."""
    return _printed(table, groups, tuple(sorted(short_sources.items())))


@lru_cache(4096)
def _printed(table: EstimateTable, groups: frozenset[str], short_sources: tuple[tuple[str, str], ...]) -> str:
    shorts = dict(short_sources)
    own = [
        (f"{row.group} {row.note.removeprefix(PRINTED)}", shorts.get(row.source, row.source))
        for row in table.a_values
        if row.group in groups and row.note.startswith(PRINTED)
    ]
    return f"{', '.join(words for words, _ in own)} ({own[0][1]})" if own else ""
