"""The anchored gap by hand, its sum rules with made-up energies, and what does not change it."""

import math
from dataclasses import replace
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.anchored import Anchors, ComputedGaps, anchored_gap
from chairgap.compare.pair_rows import pair_relation
from chairgap.compare.split import Site, pairs_of, sites_of
from chairgap.records import Chair, PairInteraction, PairSpread
from chairgap.shape.chairs import two_chairs
from pair_helpers import declared_pair, tabulated_pair
from pipeline_helpers import TABLE, molecule

SPREADS = (
    PairSpread(method="MMFF94", relation="1,2", hydrogen_bond=False, spread_kcal_mol=0.6, values=4),
    PairSpread(method="MMFF94", relation="1,2", hydrogen_bond=True, spread_kcal_mol=0.9, values=2),
    PairSpread(method="MP2", relation="1,2", hydrogen_bond=False, spread_kcal_mol=0.2, values=3),
    PairSpread(method="MP2", relation="1,3", hydrogen_bond=True, spread_kcal_mol=0.4, values=3),
)
ANCHORS = Anchors(a_values=TABLE.a_values, pairs=(), declared=(), spreads=SPREADS, model_error_kcal_mol=0.7)


def chairs_of(groups_by_face: str) -> tuple[Chair, Chair]:
    return two_chairs(molecule(groups_by_face).topology)


def made(
    chairs: tuple[Chair, Chair], whole: float, single: list[float], pair: list[float] | None = None
) -> ComputedGaps:
    sites, pairs = sites_of(chairs[0]), pairs_of(chairs[0])
    return ComputedGaps(
        model="MMFF94",
        medium="gas phase",
        temperature_k=298.15,
        whole_kcal_mol=whole,
        single_kcal_mol=dict(zip(sites, single, strict=True)),
        pair_kcal_mol=dict(zip(pairs, [whole] if pair is None else pair, strict=False)),
    )


def gap(chairs: tuple[Chair, Chair], computed: ComputedGaps, anchors: Anchors = ANCHORS, **more) -> float:
    found = anchored_gap(chairs, computed, anchors, equal_by_symmetry=False, **more)
    assert found.gap_kcal_mol is not None
    assert found.gap_kcal_mol == pytest.approx(math.fsum(p.value_kcal_mol for p in found.parts), abs=1e-9)
    return found.gap_kcal_mol


# --- by hand -------------------------------------------------------------------------------------------


def test_one_group_is_the_measured_value_with_half_its_range() -> None:
    """Cl: 0.53 (0.43 to 0.64), whatever the model says of it."""
    chairs = chairs_of("1 up Cl")
    found = anchored_gap(chairs, made(chairs, -0.10, [-0.10], []), ANCHORS, equal_by_symmetry=False)
    assert found.gap_kcal_mol == pytest.approx(0.53)
    assert found.uncertainty_kcal_mol == pytest.approx(0.105)
    assert [part.kind for part in found.parts] == ["measured A-value"]


def test_no_group_is_surer_than_the_usual_range() -> None:
    """NC: 0.21 (0.20 to 0.22) by two values; PH2: one value. Both have the median half range of the table."""
    half = [0.5 * (row.high_kcal_mol - row.low_kcal_mol) for row in TABLE.a_values]
    usual = median(width for width in half if width > 0.0)
    for group in ("NC", "PH2", "CH3"):
        chairs = chairs_of(f"1 up {group}")
        found = anchored_gap(chairs, made(chairs, 1.0, [1.0], []), ANCHORS, equal_by_symmetry=False)
        assert found.uncertainty_kcal_mol == pytest.approx(usual)


def test_two_groups_by_hand() -> None:
    """trans-1,2: both axial in B. Computed -1.5 for both and 0.1 for each alone: the pair is -1.7, and
    0.53 + 0.53 - 1.7 = -0.64. Uncertainty: the two equal groups err together, 2 x 0.105, and the pair 0.6."""
    chairs = chairs_of("1 up Cl, 2 down Cl")
    found = anchored_gap(chairs, made(chairs, -1.5, [0.1, 0.1]), ANCHORS, equal_by_symmetry=False)
    assert found.gap_kcal_mol == pytest.approx(-0.64)
    assert found.uncertainty_kcal_mol == pytest.approx(math.hypot(0.21, 0.6))
    assert [(part.kind, part.relation) for part in found.parts][-1] == ("pair", "trans-1,2")


def test_a_better_pair_takes_the_place_of_the_models_in_the_sense_of_the_chairs() -> None:
    """cis-1,2-CH3/OH: chair A has the lighter CH3 axial. The table's +0.3 belongs to G(OH axial) -
    G(OH equatorial), which is G(B) - G(A) here: the gap is -1.74 + 0.70 + 0.3."""
    chairs = chairs_of("1 up CH3, 2 up OH")
    assert chairs[0].name == "1a 2e"
    row = tabulated_pair(("OH", "CH3"), "cis-1,2", 0.3, "MP2", 0.15)
    better = replace(ANCHORS, pairs=(row,))
    assert gap(chairs, made(chairs, 5.0, [1.0, 2.0]), better) == pytest.approx(-1.74 + 0.70 + 0.3)
    turned = replace(row, group_1="CH3", group_2="OH", value_kcal_mol=-0.3)
    assert gap(chairs, made(chairs, 5.0, [1.0, 2.0]), replace(ANCHORS, pairs=(turned,))) == pytest.approx(
        -1.74 + 0.70 + 0.3
    )
    elsewhere = replace(row, relation="trans-1,2")
    assert gap(chairs, made(chairs, -1.0, [1.7, 0.6]), replace(ANCHORS, pairs=(elsewhere,))) == pytest.approx(
        -1.74 + 0.70 + (-1.0 + 1.7 - 0.6)
    )


def test_the_spread_of_the_method_widens_a_shipped_pair_and_no_other() -> None:
    """MP2 has 0.2 against published 1,2 pairs; with 0.15 of the method itself 0.25. The model's own: 0.6."""
    chairs = chairs_of("1 up Cl, 2 down Cl")
    computed = made(chairs, -1.5, [0.1, 0.1])
    row = tabulated_pair(("Cl", "Cl"), "trans-1,2", -1.6, "MP2", 0.15)
    shipped = anchored_gap(chairs, computed, replace(ANCHORS, pairs=(row,)), equal_by_symmetry=False)
    assert shipped.parts[-1].uncertainty_kcal_mol == pytest.approx(0.25)
    assert shipped.uncertainty_kcal_mol == pytest.approx(math.hypot(0.21, 0.25))
    own = anchored_gap(chairs, computed, ANCHORS, equal_by_symmetry=False)
    assert own.parts[-1].uncertainty_kcal_mol == pytest.approx(0.6)


def test_three_groups_by_hand() -> None:
    """All equatorial in A: computed 6.0; alone 1.7, 0.6, 1.7; pairs 2.0, 3.5, 2.1 (from 2.3, 3.4, 2.3 if they
    were additive). Pairs -0.3, +0.1, -0.2; rest 6.0 - 4.0 + 0.4 = 2.4; sum of A-values 4.18; total 6.18."""
    chairs = chairs_of("1 up CH3, 2 down OH, 4 up CH3")
    assert chairs[0].name == "1e 2e 4a"
    chairs = chairs_of("1 up CH3, 2 down OH, 4 down CH3")
    assert chairs[0].name == "1e 2e 4e"
    found = anchored_gap(
        chairs, made(chairs, 6.0, [1.7, 0.6, 1.7], [2.0, 3.5, 2.1]), ANCHORS, equal_by_symmetry=False
    )
    assert [round(part.value_kcal_mol, 9) for part in found.parts] == [1.74, 0.70, 1.74, -0.3, 0.1, -0.2, 2.4]
    assert found.gap_kcal_mol == pytest.approx(6.18)
    # 1,3 and 1,4 have no benchmark of this model: its widest counts.
    # CH3: half its range, 0.06, is less than the median half range of the table, 0.10.
    squares = (2 * 0.10) ** 2 + 0.26**2 + 0.6**2 + 2 * 0.9**2 + 1.2**2
    assert found.uncertainty_kcal_mol == pytest.approx(math.sqrt(squares))


def test_a_group_without_an_a_value_is_computed_and_less_certain() -> None:
    chairs = chairs_of("1 up *CF")
    found = anchored_gap(chairs, made(chairs, 1.4, [1.4], []), ANCHORS, equal_by_symmetry=False)
    assert (found.gap_kcal_mol, found.uncertainty_kcal_mol) == (pytest.approx(1.4), pytest.approx(0.7))
    assert (found.parts[0].kind, found.parts[0].origin) == ("computed single group", "MMFF94")


def test_one_published_value_alone_counts_with_the_usual_range_of_the_table() -> None:
    """Neopentyl: 2.00 to 2.00."""
    chairs = chairs_of("1 up CH2C(CH3)3")
    found = anchored_gap(chairs, made(chairs, 2.2, [2.2], []), ANCHORS, equal_by_symmetry=False)
    spans = sorted(
        r.high_kcal_mol - r.low_kcal_mol for r in TABLE.a_values if r.high_kcal_mol > r.low_kcal_mol
    )
    assert spans[(len(spans) - 1) // 2] <= 2 * found.uncertainty_kcal_mol <= spans[len(spans) // 2]


def test_equal_groups_that_change_places_have_no_pair_and_no_uncertainty() -> None:
    chairs = chairs_of("1 up CH3, 2 up CH3, 4 up OH")
    single = [1.7, 1.7, 0.7]
    found = anchored_gap(
        chairs,
        made(chairs, 0.9, single, [0.0, 1.0, -1.0]),
        ANCHORS,
        equal_by_symmetry=False,
    )
    swapped = next(part for part in found.parts if part.groups == ("CH3", "CH3"))
    assert (swapped.value_kcal_mol, swapped.uncertainty_kcal_mol) == (pytest.approx(0.0), 0.0)


def test_a_hydrogen_bond_widens_the_pair() -> None:
    chairs = chairs_of("1 up OH, 2 down Cl")
    computed = made(chairs, 1.0, [0.6, 0.1])
    pairs = pairs_of(chairs[0])
    plain = anchored_gap(chairs, computed, ANCHORS, equal_by_symmetry=False)
    bonded = anchored_gap(chairs, computed, ANCHORS, equal_by_symmetry=False, hydrogen_bonding=pairs)
    assert bonded.parts[-1].uncertainty_kcal_mol == 0.9 > plain.parts[-1].uncertainty_kcal_mol == 0.6


def test_equal_chairs_and_lost_gaps() -> None:
    chairs = chairs_of("1 up CH3, 2 up CH3")
    computed = made(chairs, 0.0, [1.7, 1.7])
    assert anchored_gap(chairs, computed, ANCHORS, equal_by_symmetry=True).gap_kcal_mol == 0.0
    no_chair = replace(computed, whole_kcal_mol=None)
    assert anchored_gap(chairs, no_chair, ANCHORS, equal_by_symmetry=False).note == (
        "one of the two chairs is no minimum of the model"
    )
    site: Site = (2, "up")
    lost = replace(computed, single_kcal_mol={**computed.single_kcal_mol, site: None})
    found = anchored_gap(chairs, lost, ANCHORS, equal_by_symmetry=False)
    assert (found.gap_kcal_mol, found.note) == (None, "the model has no gap for the group on C2 alone")


@pytest.mark.parametrize(
    ("groups_by_face", "relation"),
    [
        ("1 up CH3, 1 down OH", "geminal"),
        ("1 up CH3, 2 up OH", "cis-1,2"),
        ("1 up CH3, 6 down OH", "trans-1,2"),
        ("1 up CH3, 5 up OH", "cis-1,3"),
        ("2 up CH3, 4 down OH", "trans-1,3"),
        ("1 up CH3, 4 up OH", "cis-1,4"),
        ("3 up CH3, 6 down OH", "trans-1,4"),
    ],
)
def test_relations(groups_by_face: str, relation: str) -> None:
    """Counted by hand round the ring."""
    one, other = chairs_of(groups_by_face)[0].groups
    assert pair_relation(one, other) == relation == pair_relation(other, one)


# --- sum rules -----------------------------------------------------------------------------------------

ENERGY = st.floats(-8.0, 8.0)
MOLECULES = st.sampled_from(
    (
        "1 up CH3, 2 down OH",
        "1 up CH3, 1 down Cl, 3 up OH",
        "1 up CH3, 2 down OH, 4 down CH3",
        "1 up Cl, 2 up OH, 3 down CH3, 5 up F",
    )
)


@given(MOLECULES, st.data())
def test_it_is_the_computed_gap_less_the_model_error_of_single_groups(text: str, data: st.DataObject) -> None:
    chairs = chairs_of(text)
    sites, pairs = sites_of(chairs[0]), pairs_of(chairs[0])
    single = [data.draw(ENERGY) for _ in sites]
    whole = data.draw(ENERGY)
    pair = [whole] if len(pairs) == 1 else [data.draw(ENERGY) for _ in pairs]
    a_values = {row.group: row.value_kcal_mol for row in TABLE.a_values}
    axial_in_b = {(g.carbon, g.face): 1 if g.position == "axial" else -1 for g in chairs[1].groups}
    names = {(g.carbon, g.face): g.group for g in chairs[0].groups}
    expected = whole - sum(
        axial_in_b[site] * (gap - a_values[names[site]]) for site, gap in zip(sites, single, strict=True)
    )
    assert gap(chairs, made(chairs, whole, single, pair)) == pytest.approx(expected, abs=1e-9)


@given(MOLECULES, st.data())
def test_where_groups_do_nothing_to_each_other_it_is_the_sum_of_the_a_values(
    text: str, data: st.DataObject
) -> None:
    chairs = chairs_of(text)
    single = [data.draw(ENERGY) for _ in chairs[0].groups]
    signs = [1 if g.position == "axial" else -1 for g in chairs[1].groups]
    alone = dict(zip(sites_of(chairs[0]), (s * g for s, g in zip(signs, single, strict=True)), strict=True))
    pair = [alone[one] + alone[other] for one, other in pairs_of(chairs[0])]
    a_values = {row.group: row.value_kcal_mol for row in TABLE.a_values}
    expected = sum(s * a_values[g.group] for s, g in zip(signs, chairs[1].groups, strict=True))
    assert gap(chairs, made(chairs, math.fsum(alone.values()), single, pair)) == pytest.approx(
        expected, abs=1e-9
    )


@given(MOLECULES, st.data())
def test_exchanging_the_letters_of_the_chairs_turns_the_sign_and_nothing_else(
    text: str, data: st.DataObject
) -> None:
    chairs = chairs_of(text)
    single = [data.draw(ENERGY) for _ in chairs[0].groups]
    whole = data.draw(ENERGY)
    pairs = pairs_of(chairs[0])
    pair = [whole] if len(pairs) == 1 else [data.draw(ENERGY) for _ in pairs]
    row = PairInteraction(
        group_1="OH",
        group_2="CH3",
        relation=data.draw(st.sampled_from(("trans-1,2", "cis-1,2", "cis-1,3", "cis-1,4", "trans-1,4"))),
        value_kcal_mol=data.draw(ENERGY),
        temperature_k=298.15,
        method="MP2",
        method_spread_kcal_mol=0.15,
    )
    anchors = replace(ANCHORS, pairs=(row,))
    one = anchored_gap(chairs, made(chairs, whole, single, pair), anchors, equal_by_symmetry=False)
    exchanged = (chairs[1], chairs[0])
    other = anchored_gap(
        exchanged, made(exchanged, -whole, single, [-p for p in pair]), anchors, equal_by_symmetry=False
    )
    assert one.gap_kcal_mol == pytest.approx(-(other.gap_kcal_mol or 0.0), abs=1e-9)
    assert one.uncertainty_kcal_mol == pytest.approx(other.uncertainty_kcal_mol, abs=1e-9)


def test_a_declared_pair_takes_the_place_of_every_other_with_its_own_uncertainty() -> None:
    """trans-1,2-dichloride: 0.53 + 0.53 - 0.9, whatever the model and the table of pairs say."""
    chairs = chairs_of("1 up Cl, 2 down Cl")
    mine = declared_pair(("Cl", "Cl"), "trans-1,2", -0.9, 0.3)
    row = tabulated_pair(("Cl", "Cl"), "trans-1,2", -1.8, "MP2", 0.1)
    anchors = replace(ANCHORS, pairs=(row,), declared=(mine,))
    found = anchored_gap(chairs, made(chairs, -1.5, [0.1, 0.1]), anchors, equal_by_symmetry=False)
    assert found.gap_kcal_mol == pytest.approx(0.16)
    assert found.uncertainty_kcal_mol == pytest.approx(math.hypot(0.21, 0.3))
    assert (found.parts[-1].kind, found.parts[-1].origin) == ("declared pair", "lecture 4")


def test_equal_groups_that_change_places_are_certain_at_the_level_of_the_study_too() -> None:
    """Their pair is 0 by symmetry, whatever the spread of the method for other pairs of the kind."""
    chairs = chairs_of("1 up CH3, 2 up CH3, 4 up OH")
    computed = made(chairs, 0.9, [1.7, 1.7, 0.7], [0.0, 1.0, -1.0])
    level = replace(computed, model="MP2", pair_kcal_mol={pairs_of(chairs[0])[0]: 0.0})
    other = tabulated_pair(("OH", "Cl"), "cis-1,2", 0.3, "MP2", 0.4)
    anchors = replace(ANCHORS, pairs=(other,), at_level=level)
    found = anchored_gap(chairs, computed, anchors, equal_by_symmetry=False)
    swapped = next(part for part in found.parts if part.groups == ("CH3", "CH3"))
    assert (swapped.origin, swapped.uncertainty_kcal_mol) == ("MP2 (computed here)", 0.0)
