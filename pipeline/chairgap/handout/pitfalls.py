"""What makes a question hard: a closed list of codes, found from chairs and ledger alone.

| code | criterion |
|---|---|
| one-three | two groups on carbons 1,3 to each other, where cis and trans mean the opposite of 1,2 and 1,4 |
| competing | each chair has an axial group |
| more-axial | the estimate prefers the chair with more axial groups |
| heavier-axial | groups compete, and the estimate prefers the chair whose axial groups weigh more |
| syn-diaxial | a chair holds two groups axial on the same face, 1,3 to each other |
| gauche | two neighbouring groups are gauche in one chair more than in the other |
| gauche-cancels | neighbouring groups are gauche, equally often in both chairs |
| geminal | two groups share a carbon |
| locked | a group with an A-value of 4 kcal/mol or more decides |
| tie | the estimate is not 0 by symmetry, but smaller than what the study calls undecided |
| equal-chairs | symmetry makes the two chairs the same or mirror images |

The limits are our own (common practice, no source). Two questions are equally hard only when all their codes
agree (`chairgap.handout.matching`).
"""

from itertools import combinations

from chairgap.estimate.groups import find_row
from chairgap.records import Chair, Estimate, EstimateTable, Result, Settings

LOCKED_KCAL_MOL = 4.0
PITFALLS = {
    "one-three": "1,3 groups, where cis and trans swap their meaning",
    "competing": "an axial group in each chair",
    "more-axial": "the chair with more axial groups is preferred",
    "heavier-axial": "the chair with the heavier axial groups is preferred",
    "syn-diaxial": "two groups syn-diaxial",
    "gauche": "a gauche pair that does not cancel",
    "gauche-cancels": "gauche pairs that cancel",
    "geminal": "two groups on one carbon",
    "locked": "a group that locks the ring",
    "tie": "a gap too small to decide",
    "equal-chairs": "two chairs equal by symmetry",
}


def pitfalls_of(result: Result, table: EstimateTable, settings: Settings) -> frozenset[str]:
    """The codes that hold for a molecule with a complete estimate."""
    gap = result.estimate.gap_kcal_mol or 0.0
    equal = result.gaps.equal_by_symmetry
    tie = abs(gap) < settings.undecided_below_kcal_mol and not equal
    found = {
        "one-three": _has_pair(result, (2, 4)),
        "geminal": _has_pair(result, (0,)),
        "locked": any(_a_value(table, ligand.group) >= LOCKED_KCAL_MOL for ligand in result.chairs[0].groups),
        "syn-diaxial": any(term.kind == "syn-diaxial" for term in result.estimate.terms),
        "tie": tie,
        "equal-chairs": equal,
        **_gauche(result.estimate),
        **_competition(result, gap, decided=not (tie or equal)),
    }
    return frozenset(code for code, holds in found.items() if holds)


def in_words(codes: frozenset[str]) -> str:
    """'two groups syn-diaxial; ...' in the order of the list, or 'none'."""
    return "; ".join(words for code, words in PITFALLS.items() if code in codes) or "none"


def _has_pair(result: Result, apart: tuple[int, ...]) -> bool:
    groups = result.chairs[0].groups
    return any(abs(one.carbon - other.carbon) in apart for one, other in combinations(groups, 2))


def _a_value(table: EstimateTable, group: str) -> float:
    row = find_row(table, group)
    return row.value_kcal_mol if row else 0.0


def _gauche(estimate: Estimate) -> dict[str, bool]:
    pairs = [(term.chair, *sorted(term.groups)) for term in estimate.terms if term.kind == "vicinal gauche"]
    sides = [sorted(groups for chair, *groups in pairs if chair == letter) for letter in ("A", "B")]
    return {"gauche": sides[0] != sides[1], "gauche-cancels": bool(sides[0]) and sides[0] == sides[1]}


def _competition(result: Result, gap: float, *, decided: bool) -> dict[str, bool]:
    """What holds where both chairs have axial groups."""
    weights = [_axial_weight(result, chair) for chair in result.chairs]
    counts = [sum(group.position == "axial" for group in chair.groups) for chair in result.chairs]
    better, worse = (0, 1) if gap > 0.0 else (1, 0)
    competing = min(counts) > 0
    return {
        "competing": competing,
        "more-axial": decided and counts[better] > counts[worse],
        "heavier-axial": competing and decided and weights[better] > weights[worse],
    }


def _axial_weight(result: Result, chair: Chair) -> float:
    masses = {(locant, ligand.face): ligand.mass_u for locant, ligand in result.molecule.topology.groups}
    return sum(masses[g.carbon, g.face] for g in chair.groups if g.position == "axial")
