"""Retained names of cyclohexanes: text to records, every problem collected."""

from collections.abc import Collection
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from chairgap.records import RetainedName
from chairgap.tables.rows import Filled, Names, Problems, Reading, WithSource, filled, read_table, reading_of

RETAINED_FILE = "retained_names.csv"


def _new_name(name: str, info: ValidationInfo) -> str:
    reading_of(info).claim("name", name.casefold(), shown=name)
    return name


def _new_names(names: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
    return tuple(_new_name(name, info) for name in names)


class _RetainedName(WithSource):
    name: Annotated[Filled, AfterValidator(_new_name)] = Field(description="the name in small letters")
    names: Annotated[Names, AfterValidator(_new_names)] = Field(
        description="other names, separated by semicolons"
    )
    kind: Annotated[Literal["compound", "group", "parent"], BeforeValidator(filled)] = Field(
        description="'compound', 'group' or 'parent'"
    )
    systematic: Filled = Field(description="the systematic name, whose locants are those of this name")
    signs: str = Field(description="the signs (+ - D L d l) with which it is this mirror image, together")
    unsigned: Literal["", "relative", "absolute"] = Field(
        description="its meaning without a sign: 'relative', 'absolute', or nothing where there is no choice"
    )
    smiles: Filled = Field(description="the structure as SMILES, one * for the free valence of a group")


def parse_retained(
    text: str, file: str, *, source_keys: Collection[str]
) -> tuple[tuple[RetainedName, ...], Problems]:
    """Rows in file order and everything wrong with the table. A name stands once, whatever its capitals."""
    return read_table(_RetainedName, RetainedName, text, Reading(file=file, source_keys=source_keys))
