"""Kinds of questions: their chemistry against facts that do not come from the program, what they show and
hide, levels, and what is left out with which reason."""

import csv
import io
import re
from itertools import combinations

import pytest
from handout_helpers import (
    DIMETHYLS,
    all_kinds_outcome,
    answers,
    dimethyls,
    handout,
    lines,
    made,
    only,
    outcome_of,
    pieces,
    reason,
    texts,
)

from chairgap.errors import InputError
from chairgap.handout.blocks import Beside, Grid, Part
from chairgap.handout.kinds import KINDS
from chairgap.handout.levels import LEVELS, level_of
from chairgap.handout.make import HandoutOptions
from chairgap.handout.matching import Difficulty
from chairgap.handout.study import checked_options, level_called, split_kinds
from chairgap.shape.chairs import two_chairs
from chairgap.text import typeset
from pipeline_helpers import molecule

# --- chemistry -------------------------------------------------------------------------------------------


def test_ranking_of_dimethylcyclohexanes_is_that_of_their_heats_of_formation() -> None:
    """Heats of formation of the gases at 298 K in kcal/mol (Prosen, Johnson & Rossini, J. Res. Natl. Bur.
    Stand. 1947, 39, 173, from memory)."""
    measured = {
        **{"cis-1,2": -41.15, "trans-1,2": -43.02, "cis-1,3": -44.16},
        **{"trans-1,3": -42.20, "cis-1,4": -42.22, "trans-1,4": -44.12},
    }
    served = 0
    for three in combinations(DIMETHYLS, 3):
        try:
            answer = only(outcome_of(*dimethyls(*three)), "ranking")
        except InputError:
            continue
        served += 1
        stands = {
            letter: name
            for piece in answer.pieces
            if getattr(piece, "given", False)
            for letter, name in re.findall(r"Isomer ([XYZ]): (\S+)\.", piece.text)
        }
        order = [stands[letter] for letter in re.findall("[XYZ]", answer.glance[0])]
        signs = re.findall("[<=]", answer.glance[0])
        for sign, one, other in zip(signs, order, order[1:], strict=False):
            apart = measured[other] - measured[one]
            assert apart > 0.3 if sign == "<" else abs(apart) < 0.1, (answer.glance, stands)
    assert served == 20  # of twenty sets of three each has an order


def test_larger_preference_of_1_2_dimethylcyclohexanes_is_that_of_trans() -> None:
    """cis has an axial CH3 in either chair (0); trans two or none, less a gauche pair: 2 x 1.74 - 0.87
    = 2.61 kcal/mol by hand."""
    for seed in range(6):
        answer = only(outcome_of(*dimethyls("cis-1,2", "trans-1,2")), "preference", seed=seed)
        letter = answer.glance[0].removeprefix("isomer ")
        (known,) = [
            p.text for p in answer.pieces if getattr(p, "given", False) and f"Isomer {letter}" in p.text
        ]
        assert "trans-1,2" in known
        assert "2.61 kcal/mol" in answer.glance[1] and "0.00 kcal/mol" in answer.glance[1]
        (grid,) = pieces(answer.pieces, Grid)
        assert sorted(row[3] for row in grid.rows) == ["0.87", "2.61", "2.61", "3.48"]


@pytest.mark.parametrize(
    ("groups", "relation", "letters"),
    [
        # (1R,2R)-trans-2-methylcyclohexanol; 1,3 and 1,4 by hand with the CIP rules (IUPAC 2013, P-9)
        ("1 up OH, 2 up CH3", "cis", {"RS"}),
        ("1 up OH, 2 down CH3", "trans", {"RR", "SS"}),
        ("1 up CH3, 3 up CH3", "cis", {"RS"}),
        ("1 up CH3, 3 down CH3", "trans", {"RR", "SS"}),
        ("1 up OH, 4 up CH3", "cis", {"ss"}),
        ("1 up OH, 4 down CH3", "trans", {"rr"}),
        ("1 up CH3, 4 up CH3", "cis", {"ss"}),
    ],
)
def test_configuration(groups, relation, letters) -> None:
    answer = only(outcome_of(made(groups)), "configuration")
    assert answer.glance[0] == relation
    found = re.findall(r": (\w+)", answer.glance[1])
    assert "".join(sorted(found)) in letters
    assert "None: a ring flip breaks no bond" in lines(answer)
    assert answer.question.points == 2 + len(found)


@pytest.mark.parametrize(
    ("groups", "words"),
    [
        # axial: gauche to the ring, equatorial: anti (common practice, no source)
        ("1 up CH3", {"axial": "gauche, 60 degrees", "equatorial": "anti, 180 degrees"}),
        # two equatorial neighbours are gauche, two axial ones anti
        ("1 up CH3, 2 down CH3", {"axial": "anti, 180 degrees", "equatorial": "gauche, 60 degrees"}),
    ],
)
def test_newman_says_gauche_and_anti(groups, words) -> None:
    seen = set()
    for seed in range(8):
        answer = only(outcome_of(made(groups, equal=False)), "newman", seed=seed)
        (drawn,) = (
            piece for t in answer.pieces for piece in getattr(t, "pieces", ()) if hasattr(piece, "path")
        )
        position = "axial" if "(axial)" in drawn.picture.alt else "equatorial"
        assert answer.glance[1] == words[position], drawn.picture.alt
        seen.add(position)
    assert seen == {"axial", "equatorial"}


def test_newman_names_one_of_two_groups_on_a_carbon() -> None:
    """One of two methyls on a carbon is gauche to the ring, the other anti: 'the CH3 on carbon 1' asked
    about either. Axial is gauche, equatorial anti (common practice, no source)."""
    asked = set()
    for seed in range(12):
        answer = only(outcome_of(made("1 up CH3, 1 down CH3, 3 up OH")), "newman", seed=seed)
        words = " ".join(part.text for part in pieces(answer.question.pieces, Part))
        found = re.search(r"Are the (upper|lower) CH3 on carbon 1 and carbon", words)
        assert found or "the CH3 on" not in words, words
        if found:
            chairs = two_chairs(molecule("1 up CH3, 1 down CH3, 3 up OH").topology)
            (drawn,) = (piece for piece in pieces(answer.question.pieces, Beside))
            raised = "1, 3 and 5" in drawn.drawings[0].picture.alt
            chair = next(one for one in chairs if one.odd_up_axial == raised)
            face = {"upper": "up", "lower": "down"}[found[1]]
            (stands,) = (g.position for g in chair.groups if (g.carbon, g.face) == (1, face))
            assert answer.glance[1].startswith({"axial": "gauche", "equatorial": "anti"}[stands])
            asked.add(stands)
    assert asked == {"axial", "equatorial"}


def test_newman_of_equatorial_methyl_clockwise() -> None:
    """Looking from carbon 1 to carbon 2, carbons 1, 3 and 5 lowered, CH3 up on carbon 1: the axial H of
    carbon 1 points down, that of carbon 2 up. Clockwise from CH3 (upper left, since the ring goes on at the
    right with carbon 6 for one who looks along the ring clockwise): by hand on a model."""
    for seed in range(20):
        answer = only(outcome_of(made("1 up CH3")), "newman", seed=seed)
        (part,) = [one for one in pieces(answer.question.pieces, Part) if one.letter == "a"]
        found = answer.glance
        if "from carbon 1 (in front) to carbon 2" in part.text and found[1].startswith("anti"):
            front, back = re.findall(r"(?:front|back): ([^;(]*)", found[0])
            front, back = ([name.strip() for name in text.split(",")] for text in (front, back))
            assert sorted(front) == ["C6", "CH3", "H"] and sorted(back) == ["C3", "H", "H"]
            # anti: the place of CH3 in front is opposite that of C3 behind
            assert (60 * 2 * front.index("CH3") - (60 + 120 * back.index("C3"))) % 360 == 180
            # gauche: C6 and C3 of the ring
            assert (120 * front.index("C6") - (60 + 120 * back.index("C3"))) % 360 in (60, 300)
            return
    raise AssertionError("no seed asks for this bond of this chair")


def test_flip_exchanges_axial_and_equatorial_and_keeps_faces() -> None:
    for seed in range(6):
        answer = only(outcome_of(made("1 up OH, 2 down CH(CH3)2, 5 down CH3")), "flip", seed=seed)
        (grid,) = pieces(answer.pieces, Grid)
        assert len(grid.rows) == 3
        alternation = set()
        for group, before, after in grid.rows:
            assert {before, after} == {"axial", "equatorial"}
            carbon, face = re.search(r"carbon (\d) \((up|down)\)", group).groups()
            alternation.add(((int(carbon) % 2 == 1) == (face == "up")) == (before == "axial"))
        assert len(alternation) == 1  # axial bonds alternate round the ring (common practice, no source)


def test_percent_of_methylcyclohexane_is_that_of_textbooks() -> None:
    """1.74 kcal/mol at 298.15 K: K = exp(1.74 / 0.5925) = 18.9; 95 % equatorial, 5 % axial (every textbook of
    organic chemistry, such as Clayden 2012, chapter 16, from memory)."""
    seen = set()
    for seed in range(8):
        answer = only(outcome_of(made("1 up CH3")), "percent", seed=seed)
        assert answer.glance[0] == "K = 18.9"
        who, value = answer.glance[1].split(": ")
        seen.add(value)
        assert value == ("95.0 %" if "equatorial" in who else "5.0 %")
    assert seen == {"95.0 %", "5.0 %"}


def test_gap_and_stable_chair_of_menthane_like_pair() -> None:
    """cis-1,3-dimethylcyclohexane: 2 x 1.74 + 1.96 = 5.44 kcal/mol (Allinger & Miller 1961 for the pair)."""
    outcome = outcome_of(*dimethyls("cis-1,3"))
    assert "5.44 kcal/mol" in only(outcome, "gap").glance[0]
    stable = only(outcome, "stable-chair")
    chair = re.search(r"chair [12]", stable.glance[0]).group()
    (labels, _) = pieces(stable.pieces, Grid)
    column = labels.head.index(chair.capitalize())
    assert {row[column] for row in labels.rows} == {"equatorial"}


def test_neither_chair_is_more_stable_where_both_are_alike() -> None:
    assert only(outcome_of(*dimethyls("cis-1,4")), "stable-chair").glance[0] == "more stable: neither"


# --- what a sheet shows ----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def written() -> dict[str, str]:
    return texts(all_kinds_outcome(), kinds=tuple(KINDS), seed=5)


def test_every_kind_stands_on_the_sheet_once(written) -> None:
    rows = list(csv.DictReader(io.StringIO(written["matching.csv"])))
    assert sorted(row["kind"] for row in rows if row["version"] == "1") == sorted(KINDS)
    assert {row["level"] for row in rows} <= set(LEVELS)
    for version in "12":
        asked = [name for row in rows if row["version"] == version for name in row["molecule"].split(" | ")]
        assert len(asked) == len(set(asked))  # no molecule twice


def test_questions_say_no_answer_in_drawings_or_words(written) -> None:
    for name in ("questions_1.html", "questions_2.html", "questions_1.md", "questions_2.md"):
        text = written[name]
        alts = re.findall(r'aria-label="([^"]*)"', text) + re.findall(r"!\[([^\]]*)\]", text)
        assert alts
        assert not any(
            re.search(r"axial|equatorial|gauche|anti\b|prefer|kcal|cis|trans", alt) for alt in alts
        )
        assert "Systematic" not in text and "MMFF94" not in text and "Level" not in text
    for name, drawn in written.items():
        if name.startswith("drawings/"):
            assert not re.search(r"axial|equatorial|>[ae]<", re.sub(r"\"#[0-9a-f]{6}\"", "", drawn)), name


def test_every_drawing_of_the_markdown_is_there(written) -> None:
    shown = {
        link
        for name in written
        if name.endswith(".md")
        for link in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", written[name])
    }
    assert shown == {name for name in written if name.endswith(".svg")}


def test_the_name_does_not_answer_a_question_of_configuration() -> None:
    asked = texts(
        outcome_of(made("1 up OH, 4 down CH3", "trans-4-methylcyclohexanol")), kinds=("configuration",)
    )
    for name in ("questions_1.html", "questions_1.md"):
        assert "trans-4" not in asked[name]
    assert "trans-4-methylcyclohexanol" in asked["key_1.html"]


@pytest.mark.parametrize("kind", KINDS)
def test_points_are_those_of_the_steps(kind) -> None:
    for answer in answers(all_kinds_outcome(), [kind], seed=2):
        marks = sum(mark.points for mark in answer.marks)
        assert answer.question.points == (
            marks or 10
        )  # the question of four parts has its marks once for all


def test_doubts_stand_before_answers_of_energies_only() -> None:
    doubtful = made("1 up OH, 4 down CH3", sign="disagrees", preferred="B", reasons=(reason("vibrations"),))
    for kind in ("stable-chair", "gap"):
        assert "computation prefers the other chair" in only(outcome_of(doubtful), kind).doubts[0]
    for kind in ("flip", "newman", "configuration", "both-chairs"):
        assert not only(outcome_of(doubtful), kind).doubts
    key = texts(outcome_of(doubtful), kinds=("stable-chair",), versions=1)["key_1.md"]
    assert "Do not mark (b) before you have read this" in key


def test_a_sheet_without_energies_has_no_table() -> None:
    asked = texts(all_kinds_outcome(), kinds=("flip", "newman"))["questions_1.html"]
    assert "Energies for the estimates" not in asked and typeset("A-value") not in asked


# --- levels, choice, what is left out --------------------------------------------------------------------


def test_levels_by_hand() -> None:
    def hard(groups: int, *pitfalls: str, warned: bool = False) -> Difficulty:
        return Difficulty(groups=groups, size_kcal_mol=1.0, pitfalls=frozenset(pitfalls), warned=warned)

    gap, flip = KINDS["gap"], KINDS["flip"]
    assert level_of(gap, [hard(1)]) == "easy"
    assert level_of(gap, [hard(2)]) == "easy"
    assert level_of(gap, [hard(2, "gauche")]) == "medium"
    assert level_of(gap, [hard(2, "gauche", "competing")]) == "hard"
    assert level_of(gap, [hard(1, warned=True)]) == "medium"  # an ambiguous sum
    assert level_of(flip, [hard(2, "gauche", "competing", warned=True)]) == "easy"  # no sum is asked for
    assert level_of(flip, [hard(2, "one-three")]) == "medium"
    assert level_of(gap, [hard(1), hard(3, "gauche")]) == "hard"


@pytest.mark.parametrize("level", LEVELS)
def test_only_questions_of_the_level_are_asked(level) -> None:
    files = texts(all_kinds_outcome(), kinds=("gap", "flip", "configuration"), level=level, equal=True)
    rows = list(csv.DictReader(io.StringIO(files["matching.csv"])))
    assert {row["level"] for row in rows} == {level}


def test_kinds_that_nothing_serves_are_left_out_with_the_reason() -> None:
    made_up = handout(
        outcome_of(made("1 up CH3"), made("1 up OH")), kinds=("ranking", "configuration", "flip")
    )
    said = " ".join(made_up.remarks)
    assert "Kind left out: ranking: it has no 3 isomers with the same groups." in said
    assert "Kind left out: configuration: 1 up CH3: it has no two carbons with one group each." in said or (
        "Kind left out: configuration: 1 up OH: it has no two carbons with one group each." in said
    )
    assert "Kind left out: ranking" in made_up.contents["key_1.md"].decode()
    assert "Kind left out" not in made_up.contents["questions_1.md"].decode()
    hard = handout(
        outcome_of(made("1 up CH3"), *dimethyls("trans-1,2")), kinds=("gap", "flip"), level="medium"
    )
    assert "Kind left out: flip: none of its questions is medium (2 easy)" in " ".join(hard.remarks)
    few = handout(outcome_of(made("1 up CH3")), kinds=("gap", "flip"), questions=4)
    assert "every molecule that serves it stands in another question" in few.remarks[0]
    assert "1 question was made, not 4" in few.remarks[1]
    short = handout(outcome_of(made("1 up CH3"), made("1 up OH")), kinds=("gap", "flip"), questions=1)
    assert short.remarks == ("Kind left out: flip: there are fewer questions than kinds; ask for more.",)


def test_isomers_need_the_same_groups() -> None:
    """Ethylcyclohexane and the dimethylcyclohexanes are isomers, but sums of A-values do not compare them."""
    outcome = outcome_of(made("1 up C2H5"), *dimethyls("cis-1,3", "trans-1,2"))
    with pytest.raises(InputError, match="no 3 isomers with the same groups"):
        answers(outcome, ["ranking"])


def test_molecules_are_moved_so_that_every_kind_is_served() -> None:
    """cis or trans is served by one molecule alone, which gap may not keep."""
    outcome = outcome_of(made("1 up CH3"), made("1 up OH, 4 down CH3"), made("1 up Br"))
    for seed in range(10):
        kinds = {answer.kind for answer in answers(outcome, ["gap", "flip", "configuration"], seed=seed)}
        assert len(kinds) == 3


def test_kinds_and_levels_are_read_leniently_and_errors_say_what_is_meant() -> None:
    assert split_kinds(["gap, flip", "newman"]) == ("gap", "flip", "newman")
    assert split_kinds([]) == ("four-part",)
    assert checked_options(HandoutOptions(kinds=("Gap", "GAP"))).kinds == ("gap",)
    with pytest.raises(
        InputError, match=r"field '--kinds'.*no kind of question 'newmann'\. Did you mean 'newman'\?"
    ):
        checked_options(HandoutOptions(kinds=("newmann",)))
    assert (level_called(" Hard "), level_called("")) == ("hard", None)
    with pytest.raises(
        InputError, match=r"no level 'eazy'\. Did you mean 'easy'\? There are easy, medium, hard"
    ):
        level_called("eazy")


def test_molecules_without_a_sum_serve_questions_that_need_none() -> None:
    """Menthol: the table has no gauche energy of OH and isopropyl. (1R,2S,5R) by every textbook."""
    menthol = made("1 up OH, 2 down CH(CH3)2, 5 up CH3", "menthol")
    files = texts(outcome_of(menthol), kinds=("configuration",), versions=1)
    assert "Not asked about" not in files["key_1.md"]
    assert "propan-2-yl" in files["key_1.md"]
    letters = re.findall(r"carbon \d: (\w)", only(outcome_of(menthol), "configuration").glance[1])
    assert letters in (["R", "S", "R"], ["S", "R", "S"])
    with pytest.raises(InputError, match=r"gap: menthol: the table has no value for vicinal gauche"):
        answers(outcome_of(menthol), ["gap"])


def test_same_seed_same_sheets_and_four_versions_of_everything() -> None:
    one, again = (
        handout(all_kinds_outcome(), kinds=("ranking", "mistake", "newman"), seed=3, versions=4).contents
        for _ in range(2)
    )
    assert one == again
    rows = list(csv.DictReader(io.StringIO(one["matching.csv"].decode())))
    assert len({row["groups_by_face"] for row in rows}) == len(rows)  # no two versions draw the same
