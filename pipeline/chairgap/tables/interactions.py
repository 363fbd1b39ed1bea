"""Interaction tables: corrections between two groups of one ring, in kcal/mol (positive = unfavourable).

`form` says how a value is meant:

* 'replacing' (syn-diaxial only): the whole energy V of the pair. It takes the place of one X/H and one Y/H
  contact, which are A(X)/2 and A(Y)/2, so a chair with both axial has A(X)/2 + A(Y)/2 + V, that is
  V - A(X)/2 - A(Y)/2 more than the two A-values. Methyl/methyl: 0.87 + 0.87 + 3.70 = 5.44 with A = 1.74.
* 'excess': the energy on top of the two A-values. Methyl/methyl: 3.70 - 1.74 = 1.96.

The order of the two groups does not matter.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Literal

from chairgap.errors import InputError
from chairgap.estimate.groups import match_name
from chairgap.records import AValueRow, CorrectionForm, InteractionRow
from chairgap.tables.csv_text import (
    Columns,
    Record,
    energy_with_range,
    how_known,
    one_of,
    read_records,
    required_text,
    source_key,
)
from chairgap.text import did_you_mean

Kind = Literal["syn-diaxial", "vicinal gauche"]
KINDS: tuple[Kind, ...] = ("syn-diaxial", "vicinal gauche")
FORMS: tuple[CorrectionForm, ...] = ("replacing", "excess")

_HELP = {
    "kind": "'syn-diaxial' or 'vicinal gauche'",
    "group_1": "a group of the A-value table",
    "group_2": "a group of the A-value table",
    "form": "'replacing' or 'excess'",
    "value_kcal_mol": "the energy in kcal/mol, for example 3.70",
    "low_kcal_mol": "the lower end of the range in kcal/mol",
    "high_kcal_mol": "the upper end of the range in kcal/mol",
    "source": "the key of the source in sources.csv",
    "known": "how the value is known",
    "note": "anything else",
}
_ALWAYS = ("kind", "group_1", "group_2", "form", "value_kcal_mol")
USER_COLUMNS = Columns(
    required=_ALWAYS,
    optional=tuple(name for name in _HELP if name not in _ALWAYS),
    help_by_name=_HELP,
    may_be_empty=True,
)
SHIPPED_COLUMNS = Columns(required=tuple(_HELP), optional=(), help_by_name=_HELP)


def parse_interactions(
    text: str, file: str, a_values: Sequence[AValueRow] | None, *, source_keys: Collection[str] | None = None
) -> tuple[tuple[InteractionRow, ...], list[InputError]]:
    """Rows of an interaction table, their groups written as the keys of `a_values`, and what is wrong.

    With `a_values` None (that table could not be read whole) the groups are not looked up.
    `source_keys` as in `chairgap.tables.a_values.parse_a_values`.
    """
    columns = USER_COLUMNS if source_keys is None else SHIPPED_COLUMNS
    records, problems = read_records(text, file, columns)
    taken: dict[tuple[str, ...], int] = {}
    rows = []
    for record in records:
        before = len(problems)
        row = _row(record, columns, a_values, source_keys, problems)
        if row is None or len(problems) > before:
            continue
        pair = (row.kind, *sorted((row.group_1, row.group_2)))
        if pair in taken:
            message = (
                f"{row.kind} {row.group_1}/{row.group_2} is already in row {taken[pair]}; keep one row "
                "for each pair (the order of the groups does not matter)."
            )
            problems.append(record.problem("group_1", message))
            continue
        taken[pair] = record.row
        rows.append(row)
    return tuple(rows), problems


def _row(
    record: Record,
    columns: Columns,
    a_values: Sequence[AValueRow] | None,
    source_keys: Collection[str] | None,
    problems: list[InputError],
) -> InteractionRow | None:
    kind = one_of(record, "kind", KINDS, problems)
    form = one_of(record, "form", FORMS, problems)
    if (kind, form) == ("vicinal gauche", "replacing"):
        message = "A vicinal gauche energy replaces no contact with H; write 'excess'."
        problems.append(record.problem("form", message, "'excess'"))
    group_1 = _group(record, "group_1", columns, a_values, problems)
    group_2 = _group(record, "group_2", columns, a_values, problems)
    energies = energy_with_range(record, problems)
    source = source_key(record, source_keys, problems)
    known = how_known(record, user_table=source_keys is None, problems=problems)
    if energies is None:
        return None
    value, low, high = energies
    return InteractionRow(
        kind=kind,
        group_1=group_1,
        group_2=group_2,
        form=form,
        value_kcal_mol=value,
        low_kcal_mol=low,
        high_kcal_mol=high,
        source=source,
        known=known,
        note=record.text("note"),
    )


def _group(
    record: Record,
    field: str,
    columns: Columns,
    a_values: Sequence[AValueRow] | None,
    problems: list[InputError],
) -> str:
    name = required_text(record, field, columns, problems)
    if a_values is None:
        return name
    row = match_name(a_values, name)
    if row is not None:
        return row.group
    if name:
        hint = did_you_mean(name, [n for r in a_values for n in (r.group, *r.names)])
        message = f"Group '{name}' is not in the A-value table.{hint} Correct it or add the group there."
        problems.append(record.problem(field, message, _HELP[field]))
    return name


def translate(
    interactions: Sequence[InteractionRow], written_for: Sequence[AValueRow], wanted: Sequence[AValueRow]
) -> tuple[InteractionRow, ...]:
    """Interaction rows written for one A-value table, in the group keys of another.

    A group is the same when the fragments are the same text, else when a key or alias is shared. Rows about
    groups that `wanted` does not have are left out.
    """
    key_by_group = {row.group: _key_in(wanted, row) for row in written_for}
    translated = []
    for row in interactions:
        group_1, group_2 = key_by_group[row.group_1], key_by_group[row.group_2]
        if group_1 and group_2:
            translated.append(replace(row, group_1=group_1, group_2=group_2))
    return tuple(translated)


def _key_in(rows: Sequence[AValueRow], wanted: AValueRow) -> str | None:
    for row in rows:
        if row.fragment == wanted.fragment:
            return row.group
    names = {wanted.group, *wanted.names}
    for row in rows:
        if names & {row.group, *row.names}:
            return row.group
    return None
