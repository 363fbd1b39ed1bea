"""Each slip with a claim that it makes, where it must stand first, and a near miss that it must not explain.

A(CH3) = 1.74, A(C(CH3)3) = 4.90, A(CH(CH3)2) = 2.21, A(OH) = 0.70, CH3/CH3 gauche 0.87 and syn-diaxial 3.7
kcal/mol (the shipped table); K of methyl is 18.86 at 298.15 K. Worked by hand.
"""

import pytest
from key_helpers import checked, claim

from chairgap.records import Claim, Finding

ME, T12, C12 = "1 up CH3", "1 up CH3, 2 down CH3", "1 up CH3, 2 up CH3"
C13, T13, T14 = "1 up CH3, 3 up CH3", "1 up CH3, 3 down CH3", "1 up CH3, 4 down CH3"
TBU_ME = "1 up C(CH3)3, 4 up CH3"

# slip: (claim made by it, near miss)
CASES: dict[str, tuple[Claim, Claim]] = {
    # one of two 1,3-diaxial contacts: half of the A-value; not half of a gauche or pair term
    "half-a-value": (claim(ME, "gap", "0.87"), claim(C13, "term", "1.85", (1, 3), "1a 3a")),
    "diaxial-once": (
        claim(ME, "diaxial count", "1", chair="1a"),
        claim(C13, "diaxial count", "5", chair="1a 3a"),
    ),
    # 4.90 + 1.74; with nothing in one chair a sum is the difference
    "sum-for-difference": (claim(TBU_ME, "gap", "6.64"), claim(T14, "gap", "6.64")),
    "gauche-dropped": (claim(T12, "gap", "3.48"), claim(T12, "gap", "3.20")),
    "gauche-twice": (claim(T12, "gap", "1.74"), claim(T12, "gap", "1.30")),
    # isopropyl and tert-butyl are neighbours in the table, methyl and phenyl are not
    "wrong-row": (claim("1 up CH(CH3)2", "gap", "4.90"), claim("1 up CH(CH3)2", "gap", "2.87")),
    "kcal-kj": (
        claim(T14, "gap", "14.56", unit="kcal/mol"),
        claim(T14, "gap", "8.31", unit="kcal/mol"),
    ),
    "k-inverted": (claim(ME, "K", "0.053"), claim(ME, "K", "0.53")),
    "other-chair": (claim(ME, "percent", "5"), claim(ME, "percent", "15")),
    "face-changed-on-flip": (
        claim(T12, "face", "up", (2,), "1a 2a"),
        claim(T12, "face", "up", (2,), "1e 2e"),
    ),
    "face-from-slant": (
        claim(T12, "face", "up", (2,), "1e 2e"),
        claim(T12, "face", "up", (2,), "1a 2a"),
    ),
    "axial-for-up": (
        claim(T12, "position", "axial", (1,), "1e 2e"),
        claim(T12, "position", "axial", (2,), "1e 2e"),
    ),
    # trans-1,3 has 1a 3e and 1e 3a; 1e 3e is of the cis isomer, and so is its gap
    "flat-drawing-misread": (claim(T13, "stable chair", "1e 3e"), claim(T13, "stable chair", "1e 4e")),
    "group-forgotten": (claim(T14, "gap", "1.74"), claim(ME, "gap", "0")),
    "ratio-for-percent": (claim(ME, "percent", "18.86"), claim(ME, "percent", "30")),
    "fraction-for-percent": (claim(ME, "percent", "0.95"), claim(ME, "percent", "0.5")),
    "percent-for-k": (claim(ME, "K", "95"), claim(ME, "K", "60")),
    # 10^(1.74 / 0.5925), and ln K = 1.74 / (0.0019872 x 25)
    "log10-for-ln": (claim(ME, "K", "864", tolerance=4), claim(ME, "K", "300")),
    "celsius": (claim("1 up OH", "K", "1.32e6"), claim("1 up OH", "K", "1.32e5")),
    "no-such-chair": (claim(T13, "stable chair", "1e 4e"), claim(T13, "stable chair", "1e 3e")),
    "anti-counted": (
        claim(T12, "gauche count", "5", chair="1a 2a"),
        claim(T12, "gauche count", "5", chair="1e 2e"),
    ),
    "cis-trans-from-ae": (claim(T12, "relation", "cis", (1, 2)), claim(C13, "relation", "trans", (1, 3))),
}


def named(finding: Finding) -> list[str]:
    return [diagnosis.slip for diagnosis in finding.diagnoses]


@pytest.mark.parametrize("slip", CASES)
def test_a_slip_is_the_first_named_and_a_near_miss_is_not_explained_by_it(slip: str) -> None:
    made, near = CASES[slip]
    finding = checked(made)
    assert finding.verdict == "ERROR" and named(finding)[0] == slip
    other = checked(near)
    assert other.verdict == "ERROR" and slip not in named(other)


def test_slips_that_make_the_same_number_stand_below_the_first() -> None:
    """1.74 for trans-1,4-dimethyl: one methyl forgotten, or one contact of each counted."""
    found = named(checked(claim(T14, "gap", "1.74")))
    assert found[0] == "group-forgotten" and "half-a-value" in found[1:]
    assert len(found) == len(set(found))


@pytest.mark.parametrize("percent_of", ["axial", "B"])
def test_the_percent_of_the_other_chair_is_right_where_it_is_declared(percent_of: str) -> None:
    assert checked(claim(ME, "percent", "5", percent_of=percent_of)).verdict == "RIGHT"
    assert checked(claim(ME, "percent", "5", chair="1a")).verdict == "RIGHT"
    assert checked(claim(ME, "percent", "95", chair="1a")).verdict == "ERROR"


@pytest.mark.parametrize(
    ("claimed", "verdict"),
    [
        *[(text, "RIGHT") for text in ("~95", "about 95", "94-96", ">90", "at least 94", "95:5", "<96")],
        *[(text, "ERROR") for text in ("~80", "80-85", ">99", "60:40", "less than 90", "~5")],
    ],
)
def test_rounded_numbers_ranges_bounds_and_ratios(claimed: str, verdict: str) -> None:
    """95.0 percent of equatorial methyl."""
    assert checked(claim(ME, "percent", claimed)).verdict == verdict
