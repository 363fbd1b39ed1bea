"""The named conventions under which a claim may be right though it is not under the declared ones."""

from collections.abc import Iterator
from itertools import combinations

from chairgap.answer_key.rules.choosing import Case

_ENERGIES = ("term", "gap", "K", "percent", "stable chair", "ranking", "twist-boat")
_GAUCHE_KCAL_MOL = (0.80, 0.87, 0.90)
_TEMPERATURES_K = (298.0, 298.15, 300.0)

Change = tuple[str, dict[str, object]]


def _changes(case: Case) -> list[Change]:
    """(words, changed convention fields) that may matter for the claim's quantity, one at a time."""
    claim, conventions, found = case.claim, case.conventions, list[Change]()
    if claim.quantity in _ENERGIES:
        found += [
            (f"A-value table '{name}'", {"table": name}) for name in case.tables if name != conventions.table
        ]
        found += [
            (f"CH3/CH3 gauche {value:.2f} kcal/mol", {"gauche_kcal_mol": value})
            for value in _GAUCHE_KCAL_MOL
            if value != conventions.gauche_kcal_mol
        ]
    if claim.quantity in ("K", "percent"):
        found += [
            (f"temperature {value:g} K", {"temperature_k": value})
            for value in _TEMPERATURES_K
            if value != conventions.temperature_k
        ]
    options: dict[str, tuple[str, tuple[str, ...]]] = {
        "gap": ("direction", ("other-stable",)),
        "term": ("syn", ("replacing", "excess")),
        "diaxial count": ("diaxial", ("group-any", "group-group")),
        "diaxial pairs": ("diaxial", ("group-any", "group-group")),
        "gauche count": ("gauche_count", ("butane", "vicinal")),
        "chirality": ("meso", ("average", "chair")),
        "percent": ("percent_of", ("stable", "A", "B", "axial", "equatorial")),
    }
    name, values = options.get(claim.quantity, ("", ()))
    found += [(f"{name}={value}", {name: value}) for value in values if value != getattr(conventions, name)]
    return found


def variants(case: Case) -> Iterator[tuple[str, Case]]:
    """Claims under other named conventions, with the convention in words: single changes first, then two
    together, then the other energy unit where the key gives none."""
    changes = _changes(case)
    for words, change in changes:
        yield words, case.under(**change)
    for (one, first), (two, second) in combinations(changes, 2):
        if not first.keys() & second.keys():
            yield f"{one} and {two}", case.under(**first, **second)
    if case.claim.quantity in ("gap", "term") and not case.claim.unit:
        yield "energies in kJ/mol", case.asking(unit="kJ/mol")
