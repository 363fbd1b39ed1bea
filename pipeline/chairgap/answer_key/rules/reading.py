"""Is a claim the answer? Each quantity reads the claimed text in its own way."""

from collections.abc import Callable

from chairgap.answer_key.rules.answers.newman import read_projection, same_projection
from chairgap.answer_key.rules.answers.stages import STAGES, stage_range_kcal_mol
from chairgap.answer_key.rules.words import decimals, number, pairs, pattern, plain, problem, word
from chairgap.estimate.groups import match_name
from chairgap.records import Answer, Claim, EstimateTable, Facts
from chairgap.units import KJ_PER_KCAL

NUMBERS = ("diaxial count", "gauche count", "term", "gap", "K", "percent")


def claimed_number(claim: Claim) -> float:
    """The number claimed. Raises InputError when the cell holds none."""
    found = number(claim.claimed)
    if found is None:
        raise problem(claim, f"'{claim.claimed}' is no number; write one such as 1.74 or 1,74.")
    return found[0]


def tolerance_of(claim: Claim, answer: Answer) -> float:
    """The declared tolerance, else half a unit of the last digit claimed (at least 0.5 % of a K)."""
    if claim.tolerance is not None:
        return claim.tolerance
    rounding = 0.5 * 10.0 ** -decimals(claim.claimed)
    if claim.quantity == "K" and answer.value is not None:
        return max(rounding, 0.005 * abs(answer.value))
    return rounding


def close(claim: Claim, answer: Answer, value: float) -> bool:
    """True when a value is the claimed number within the tolerance; counts must be exact."""
    if claim.quantity in ("diaxial count", "gauche count"):
        return claimed_number(claim) == value
    # Sums of decimals are compared with a guard far below any tolerance.
    return abs(claimed_number(claim) - value) <= tolerance_of(claim, answer) + 1e-9


def same(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    """True when the claimed text states the answer. Raises InputError when it cannot be read at all."""
    if claim.quantity == "flip stages" and stage_range_kcal_mol(claim) is not None:
        return _in_stage_range(claim, answer)
    if answer.value is not None:
        return close(claim, answer, answer.value)
    return _READERS[claim.quantity](claim, answer, facts, table)


def _in_stage_range(claim: Claim, answer: Answer) -> bool:
    found = stage_range_kcal_mol(claim) or (0.0, 0.0)
    factor = KJ_PER_KCAL if answer.unit == "kJ/mol" else 1.0
    slack = tolerance_of(claim, answer)
    return found[0] * factor - slack <= claimed_number(claim) <= found[1] * factor + slack


def _by_word(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    del facts, table
    meant = word(claim.quantity, claim.claimed)
    if meant is None:
        raise problem(
            claim, f"'{claim.claimed}' is no answer to '{claim.quantity}'; write {answer_words(claim)}."
        )
    return meant == answer.text


def answer_words(claim: Claim) -> str:
    """What may be written for a quantity of words."""
    return {
        "position": "axial or equatorial",
        "face": "up or down",
        "relation": "cis or trans",
        "twist-boat": "yes or no",
    }[claim.quantity]


def read_pattern(claim: Claim, table: EstimateTable) -> tuple[tuple[int, str, str], ...]:
    """The claimed pattern with group names as table keys. Raises InputError."""
    found = pattern(claim.claimed)
    if found is None:
        raise problem(claim, f"'{claim.claimed}' does not read as a chair; write for example 1a 2e.")
    rows = [match_name(table.a_values, group) if group else None for _, _, group in found]
    return tuple(
        (carbon, letter, row.group if row else group)
        for (carbon, letter, group), row in zip(found, rows, strict=True)
    )


def _by_pattern(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    claimed = plain(claim.claimed).lower()
    if answer.text == "equal" or claimed in {"equal", "same", "both", "none"}:
        return (claimed in {"equal", "same", "both", "none"}) == (answer.text == "equal")
    letters = {chair.letter.lower(): chair.name for chair in facts[0].chairs}
    if claimed in letters:
        return letters[claimed] == answer.text
    right = pattern(answer.text) or ()
    ungrouped = tuple(sorted((carbon, letter) for carbon, letter, _ in right))
    found = read_pattern(claim, table)
    named = all(
        group in {"", *(g for c, a, g in right if (c, a) == (carbon, letter))}
        for carbon, letter, group in found
        if len({c for c, _, _ in right}) < len(right)
    )
    return named and tuple(sorted((carbon, letter) for carbon, letter, _ in found)) == ungrouped


def _by_pairs(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    del facts, table
    found = pairs(claim.claimed)
    if found is None:
        raise problem(claim, f"'{claim.claimed}' does not read as pairs; write for example 1-3, 1-5 or none.")
    return found == pairs(answer.text)


def _by_order(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    del table
    found = read_order(claim.claimed, len(facts))
    if found is None:
        raise problem(
            claim,
            f"'{claim.claimed}' does not read as a ranking; write most stable first, such as 1 < 2 = 3.",
        )
    return found == read_order(answer.text, len(facts))


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


def _by_cip(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    del facts, table
    claimed = plain(claim.claimed).strip("()")
    if claimed not in {"R", "S", "r", "s", "none", "-", "no"}:
        raise problem(claim, f"'{claim.claimed}' is no CIP label; write R, S, r, s or none.")
    return ("none" if claimed in {"-", "no"} else claimed) == answer.text


def _by_chirality(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    """The two levels: 'meso' is right where 'meso, interconverting enantiomers' is, the long form only where
    the chairs do interconvert; 'achiral' is right for every meso compound.
    """
    del facts, table
    claimed = plain(claim.claimed).lower()
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
            claim,
            f"'{claim.claimed}' is no answer to 'chirality'; write chiral, achiral, meso or "
            "'meso, interconverting enantiomers'.",
        )
    return claimed in readings[answer.text]


def _by_projection(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    found, right = read_projection(claim.claimed), read_projection(answer.text)
    if found is None or right is None:
        raise problem(
            claim,
            f"'{claim.claimed}' does not read as a Newman projection; write for example "
            "front: CH3, C6, H; back: OH, H, C3.",
        )
    del facts
    named = tuple(
        tuple(row.group if (row := match_name(table.a_values, name)) else name for name in names)
        for names in found
    )
    return same_projection((named[0], named[1]), right)


def _by_stages(claim: Claim, answer: Answer, facts: tuple[Facts, ...], table: EstimateTable) -> bool:
    del answer, facts, table
    text = plain(claim.claimed).lower().replace("->", ",").replace(">", ",").replace(";", ",")
    return tuple(part.strip() for part in text.split(",") if part.strip()) == STAGES


_READERS: dict[str, Callable[[Claim, Answer, tuple[Facts, ...], EstimateTable], bool]] = {
    "position": _by_word,
    "face": _by_word,
    "relation": _by_word,
    "twist-boat": _by_word,
    "flip": _by_pattern,
    "stable chair": _by_pattern,
    "diaxial pairs": _by_pairs,
    "ranking": _by_order,
    "R/S": _by_cip,
    "chirality": _by_chirality,
    "newman": _by_projection,
    "flip stages": _by_stages,
}
