"""By which numbers of the ring a key goes: the molecule's own, or those of its name.

What is right was worked by hand: a face, a letter R or S and who is axial belong to a group, whatever number
its carbon has.
"""

import pytest

from answer_key.rules.key_helpers import TABLES, answered, claim, facts
from chairgap.answer_key.rules.answers.newman import read_projection, same_projection
from chairgap.answer_key.rules.asking import question
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.numbering import by_iupac
from chairgap.answer_key.rules.students import MarkingKey, mark
from chairgap.answer_key.rules.whole_key import KeyReport, check_key
from chairgap.records import Claim

# By name C1 has OH (2-methylcyclohexan-1-ol); the last begins with a bare carbon.
CIS, TRANS, LATE = "1 up CH3, 2 up OH", "1 up CH3, 2 down OH", "2 up CH3, 3 up OH"


def report(*claims: Claim) -> KeyReport:
    return check_key(claims, facts, TABLES)


def verdicts(*claims: Claim) -> list[str]:
    return [finding.verdict for finding in report(*claims).findings]


@pytest.mark.parametrize(("face", "verdict"), [("up", "RIGHT"), ("down", "ERROR")])
def test_a_face_that_the_list_says_is_kept_under_iupac_numbers(face: str, verdict: str) -> None:
    """IUPAC counts the ring the other way round, and a ring seen from below has its faces exchanged: the list
    says 'up' twice, so that 'down' was called right."""
    assert verdicts(claim(CIS, "face", face, (1,))) == [verdict]
    assert verdicts(claim(LATE, "face", face, (1,)), claim(LATE, "face", "up", (2,)))[0] == verdict


def test_letters_of_the_name_are_right_where_only_the_letters_change() -> None:
    """cis-1,2-dimethylcyclohexane is (1R,2S) by name; as the list is numbered C1 is S."""
    both_down = "1 down CH3, 2 down CH3"
    assert facts(both_down).cip[:2] == ("S", "R")
    named = [claim(both_down, "R/S", letter, (carbon,)) for carbon, letter in ((1, "R"), (2, "S"))]
    assert verdicts(*named) == ["RIGHT", "RIGHT"]
    assert verdicts(named[0], claim(both_down, "R/S", "R", (2,))) == ["ERROR", "RIGHT"]


def test_a_carbon_that_is_bare_by_the_own_numbers_is_tried_by_those_of_the_name() -> None:
    position = claim(LATE, "position", "equatorial", (1,), "1e 2a")
    found = report(
        position, claim(LATE, "relation", "cis", (1, 2)), claim(LATE, "diaxial count", "2", (), "1e 2a")
    )
    assert not found.problems
    assert [finding.verdict for finding in found.findings] == ["RIGHT"] * 3
    assert all("IUPAC numbering: C1 has OH" in finding.words for finding in found.findings)
    (wrong,) = report(claim(LATE, "position", "axial", (1,), "1e 2a")).findings
    assert wrong.verdict == "ERROR" and "IUPAC numbering: C1 has OH" in wrong.words


def test_what_no_numbering_answers_says_which_carbons_have_a_group() -> None:
    (problem,) = report(claim(LATE, "face", "up", (5,))).problems
    assert problem.message == (
        "C5 of 2 up CH3, 3 up OH has no group (C2 has CH3, C3 has OH); correct the carbon or the molecule."
    )
    (problem,) = report(claim(LATE, "face", "up", (2,), group="Br")).problems
    assert "C2 of 2 up CH3, 3 up OH has no Br (C2 has CH3, C3 has OH)" in problem.message
    (problem,) = report(claim("1 up CH3, 1 down CH3", "face", "up", (1,))).problems
    assert "has two CH3, which no claim can part" in problem.message
    (problem,) = report(claim("1 up CH3, 1 down Cl", "face", "up", (1,))).problems
    assert "has CH3 and Cl; say which is meant, for example 1(CH3)." in problem.message


def test_a_typing_mistake_in_a_carbon_leaves_the_right_claims_right() -> None:
    claims = [claim(LATE, "face", "up", (2,)), claim(LATE, "R/S", facts(LATE).cip[1], (2,))]
    chair = claim(LATE, "position", "equatorial", (2,), "2e 3a")
    found = report(*claims, chair, claim(LATE, "face", "up", (5,)))
    assert [finding.verdict for finding in found.findings] == ["RIGHT"] * 3
    assert len(found.problems) == 1


def of_the_name(*, mistake: bool) -> list[Claim]:
    """trans: by the name C1 has OH, 1R, down; C2 has CH3, 2R, up."""
    rows = [
        claim(TRANS, "face", "down", (1,)),
        claim(TRANS, "face", "up", (2,)),
        claim(TRANS, "term", "0.70", (1,), "1a 2a"),
        claim(TRANS, "term", "1.74", (2,), "1a 2a"),
    ]
    return [*rows, claim(TRANS, "stable chair", "1a 2a" if mistake else "1e 2e")]


def test_one_mistake_in_a_key_by_iupac_numbers_is_one_mistake() -> None:
    assert verdicts(*of_the_name(mistake=False)) == ["RIGHT"] * 5
    assert verdicts(*of_the_name(mistake=True)) == ["RIGHT"] * 4 + ["ERROR"]


def test_one_claim_right_by_iupac_numbers_alone_is_wrong_and_said_to_be() -> None:
    """By the own numbers the rest is right; that it is 'not right by IUPAC's either' was not true."""
    own = [claim(TRANS, "face", "up", (1,)), claim(TRANS, "term", "1.74", (1,), "1a 2a")]
    found = report(*own, claim(TRANS, "face", "up", (2,))).findings
    assert [finding.verdict for finding in found] == ["RIGHT", "RIGHT", "ERROR"]
    assert "By IUPAC numbering, where C1 has OH, it would be right" in found[2].words
    (alone,) = report(claim(TRANS, "stable chair", "1a 2a")).findings
    assert "IUPAC" not in alone.words


@pytest.mark.parametrize("own", [CIS, TRANS, "1 up Cl, 3 down OH", "2 up CH3, 3 up OH"])
@pytest.mark.parametrize("which", [0, 1])
def test_a_newman_projection_is_of_the_molecule_and_not_of_its_numbers(own: str, which: int) -> None:
    """The same bond of the same chair, named by either numbers: only the ring neighbours have other names."""
    mine, other = facts(own), by_iupac(facts(own))
    assert other is not None
    number_here = dict(enumerate(mine.carbons_of_name, start=1))
    for front, back in ((1, 2), (2, 1), (2, 3)):
        chair = other.chairs[which]
        seen = answer_for(other, claim(own, "newman", "", (front, back), chair.name))
        there = claim(own, "newman", "", (number_here[front], number_here[back]), mine.chairs[which].name)
        expected = read_projection(answered(there).text)
        named = read_projection(seen)
        assert expected is not None and named is not None
        to_own = {f"C{number}": f"C{here}" for number, here in number_here.items()}
        front_names, back_names = (tuple(to_own.get(name, name) for name in names) for names in named)
        assert same_projection((front_names, back_names), expected)


def answer_for(other: object, made: Claim) -> str:
    from chairgap.answer_key.rules.answers.dispatch import answer

    return answer(Case(claim=made, molecules=(other,), tables=TABLES)).text  # type: ignore[arg-type]


def test_students_and_question_banks_go_by_the_numbers_of_the_key() -> None:
    claims = of_the_name(mistake=False)
    found = report(*claims)
    by = MarkingKey(claims=claims, facts_of=facts, tables=TABLES, report=found)
    assert {one.outcome for one in mark("s1", by, [(one,) for one in claims])} == {"right"}
    for finding in found.findings[:4]:
        asked = question(finding, found.facts_for(finding.claim, facts), TABLES)
        assert "Numbered by IUPAC: 1 down OH, 2 up CH3, anticlockwise" in asked.prompt
    face = question(found.findings[0], found.facts_for(claims[0], facts), TABLES)
    assert "OH on C1 point up or down (ring numbered anticlockwise seen from above)" in face.prompt
