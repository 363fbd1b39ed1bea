"""Nothing to guess in the kinds of questions: where the answer stands, and which it is, is by chance."""

from dataclasses import replace
from itertools import permutations
from random import Random

import pytest
from handout_helpers import made, outcome_of, runs_test_p
from scipy.stats import chisquare

from chairgap.handout.choosing import Asked
from chairgap.handout.kinds import KINDS
from chairgap.handout.kinds.energies import asked_chair
from chairgap.handout.kinds.isomers import in_order_of_sheet
from chairgap.handout.kinds.kind import Task
from chairgap.handout.kinds.mistake import mistakes, planted_in
from chairgap.handout.planning import Asking, plan
from chairgap.handout.pool import pool_of
from chairgap.handout.posed import as_written
from chairgap.handout.wording import direction_of, left_and_right

SEEDS = 200
FRAMED = ("stable-chair", "flip", "gap", "both-chairs")


def balanced(marks: list[bool], sequences: int = 1) -> bool:
    """Within four standard deviations of one half, with neither more nor fewer runs than by chance: at the
    level of 0.001 for all the sequences that a test looks at together (Bonferroni)."""
    return (
        abs(sum(marks) - len(marks) / 2) < 2.0 * len(marks) ** 0.5 and runs_test_p(marks) > 1e-3 / sequences
    )


def tasks(*groups: str, version: str = "1") -> list[Task]:
    """The question on these molecules, as 200 sheets have it."""
    results = [made(text) for text in groups]
    outcome = outcome_of(*results)
    rng = Random(1)
    candidates = pool_of(outcome, rng).candidates
    items = [Asked(candidate=one, posed=as_written(one.result)) for one in candidates]
    asked = replace(items[0], beside=tuple(items[1:]))
    return [
        Task(asked=asked, outcome=outcome, version=version, number=1, seed=rng.getrandbits(32))
        for _ in range(SEEDS)
    ]


@pytest.fixture(scope="module")
def planned():
    """Every question of one version over 200 seeds: (kind, preferred chair at the left, carbons 1, 3 and 5
    raised there, dG is positive), the order as on the sheet."""
    outcome = outcome_of(
        *(made(text) for text in ("1 up OH, 4 up CH3", "1 up Cl, 4 up CH3", "1 up CH3, 3 down OH")),
        *(made(text) for text in ("1 up C2H5, 4 up OH", "1 up Cl, 3 down C2H5", "1 up Br, 4 up CH3")),
    )
    seen = []
    for seed in range(SEEDS):
        rng = Random(seed)
        asking = Asking(level=None, questions=4, versions=1, equal=False)
        found = plan(pool_of(outcome, rng), outcome, [KINDS[kind] for kind in FRAMED], asking, rng).chosen
        for place in found.orders[0]:
            match = found.matches[place]
            posed = match.asked[0].posed
            gap = posed.estimate.gap_kcal_mol or 0.0
            left = left_and_right(posed)[0] is posed.chairs[gap < 0.0]
            seen.append((match.kind, left, posed.left_odd_up_axial, direction_of(posed) * gap > 0.0))
    return seen


@pytest.mark.parametrize("what", [1, 2, 3], ids=["preferred chair", "raised carbons", "sign"])
@pytest.mark.parametrize("kind", FRAMED)
def test_frames_and_signs_have_no_pattern(kind, what, planned) -> None:
    marks = [question[what] for question in planned if question[0] == kind]
    assert balanced(marks, sequences=3 * len(FRAMED))


def test_both_chairs_stand_anywhere_on_a_sheet(planned) -> None:
    """Questions of half a page stand by twos, a whole page before, between or after them."""
    places = [index % 4 for index, question in enumerate(planned) if question[0] == "both-chairs"]
    assert {0, 2} <= set(places)


def test_the_larger_preference_stands_first_in_half_of_the_sheets() -> None:
    for version in "12":
        asked = tasks("1 up CH3, 3 up CH3", "1 up CH3, 3 down CH3", version=version)
        firsts = [in_order_of_sheet(task)[0] is task.posed for task in asked]
        assert balanced(firsts)


def test_every_order_of_a_ranking_is_as_frequent() -> None:
    asked = tasks("1 up OH, 4 up CH3", "1 up OH, 4 down CH3", "1 up OH, 3 down CH3")
    names = [one.posed.molecule.name for one in asked[0].asked.everything]
    orders = [tuple(posed.molecule.name for posed in in_order_of_sheet(task)) for task in asked]
    assert chisquare([orders.count(order) for order in permutations(names)]).pvalue > 1e-3
    assert balanced([order.index(names[0]) < order.index(names[1]) for order in orders])


def test_percents_of_both_chairs_are_asked_for_as_often() -> None:
    assert balanced([asked_chair(task) == "axial" for task in tasks("1 up OH, 4 up CH3")])


def test_the_wrong_step_is_at_no_favourite_place() -> None:
    """Labels, energies, difference and end are as frequent; every step of the nine is wrong at times."""
    asked = tasks("1 up OH, 4 up CH3")
    found = list(mistakes(asked[0].posed, asked[0].outcome))
    steps = [planted_in(task, found).step for task in asked]
    stages = [sum(step in stage for step in steps) for stage in ((1, 2, 3), (4, 5), (6, 7), (8, 9))]
    assert chisquare(stages).pvalue > 1e-3
    assert set(steps) == {one.step for one in found}
    assert len(set(steps)) >= 7
    assert balanced([step >= 6 for step in steps])


def test_neighbours_do_not_share_the_wrong_step() -> None:
    """The same stage on both versions, but the step by chance of each."""
    one, two = (tasks("1 up OH, 4 up CH3", version=version) for version in "12")
    found = list(mistakes(one[0].posed, one[0].outcome))
    pairs = [(planted_in(a, found).step, planted_in(b, found).step) for a, b in zip(one, two, strict=True)]
    assert 0.25 < sum(a == b for a, b in pairs) / SEEDS < 0.75


def test_a_pattern_would_be_seen() -> None:
    assert not balanced([True, False] * 100)
    assert not balanced([True] * 100 + [False] * 100)
    assert not balanced([True, True, False] * 67)
