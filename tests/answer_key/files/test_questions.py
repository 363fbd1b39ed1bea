"""Claims as questions: one answer for someone who has never seen the key; ranges; feedback; CSV."""

import csv
import io
from pathlib import Path

import pytest

from chairgap.answer_key.files.checking import check_file
from chairgap.answer_key.files.questions import QUESTIONS, Asked, questions
from chairgap.answer_key.rules.asking import Question

DEMO = Path(__file__).parents[3] / "configs" / "demo_key.csv"
HEADER = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
TRANS = '"1 up CH3, 2 down CH3"'


def asked(folder: Path, rows: str) -> Asked:
    path = folder / "key.csv"
    path.write_text(HEADER + rows)
    checked = check_file(path)
    assert not checked.problems
    return questions(checked, path)


def only(folder: Path, row: str) -> Question:
    found = asked(folder, row + "\n")
    assert not found.left_out
    return found.questions[0]


def test_every_claim_of_the_shipped_key_is_asked_or_left_out_with_a_reason() -> None:
    checked = check_file(DEMO)
    found = questions(checked, DEMO)
    assert len(found.questions) + len(found.left_out) == len(checked.report.findings)
    assert len(found.questions) >= 30
    assert {claim.quantity for claim, reason in found.left_out if "neither" in reason} == {
        "newman",
        "flip stages",
        "ranking",
    }


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (f"1,{TRANS},gap,,,2.61,kcal/mol,,,", "G(1a 2a) - G(1e 2e)"),
        (f"1,{TRANS},gap,,,-2.61,kcal/mol,,,direction=A-B", "G(1e 2e) - G(1a 2a)"),
        (f"1,{TRANS},gap,,,10.92,kJ/mol,,,", "Unit: kJ/mol."),
        (f"1,{TRANS},gap,,,2.58,,,,gauche=0.9", "with 0.90 kcal/mol for CH3/CH3 gauche"),
        (f"1,{TRANS},gap,,,2.61,,,,", "A-value table 'chairgap'"),
        (f"1,{TRANS},K,,,82,,1,,", "at 298.15 K"),
        (f"1,{TRANS},percent,,,1.2,%,0.2,,percent_of=B", "is the chair 1a 2a at 298.15 K"),
        ("1,1 up CH3,diaxial count,,1a,2,,,,", "a group with a hydrogen or a group"),
        ("1,1 up CH3,diaxial count,,1a,0,,,,diaxial=group-group", "a group with a group only"),
        (f"1,{TRANS},gauche count,,A,1,,,,gauche_count=vicinal", "neighbouring carbons only"),
        (f"1,{TRANS},gauche count,,A,1,,,,", "has the chair 1e 2e?"),
        ('1,"1 up CH3, 3 up CH3",term,1-3,1a 3a,1.96,,,,syn=excess', "on top of the half A-values"),
        ("1,C[C@H]1CCCC[C@@H]1O,relation,1-2,,trans,,,,", "(Numbered by IUPAC: 1 "),
    ],
)
def test_what_decides_the_answer_stands_in_the_prompt(row: str, words: str, tmp_path: Path) -> None:
    assert words in only(tmp_path, row).prompt


@pytest.mark.parametrize(
    ("row", "words"),
    [
        (f"1,{TRANS},position,2,1e 2e,e,,,,", "In the chair with CH3 on C1 equatorial, is CH3 on C2"),
        (f"1,{TRANS},position,2,B,a,,,,", "In the chair with CH3 on C1 axial, is CH3 on C2"),
        ("1,1 up CH3,position,1,1a,a,,,,", "In the less stable chair, is CH3 on C1"),
        # C3 carries two methyls, one axial and one equatorial in either chair: it names no chair
        ('1,"1 up OH, 3 up CH3, 3 down CH3",position,1,1e,e,,,,', "In the more stable chair, is OH on C1"),
    ],
)
def test_the_name_of_the_chair_does_not_give_the_position_away(row: str, words: str, tmp_path: Path) -> None:
    assert words in only(tmp_path, row).prompt


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("1,1 up CH3,gap,,,9.99,,,,", "the claim is wrong"),
        # isopropyl/OH gauche has no published value in the table
        (
            '1,"1 up CH(CH3)2, 2 down OH",gap,,,2.75,,,,',
            "to be reviewed first",
        ),
    ],
)
def test_wrong_and_doubtful_claims_are_no_questions(row: str, reason: str, tmp_path: Path) -> None:
    found = asked(tmp_path, row + "\n")
    assert not found.questions
    assert found.left_out[0][1].startswith(reason)


def test_ranges_and_answers(tmp_path: Path) -> None:
    gap = only(tmp_path, f"1,{TRANS},gap,,,2.61,kcal/mol,0.05,2,")
    assert (gap.number, gap.low, gap.high, gap.points) == (
        pytest.approx(2.61),
        pytest.approx(2.56),
        pytest.approx(2.66),
        2.0,
    )
    count = only(tmp_path, "1,1 up CH3,diaxial count,,1a,2,,,,")
    assert count.whole and (count.low, count.high) == (2.0, 2.0)
    # published 10.2 to 12.0 kcal/mol, and half a unit of the last digit
    stage = only(tmp_path, "1,1 up H,flip stages,,half-chair,10.8,kcal/mol,,,")
    assert (stage.low, stage.high) == (pytest.approx(10.15), pytest.approx(12.05))
    pairs = only(tmp_path, '1,1 up CH3,diaxial pairs,,1a,"1-3, 1-5",,,,')
    assert pairs.several and pairs.answers == ("1-3", "1-5")
    assert pairs.choices == ("1-3", "1-5", "2-4", "2-6", "3-5", "4-6", "none")
    none = only(tmp_path, "1,1 up CH3,diaxial pairs,,1e,none,,,,")
    assert none.answers == ("none",)


def test_every_right_choice_is_among_the_choices_and_every_number_in_its_range() -> None:
    for item in questions(check_file(DEMO), DEMO).questions:
        if item.choices:
            assert item.answers and set(item.answers) <= set(item.choices)
            assert len(set(item.choices)) == len(item.choices) >= 2
            assert not {slip.choice for slip in item.slips} & set(item.answers)
        else:
            assert item.low is not None and item.high is not None and item.number is not None
            assert item.low <= item.number <= item.high
            assert all(slip.number is not None for slip in item.slips)
            assert not any(item.low <= (slip.number or 0.0) <= item.high for slip in item.slips)


def test_feedback_to_slips_worked_by_hand(tmp_path: Path) -> None:
    """gauche left out: 2 x 1.74 = 3.48; kJ under kcal: 2.61 x 4.184 = 10.92 and 3.70 x 4.184 = 15.48."""
    gap = {slip.words: slip.number for slip in only(tmp_path, f"1,{TRANS},gap,,,2.61,,,,").slips}
    assert gap["The vicinal gauche term was left out."] == pytest.approx(3.48)
    assert gap["A number in kJ/mol stands under kcal/mol."] == pytest.approx(10.9202, abs=1e-4)
    term = only(tmp_path, '1,"1 up CH3, 3 up CH3",term,1-3,1a 3a,3.7,,,,')
    values = {slip.words: slip.number for slip in term.slips}
    assert values["The pair was counted twice."] == pytest.approx(7.40)
    assert values["A number in kJ/mol stands under kcal/mol."] == pytest.approx(15.4808)
    flip = {slip.choice: slip.words for slip in only(tmp_path, f"1,{TRANS},flip,,1e 2e,1a 2a,,,,").slips}
    assert "drawn as the flip" in flip["1e 2e"] and "Not every group changed" in flip["1a 2e"]


def test_csv_states_prompt_answer_range_unit_and_feedback(tmp_path: Path) -> None:
    found = asked(tmp_path, f"=1+1,{TRANS},gap,,,2.61,kcal/mol,0.05,2,\n2,{TRANS},relation,1-2,,trans,,,,\n")
    gap, relation = csv.DictReader(io.StringIO(QUESTIONS.csv_text(found.questions)))
    assert gap["item"] == "'=1+1: gap"
    assert (gap["answer"], gap["low"], gap["high"], gap["unit"], gap["points"]) == (
        "2.61",
        "2.56",
        "2.66",
        "kcal/mol",
        "2",
    )
    assert "gauche" in gap["feedback"] and "3.48: The vicinal gauche term" in gap["feedback_to_slips"]
    assert gap["feedback_to_slips"][0] == "'"  # it starts with -2.61
    assert (relation["choices"], relation["answer"], relation["low"]) == ("cis | trans", "trans", "")
