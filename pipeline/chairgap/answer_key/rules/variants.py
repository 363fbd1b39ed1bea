"""The named conventions and published values under which a claim may be right though it is not under the
declared ones."""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import combinations

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.choosing import Case, estimated
from chairgap.answer_key.rules.sources import IN_KJ, book_key, printed_rows
from chairgap.answer_key.rules.words import unit_of
from chairgap.errors import InputError
from chairgap.records import Answer, LedgerTerm
from chairgap.units import fixed

_ENERGIES = ("term", "gap", "K", "percent", "stable chair", "ranking", "twist-boat")
_NAMED = 3
_TEMPERATURES_K = (298.0, 298.15, 300.0)


@dataclass(frozen=True, kw_only=True)
class Change:
    """One convention changed: in words, and the fields. of_values: another source of the same quantity, not
    another way of counting or measuring."""

    words: str
    fields: dict[str, object]
    of_values: bool = False


def _changes(case: Case) -> list[Change]:
    """The changes that may matter for the claim's quantity, one at a time."""
    claim, conventions = case.claim, case.conventions
    found = _of_values(case) if claim.quantity in _ENERGIES else []
    if claim.quantity in ("K", "percent"):
        found += [
            Change(words=f"temperature {value:g} K", fields={"temperature_k": value})
            for value in _TEMPERATURES_K
            if value != conventions.temperature_k
        ]
    options: dict[str, tuple[str, tuple[str, ...]]] = {
        "gap": ("direction", ("other-stable",)),
        "term": ("syn", ("replacing", "excess")),
        "diaxial count": ("diaxial", ("group-any", "group-group", "per-group")),
        "diaxial pairs": ("diaxial", ("group-any", "group-group")),
        "gauche count": ("gauche_count", ("butane", "vicinal")),
        "chirality": ("meso", ("average", "chair")),
    }
    name, values = options.get(claim.quantity, ("", ()))
    return found + [
        Change(words=f"{name}={value}", fields={name: value})
        for value in values
        if value != getattr(conventions, name)
    ]


def _of_values(case: Case) -> list[Change]:
    """Other tables, published sources that print a value of the molecule's groups, other gauche energies; one
    for each set of values that matter, with up to three of those that have it."""
    conventions, tables = case.conventions, case.tables
    named = [
        (f"A-value table '{name}'", name)
        for name in tables.named
        if (name != conventions.table or conventions.own) and not name.endswith(IN_KJ)
    ]
    groups = groups_of(case)
    printed = [
        (words, name)
        for name, table in tables.published.items()
        if (words := printed_rows(table, tables.short_sources, groups))
    ]
    alike: dict[tuple[object, ...], list[tuple[str, str]]] = {}
    for words, name in (*named, *printed):
        alike.setdefault(values_that_matter(case, name), []).append((words, name))
    found = [
        Change(
            words=" and by ".join(words for words, _ in same[:_NAMED]),
            fields={"table": same[0][1], "own": ()},
            of_values=True,
        )
        for same in alike.values()
    ]
    if not any(term.kind == "vicinal gauche" and set(term.groups) == {"CH3"} for term in _terms(case)):
        return found
    return found + [
        Change(
            words=f"CH3/CH3 gauche {fixed(value, 2)} kcal/mol",
            fields={"gauche_kcal_mol": value},
            of_values=True,
        )
        for value in tables.methyl_gauche_kcal_mol
        if value != conventions.gauche_kcal_mol
    ]


def _terms(case: Case) -> Iterator[LedgerTerm]:
    for facts in case.molecules:
        yield from estimated(facts.chairs, case.table).terms


def groups_of(case: Case) -> frozenset[str]:
    """The groups of the molecules of a claim."""
    return frozenset(ligand.group for facts in case.molecules for _, ligand in facts.topology.groups)


def values_that_matter(case: Case, name: str) -> tuple[object, ...]:
    """The values of a table for the groups of the molecules and their pairs, and its one source."""
    groups, table = groups_of(case), case.tables.table(name, in_kj=unit_of(case.claim.unit) == "kJ/mol")
    return (
        book_key(table) == book_key(case.tables.table(case.conventions.table, in_kj=False)),
        tuple(row.value_kcal_mol for row in table.a_values if row.group in groups),
        tuple(row.value_kcal_mol for row in table.interactions if {row.group_1, row.group_2} <= groups),
    )


@dataclass(frozen=True, kw_only=True)
class Elsewhere:
    """The answer under other conventions or values: in words, the changed fields, the answer."""

    words: str
    of_values: bool
    fields: dict[str, object]
    unit: str
    answer: Answer


def elsewhere(case: Case) -> tuple[Elsewhere, ...]:
    """The answers to what is asked under every variant that has one, single changes first, then two together,
    then the other energy unit where the key gives none."""
    return case.remembered("elsewhere", lambda: tuple(_elsewhere(case)))


def _elsewhere(case: Case) -> Iterator[Elsewhere]:
    for words, of_values, fields, unit in _variants(case):
        with suppress(InputError):
            found = answer(case.asking(unit=unit).under(**fields))
            yield Elsewhere(words=words, of_values=of_values, fields=fields, unit=unit, answer=found)


def _variants(case: Case) -> Iterator[tuple[str, bool, dict[str, object], str]]:
    changes, unit = _changes(case), case.claim.unit
    for change in changes:
        yield change.words, change.of_values, change.fields, unit
    for one, other in combinations(changes, 2):
        if not one.fields.keys() & other.fields.keys():
            both = {**one.fields, **other.fields}
            yield f"{one.words} and {other.words}", one.of_values and other.of_values, both, unit
    if case.claim.quantity in ("gap", "term") and not unit:
        yield "energies in kJ/mol", False, {}, "kJ/mol"
        for change in changes:
            yield f"energies in kJ/mol, {change.words}", False, change.fields, "kJ/mol"
