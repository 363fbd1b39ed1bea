"""The table of A-values and corrections that a sheet prints: what its molecules need, of every version alike,
so that it says nothing of a single question."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from chairgap.estimate.groups import find_row
from chairgap.estimate.ledger import energy_words, phase_words
from chairgap.records import AValueRow, EstimateTable, InteractionRow, Source, Topology

NOTE = (
    "Positive energies make a chair worse. A group, or a pair of groups, that is not in the table is the "
    "same in both chairs here, and cancels."
)
A_VALUES = "A-value, G(axial) - G(equatorial)"
PAIRS = "Correction for two groups of one chair, on top of the A-values"
FRAGMENTS = "A group written with * is a SMILES in which * stands for the ring carbon."


@dataclass(frozen=True, kw_only=True)
class ValueLine:
    """One line: what, its energy in kcal/mol in words, and the number of its source, '' without one."""

    what: str
    value: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Values:
    """A-values, corrections, and the sources both rest on: their keys, and each with its citation; what must
    be said of them."""

    a_values: tuple[ValueLine, ...]
    corrections: tuple[ValueLine, ...]
    keys: tuple[str, ...]
    sources: tuple[str, ...]
    note: str

    @property
    def tables(self) -> tuple[tuple[str, tuple[ValueLine, ...]], ...]:
        """Each part that has lines, with its head."""
        return tuple(part for part in ((A_VALUES, self.a_values), (PAIRS, self.corrections)) if part[1])


def values_for(molecules: Iterable[Topology], table: EstimateTable, sources: Mapping[str, Source]) -> Values:
    """The rows of the study's table for the groups of these molecules, in the order of the table, and its
    corrections for every two groups that stand together on one of them."""
    needed: set[str] = set()
    together: set[tuple[str, ...]] = set()
    fragments = False
    for topology in molecules:
        fragments = fragments or any("*" in ligand.group for _, ligand in topology.groups)
        rows = (find_row(table, ligand.group) for _, ligand in topology.groups)
        counts = Counter(row.group for row in rows if row)
        needed |= set(counts)
        together |= {_pair(a, b) for a in counts for b in counts if a != b or counts[a] > 1}
    a_rows = {row.group: row for row in table.a_values if row.group in needed}
    pairs = [row for row in table.interactions if _pair(row.group_1, row.group_2) in together]
    named = [*(row.source for row in a_rows.values()), *(row.source for row in pairs)]
    keys = tuple(dict.fromkeys(key for key in named if key))
    numbers = {key: str(number) for number, key in enumerate(keys, start=1)} | {"": ""}
    return Values(
        a_values=tuple(
            ValueLine(what=_called(row), value=energy_words(row.value_kcal_mol), source=numbers[row.source])
            for row in a_rows.values()
        ),
        corrections=tuple(_correction(row, a_rows, numbers[row.source]) for row in pairs),
        keys=keys,
        sources=tuple(sources[key].citation if key in sources else f"{key}." for key in keys),
        note=f"{NOTE} {FRAGMENTS}" if fragments else NOTE,
    )


def _pair(one: str, other: str) -> tuple[str, ...]:
    return tuple(sorted((one, other)))


def _called(row: AValueRow) -> str:
    longest = max(row.names, key=len, default="")
    name = f"{row.group} ({longest})" if longest and longest != row.group else row.group
    return name + _medium(row.medium)


def _medium(medium: str) -> str:
    """', in water'; '' where the table states no medium."""
    return f", {phase_words(medium)}" if medium else ""


def _correction(row: InteractionRow, a_rows: Mapping[str, AValueRow], source: str) -> ValueLine:
    pair, medium = f"{row.group_1} and {row.group_2}", _medium(row.medium)
    if row.kind == "vicinal gauche":
        what = f"{pair} on neighbouring carbons, gauche (not both axial){medium}"
        return ValueLine(what=what, value=energy_words(row.value_kcal_mol), source=source)
    what, value = (
        f"{pair} both axial on one face, 1,3 to each other{medium}",
        Fraction(repr(row.value_kcal_mol)),
    )
    if row.form == "replacing":
        # (1) on top of the A-values: V - A(X)/2 - A(Y)/2 (chairgap.tables.interactions)
        halves = [Fraction(repr(a_rows[g].value_kcal_mol)) / 2 for g in (row.group_1, row.group_2)]
        value -= sum(halves)
        what += f" ({energy_words(row.value_kcal_mol)} for the pair, less half of each A-value)"
    return ValueLine(what=what, value=energy_words(float(value)), source=source)
