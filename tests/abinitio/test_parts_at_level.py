"""Which rings are computed at a level, and how their gaps enter the anchored gap, by hand."""

import math
from dataclasses import replace
from types import SimpleNamespace

import pytest

from chairgap.compare.anchored import Anchors, ComputedGaps, anchored_gap
from chairgap.compare.split import pairs_of, sites_of
from chairgap.model.parts_at_level import chairs_alike, gaps_at_level, needed_at_level
from chairgap.molecule.build import writing_of
from chairgap.records import PairInteraction, PairSpread
from chairgap.shape.chairs import two_chairs
from chairgap.shape.degeneracy import chairs_equal_by_symmetry
from pair_helpers import tabulated_pair
from pipeline_helpers import TABLE, TABLES, lattice, molecule

TZVP, SVP = "MP2/def2-TZVP", "MP2/def2-SVP"
SPREADS = (
    PairSpread(method="MMFF94", relation="1,2", hydrogen_bond=False, spread_kcal_mol=0.6, values=4),
    PairSpread(method=TZVP, relation="1,2", hydrogen_bond=False, spread_kcal_mol=0.2, values=3),
)
ANCHORS = Anchors(a_values=TABLE.a_values, pairs=(), declared=(), spreads=SPREADS, model_error_kcal_mol=0.7)


def needed(groups_by_face: str, pairs: tuple[PairInteraction, ...] = TABLES.pairs, level: str = TZVP) -> list:
    found = needed_at_level(molecule(groups_by_face).topology, pairs, level)
    return [tuple(carbon for carbon, _ in item.sites) for item in found]


@pytest.mark.parametrize(
    "groups_by_face",
    [
        *("1 up CH3", "1 up CH3, 1 down CH3", "1 up F, 1 down Cl"),
        *(f"1 up Cl, {carbon} {face} Cl" for carbon in (2, 3, 4) for face in ("up", "down")),
        *("1 up F, 2 up Cl", "1 up *[C@H](F)C, 2 up *[C@H](F)C", "1 up *[C@H](F)C, 2 up *[C@@H](F)C"),
        *("1 up F, 3 up F, 5 up F", "1 up F, 2 up F, 4 down F", "1 up F, 2 up F, 3 down F, 4 down F"),
        "1 up F, 2 down F, 3 up F, 4 down F, 5 up F, 6 down F",
    ],
)
def test_equal_chairs_are_seen_in_the_writing(groups_by_face: str) -> None:
    """Against the operations of the molecule itself, which are found in another way."""
    expected = chairs_equal_by_symmetry(lattice(groups_by_face).operations)
    assert chairs_alike(writing_of(molecule(groups_by_face).topology)) == expected


def test_a_covered_pair_a_single_group_and_equal_chairs_need_nothing() -> None:
    assert needed("1 up F, 2 down F") == []
    assert needed("1 up N(CH3)2") == []
    assert needed("1 up CN, 2 up CN") == []
    assert needed("1 up F, 2 down CN", level="none") == []


def test_a_pair_that_the_table_lacks_needs_itself_and_its_groups_alone() -> None:
    assert needed("1 up F, 2 down CN") == [(1,), (2,), (1, 2)]


def test_three_groups_need_every_group_the_missing_pairs_and_the_molecule() -> None:
    """F/CN trans-1,2 is missing, the rest stands in the table."""
    have = {(1, 4), (2, 4)}
    rows = tuple(
        tabulated_pair((one, "CH3"), relation, 0.0, TZVP)
        for one, relation in (("F", "cis-1,4"), ("CN", "trans-1,3"))
    )
    text = "1 up F, 2 down CN, 4 up CH3"
    assert needed(text, rows) == [(1,), (2,), (4,), (1, 2), (1, 2, 4)]
    assert have.isdisjoint(needed(text, rows))
    # With rows of another method the rest stays the model's, and the methyl group alone is not needed.
    assert needed(text, rows, SVP) == [(1,), (2,), (1, 2)]


def gaps(model: str, chairs, whole: float | None, single: list[float], pair: list[float]) -> ComputedGaps:  # type: ignore[no-untyped-def]
    return ComputedGaps(
        model=model,
        medium="gas phase",
        temperature_k=298.15,
        whole_kcal_mol=whole,
        single_kcal_mol=dict(zip(sites_of(chairs[0]), single, strict=False)),
        pair_kcal_mol=dict(zip(pairs_of(chairs[0]), pair, strict=False)),
    )


def test_two_groups_by_hand() -> None:
    """Both axial in B. At the level the pair is 0.50 - 0.20 - 0.10 = 0.20; by the model -0.9 - 0 - 0."""
    chairs = two_chairs(molecule("1 up F, 2 down CN").topology)
    model = gaps("MMFF94", chairs, -0.9, [0.0, 0.0], [-0.9])
    level = gaps(TZVP, chairs, None, [0.2, 0.1], [0.5])
    found = anchored_gap(chairs, model, replace(ANCHORS, at_level=level), equal_by_symmetry=False)
    pair = found.parts[2]
    assert pair.value_kcal_mol == pytest.approx(0.2)
    assert (pair.origin, pair.uncertainty_kcal_mol) == (f"{TZVP} (computed here)", 0.2)
    a_values = {row.group: row.value_kcal_mol for row in TABLE.a_values}
    assert found.gap_kcal_mol == pytest.approx(a_values["F"] + a_values["CN"] + 0.2)


def test_a_level_without_a_benchmark_has_the_widest_spread() -> None:
    chairs = two_chairs(molecule("1 up F, 2 down CN").topology)
    model = gaps("MMFF94", chairs, -0.9, [0.0, 0.0], [-0.9])
    level = gaps(SVP, chairs, None, [0.2, 0.1], [0.5])
    found = anchored_gap(chairs, model, replace(ANCHORS, at_level=level), equal_by_symmetry=False)
    assert found.parts[2].uncertainty_kcal_mol == 0.6


@pytest.mark.parametrize("whole", [1.0, None])
def test_three_groups_by_hand(whole: float | None) -> None:
    """All axial in B: singles 0.1, 0.2, 0.3; pairs 0.1 less, nothing more and 0.2 more than their singles;
    so the rest at the level is 1.0 - 0.6 - 0.1 = 0.3. Without the molecule at the level it is the model's."""
    chairs = two_chairs(molecule("1 up F, 3 up CN, 5 up CH3").topology)
    model = gaps("MMFF94", chairs, 0.7, [0.0, 0.0, 0.0], [0.0, 0.0, 0.0])
    level = gaps(TZVP, chairs, whole, [0.1, 0.2, 0.3], [0.2, 0.4, 0.7])
    found = anchored_gap(chairs, model, replace(ANCHORS, at_level=level), equal_by_symmetry=False)
    *_, one, two, three, rest = found.parts
    assert [part.value_kcal_mol for part in (one, two, three)] == pytest.approx([-0.1, 0.0, 0.2])
    assert rest.value_kcal_mol == pytest.approx(0.3 if whole else 0.7)
    assert rest.origin == (f"{TZVP} (computed here)" if whole else "MMFF94")
    assert found.gap_kcal_mol == pytest.approx(math.fsum(part.value_kcal_mol for part in found.parts))
    if whole:
        # With everything at one level: that level's gap less its error for single groups.
        a_values = {row.group: row.value_kcal_mol for row in TABLE.a_values}
        error = 0.6 - a_values["F"] - a_values["CN"] - a_values["CH3"]
        assert found.gap_kcal_mol == pytest.approx(whole - error)


def test_a_note_does_not_give_pairs_to_the_model_where_only_the_whole_molecule_is_lost() -> None:
    """The three pairs are at the level; the rest alone is the model's."""
    made = molecule("1 up F, 3 up CN, 5 up CH3")
    computed = SimpleNamespace(molecule=made, chairs=two_chairs(made.topology))

    def look_up(ring):  # type: ignore[no-untyped-def]
        groups = sum(fragment != "*[H]" for faces in ring for fragment in faces)
        chairs = computed.chairs
        return "no" if groups == 3 else SimpleNamespace(gap_kcal_mol=0.5, chairs=chairs, conformers=())

    found, notes = gaps_at_level(computed, (), TZVP, look_up, temperature_k=298.15)
    assert found is not None and found.whole_kcal_mol is None and len(found.pair_kcal_mol) == 3
    (lost,) = [note for note in notes if "gave nothing" in note]
    assert lost.endswith("1 up F, 3 up CN, 5 up CH3 (no); every part that needs it is taken from the model.")
