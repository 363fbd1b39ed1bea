"""Reading the conventions a key declares: 'gauche=0.9; diaxial=group-group'."""

import re
from dataclasses import replace
from typing import Literal, get_args, get_origin, get_type_hints

from chairgap.answer_key.rules.words import number, plain, unit_of
from chairgap.errors import InputError, Place
from chairgap.records import Conventions
from chairgap.text import did_you_mean
from chairgap.units import KJ_PER_KCAL, LARGEST_ENERGY_KCAL_MOL

_NUMBERS = {"gauche": "gauche_kcal_mol", "temperature_k": "temperature_k"}
# The other conventions are one of some words each.
_WORDS = {
    name: get_args(kind) for name, kind in get_type_hints(Conventions).items() if get_origin(kind) is Literal
}
# Below, K overflows; a class works at neither end.
_COLDEST_K, _HOTTEST_K = 50.0, 2000.0
_VALUE_OF = re.compile(r"(A|gauche|syn)\((.+)\)", re.IGNORECASE)
_OF_A_GROUP = re.compile(r"(?:A|gauche|syn)\(", re.IGNORECASE)
_KINDS = {"a": "A-value", "gauche": "vicinal gauche", "syn": "syn-diaxial"}
NAMES = ("table", *_NUMBERS, *_WORDS)


def parse_conventions(text: str, base: Conventions, place: Place) -> Conventions:
    """The base with the declared conventions put in. Raises InputError naming the piece that is wrong."""
    changes: dict[str, object] = {}
    own = {declared[:3]: declared for declared in base.own}
    given: set[str] = set()
    for piece in filter(None, (part.strip() for part in text.replace("\n", ";").split(";"))):
        # A group may have a '=' in it: A(CH=CH2)=1.7.
        parts = piece.rpartition("=") if _OF_A_GROUP.match(piece) else piece.partition("=")
        name, sign, value = (part.strip() for part in parts)
        if not sign or not value:
            raise InputError(
                f"'{piece}' does not read as name=value; write for example gauche=0.9.", place=place
            )
        if name in given:
            message = f"Convention '{name}' is given twice; keep one of them."
            raise InputError(message, place=place, value=text)
        given.add(name)
        if declared := _own_value(name, value, place):
            own[declared[:3]] = declared
            continue
        changes |= _change(name, value, place)
    if not given:
        return base
    names = base.declared | (given & set(NAMES))
    return replace(base, **changes, own=tuple(own.values()), declared=names)  # type: ignore[arg-type]


def _own_value(name: str, value: str, place: Place) -> tuple[str, str, str, float] | None:
    """(kind, group, other group or '', kcal/mol) of 'A(CH3)=7.6 kJ/mol' or 'gauche(CH3/OH)=0.35'; None where
    the name is none of these."""
    match = _VALUE_OF.fullmatch(name)
    if match is None:
        return None
    found = number(value)
    unit = unit_of(found[1]) if found else None
    kind, inside = match.group(1).lower(), match.group(2)
    first, _, second = inside.partition("/")
    if found is None or unit is None or (kind == "a") != (not second):
        raise InputError(
            f"'{name}={value}' does not read as a value; write for example A(CH3)=1.8, A(CH3)=7.6 kJ/mol or "
            "gauche(CH3/OH)=0.35.",
            place=place,
            value=value,
        )
    energy = found[0] / KJ_PER_KCAL if unit == "kJ/mol" else found[0]
    if abs(energy) > LARGEST_ENERGY_KCAL_MOL:
        raise InputError(
            f"'{name}={value}' is more than {LARGEST_ENERGY_KCAL_MOL:g} kcal/mol; correct it.", place=place
        )
    return _KINDS[kind], first.strip(), second.strip(), energy


def _in_kcal(found: tuple[float, str], value: str, place: Place) -> tuple[float, str]:
    unit = unit_of(found[1])
    if unit is None:
        raise InputError(f"'{value}' has no energy unit; write kcal/mol or kJ/mol.", place=place, value=value)
    return (found[0] / KJ_PER_KCAL if unit == "kJ/mol" else found[0]), ""


def _change(name: str, value: str, place: Place) -> dict[str, object]:
    if name == "table":
        return {"table": value}
    if name in _NUMBERS:
        found = number(value)
        if found is None or found[0] <= 0.0:
            raise InputError(f"Convention '{name}' needs a number above 0, not '{value}'.", place=place)
        if name == "gauche" and found[1]:
            found = _in_kcal(found, value, place)
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
