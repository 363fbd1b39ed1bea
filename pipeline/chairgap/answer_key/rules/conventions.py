"""Reading the conventions a key declares: 'gauche=0.9; diaxial=group-group'."""

from dataclasses import replace
from typing import Literal, get_args, get_origin, get_type_hints

from chairgap.answer_key.rules.words import number, plain
from chairgap.errors import InputError, Place
from chairgap.records import Conventions
from chairgap.text import did_you_mean
from chairgap.units import LARGEST_ENERGY_KCAL_MOL

_NUMBERS = {"gauche": "gauche_kcal_mol", "temperature_k": "temperature_k"}
# The other conventions are one of some words each.
_WORDS = {
    name: get_args(kind) for name, kind in get_type_hints(Conventions).items() if get_origin(kind) is Literal
}
# Below, K overflows; a class works at neither end.
_COLDEST_K, _HOTTEST_K = 50.0, 2000.0
NAMES = ("table", *_NUMBERS, *_WORDS)


def parse_conventions(text: str, base: Conventions, place: Place) -> Conventions:
    """The base with the declared conventions put in. Raises InputError naming the piece that is wrong."""
    changes: dict[str, object] = {}
    given: set[str] = set()
    for piece in filter(None, (part.strip() for part in text.replace("\n", ";").split(";"))):
        name, sign, value = (part.strip() for part in piece.partition("="))
        if not sign or not value:
            raise InputError(
                f"'{piece}' does not read as name=value; write for example gauche=0.9.", place=place
            )
        if name in given:
            message = f"Convention '{name}' is given twice; keep one of them."
            raise InputError(message, place=place, value=text)
        given.add(name)
        changes |= _change(name, value, place)
    return replace(base, **changes)  # type: ignore[arg-type]


def _change(name: str, value: str, place: Place) -> dict[str, object]:
    if name == "table":
        return {"table": value}
    if name in _NUMBERS:
        found = number(value)
        if found is None or found[0] <= 0.0:
            raise InputError(f"Convention '{name}' needs a number above 0, not '{value}'.", place=place)
        if name == "gauche" and found[0] > LARGEST_ENERGY_KCAL_MOL:
            raise InputError(
                f"Convention 'gauche' is an energy in kcal/mol of at most {LARGEST_ENERGY_KCAL_MOL:g}, not "
                f"'{value}'; correct it.",
                place=place,
            )
        if name == "temperature_k" and not _COLDEST_K <= found[0] <= _HOTTEST_K:
            raise InputError(
                f"Convention 'temperature_k' is in kelvin, {_COLDEST_K:g} to {_HOTTEST_K:g}, not '{value}'; "
                "25 degrees Celsius are 298.15.",
                place=place,
            )
        return {_NUMBERS[name]: found[0]}
    if name in _WORDS:
        meant = {word.lower(): word for word in _WORDS[name]}.get(plain(value).lower())
        if meant is None:
            allowed = ", ".join(_WORDS[name])
            raise InputError(f"Convention '{name}' cannot be '{value}'; write one of {allowed}.", place=place)
        return {name: meant}
    message = f"There is no convention '{name}'.{did_you_mean(name, NAMES)} Known are {', '.join(NAMES)}."
    raise InputError(message, place=place, value=name)
