"""What must hold for any substitution pattern, known groups and unknown ones."""

import random
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Chair, Estimate, EstimateTable, Face
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import ByFace, chair, chair_pair

TABLE = read_estimate_table("chairgap")
OTHER_FACE: dict[Face, Face] = {"up": "down", "down": "up"}
GROUPS = ["CH3", "CH3", "OH", "OH", "Cl", "C6H5", "C(CH3)3", "*CCO"]
SITES: list[tuple[int, Face]] = [(carbon, face) for carbon in range(1, 7) for face in OTHER_FACE]


@st.composite
def lists_by_face(draw: st.DrawFn, groups: list[str] = GROUPS) -> ByFace:
    sites = draw(st.lists(st.sampled_from(SITES), unique=True, max_size=7))
    return [(carbon, face, draw(st.sampled_from(groups))) for carbon, face in sites]


def energies(estimate: Estimate) -> tuple[float | None, float | None, float | None]:
    return estimate.low_kcal_mol, estimate.gap_kcal_mol, estimate.high_kcal_mol


def chairs_like(
    original: tuple[Chair, Chair], groups_by_face: ByFace, *, flipped: bool
) -> tuple[Chair, Chair]:
    """Chairs of a renumbered list that are the same conformers as `original`, re-derived by the rule."""
    a, b = (chair(old.letter, groups_by_face, odd_up_axial=old.odd_up_axial != flipped) for old in original)
    return a, b


def same(one: Estimate, other: Estimate) -> bool:
    return (energies(one), one.missing, one.flags) == (energies(other), other.missing, other.flags)


@given(lists_by_face(), st.integers(1, 5))
def test_rotating_the_locants_changes_nothing(groups_by_face: ByFace, step: int) -> None:
    turned = [((carbon - 1 + step) % 6 + 1, face, group) for carbon, face, group in groups_by_face]
    pair = chair_pair(groups_by_face)
    moved = chairs_like(pair, turned, flipped=step % 2 == 1)
    assert same(estimate_gap(moved, TABLE), estimate_gap(pair, TABLE))


@given(lists_by_face())
def test_turning_the_molecule_over_changes_nothing(groups_by_face: ByFace) -> None:
    # Seen from below the numbering runs the other way and every face is exchanged.
    over = [(7 - carbon, OTHER_FACE[face], group) for carbon, face, group in groups_by_face]
    pair = chair_pair(groups_by_face)
    assert same(estimate_gap(chairs_like(pair, over, flipped=False), TABLE), estimate_gap(pair, TABLE))


@given(lists_by_face())
def test_the_mirror_image_has_the_same_estimate(groups_by_face: ByFace) -> None:
    mirrored = [((1 - carbon) % 6 + 1, face, group) for carbon, face, group in groups_by_face]
    pair = chair_pair(groups_by_face)
    assert same(estimate_gap(chairs_like(pair, mirrored, flipped=False), TABLE), estimate_gap(pair, TABLE))


@given(lists_by_face(), st.randoms(use_true_random=False))
def test_the_order_of_the_groups_does_not_matter(groups_by_face: ByFace, shuffler: random.Random) -> None:
    shuffled = list(groups_by_face)
    shuffler.shuffle(shuffled)
    assert same(estimate_gap(chair_pair(shuffled), TABLE), estimate_gap(chair_pair(groups_by_face), TABLE))


@given(lists_by_face())
def test_exchanging_the_chairs_negates_the_gap(groups_by_face: ByFace) -> None:
    a, b = chair_pair(groups_by_face)
    there = estimate_gap((a, b), TABLE)
    back = estimate_gap((replace(b, letter="A"), replace(a, letter="B")), TABLE)
    assert back.missing == there.missing
    if there.gap_kcal_mol is None:
        assert energies(back) == (None, None, None)
    else:
        assert back.gap_kcal_mol == -there.gap_kcal_mol
        assert (back.low_kcal_mol, back.high_kcal_mol) == (-there.high_kcal_mol, -there.low_kcal_mol)


@given(lists_by_face(["CH3", "OH"]))
def test_the_terms_add_up_to_the_gap(groups_by_face: ByFace) -> None:
    found = estimate_gap(chair_pair(groups_by_face), TABLE)
    valued = [term for term in found.terms if term.value_kcal_mol is not None]
    assert all(term.kind == "geminal" for term in found.terms if term not in valued)
    total = sum((1 if term.chair == "B" else -1) * term.value_kcal_mol for term in valued)
    if found.complete:
        assert found.gap_kcal_mol == pytest.approx(total, abs=1e-9)


@given(lists_by_face())
def test_range_holds_the_value_and_missing_agrees_with_the_terms(groups_by_face: ByFace) -> None:
    found = estimate_gap(chair_pair(groups_by_face), TABLE)
    low, value, high = energies(found)
    if value is not None:
        assert low <= value <= high
    left_out = [term for term in found.terms if term.words.endswith("left out of the estimate")]
    assert bool(left_out) == bool(found.missing) == (not found.complete)
    assert all(term.value_kcal_mol is None for term in left_out)


def drawn_within_ranges(table: EstimateTable, dice: random.Random) -> EstimateTable:
    def moved(row):  # type: ignore[no-untyped-def]
        drawn = round(dice.uniform(row.low_kcal_mol, row.high_kcal_mol), 6)
        return replace(row, value_kcal_mol=drawn, low_kcal_mol=drawn, high_kcal_mol=drawn)

    return replace(
        table, a_values=tuple(map(moved, table.a_values)), interactions=tuple(map(moved, table.interactions))
    )


@settings(max_examples=60)
@given(lists_by_face(), st.randoms(use_true_random=False))
def test_any_table_within_the_ranges_stays_within_the_range_of_the_gap(
    groups_by_face: ByFace, dice: random.Random
) -> None:
    pair = chair_pair(groups_by_face)
    whole = estimate_gap(pair, TABLE)
    drawn = estimate_gap(pair, drawn_within_ranges(TABLE, dice))
    assert drawn.missing == whole.missing
    if whole.gap_kcal_mol is not None:
        assert whole.low_kcal_mol - 1e-9 <= drawn.gap_kcal_mol <= whole.high_kcal_mol + 1e-9


@given(st.sampled_from(GROUPS), st.integers(1, 6), st.sampled_from(["up", "down"]))
def test_the_same_group_on_opposite_carbons_and_one_face_cancels_exactly(
    group: str, carbon: int, face: Face
) -> None:
    # cis-1,4: one axial in each chair.
    opposite = (carbon + 2) % 6 + 1
    found = estimate_gap(chair_pair([(carbon, face, group), (opposite, face, group)]), TABLE)
    assert energies(found) == (0.0, 0.0, 0.0) and found.complete


def test_a_longer_list_of_axial_methyls_costs_more() -> None:
    patterns: list[ByFace] = [
        [(carbon, "up", "CH3") for carbon in carbons] for carbons in ((1,), (1, 3), (1, 3, 5))
    ]
    gaps = [estimate_gap(chair_pair(pattern), TABLE).gap_kcal_mol for pattern in patterns]
    assert all(less < more for less, more in pairwise(gaps))
