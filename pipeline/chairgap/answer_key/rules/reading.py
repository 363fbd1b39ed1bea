"""Is a claim the answer? Each quantity reads the claimed text in its own way."""

from collections.abc import Callable
from typing import Literal, TypeVar

from chairgap.answer_key.rules.answers.newman import read_projection, same_projection
from chairgap.answer_key.rules.answers.stages import STAGES, stage_range_kcal_mol
from chairgap.answer_key.rules.choosing import Case, group_of
from chairgap.answer_key.rules.words import (
    SYNONYMS,
    Stated,
    about_slack,
    decimals,
    pairs,
    pattern,
    plain,
    problem,
    says_equal,
    stages,
    stated,
    thousands,
    word,
)
from chairgap.records import Answer, Chair, Claim
from chairgap.units import KJ_PER_KCAL

Found = TypeVar("Found")
COUNTS = ("diaxial count", "gauche count")


def _read(claim: Claim, found: Found | None, otherwise: str) -> Found:
    """What was read of a claimed text. Raises InputError, which says what to write, where it was nothing."""
    if found is None:
        raise problem(claim, f"'{claim.claimed}' {otherwise}")
    return found


def claimed_number(claim: Claim) -> float:
    """The number claimed, the middle of a range. Raises InputError when the cell holds none."""
    said = _stated(claim)
    if said.kind == "bound":
        raise problem(claim, f"'{claim.claimed}' is a bound; write the number.")
    return 0.5 * (said.low + said.high)


def _stated(claim: Claim) -> Stated:
    said = None if pattern(claim.claimed) else stated(claim.claimed)
    return _read(claim, said, "is no number; write one such as 1.74 or 1,74.")


def tolerance_of(claim: Claim) -> float:
    """The declared tolerance, else half a unit of the last digit claimed (at least 0.5 % of a K)."""
    if claim.tolerance is not None:
        return claim.tolerance
    said = stated(claim.claimed)
    rounding = 0.5 * 10.0 ** -decimals(claim.claimed)
    if said is not None and said.kind == "about":
        rounding = max(rounding, about_slack(said.low, claim.claimed))
    if said is not None and said.kind == "ratio":
        return 0.0
    if claim.quantity == "K" and said is not None:
        return max(rounding, 0.005 * min(abs(said.low), abs(said.high)))
    return rounding


def close(claim: Claim, value: float) -> bool:
    """True when a value is what is claimed within the tolerance: the number, in the range, or beyond the
    bound; counts must be exact."""
    return overlaps(claim, value, value)


def overlaps(claim: Claim, least: float, most: float) -> bool:
    """The same of values from least to most: True when one of them is what is claimed."""
    if claim.quantity in COUNTS:
        return least <= claimed_number(claim) <= most
    said = _stated(claim)
    low, high = said.low, said.high
    if claim.quantity == "percent" and said.kind == "ratio":
        low, high = 100.0 * low / (1.0 + low), 100.0 * high / (1.0 + high)
    # Sums of decimals are compared with a guard far below any tolerance.
    slack = tolerance_of(claim) + 1e-9
    if low - slack <= most and least <= high + slack:
        return True
    other = thousands(claim.claimed)
    return other is not None and least - max(0.5, 0.005 * other) <= other <= most + max(0.5, 0.005 * other)


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
    slack = tolerance_of(claim)
    return low - slack, high + slack


def same(case: Case, answer: Answer) -> bool:
    """True when the claimed text states the answer. Raises InputError when it cannot be read at all."""
    claim = case.claim
    if answer.value is None:
        return _READERS[claim.quantity](case, answer)
    bounds = accepted(claim, answer) if claim.quantity == "flip stages" else None
    if bounds is not None:
        said = _stated(claim)
        return bounds[0] <= said.high and said.low <= bounds[1]
    return close(claim, answer.value)


def _by_word(case: Case, answer: Answer) -> bool:
    claim, known = case.claim, " or ".join(SYNONYMS[case.claim.quantity])
    meant = word(claim.quantity, claim.claimed)
    return _read(claim, meant, f"is no answer to '{claim.quantity}'; write {known}.") == answer.text


def read_pattern(case: Case) -> tuple[tuple[int, str, str], ...]:
    """The claimed pattern with group names as table keys. Raises InputError."""
    found = pattern(case.claim.claimed)
    read = _read(case.claim, found, "cannot be read as a chair; write for example 1a 2e.")
    return tuple((carbon, letter, group_of(case.table, group)) for carbon, letter, group in read)


def _by_pattern(case: Case, answer: Answer) -> bool:
    """The chair named, or 'equal'. A pattern that is no chair of the molecule is wrong, other words cannot be
    read."""
    found = meant_chair(case)
    return (found if isinstance(found, str) else found.name) == answer.text


def meant_chair(case: Case) -> Chair | Literal["equal", "no chair"]:
    """What is claimed of the chairs. Raises InputError when it cannot be read."""
    if case.claim.quantity == "stable chair" and says_equal(case.claim.claimed):
        return "equal"
    found = case.chair_called(case.claim.claimed)
    if found is None:
        names = " or ".join(chair.name for chair in case.facts.chairs)
        equal = " or equal" if case.claim.quantity == "stable chair" else ""
        raise problem(
            case.claim, f"'{case.claim.claimed}' cannot be read as a chair; write for example {names}{equal}."
        )
    return found


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
