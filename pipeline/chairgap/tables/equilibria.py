"""Published equilibria between the two chairs: text to records. See data/README.md."""

from collections.abc import Collection, Sequence
from functools import partial
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo

from chairgap.estimate.groups import match_name
from chairgap.records import AValueRow, Equilibrium, Face, MediumGroup, PlacedLigand
from chairgap.shape.chairs import chair_name, position_in_chair
from chairgap.tables.rows import (
    Filled,
    KelvinOrNone,
    NumberOrNone,
    Problems,
    Reading,
    Row,
    filled,
    known_source,
    once,
    read_table,
    reading_of,
)
from chairgap.text import did_you_mean
from chairgap.validation import wrong, wrong_complete

EQUILIBRIA_FILE = "equilibria.csv"
_Groups = tuple[tuple[int, Face, str], ...]
_FORM = "the groups by face with names of a_values.csv, for example 1 up F, 2 down F"


def _split(text: str) -> _Groups:
    """(carbon, face, group as written), by carbon, upper face first. Raises ValueError."""
    groups: list[tuple[int, Face, str]] = []
    for piece in text.split(", "):
        carbon, face, group = piece.split(" ")
        if carbon not in "123456" or face not in ("up", "down"):
            raise ValueError(piece)
        groups.append((int(carbon), "up" if face == "up" else "down", group))
    return tuple(sorted(groups, key=lambda group: (group[0], group[1] == "down")))


def _groups(text: str, info: ValidationInfo) -> str:
    try:
        groups = _split(filled(text))
    except ValueError:
        raise wrong(f"'{text}' does not read as groups by face.") from None
    a_values = reading_of(info).a_values or ()
    for *_, name in groups:
        if "*" not in name and match_name(a_values, name) is None:
            hint = did_you_mean(name, [row.group for row in a_values])
            raise wrong_complete(f"Group '{name}' is not in a_values.csv.{hint} Write a group of it.")
    return text


def _chairs(groups: _Groups) -> dict[str, bool]:
    """odd_up_axial by the name of the chair."""
    found = {}
    for odd_up_axial in (True, False):
        placed = tuple(
            PlacedLigand(
                carbon=carbon, face=face, group=group, position=position_in_chair(carbon, face, odd_up_axial)
            )
            for carbon, face, group in groups
        )
        found[chair_name(placed)] = odd_up_axial
    return found


def _chair(name: str, info: ValidationInfo) -> str:
    text = info.data.get("groups_by_face")
    if text and name not in (names := _chairs(_split(text))):
        raise wrong_complete(f"'{name}' is no chair of {text}. Write {' or '.join(names)}.")
    return name


def _value(value: float | None, info: ValidationInfo) -> float | None:
    kind = info.data.get("kind")
    if (value is None) != (kind == "more populated"):
        raise wrong_complete("Write a number, or 'more populated' as the kind and no number.")
    if kind == "percent" and value is not None and not 0.0 < value < 100.0:
        raise wrong_complete(f"{value:g} percent gives no gap. Write a number between 0 and 100.")
    return value


class _Equilibrium(Row):
    key: Annotated[Filled, AfterValidator(once)] = Field(description="a name of its own for the row")
    groups_by_face: Annotated[str, AfterValidator(_groups)] = Field(description=_FORM)
    chair: Annotated[Filled, AfterValidator(_chair)] = Field(description="the chair that the value speaks of")
    kind: Annotated[Literal["gibbs", "energy", "percent", "more populated"], BeforeValidator(filled)] = Field(
        description="'gibbs', 'energy', 'percent' or 'more populated'"
    )
    value: Annotated[NumberOrNone, AfterValidator(_value)] = Field(
        description="the number in kcal/mol or percent"
    )
    error: NumberOrNone = Field(description="its error, or leave the cell empty")
    bound: Literal["", "more than", "about"] = Field(
        description="'more than', 'about' or leave the cell empty"
    )
    temperature_k: KelvinOrNone = Field(description="the temperature in kelvin, or leave the cell empty")
    medium: Filled = Field(description="a solvent of solvents.csv, 'gas phase' or 'not stated'")
    medium_class: Annotated[MediumGroup, BeforeValidator(filled)] = Field(
        description="'gas', 'apolar', 'polar', 'hydrogen bonding' or 'not stated'"
    )
    method: Filled = Field(description="how it was measured")
    source: Annotated[str, AfterValidator(known_source)] = Field(
        description="the key of the source in sources.csv"
    )
    known: Annotated[Literal["seen", "seen as quotation", "from memory"], BeforeValidator(filled)] = Field(
        description="'seen', 'seen as quotation' or 'from memory'"
    )
    note: str = Field(description="anything else")


def parse_equilibria(
    text: str, file: str, *, a_values: Sequence[AValueRow], source_keys: Collection[str]
) -> tuple[tuple[Equilibrium, ...], Problems]:
    """Rows in file order and everything wrong with the table. Groups are those of a_values, or fragments."""
    reading = Reading(file=file, source_keys=source_keys, a_values=a_values)
    return read_table(_Equilibrium, partial(_record, a_values), text, reading)


def _record(a_values: Sequence[AValueRow], **cells: Any) -> Equilibrium:
    groups = _split(cells["groups_by_face"])
    fragments = {name: name if "*" in name else _fragment(a_values, name) for *_, name in groups}
    return Equilibrium(
        **cells,
        groups=tuple((carbon, face, fragments[name]) for carbon, face, name in groups),
        odd_up_axial=_chairs(groups)[cells["chair"]],
    )


def _fragment(a_values: Sequence[AValueRow], name: str) -> str:
    row = match_name(a_values, name)
    return row.fragment if row else name
