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
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from chairgap.estimate.groups import match_name
from chairgap.records import AValueRow, CorrectionForm, InteractionRow, Solvent
from chairgap.tables.media import MEDIUM, MeasuredIn
from chairgap.tables.rows import (
    HIGH,
    LOW,
    EndOfRange,
    Energy,
    Filled,
    KelvinOrNone,
    Problems,
    Reading,
    WithSource,
    filled,
    optional,
    read_table,
    reading_of,
)
from chairgap.text import did_you_mean
from chairgap.validation import wrong_complete

Kind = Literal["syn-diaxial", "vicinal gauche"]


def group_key(name: str, info: ValidationInfo) -> str:
    """The key of the group in the A-value table."""
    rows = reading_of(info).a_values
    if rows is None:
        return name
    row = match_name(rows, name)
    if row is None:
        hint = did_you_mean(name, [n for r in rows for n in (r.group, *r.names)])
        raise wrong_complete(
            f"Group '{name}' is not in the A-value table.{hint} Correct it or add the group there."
        )
    return row.group


def _on_top(form: CorrectionForm, info: ValidationInfo) -> CorrectionForm:
    if form == "replacing" and info.data.get("kind") == "vicinal gauche":
        raise wrong_complete("A vicinal gauche energy replaces no contact with H. Write 'excess'.")
    return form


class _Interaction(WithSource):
    kind: Annotated[Kind, BeforeValidator(filled)] = Field(description="'syn-diaxial' or 'vicinal gauche'")
    group_1: Annotated[Filled, AfterValidator(group_key)] = Field(description="a group of the A-value table")
    group_2: Annotated[Filled, AfterValidator(group_key)] = Field(description="a group of the A-value table")
    form: Annotated[CorrectionForm, BeforeValidator(filled), AfterValidator(_on_top)] = Field(
        description="'replacing' or 'excess'"
    )
    value_kcal_mol: Energy = Field(
        description="the energy in kcal/mol with a decimal point, for example 3.70"
    )
    low_kcal_mol: EndOfRange = optional(LOW)
    high_kcal_mol: EndOfRange = optional(HIGH)
    temperature_k: KelvinOrNone = optional("the temperature of the measurement in kelvin, for example 298")
    medium: MeasuredIn = optional(MEDIUM)

    @model_validator(mode="after")
    def _differs_from_the_rows_above(self, info: ValidationInfo) -> Self:
        pair = "/".join(sorted((self.group_1, self.group_2)))
        reading_of(info).claim(
            "row",
            f"{self.kind} {pair}|{self.medium}|{self.temperature_k}",
            shown=f"{self.kind} {self.group_1}/{self.group_2}",
            advice="Keep one of them, or give each its own medium or temperature_k (the order of the groups "
            "does not matter).",
        )
        return self


def parse_interactions(
    text: str,
    file: str,
    a_values: Sequence[AValueRow] | None,
    *,
    source_keys: Collection[str] | None = None,
    solvents: Sequence[Solvent] = (),
) -> tuple[tuple[InteractionRow, ...], Problems]:
    """Rows of an interaction table, their groups written as the keys of `a_values`, and what is wrong.

    With `a_values` None (that table could not be read whole) the groups are not looked up.
    `source_keys` and `solvents` as in `chairgap.tables.a_values.parse_a_values`; a pair may have several rows
    as a group may.
    """
    reading = Reading(file=file, source_keys=source_keys, a_values=a_values, solvents=solvents)
    return read_table(_Interaction, InteractionRow, text, reading, may_be_empty=source_keys is None)


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
