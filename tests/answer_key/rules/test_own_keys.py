"""A key made by the solver passes; any single corrupted label in it is caught."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from key_helpers import answered, checked, claim, facts

from chairgap.answer_key.rules.answers.newman import read_projection
from chairgap.errors import InputError
from chairgap.records import Claim, Facts, Quantity

GROUPS = ("CH3", "OH", "Cl", "C(CH3)3", "C6H5", "NH2")
LIGANDS = st.lists(
    st.tuples(st.integers(1, 6), st.sampled_from(["up", "down"]), st.sampled_from(GROUPS)),
    min_size=1,
    max_size=6,
    unique_by=lambda ligand: ligand[:2],
)
RANDOM = settings(max_examples=60, deadline=None, derandomize=True)


def groups_by_face(ligands: list[tuple[int, str, str]]) -> str:
    return ", ".join(f"{carbon} {face} {group}" for carbon, face, group in sorted(ligands))


def label_claims(text: str, found: Facts) -> list[Claim]:
    """Every symbolic claim about the labels of a molecule, still without what it claims."""
    claims = []
    for letter in ("A", "B"):
        for locant, ligand in found.topology.groups:
            claims.append(claim(text, "position", "", (locant,), letter, group=ligand.group))
            claims.append(claim(text, "face", "", (locant,), letter, group=ligand.group))
        claims.append(claim(text, "flip", "", chair=letter))
        claims.append(claim(text, "diaxial pairs", "", chair=letter))
        claims.append(claim(text, "diaxial count", "", chair=letter))
        claims.append(claim(text, "gauche count", "", chair=letter))
        claims.append(claim(text, "newman", "", (1, 2), letter))
    claims += [claim(text, "R/S", "", (carbon,)) for carbon in range(1, 7)]
    claims += [claim(text, "chirality", ""), claim(text, "stable chair", "")]
    return claims


def solved(claims: list[Claim]) -> list[Claim]:
    """Claims with their answers filled in; those that have none (two equal groups on a carbon) left out."""
    done = []
    for made in claims:
        try:
            done.append(replace(made, claimed=answered(made).text))
        except InputError:
            continue
    return done


@RANDOM
@given(LIGANDS)
def test_own_key_passes(ligands: list[tuple[int, str, str]]) -> None:
    text = groups_by_face(ligands)
    for made in solved(label_claims(text, facts(text))):
        assert checked(made).verdict in ("RIGHT", "REVIEW"), made


OPPOSITE = {
    "axial": "equatorial",
    "equatorial": "axial",
    "up": "down",
    "down": "up",
    "R": "S",
    "S": "R",
    "r": "s",
    "s": "r",
    "none": "R",
}


def corrupted(made: Claim) -> str | None:
    """One wrong label in place of a right one."""
    text = made.claimed
    if made.quantity in ("position", "face", "R/S"):
        return OPPOSITE[text]
    if made.quantity in ("diaxial count", "gauche count"):
        return str(int(text) + 7)
    if made.quantity == "diaxial pairs":
        return "1-2" if text != "1-2" else "2-3"
    if made.quantity == "flip":
        first = text.index("a") if "a" in text.split(" ")[0][:2] else text.index("e")
        return text[:first] + ("e" if text[first] == "a" else "a") + text[first + 1 :]
    if made.quantity == "newman":
        front, back = read_projection(text) or ((), ())
        if len(set(back)) < 2 or len(set(front)) < 2:
            return None
        turned = back[1:] + back[:1]
        return f"front: {', '.join(front)}; back: {', '.join(turned)}"
    return None


@RANDOM
@given(LIGANDS, st.randoms(use_true_random=False))
def test_any_corrupted_label_is_caught(ligands: list[tuple[int, str, str]], random) -> None:
    text = groups_by_face(ligands)
    claims = solved(label_claims(text, facts(text)))
    made = random.choice([one for one in claims if corrupted(one) is not None])
    wrong = replace(made, claimed=corrupted(made))
    assert checked(wrong).verdict == "ERROR", wrong


@pytest.mark.parametrize("text", ["1 up CH3, 2 down CH3", "1 up OH, 3 up OH", "1 up CH3, 4 down C6H5"])
@pytest.mark.parametrize("table", ["chairgap", "textbook"])
@pytest.mark.parametrize("unit", ["kcal/mol", "kJ/mol"])
def test_numbers_under_declared_conventions(text: str, table: str, unit: str) -> None:
    for quantity in ("gap", "K", "percent"):
        made = claim(
            text, quantity, "", unit=unit if quantity == "gap" else "", table=table, temperature_k=310.0
        )
        try:
            answer = answered(made)
        except InputError:
            continue
        assert checked(replace(made, claimed=answer.text)).verdict in ("RIGHT", "REVIEW")
        assert answer.value is not None
        off = answer.value * 1.37 + 3.1
        assert checked(replace(made, claimed=f"{off:.2f}")).verdict != "RIGHT"


@pytest.mark.parametrize(
    ("quantity", "claimed"), [("gap", "1.74"), ("K", "19"), ("percent", "95"), ("stable chair", "1e 3e")]
)
def test_nothing_is_right_by_the_sum_of_the_other_groups(quantity: Quantity, claimed: str) -> None:
    """CH2F has no A-value: +1.74 is methyl alone, and was called right."""
    with pytest.raises(InputError, match=r"no value for A-value of \*CF"):
        checked(claim("1 up *CF, 3 up CH3", quantity, claimed))


def test_no_zero_has_a_sign_and_a_gap_has_one() -> None:
    """Both chairs of cis-1,2-dimethylcyclohexane are equal: G(A) - G(B) was -0.00."""
    cis = "1 up CH3, 2 up CH3"
    for direction in ("A-B", "B-A"):
        for unit in ("kcal/mol", "kJ/mol"):
            finding = checked(claim(cis, "gap", "0.5", unit=unit, direction=direction))
            assert finding.answer.text == f"0.00 {unit}"
            assert "-0.00" not in " ".join((finding.words, finding.feedback, finding.solution))
    gap = checked(claim("1 up CH3", "gap", "1.74"))
    assert gap.answer.text == "1.74 kcal/mol" and "= +1.74 kcal/mol." in gap.answer.steps[-1]
