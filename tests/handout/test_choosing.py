"""Which molecules are asked about, on which version, and twins."""

from dataclasses import replace
from random import Random

import pytest
from handout_helpers import made, outcome_of, reason, runs_test_p, usual_outcome
from scipy.stats import chisquare

from chairgap.errors import InputError
from chairgap.estimate.ledger import energy_words
from chairgap.handout.choosing import choose
from chairgap.handout.pitfalls import PITFALLS, pitfalls_of
from chairgap.handout.pool import pool_of
from chairgap.handout.posed import as_written, twin
from chairgap.handout.wording import direction_of, left_and_right
from chairgap.molecule.build import writing_of
from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import identity, mirrored
from pipeline_helpers import SETTINGS, TABLE, treated_molecule


def chosen(outcome, *, seed=1, questions=None, versions=2):
    rng = Random(seed)
    return choose(pool_of(outcome, rng), outcome, questions=questions, versions=versions, rng=rng)


# --- pitfalls (facts of the trade, common practice, no source) -------------------------------------------


@pytest.mark.parametrize(
    ("groups_by_face", "codes"),
    [
        ("1 up CH3", ""),
        ("1 up CH3, 4 down CH3", ""),
        ("1 up CH3, 2 down CH3", "gauche"),
        ("1 up CH3, 3 up CH3", "one-three syn-diaxial"),
        ("1 up CH3, 5 up CH3", "one-three syn-diaxial"),
        ("1 up Cl, 4 up CH3", "competing heavier-axial"),
        ("1 up CH3, 4 up C(CH3)3", "competing locked"),
        ("1 up OH, 3 down OH", "one-three competing tie"),
        ("1 up C(CH3)3, 3 up CH3, 5 down CH3", "one-three competing locked syn-diaxial"),
        ("1 up C(CH3)3, 2 up CH3, 5 down CH3", "one-three competing locked more-axial"),
    ],
)
def test_pitfalls(groups_by_face, codes) -> None:
    found = pitfalls_of(made(groups_by_face), TABLE, SETTINGS) - {"gauche-cancels"}
    assert found == set(codes.split())


def test_pitfalls_of_equal_chairs() -> None:
    found = pitfalls_of(made("1 up CH3, 2 up CH3", equal=True), TABLE, SETTINGS)
    assert found == {"competing", "gauche-cancels", "equal-chairs"}
    assert found <= set(PITFALLS)


# --- the pool --------------------------------------------------------------------------------------------


def test_molecules_without_an_answer_are_left_out_with_the_reason() -> None:
    results = (
        made("1 up CH3", "kept"),
        made("1 up H", "bare"),
        made("1 up Br, 2 down Br", "gap in the table"),
        made("1 up C(CH3)3, 4 up C(CH3)3", "boat", equal=True, preferred="non-chair"),
        made("1 up OH", "one chair", reasons=(reason("chair-missing"),)),
        made("4 down CH3", "kept again"),
        made("1 up OH, 2 down CH3", "hand"),
        made("1 down OH, 2 up CH3", "other hand"),
    )
    pool = pool_of(outcome_of(*results), Random(1))
    assert [item.result.molecule.name for item in pool.candidates] == ["kept", "hand"]
    told = dict(pool.left_out)
    assert "no group" in told["bare"]
    assert "vicinal gauche Br/Br" in told["gap in the table"]
    assert "twist-boat" in told["boat"]
    assert "chair-missing" in told["one chair"]
    assert told["kept again"] == "it is the same molecule as kept, or its mirror image"
    assert "same molecule as hand" in told["other hand"]


def test_doubts_name_what_makes_the_preferred_chair_doubtful() -> None:
    results = (
        made("1 up CH3", sign="disagrees"),
        made("1 up OH", sign="undecided", preferred="undecided"),
        made("1 up CN"),
        made("1 up C2H5", size="disagrees"),
        made("1 up CH3, 2 up CH3", equal=True),
    )
    pool = pool_of(outcome_of(*results), Random(1))
    doubts = [" ".join(item.doubts) for item in pool.candidates]
    assert "prefers the other chair" in doubts[0]
    assert "does not decide" in doubts[1]
    assert "below 0.30 kcal/mol" in doubts[2]
    assert doubts[3:] == ["", ""]
    assert "beyond its range" in pool.candidates[3].remarks[0]
    assert [item.difficulty.warned for item in pool.candidates] == [True, True, True, False, False]


def test_large_studies_are_drawn_from() -> None:
    base = made("1 up CH3")
    results = tuple(replace(base, molecule=replace(base.molecule, name=str(n))) for n in range(450))
    pool = pool_of(outcome_of(*results), Random(1))
    assert (pool.drawn, pool.treated) == (400, 450)
    assert len(pool.candidates) == 1  # all are one molecule


# --- matches ---------------------------------------------------------------------------------------------


def test_matches_are_equally_hard_and_no_molecule_stands_twice() -> None:
    for seed in range(6):
        found = chosen(usual_outcome(), seed=seed, questions=5)
        names = [item.posed.result.molecule.name for match in found.matches for item in match.asked]
        for match in found.matches:
            one, other = (item.candidate.difficulty for item in match.asked)
            assert (one.groups, one.pitfalls) == (other.groups, other.pitfalls)
            assert abs(one.size_kcal_mol - other.size_kcal_mol) <= 1.0
            signs = {
                direction_of(item.posed) * (item.posed.estimate.gap_kcal_mol or 0.0) > 0.0
                for item in match.asked
            }
            assert len(signs) == 1  # one sign of dG for the whole match
            twins = sum(bool(item.posed.writing) for item in match.asked)
            assert twins == match.same_molecule
        own = [match for match in found.matches if match.same_molecule]
        assert len(set(names)) == len(names) - len(own)
        assert len(own) == 2  # eight molecules have three pairs that are equally hard
        assert all(sorted(order) == [0, 1, 2, 3, 4] for order in found.orders)


def test_as_many_questions_as_molecules_make_every_match_a_twin() -> None:
    found = chosen(usual_outcome(), questions=8)
    assert all(match.same_molecule for match in found.matches)
    assert {match.asked[0].posed.result.molecule.name for match in found.matches} == {
        result.molecule.name for result in usual_outcome().results
    }


def test_four_versions_have_four_writings() -> None:
    found = chosen(outcome_of(made("1 up CH3")), versions=4)
    (match,) = found.matches
    writings = {writing_of(item.posed.molecule.topology) for item in match.asked}
    assert len(writings) == 4


def test_one_version_takes_molecules_without_doubt_first() -> None:
    results = [made("1 up CH3", sign="disagrees"), made("1 up OH"), made("1 up C2H5")]
    for seed in range(8):
        found = chosen(outcome_of(*results), questions=2, versions=1, seed=seed)
        assert {match.asked[0].posed.result.molecule.name for match in found.matches} == {
            "1 up OH",
            "1 up C2H5",
        }


def test_too_many_questions_and_an_empty_pool_are_refused() -> None:
    with pytest.raises(InputError, match=r"made.toml: 9 questions .* which are 8\. Ask for at most 8"):
        chosen(usual_outcome(), questions=9)
    with pytest.raises(InputError, match=r"No molecule of the study can be asked about \(1 up H: it has no"):
        chosen(outcome_of(made("1 up H")))


# --- twins -----------------------------------------------------------------------------------------------

TWINNED = (
    "1 up CH3",
    "1 up OH, 4 up CH3",
    "1 up OH, 2 down CH(CH3)2, 5 down CH3",
    "1 up *[C@H](O)F, 3 down Cl",
    "1 up CH3, 1 down C6H5",
)


@pytest.mark.parametrize("groups_by_face", TWINNED)
def test_twin_is_the_molecule_or_its_mirror_image_in_another_writing(groups_by_face) -> None:
    result = made(groups_by_face)
    first = as_written(result)
    for seed in range(12):
        other = twin(first, [first], SETTINGS, TABLE, Random(seed))
        one, two = (writing_of(item.molecule.topology) for item in (first, other))
        assert one != two
        assert identity(two) in (identity(one), identity(mirrored(one, mirror)))
        assert other.estimate.gap_kcal_mol == result.estimate.gap_kcal_mol
        assert (other.estimate.low_kcal_mol, other.estimate.high_kcal_mol) == (
            result.estimate.low_kcal_mol,
            result.estimate.high_kcal_mol,
        )
        for mine, its in zip(other.chairs, result.chairs, strict=True):
            assert mine.letter == its.letter
            assert sorted((g.group.replace("@", ""), g.position) for g in mine.groups) == sorted(
                (g.group.replace("@", ""), g.position) for g in its.groups
            )


@pytest.mark.parametrize("groups_by_face", ["1 up OH, 2 down CH3", "1 up F, 4 up F"])
def test_computing_a_twin_gives_the_numbers_of_the_molecule(groups_by_face) -> None:
    """The search knows nothing of twins: it starts from another ring, and must end at the same gap."""
    built = made(groups_by_face).molecule
    result = treated_molecule(built)
    first = as_written(result)
    other = twin(first, [first], SETTINGS, TABLE, Random(2))
    computed = treated_molecule(other.molecule)
    same = computed.chairs[0].odd_up_axial == other.chairs[0].odd_up_axial
    sign = 1.0 if same else -1.0
    assert sign * computed.gaps.gibbs_kcal_mol == pytest.approx(result.gaps.gibbs_kcal_mol, abs=1e-4)
    assert sign * computed.estimate.gap_kcal_mol == pytest.approx(result.estimate.gap_kcal_mol, abs=1e-12)
    assert direction_of(other) in (1, -1)


# --- nothing to guess ------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def by_200_seeds():
    """Every question of the first version over 200 seeds: (preferred frame is the left one, carbons 1, 3 and
    5 are raised in it, dG is positive, number of the molecule)."""
    outcome = outcome_of(
        *(made(text) for text in ("1 up OH, 4 up CH3", "1 up Cl, 4 up CH3", "1 up CH3, 3 down OH")),
        *(made(text) for text in ("1 up C2H5, 4 up OH", "1 up Cl, 3 down C2H5", "1 up Br, 4 up CH3")),
    )
    names = [result.molecule.name for result in outcome.results]
    seen = []
    for seed in range(200):
        found = chosen(outcome, seed=seed, questions=5, versions=1)
        for place in found.orders[0]:
            posed = found.matches[place].asked[0].posed
            gap = posed.estimate.gap_kcal_mol or 0.0
            left = left_and_right(posed)[0] is posed.chairs[gap < 0.0]
            name = names.index(posed.result.molecule.name)
            seen.append((left, posed.left_odd_up_axial, direction_of(posed) * gap > 0.0, name))
    return seen


@pytest.mark.parametrize("what", [0, 1, 2], ids=["preferred chair", "raised carbons", "sign"])
def test_frames_and_signs_are_balanced_and_have_no_runs(what, by_200_seeds) -> None:
    """1,000 questions: within four standard deviations of one half, no more and no fewer runs than by
    chance."""
    marks = [question[what] for question in by_200_seeds]
    assert abs(sum(marks) - 500) < 4 * 0.5 * 1000**0.5
    assert runs_test_p(marks) > 1e-3
    # nor does the sign say where the preferred chair stands
    same = sum(question[0] == question[2] for question in by_200_seeds)
    assert abs(same - 500) < 4 * 0.5 * 1000**0.5


def test_the_order_of_molecules_is_that_of_chance(by_200_seeds) -> None:
    firsts = [question[3] for question in by_200_seeds[::5]]
    assert chisquare([firsts.count(number) for number in range(6)]).pvalue > 1e-3


def test_a_pattern_would_be_seen() -> None:
    """The runs test has teeth: alternating marks, and marks in two blocks."""
    assert runs_test_p([True, False] * 100) < 1e-6
    assert runs_test_p([True] * 100 + [False] * 100) < 1e-6


def test_equal_chairs_are_at_most_one_question_in_six_unless_asked() -> None:
    equal = [
        made(text, equal=True) for text in ("1 up CH3, 2 up CH3", "1 up Cl, 2 up Cl", "1 up OH, 2 up OH")
    ]
    others = [made(f"1 up {group}") for group in ("CH3", "C2H5", "OH", "Cl", "Br", "F")]
    for seed in range(10):
        found = chosen(outcome_of(*equal, *others), seed=seed, questions=6, versions=1)
        asked = [match.asked[0].posed.result for match in found.matches]
        assert sum(result.gaps.equal_by_symmetry for result in asked) <= 1
    with pytest.raises(InputError, match=r"which are 7, since at most one in 6 has equal chairs \(--equal"):
        chosen(outcome_of(*equal, *others), questions=9, versions=1)
    rng, outcome = Random(1), outcome_of(*equal, *others)
    found = choose(pool_of(outcome, rng), outcome, questions=9, versions=1, rng=rng, any_equal=True)
    assert len(found.matches) == 9


def test_zero_has_no_sign() -> None:
    """dG of equal chairs in the direction that turns it round was '-0.00'."""
    assert energy_words(-0.0) == energy_words(-0.00001) == "0.00"
