"""Values as their sources print them: text to records. See data/README.md."""

from collections.abc import Collection, Sequence
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, model_validator

from chairgap.records import AValueRow, CorrectionForm, PublishedValue
from chairgap.tables.interactions import group_key
from chairgap.tables.rows import Filled, Number, Problems, Reading, WithSource, filled, read_table
from chairgap.validation import wrong_complete

VALUES_FILE = "published_values.csv"
Kind = Literal["A-value", "syn-diaxial", "vicinal gauche"]


def _group_or_none(name: str, info: ValidationInfo) -> str:
    return group_key(name, info) if name else name


class _PublishedValue(WithSource):
    kind: Annotated[Kind, BeforeValidator(filled)] = Field(
        description="'A-value', 'syn-diaxial' or 'vicinal gauche'"
    )
    group_1: Annotated[Filled, AfterValidator(group_key)] = Field(description="a group of the A-value table")
    group_2: Annotated[str, AfterValidator(_group_or_none)] = Field(
        description="the other group of a pair, or leave the cell empty for an A-value"
    )
    form: CorrectionForm | Literal[""] = Field(
        description="'replacing' or 'excess', or leave the cell empty for an A-value"
    )
    value: Number = Field(description="the number as it is printed")
    unit: Annotated[Literal["kcal/mol", "kJ/mol", "K"], BeforeValidator(filled)] = Field(
        description="'kcal/mol', 'kJ/mol' or 'K'"
    )

    @model_validator(mode="after")
    def _of_its_kind(self) -> Self:
        if (self.kind == "A-value") != (not self.group_2 and not self.form):
            raise wrong_complete("An A-value has one group and no form, a pair has both. Correct the row.")
        if self.unit == "K" and (self.kind != "A-value" or self.value <= 0.0):
            raise wrong_complete("K is above 0 and that of one group. Correct the row.")
        return self


def parse_published_values(
    text: str, file: str, *, a_values: Sequence[AValueRow], source_keys: Collection[str]
) -> tuple[tuple[PublishedValue, ...], Problems]:
    """Rows in file order and everything wrong with the table. Groups are keys of a_values."""
    reading = Reading(file=file, source_keys=source_keys, a_values=a_values)
    return read_table(_PublishedValue, PublishedValue, text, reading)
