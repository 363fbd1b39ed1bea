"""The completed sum by hand, its sum rules, and what does not change it."""

import math
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.anchored import Anchors, ComputedGaps, pair_terms
from chairgap.compare.completed import completed_sum
from chairgap.compare.split import Site, pairs_of, signed_share, sites_of, sites_of_term
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.records import (
    Chair,
    CompletedSum,
    EstimateTable,
    Face,
    PairTerm,
    PairTerms,
)
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import ByFace, chair, chair_pair
from pair_helpers import declared_pair, tabulated_pair

TABLE = read_estimate_table("chairgap")
TEXTBOOK = read_estimate_table("textbook")
OTHER_FACE: dict[Face, Face] = {"up": "down", "down": "up"}
ANCHORS = Anchors(
    a_values=TABLE.a_values,
    pairs=(
        tabulated_pair(("Cl", "Cl"), "trans-1,4", -1.327, "MP2/def2-TZVP"),
        tabulated_pair(("CH3", "CH3"), "trans-1,2", -1.113, "MP2/def2-TZVP"),
    ),
    declared=(),
    spreads=(),
    model_error_kcal_mol=0.7,
)
MINE = declared_pair(("OH", "CH3"), "cis-1,2", 0.4, 0.1, "water")


def computed(chairs: tuple[Chair, Chair], own: Mapping[frozenset[Site], float | None]) -> ComputedGaps:
    """Singles of 1.0 each; pairs so that p(X, Y) is what `own` says."""
    signs = {(g.carbon, g.face): 1 if g.position == "axial" else -1 for g in chairs[1].groups}
    pairs = {}
    for one, other in pairs_of(chairs[1]):
        value = own.get(frozenset((one, other)))
        pairs[one, other] = None if value is None else value + signs[one] + signs[other]
    return ComputedGaps(
        model="MMFF94 in water",
        medium="water",
        temperature_k=320.0,
        whole_kcal_mol=None,
        single_kcal_mol=dict.fromkeys(sites_of(chairs[0]), 1.0),
        pair_kcal_mol=pairs,
    )


def terms_of(
    chairs: tuple[Chair, Chair], own: Mapping[frozenset[Site], float | None], anchors: Anchors = ANCHORS
) -> dict[tuple[Site, Site], PairTerm | None]:
    return pair_terms(chairs, computed(chairs, own), anchors)


def completed(
    chairs: tuple[Chair, Chair],
    own: float | Mapping[frozenset[Site], float | None] | None = 0.25,
    anchors: Anchors = ANCHORS,
    asked: PairTerms = "completed",
    table: EstimateTable = TABLE,
) -> CompletedSum | None:
    if not isinstance(own, Mapping):
        own = {frozenset(sites): own for sites in pairs_of(chairs[1])}
    terms = terms_of(chairs, own, anchors)
    return completed_sum(chairs, estimate_gap(chairs, table), table, terms, asked, equal_by_symmetry=False)


def sure(found: CompletedSum | None) -> CompletedSum:
    """Found, and its lines add up to its sum."""
    assert found is not None
    shares = [signed_share(term) or 0.0 for term in found.published.terms]
    if found.gap_kcal_mol is not None:
        lines = math.fsum([*shares, *(term.value_kcal_mol for term in found.pairs)])
        assert found.gap_kcal_mol == pytest.approx(lines, abs=1e-9)
    return found


# --- by hand -------------------------------------------------------------------------------------------


def test_a_pair_for_which_the_hand_has_no_rule_is_completed() -> None:
    """trans-1,4-dichloride: 2 x 0.53 = 1.06 as taught, complete; with the pair -0.267."""
    chairs = chair_pair([(1, "up", "Cl"), (4, "down", "Cl")])
    found = sure(completed(chairs))
    assert estimate_gap(chairs, TABLE).complete
    assert found.published.gap_kcal_mol == pytest.approx(1.06)
    assert found.gap_kcal_mol == pytest.approx(-0.267)
    (term,) = found.pairs
    assert (term.origin, term.source, term.medium, term.temperature_k) == (
        "computed",
        "MP2/def2-TZVP",
        "gas phase",
        298.15,
    )


def test_a_published_pair_gets_no_computed_term() -> None:
    """trans-1,2-dimethyl: the table of pairs has it, and so have the interactions: 1.74 + 1.74 - gauche."""
    chairs = chair_pair([(1, "up", "CH3"), (2, "down", "CH3")])
    found = sure(completed(chairs))
    assert found.pairs == ()
    assert found.published == estimate_gap(chairs, TABLE)


def test_a_published_value_that_cancels_still_holds_its_pair() -> None:
    """cis-1,2-CH3/OH: gauche in both chairs, so the sum as taught has nothing of it. Nothing is added."""
    chairs = chair_pair([(1, "up", "CH3"), (2, "up", "OH")])
    assert sure(completed(chairs)).pairs == ()


def test_the_models_pair_carries_its_own_medium_and_temperature() -> None:
    """cis-1,3-CH3/Br both axial in B: no published syn-diaxial value, so the hand sum is incomplete."""
    chairs = chair_pair([(1, "up", "CH3"), (3, "up", "Br")])
    hand = estimate_gap(chairs, TABLE)
    assert hand.missing == ("syn-diaxial Br/CH3",)
    found = sure(completed(chairs, 2.5))
    assert found.complete and found.gap_kcal_mol == pytest.approx((hand.gap_kcal_mol or 0.0) + 2.5)
    (term,) = found.pairs
    assert (term.source, term.medium, term.temperature_k) == ("MMFF94 in water", "water", 320.0)


def test_a_pair_that_the_model_cannot_give_is_named() -> None:
    chairs = chair_pair([(1, "up", "CH3"), (3, "up", "Br")])
    found = sure(completed(chairs, None))
    assert (found.complete, found.missing, found.pairs) == (False, ("cis-1,3 CH3/Br",), ())
    assert found.gap_kcal_mol == estimate_gap(chairs, TABLE).gap_kcal_mol


def test_a_group_without_an_a_value_leaves_the_sum_incomplete() -> None:
    """The model's own gap never stands in for an A-value; the pair is there all the same."""
    chairs = chair_pair([(1, "up", "*CCO"), (2, "down", "CH3")])
    found = sure(completed(chairs))
    assert found.missing == ("A-value of *CCO",)
    assert [term.groups for term in found.pairs] == [("*CCO", "CH3")]
    alone = sure(completed(chair_pair([(1, "up", "*CCO")])))
    assert (alone.gap_kcal_mol, alone.range_kcal_mol) == (None, None)


def test_two_groups_on_one_carbon() -> None:
    """Geminal: never published, so computed; the sum as taught leaves it out and says so."""
    chairs = chair_pair([(1, "up", "CH3"), (1, "down", "C6H5")])
    found = sure(completed(chairs, 2.0))
    assert found.complete and found.pairs[0].relation == "geminal"
    assert found.gap_kcal_mol == pytest.approx((estimate_gap(chairs, TABLE).gap_kcal_mol or 0.0) + 2.0)


def test_equal_groups_that_change_places_have_no_line() -> None:
    chairs = chair_pair([(1, "up", "Br"), (2, "up", "Br"), (4, "up", "OH")])
    own = dict.fromkeys((frozenset(sites) for sites in pairs_of(chairs[1])), 0.25)
    own[frozenset(((1, "up"), (2, "up")))] = 1e-6
    assert [term.groups for term in sure(completed(chairs, own)).pairs] == [("Br", "OH"), ("Br", "OH")]


def test_three_groups_have_a_term_for_each_pair_and_none_for_the_rest() -> None:
    """trans-1,2-dimethyl with Br at 4, all equatorial in A: the gauche pair is published, the syn-diaxial one
    and the one across the ring are not. 2 A(CH3) + A(Br) - gauche as taught, and 2 x 0.25."""
    chairs = chair_pair([(1, "up", "CH3"), (2, "down", "CH3"), (4, "down", "Br")])
    a_values = {row.group: row.value_kcal_mol for row in TABLE.a_values}
    (gauche,) = (r for r in TABLE.interactions if {r.group_1, r.group_2} == {"CH3"} and "gauche" in r.kind)
    found = sure(completed(chairs))
    assert [term.relation for term in found.pairs] == ["trans-1,4", "cis-1,3"]
    taught = 2 * a_values["CH3"] + a_values["Br"] - gauche.value_kcal_mol
    assert estimate_gap(chairs, TABLE).gap_kcal_mol == pytest.approx(taught)
    assert found.gap_kcal_mol == pytest.approx(taught + 0.5)


def test_symmetry_makes_both_sums_zero() -> None:
    chairs = chair_pair([(1, "up", "CH3"), (2, "up", "CH3")])
    hand = zero_by_symmetry(estimate_gap(chairs, TABLE))
    terms = terms_of(chairs, {})
    found = completed_sum(chairs, hand, TABLE, terms, "completed", equal_by_symmetry=True)
    assert found == CompletedSum(published=hand, pairs=(), missing=())
    assert found.gap_kcal_mol == 0.0


# --- declared by the user ------------------------------------------------------------------------------


def test_a_declared_value_takes_the_place_of_the_published_one() -> None:
    """cis-1,2, OH axial in the chair where CH3 is equatorial: +0.4 belongs to that chair less the other."""
    chairs = chair_pair([(1, "up", "CH3"), (2, "up", "OH")])
    mine = replace(ANCHORS, declared=(MINE,))
    sign = 1 if chairs[1].groups[1].position == "axial" else -1
    for asked in ("published", "completed"):
        found = sure(completed(chairs, anchors=mine, asked=asked))
        (term,) = found.pairs
        assert (term.value_kcal_mol, term.source, term.medium) == (sign * 0.4, "lecture 4", "water")
        assert (term.origin, term.temperature_k) == ("declared", None)
        assert {t.kind for t in found.published.terms} == {"A-value"}
    turned = replace(MINE, group_1="CH3", group_2="OH", value_kcal_mol=-0.4)
    same = sure(completed(chairs, anchors=replace(ANCHORS, declared=(turned,))))
    assert same.gap_kcal_mol == pytest.approx(found.gap_kcal_mol)


def test_a_declared_value_takes_the_place_of_a_computed_one() -> None:
    chairs = chair_pair([(1, "up", "Cl"), (4, "down", "Cl")])
    mine = replace(MINE, group_1="Cl", group_2="Cl", relation="trans-1,4", value_kcal_mol=-1.18)
    (term,) = sure(completed(chairs, anchors=replace(ANCHORS, declared=(mine,)))).pairs
    assert (term.origin, term.value_kcal_mol) == ("declared", -1.18)


def test_without_a_request_and_a_declared_pair_there_is_no_completed_sum() -> None:
    chairs = chair_pair([(1, "up", "Cl"), (4, "down", "Cl")])
    assert completed(chairs, asked="published") is None
    assert completed(chairs, asked="published", anchors=replace(ANCHORS, declared=(MINE,))) is None


def test_only_the_declared_pair_is_added_where_completion_was_not_asked_for() -> None:
    """cis-1,2-CH3/OH declared; Br at 3 has pairs without values, which stay missing where they are needed."""
    chairs = chair_pair([(1, "up", "CH3"), (2, "up", "OH"), (3, "up", "Br")])
    found = sure(completed(chairs, anchors=replace(ANCHORS, declared=(MINE,)), asked="published"))
    assert [term.origin for term in found.pairs] == ["declared"]
    assert found.missing == estimate_gap(chairs, TABLE).missing != ()


def test_the_range_widens_by_the_uncertainties_in_quadrature() -> None:
    chairs = chair_pair([(1, "up", "Cl"), (4, "down", "Cl")])
    found = sure(completed(chairs))
    low, high = found.range_kcal_mol or (0.0, 0.0)
    assert (low, high) == (pytest.approx(0.86 - 1.327 - 0.7), pytest.approx(1.28 - 1.327 + 0.7))


# --- for any pattern -----------------------------------------------------------------------------------

SITES: list[tuple[int, Face]] = [(carbon, face) for carbon in range(1, 7) for face in OTHER_FACE]
GROUPS = ("CH3", "OH", "Cl", "Br", "C6H5", "*CCO")


@st.composite
def patterns(draw: st.DrawFn) -> tuple[ByFace, dict[frozenset[Site], float]]:
    """Groups by face with what the model says of each pair."""
    sites = draw(st.lists(st.sampled_from(SITES), unique=True, min_size=1, max_size=5))
    groups = [(carbon, face, draw(st.sampled_from(GROUPS))) for carbon, face in sites]
    pairs = [frozenset((one, other)) for number, one in enumerate(sites) for other in sites[:number]]
    return groups, {pair: draw(st.floats(-3.0, 3.0)) for pair in pairs}


@given(patterns())
def test_each_pair_is_in_one_term_and_the_lines_add_up(made: tuple[ByFace, dict]) -> None:
    groups, own = made
    chairs = chair_pair(groups)
    found = sure(completed(chairs, own))
    published = {frozenset(sites_of_term(t)) for t in found.published.terms if t.kind != "A-value"}
    added = [frozenset(sites_of_term(term)) for term in found.pairs]
    assert not published & set(added) and len(set(added)) == len(added)
    names = {(g.carbon, g.face): g for g in chairs[0].groups}
    for pair in own:
        one, other = (names[site] for site in pair)
        by_symmetry = one.group == other.group and one.position != other.position
        assert by_symmetry or pair in published or pair in added


@given(patterns())
def test_it_is_the_hand_sum_where_no_pair_lacks_a_published_value(made: tuple[ByFace, dict]) -> None:
    groups, own = made
    chairs = chair_pair(groups)
    hand, found = estimate_gap(chairs, TABLE), sure(completed(chairs, own))
    if not found.pairs:
        assert found.gap_kcal_mol == pytest.approx(hand.gap_kcal_mol, abs=1e-9)
    added = math.fsum(term.value_kcal_mol for term in found.pairs)
    if hand.gap_kcal_mol is not None and found.gap_kcal_mol is not None:
        assert found.gap_kcal_mol - added == pytest.approx(hand.gap_kcal_mol, abs=1e-9)


@given(patterns(), st.integers(0, 5), st.booleans(), st.booleans())
def test_numbering_and_mirror_image_change_nothing(
    made: tuple[ByFace, dict], step: int, over: bool, mirror: bool
) -> None:
    """Turned by `step` carbons, looked at from below, and mirrored in the plane of the ring."""
    groups, own = made

    def moved(site: Site) -> Site:
        carbon, face = (site[0] - 1 + step) % 6 + 1, site[1]
        if over:
            carbon, face = 7 - carbon, OTHER_FACE[face]
        return (carbon, OTHER_FACE[face]) if mirror else (carbon, face)

    chairs = chair_pair(groups)
    elsewhere: ByFace = [(*moved((carbon, face)), group) for carbon, face, group in groups]
    # Whether the same conformer has the upper ligands of odd carbons axial in the new writing.
    first, face, _ = groups[0]
    stands = next(g.position for g in chairs[0].groups if (g.carbon, g.face) == (first, face))
    there = moved((first, face))
    flag = next(
        odd
        for odd in (True, False)
        if chair("A", [(*there, "X")], odd_up_axial=odd).groups[0].position == stands
    )
    pair = chair("A", elsewhere, odd_up_axial=flag), chair("B", elsewhere, odd_up_axial=not flag)
    values = {frozenset(map(moved, sites)): value for sites, value in own.items()}
    one, other = sure(completed(chairs, own)), sure(completed(pair, values))
    assert len(one.missing) == len(other.missing)
    assert (one.gap_kcal_mol is None) == (other.gap_kcal_mol is None)
    if one.gap_kcal_mol is not None:
        assert one.gap_kcal_mol == pytest.approx(other.gap_kcal_mol, abs=1e-9)


def test_a_table_of_ones_own_is_completed_as_well() -> None:
    chairs = chair_pair([(1, "up", "CH3"), (4, "down", "Cl")])
    found = sure(completed(chairs, 0.1, table=TEXTBOOK))
    assert found.gap_kcal_mol == pytest.approx((estimate_gap(chairs, TEXTBOOK).gap_kcal_mol or 0.0) + 0.1)
