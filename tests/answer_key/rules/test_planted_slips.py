"""Planted mistake -> diagnosis: each wrong claim with the slip that must be named among the matches."""

import pytest
from key_helpers import checked, claim

TRANS_12 = "1 up CH3, 2 down CH3"
CIS_12 = "1 up CH3, 2 up CH3"
CIS_13 = "1 up CH3, 3 up CH3"
TRANS_14 = "1 up CH3, 4 down CH3"
METHYL = "1 up CH3"

# A(CH3) = 1.74, gauche 0.87, syn-diaxial 3.7: 2.61, 5.44, 3.48. K of methyl at 298.15 K is 18.86.
PLANTED = [
    # log10 for ln, R, Celsius, 1/K
    (claim(METHYL, "K", "864", tolerance=4), "log10-for-ln"),
    (claim(METHYL, "K", "3.58"), "log10-for-ln"),
    (claim(METHYL, "K", "2.02"), "r-in-wrong-unit"),
    (claim(METHYL, "K", "1.074"), "r-in-wrong-unit"),
    (claim(METHYL, "K", "0.053"), "k-inverted"),
    (claim("1 up SCN", "K", "8.80"), "r-mistyped"),  # exp(1.23 / (0.001897 x 298.15))
    (claim("1 up OH", "K", "1.32e6", tolerance=2e4), "celsius"),  # exp(0.70 / (0.0019872 x 25))
    (claim("1 up SCN", "percent", "87.46"), "one-minus-1-over-k"),  # 100 (1 - 1/7.97)
    # the ledger
    (claim(TRANS_12, "gap", "3.48"), "gauche-dropped"),
    (claim(TRANS_12, "gap", "4.35"), "gauche-sign"),
    (claim(TRANS_12, "gap", "-2.61"), "sign-reversed"),
    (claim(TRANS_12, "gap", "0.87"), "half-a-value"),
    (claim(TRANS_12, "gap", "6.09"), "double-a-value"),
    (claim(CIS_13, "gap", "3.48"), "syn-dropped"),
    (claim(CIS_13, "gap", "7.18"), "syn-added-twice"),
    (claim(CIS_13, "gap", "3.70"), "group-forgotten"),
    (claim(TRANS_14, "gap", "14.56", unit="kcal/mol"), "kcal-kj"),
    (claim(TRANS_14, "gap", "3.48", unit="kJ/mol"), "kcal-kj"),
    (claim(TRANS_14, "gap", "3.58"), "wrong-row"),
    (claim(METHYL, "term", "0.87", (1,), "1a"), "half-a-value"),
    (claim(METHYL, "term", "3.48", (1,), "1a"), "double-a-value"),
    # labels
    (claim(TRANS_12, "face", "up", (2,), "B"), "face-changed-on-flip"),
    (claim(CIS_12, "relation", "trans", (1, 2)), "cis-trans-from-ae"),
    (claim(TRANS_12, "relation", "cis", (1, 2)), "cis-trans-from-ae"),
    (claim(TRANS_12, "flip", "1e 2e", chair="1e 2e"), "mirror-image-as-flip"),
    (claim("1 up CH3, 2 up OH", "flip", "1e 6a", chair="1a 2e"), "numbering-reversed"),
    (claim("1 up CH3, 2 up OH", "flip", "1e 2e", chair="1a 2e"), "flip-incomplete"),
    (claim(METHYL, "position", "axial", (1,), "A"), "other-chair"),
    (claim(METHYL, "position", "axial", (1,), "A"), "face-changed"),
    (claim("1 up C(CH3)3, 3 up CH3, 5 up CH3", "stable chair", "B"), "sign-reversed"),
    (claim("1 up C(CH3)3, 2 up OH", "stable chair", "equal"), "groups-taken-as-equal"),
    (claim("1 up CH3, 4 up CH3", "stable chair", "1e 4a"), "not-seen-equal"),
    (claim(TRANS_12, "R/S", "S", (1,), "B"), "label-changed-on-flip"),
    (claim(TRANS_12, "R/S", "S", (1,)), "mirror-image"),
    (claim(METHYL, "R/S", "R", (1,)), "no-stereocentre"),
    (claim("1 up CH3, 3 up CH3", "chirality", "chiral"), "centres-counted"),
    (claim(TRANS_12, "chirality", "meso"), "no-mirror-plane"),
    (claim(METHYL, "chirality", "meso"), "meso-without-centres"),
    (claim(f"{CIS_12} | {TRANS_12}", "ranking", "1 < 2"), "order-reversed"),
    (claim(f"{CIS_12} | {TRANS_12} | 1 up CH3, 3 up CH3", "ranking", "3 < 2 = 1"), "false-tie"),
    (claim(METHYL, "newman", "front: CH3, C6, H; back: H, C3, H", (1, 2), "1a"), "back-turned"),
    (
        claim(METHYL, "flip stages", "chair, half-chair, boat, twist-boat, boat, half-chair, chair"),
        "boat-and-twist-boat-exchanged",
    ),
    (claim(METHYL, "flip stages", "chair, twist-boat, boat, twist-boat, chair"), "half-chair-left-out"),
    (claim(CIS_13, "diaxial count", "0", chair="B"), "other-chair"),
]


@pytest.mark.parametrize(("made", "slip"), PLANTED, ids=[f"{made.quantity} {slip}" for made, slip in PLANTED])
def test_planted_mistake_is_named(made, slip) -> None:
    finding = checked(made)
    assert finding.verdict == "ERROR"
    assert slip in {diagnosis.slip for diagnosis in finding.diagnoses}
    assert finding.feedback


def test_colliding_slips_are_all_reported() -> None:
    """0.87 for trans-1,2-dimethyl: half of each A-value with the gauche term, or one methyl forgotten."""
    slips = {diagnosis.slip for diagnosis in checked(claim(TRANS_12, "gap", "0.87")).diagnoses}
    assert {"half-a-value", "group-forgotten"} <= slips


CONVENTIONS = [
    (claim(TRANS_12, "gap", "2.70"), "textbook"),
    (claim(TRANS_12, "gap", "2.68"), "gauche 0.80"),
    (claim(TRANS_12, "gap", "2.58"), "gauche 0.90"),
    (claim(TRANS_12, "gap", "10.92"), "kJ/mol"),
    (claim(CIS_13, "term", "1.96", (1, 3), "B"), "syn=excess"),
    (claim(CIS_13, "diaxial count", "1", chair="B"), "diaxial=group-group"),
    (claim(TRANS_12, "gauche count", "1", chair="A", gauche_count="butane"), None),
    (claim(TRANS_12, "gauche count", "0", chair="B"), "gauche_count=vicinal"),
    (claim(CIS_12, "chirality", "chiral"), "meso=chair"),
    (claim("1 up CH3, 4 up CH3", "chirality", "meso"), "meso wording"),
    (claim("1 up CH3, 4 up OH", "gap", "1.04"), "other-stable"),
    (claim(METHYL, "K", "18.51", tolerance=0.01), "temperature 300 K"),
]


@pytest.mark.parametrize(("made", "words"), CONVENTIONS)
def test_right_under_another_convention_is_no_error(made, words) -> None:
    finding = checked(made)
    if words is None:
        assert finding.verdict == "RIGHT"
    elif finding.verdict != "RIGHT":
        assert finding.verdict == "CONVENTION"
        assert words in finding.words
