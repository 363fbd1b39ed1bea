"""Is a claim the answer? Each quantity reads the claimed text in its own way."""

import math
from collections.abc import Callable
from typing import TypeVar

from chairgap.answer_key.rules.answers.newman import read_projection, same_projection
from chairgap.answer_key.rules.answers.stages import STAGES, stage_range_kcal_mol
from chairgap.answer_key.rules.choosing import Case, group_of
from chairgap.answer_key.rules.words import (
    SYNONYMS,
    decimals,
    number,
    pairs,
    pattern,
    plain,
    problem,
    stages,
    word,
)
from chairgap.records import Answer, Claim
from chairgap.units import KJ_PER_KCAL

Found = TypeVar("Found")
COUNTS = ("diaxial count", "gauche count")


def _read(claim: Claim, found: Found | None, otherwise: str) -> Found:
    """What was read of a claimed text. Raises InputError, which says what to write, where it was nothing."""
    if found is None:
        raise problem(claim, f"'{claim.claimed}' {otherwise}")
    return found


def claimed_number(claim: Claim) -> float:
    """The number claimed. Raises InputError when the cell holds none."""
    return _read(claim, number(claim.claimed), "is no number; write one such as 1.74 or 1,74.")[0]


def tolerance_of(claim: Claim, answer: Answer) -> float:
    """The declared tolerance, else half a unit of the last digit claimed (at least 0.5 % of a K)."""
    if claim.tolerance is not None:
        return claim.tolerance
    rounding = 0.5 * 10.0 ** -decimals(claim.claimed)
    if claim.quantity == "K" and answer.value is not None and math.isfinite(answer.value):
        return max(rounding, 0.005 * abs(answer.value))
    return rounding


def close(claim: Claim, answer: Answer, value: float) -> bool:
    """True when a value is the claimed number within the tolerance; counts must be exact."""
    if claim.quantity in COUNTS:
        return claimed_number(claim) == value
    # Sums of decimals are compared with a guard far below any tolerance.
    return abs(claimed_number(claim) - value) <= tolerance_of(claim, answer) + 1e-9


def accepted(claim: Claim, answer: Answer) -> tuple[float, float] | None:
    """The numbers that count as right, from least to most; None for an answer in words. A stage of the flip
    has the range of the published energies, and counts must be exact."""
    if answer.value is None:
        return None
    low = high = answer.value
    if claim.quantity in COUNTS:
        return low, high
    published = stage_range_kcal_mol(claim) if claim.quantity == "flip stages" else None
    if published is not None:
        factor = KJ_PER_KCAL if answer.unit == "kJ/mol" else 1.0
        low, high = published[0] * factor, published[1] * factor
    slack = tolerance_of(claim, answer)
    return low - slack, high + slack


def same(case: Case, answer: Answer) -> bool:
    """True when the claimed text states the answer. Raises InputError when it cannot be read at all."""
    claim = case.claim
    if answer.value is None:
        return _READERS[claim.quantity](case, answer)
    bounds = accepted(claim, answer) if claim.quantity == "flip stages" else None
    if bounds is not None:
        return bounds[0] <= claimed_number(claim) <= bounds[1]
    return close(claim, answer, answer.value)


def _by_word(case: Case, answer: Answer) -> bool:
    claim, known = case.claim, " or ".join(SYNONYMS[case.claim.quantity])
    meant = word(claim.quantity, claim.claimed)
    return _read(claim, meant, f"is no answer to '{claim.quantity}'; write {known}.") == answer.text


def read_pattern(case: Case) -> tuple[tuple[int, str, str], ...]:
    """The claimed pattern with group names as table keys. Raises InputError."""
    found = pattern(case.claim.claimed)
    read = _read(case.claim, found, "does not read as a chair; write for example 1a 2e.")
    return tuple((carbon, letter, group_of(case.table, group)) for carbon, letter, group in read)


def _by_pattern(case: Case, answer: Answer) -> bool:
    claimed = plain(case.claim.claimed).lower()
    says_equal = claimed in {"equal", "same", "both", "none"}
    if answer.text == "equal" or says_equal:
        return says_equal == (answer.text == "equal")
    letters = {chair.letter.lower(): chair.name for chair in case.facts.chairs}
    if claimed in letters:
        return letters[claimed] == answer.text
    right = pattern(answer.text) or ()
    found = read_pattern(case)
    named = all(
        group in {"", *(g for c, a, g in right if (c, a) == (carbon, letter))}
        for carbon, letter, group in found
        if len({c for c, _, _ in right}) < len(right)
    )
    return named and bare(found) == bare(right)


def bare(found: tuple[tuple[int, str, str], ...]) -> tuple[tuple[int, str], ...]:
    """A pattern without its groups."""
    return tuple(sorted((carbon, letter) for carbon, letter, _ in found))


def _by_pairs(case: Case, answer: Answer) -> bool:
    found = pairs(case.claim.claimed)
    how = "does not read as pairs; write for example 1-3, 1-5 or none."
    return _read(case.claim, found, how) == pairs(answer.text)


def _by_order(case: Case, answer: Answer) -> bool:
    found, right = (read_order(text, len(case.molecules)) for text in (case.claim.claimed, answer.text))
    how = "does not read as a ranking; write most stable first, such as 1 < 2 = 3."
    return _read(case.claim, found, how) == right


def read_order(text: str, count: int) -> tuple[frozenset[int], ...] | None:
    """({1}, {2, 3}) of '1 < 2 = 3'; None unless each of 1..count stands in it exactly once."""
    try:
        levels = tuple(
            frozenset(int(piece) for piece in level.split("=")) for level in plain(text).split("<")
        )
    except ValueError:
        return None
    members = [number for level in levels for number in level]
    return levels if sorted(members) == list(range(1, count + 1)) else None


def _by_cip(case: Case, answer: Answer) -> bool:
    claimed = plain(case.claim.claimed).strip("()")
    if claimed not in {"R", "S", "r", "s", "none", "-", "no"}:
        raise problem(case.claim, f"'{case.claim.claimed}' is no CIP label; write R, S, r, s or none.")
    return ("none" if claimed in {"-", "no"} else claimed) == answer.text


def _by_chirality(case: Case, answer: Answer) -> bool:
    """The two levels: 'meso' is right where 'meso, interconverting enantiomers' is, the long form only where
    the chairs do interconvert; 'achiral' is right for every meso compound.
    """
    claimed = plain(case.claim.claimed).lower()
    readings = {
        "chiral": {"chiral"},
        "achiral": {"achiral"},
        "meso": {"meso", "achiral", "meso (achiral)", "achiral (meso)"},
        "meso, interconverting enantiomers": {
            "meso",
            "achiral",
            "meso, interconverting enantiomers",
            "meso (interconverting enantiomers)",
            "interconverting enantiomers",
        },
    }
    if claimed not in set().union(*readings.values()):
        raise problem(
            case.claim,
            f"'{case.claim.claimed}' is no answer to 'chirality'; write chiral, achiral, meso or "
            "'meso, interconverting enantiomers'.",
        )
    return claimed in readings[answer.text]


def _by_projection(case: Case, answer: Answer) -> bool:
    found, right = read_projection(case.claim.claimed), read_projection(answer.text)
    if found is None or right is None:
        raise problem(
            case.claim,
            f"'{case.claim.claimed}' does not read as a Newman projection; write for example "
            "front: CH3, C6, H; back: OH, H, C3.",
        )
    front, back = (tuple(group_of(case.table, name) for name in names) for names in found)
    return same_projection((front, back), right)


def _by_stages(case: Case, answer: Answer) -> bool:
    return stages(case.claim.claimed) == STAGES


_READERS: dict[str, Callable[[Case, Answer], bool]] = {
    **dict.fromkeys(SYNONYMS, _by_word),
    "flip": _by_pattern,
    "stable chair": _by_pattern,
    "diaxial pairs": _by_pairs,
    "ranking": _by_order,
    "R/S": _by_cip,
    "chirality": _by_chirality,
    "newman": _by_projection,
    "flip stages": _by_stages,
}
