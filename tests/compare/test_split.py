"""The split: its parts by hand, its notes, and pairs of real molecules against fragments computed anew."""

from dataclasses import replace

import pytest

from chairgap.compare.split import Site, split_difference
from chairgap.model.reference_compounds import Memo, written
from chairgap.records import (
    Conformer,
    GapKinds,
    Gaps,
    Result,
    SplitPart,
)
from chairgap.run import treat
from pipeline_helpers import SETTINGS, TABLES, molecule, treated


def kinds(potential: float, ensemble: float, gibbs: float) -> GapKinds:
    return GapKinds(potential_kcal_mol=potential, ensemble_kcal_mol=ensemble, gibbs_kcal_mol=gibbs)


def with_gaps(result: Result, potential: float, ensemble: float, gibbs: float) -> Gaps:
    return replace(
        result.gaps, potential_kcal_mol=potential, ensemble_kcal_mol=ensemble, gibbs_kcal_mol=gibbs
    )


def parts(result: Result, kind: str) -> list[SplitPart]:
    return [part for part in result.split.parts if part.kind == kind]


def tables(result: Result) -> list[tuple[str, str, float | None]]:
    return [
        (part.relation, "/".join(part.groups), part.tabulated_kcal_mol)
        for part in result.split.parts
        if part.groups
    ]


# --- by hand -------------------------------------------------------------------------------------------


def test_one_group_by_hand() -> None:
    """Gaps 1.0, 1.2, 1.9 against methyl's 1.74: all of the difference is the group's own."""
    base = treated("1 up CH3")
    split = split_difference(
        base.chairs, base.estimate, with_gaps(base, 1.0, 1.2, 1.9), {(1, "up"): kinds(1.0, 1.2, 1.9)}, {}
    )
    found = {part.kind: part.difference_kcal_mol for part in split.parts}
    assert found == {
        "single group": pytest.approx(0.16),
        "rotamers": pytest.approx(0.0, abs=1e-12),
        "vibrations": pytest.approx(0.0, abs=1e-12),
        "non-additivity": pytest.approx(0.0, abs=1e-12),
    }


def test_three_groups_by_hand() -> None:
    """cis-1,3 methyl and hydroxyl with a chlorine trans-1,4 to the methyl; invented gaps.

    Chair A has all three equatorial, so every A-value counts +; the table has A(CH3) 1.74, A(OH) 0.70,
    A(Cl) 0.53 and, for CH3/OH syn-diaxial, 2.50 - (1.74 + 0.70) / 2 = 1.28 (Angyal 1969).
    """
    base = treated("1 up CH3, 3 up OH, 4 down Cl")
    assert [group.position for group in base.chairs[0].groups] == ["equatorial"] * 3
    me: Site = (1, "up")
    oh: Site = (3, "up")
    cl: Site = (4, "down")
    singles: dict[Site, GapKinds | None] = {
        me: kinds(1.0, 1.1, 1.3),
        oh: kinds(0.5, 0.4, 0.8),
        cl: kinds(-0.3, -0.3, -0.2),
    }
    pairs: dict[tuple[Site, Site], GapKinds | None] = {
        (me, oh): kinds(3.0, 9.0, 9.0),
        (me, cl): kinds(0.8, 9.0, 9.0),
        (oh, cl): kinds(1.4, 9.0, 9.0),
    }
    split = split_difference(base.chairs, base.estimate, with_gaps(base, 5.0, 5.5, 5.8), singles, pairs)
    by_hand = [
        ("single group", ("CH3",), 1.3, 1.74),
        ("single group", ("OH",), 0.8, 0.70),
        ("single group", ("Cl",), -0.2, 0.53),
        ("pair", ("CH3", "OH"), 3.0 - 1.0 - 0.5, 1.28),
        ("pair", ("CH3", "Cl"), 0.8 - 1.0 + 0.3, None),
        ("pair", ("OH", "Cl"), 1.4 - 0.5 + 0.3, None),
        # (5.5 - 5.0) - (0.1 - 0.1 + 0.0); (5.8 - 5.5) - (0.2 + 0.4 + 0.1); 5.0 - 1.2 - (1.5 + 0.1 + 1.2)
        ("rotamers", (), 0.5, None),
        ("vibrations", (), -0.4, None),
        ("non-additivity", (), 1.0, None),
    ]
    assert [(part.kind, part.groups) for part in split.parts] == [row[:2] for row in by_hand]
    assert [part.computed_kcal_mol for part in split.parts] == pytest.approx([row[2] for row in by_hand])
    for part, row in zip(split.parts, by_hand, strict=True):
        assert part.tabulated_kcal_mol == (None if row[3] is None else pytest.approx(row[3]))
    # 5.8 - (1.74 + 0.70 + 0.53 + 1.28)
    assert split.total_kcal_mol == pytest.approx(1.55, abs=1e-12)


def test_group_that_is_axial_in_chair_a_counts_negative() -> None:
    base = treated("1 up CH3, 2 up C2H5")  # cis-1,2: the lighter one, methyl, is axial in A
    assert base.chairs[0].name == "1a 2e"
    me: Site = (1, "up")
    et: Site = (2, "up")
    split = split_difference(
        base.chairs,
        base.estimate,
        with_gaps(base, 0.0, 0.0, 0.0),
        {me: kinds(1.0, 1.0, 1.5), et: kinds(2.0, 2.0, 2.5)},
        {(me, et): kinds(4.0, 4.0, 4.0)},
    )
    single_me, single_et, pair = split.parts[:3]
    assert (single_me.computed_kcal_mol, single_me.tabulated_kcal_mol) == (-1.5, -1.74)
    assert (single_et.computed_kcal_mol, single_et.tabulated_kcal_mol) == (2.5, 1.79)
    assert pair.computed_kcal_mol == pytest.approx(4.0 + 1.0 - 2.0)
    # One gauche neighbour in both chairs and no value of it: it cancels, and counts as nothing.
    assert pair.tabulated_kcal_mol is None


# --- what the table has, by relation -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("groups_by_face", "expected"),
    [
        # trans-1,2: gauche, 0.87, only where both are equatorial, that is in A
        ("1 up CH3, 2 down CH3", [("", "CH3", 1.74), ("", "CH3", 1.74), ("1,2", "CH3/CH3", -0.87)]),
        # the pair stands across C6 and C1
        ("1 up CH3, 6 down CH3", [("", "CH3", 1.74), ("", "CH3", 1.74), ("1,2", "CH3/CH3", -0.87)]),
        # cis-1,3 across C1: 3.70 - 1.74 more than the two A-values
        ("2 up CH3, 6 up CH3", [("", "CH3", 1.74), ("", "CH3", 1.74), ("1,3", "CH3/CH3", 1.96)]),
        ("1 up CH3, 5 up OH", [("", "CH3", 1.74), ("", "OH", 0.70), ("1,3", "CH3/OH", 1.28)]),
        ("1 up CH3, 4 down OH", [("", "CH3", 1.74), ("", "OH", 0.70), ("1,4", "CH3/OH", None)]),
        ("1 up CH3, 1 down OH", [("", "CH3", -1.74), ("", "OH", 0.70), ("geminal", "CH3/OH", None)]),
        ("3 up CH3, 3 down OH", [("", "CH3", -1.74), ("", "OH", 0.70), ("geminal", "CH3/OH", None)]),
        ("1 up *CF, 3 up CH3", [("", "*CF", None), ("", "CH3", 1.74), ("1,3", "*CF/CH3", None)]),
    ],
)
def test_tabulated_side(groups_by_face: str, expected: list[tuple[str, str, float | None]]) -> None:
    found = tables(treated(groups_by_face))
    assert [row[:2] for row in found] == [row[:2] for row in expected]
    for (*_, value), (*_, wanted) in zip(found, expected, strict=True):
        assert value == (None if wanted is None else pytest.approx(wanted))


# --- notes ---------------------------------------------------------------------------------------------


def test_chairs_equal_by_symmetry_have_nothing_to_divide() -> None:
    for groups_by_face in ("1 up CH3, 2 up CH3", "1 up *[C@@H](C)F, 4 up *[C@H](C)F", "1 up H"):
        split = treated(groups_by_face).split
        assert split.parts == () and "equal by symmetry" in split.note


def test_without_an_estimate_there_is_nothing_to_divide() -> None:
    split = treated("1 up *CF").split
    assert split.parts == () and split.note == "there is no gap, or no estimate, to divide"


def test_without_a_gap_there_is_nothing_to_divide() -> None:
    base = treated("1 up CH3")
    single: dict[Site, GapKinds | None] = {(1, "up"): kinds(1.0, 1.0, 1.0)}
    gone = replace(base.gaps, potential_kcal_mol=None, ensemble_kcal_mol=None, gibbs_kcal_mol=None)
    split = split_difference(base.chairs, base.estimate, gone, single, {})
    assert split.parts == () and split.note == "there is no gap, or no estimate, to divide"


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        ((0,), "CH3 on C2"),
        ((0, 1), "CH3 on C2 with OH on C4"),
        ((1, 2), "OH on C4 with Cl on C5"),
    ],
)
def test_part_that_cannot_be_computed_is_named(lost: tuple[int, ...], words: str) -> None:
    """A memo that already holds the part as one that could not be computed."""
    built = molecule("2 up CH3, 4 up OH, 5 down Cl")
    memo: Memo = {written(*(built.topology.groups[index] for index in lost))[0]: None}
    result = treat(built, TABLES, SETTINGS, memo)
    assert result.split.parts == ()
    assert result.split.note == f"no computed gap of {words} on the bare ring"
    assert result.gaps.gibbs_kcal_mol is not None  # the molecule itself is none the worse


# --- real molecules against fragments computed anew ----------------------------------------------------


def lowest_kcal_mol(fragment: Result, site: Site, position: str) -> float:
    """Lowest potential energy among chairs in which the group at `site` stands so, read from geometry."""

    def stands(conformer: Conformer) -> bool:
        return conformer.shape.family == "chair" and any(
            (ligand.carbon, ligand.face) == site and ligand.position == position
            for ligand in conformer.ligands
        )

    return min(item.minimum.energy_kcal_mol for item in fragment.conformers if stands(item))


def direct_gap(groups_by_face: str, whole: Result, site: Site) -> float:
    """E(B) - E(A) of a fragment, potential, in the sense of the molecule's chairs; no letter is looked at."""
    in_a, in_b = (
        next(group.position for group in chair.groups if (group.carbon, group.face) == site)
        for chair in whole.chairs
    )
    fragment = treated(groups_by_face)
    return lowest_kcal_mol(fragment, site, in_b) - lowest_kcal_mol(fragment, site, in_a)


# molecule, its chair A, two of its groups, and chair A of these two alone: each time the other one.
TURNED = [
    # 1,4 pair diaxial in A, since the chlorines are heavier; alone it has the diequatorial chair as A.
    ("1 up F, 2 up Cl, 4 down F, 5 down Cl", "1a 2e 4a 5e", (1, 4), "1e 4e"),
    # cis-1,2: alone the lighter methyl is axial in A; here the other methyl decides.
    ("1 up CH3, 2 up OH, 4 down CH3", "1e 2a 4e", (1, 2), "1a 2e"),
    # the same with the pair across C6 and C1
    ("1 up CH3, 6 up OH, 4 down CH3", "1e 4e 6a", (1, 6), "1a 6e"),
    # geminal: alone methyl, the lighter, is axial in A
    ("1 up CH3, 1 down F, 3 up C2H5", "1e(CH3) 1a(F) 3e", (1, 1), "1a(CH3) 1e(F)"),
    # trans-1,3 pair off C1
    ("2 up CH3, 4 down Cl, 6 up CH3", "2e 4a 6e", (2, 4), "2a 4e"),
]


@pytest.mark.parametrize(("groups_by_face", "chair_a", "carbons", "alone_chair_a"), TURNED)
def test_pair_has_the_sense_of_the_molecules_chairs(
    groups_by_face: str, chair_a: str, carbons: tuple[int, int], alone_chair_a: str
) -> None:
    whole = treated(groups_by_face)
    assert whole.chairs[0].name == chair_a
    members = [item for item in groups_by_face.split(", ") if int(item[0]) in carbons]
    pair = ", ".join(sorted(members, key=lambda item: (int(item[0]), item.split()[1] != "up")))
    assert treated(pair).chairs[0].name == alone_chair_a  # the letters are the other way round
    assert_pair(whole, pair)


@pytest.mark.parametrize(
    "groups_by_face",
    [row[0] for row in TURNED]
    + [
        "2 up CH3, 5 up OH",
        "3 down CH3, 3 up Cl",
        "2 down F, 3 down OH",
        pytest.param("2 up *[C@H](C)F, 4 up OH, 5 down CN", marks=pytest.mark.long),
        pytest.param("1 up CO2-, 3 up CH3, 6 down F", marks=pytest.mark.long),
    ],
)
def test_every_pair_against_its_fragment(groups_by_face: str) -> None:
    whole = treated(groups_by_face)
    members = groups_by_face.split(", ")
    for index, one in enumerate(members):
        for other in members[index + 1 :]:
            assert_pair(whole, ", ".join(sorted((one, other), key=lambda m: (int(m[0]), "up" not in m))))


def site(groups_by_face: str) -> Site:
    carbon, face, _ = groups_by_face.split()
    return int(carbon), "up" if face == "up" else "down"


def assert_pair(whole: Result, pair: str) -> None:
    """The part of the pair is E2 - E1 - E1', each computed as a molecule with the carbons it has here."""
    one, other = pair.split(", ")
    expected = direct_gap(pair, whole, site(one))
    for alone in (one, other):
        expected -= direct_gap(alone, whole, site(alone))
    (part,) = [
        item
        for item in parts(whole, "pair")
        if item.carbons == (int(one[0]), int(other[0])) and item.groups == groups_of(whole, pair)
    ]
    assert part.computed_kcal_mol == pytest.approx(expected, abs=1e-6)
    assert abs(expected) > 1e-3  # a turned sign would be seen


def groups_of(whole: Result, pair: str) -> tuple[str, ...]:
    names = {(group.carbon, group.face): group.group for group in whole.chairs[0].groups}
    return tuple(names[site(item)] for item in pair.split(", "))


@pytest.mark.parametrize("groups_by_face", [row[0] for row in TURNED])
def test_single_groups_have_the_sense_of_the_molecules_chairs(groups_by_face: str) -> None:
    """Axial in B counts +, and Gibbs energies of the group on a ring of its own."""
    whole = treated(groups_by_face)
    for part, group in zip(parts(whole, "single group"), whole.chairs[1].groups, strict=True):
        alone = treated(f"1 up {group.group}").gaps.gibbs_kcal_mol
        assert alone is not None
        sign = 1 if group.position == "axial" else -1
        assert part.computed_kcal_mol == pytest.approx(sign * alone, abs=1e-9)


@pytest.mark.parametrize(
    "groups_by_face",
    [
        "1 up CH3",
        "4 down OH",
        "2 up CH3, 5 up OH",
        "3 down CH3, 3 up Cl",
        "2 down F, 3 down OH",
        pytest.param("4 up *[C@H](C)O, 6 up F", marks=pytest.mark.long),
        "1 up NH3+, 2 down CO2-",
        "5 up CH3, 6 down CH3",
    ],
)
def test_one_or_two_groups_leave_no_non_additivity(groups_by_face: str) -> None:
    """By definition, wherever on the ring they stand and whether the pair was remembered or not."""
    for result in (treated(groups_by_face), treat(molecule(groups_by_face), TABLES, SETTINGS, {})):
        (rest,) = parts(result, "non-additivity")
        assert rest.computed_kcal_mol == pytest.approx(0.0, abs=1e-9)
        assert len(parts(result, "pair")) == len(result.chairs[0].groups) - 1


@pytest.mark.long
def test_a_remembered_pair_serves_a_larger_molecule() -> None:
    """Whole molecules are kept as parts: the split is the same as with an empty memo."""
    memo: Memo = {}
    for groups_by_face in ("2 up CH3, 3 up OH", "5 up OH, 6 down CH3", "3 up CH3"):
        treat(molecule(groups_by_face), TABLES, SETTINGS, memo)
    groups_by_face = "2 up CH3, 3 up OH, 4 down CH3"
    late = treat(molecule(groups_by_face), TABLES, SETTINGS, memo)
    fresh = treat(molecule(groups_by_face), TABLES, SETTINGS, {})
    assert [(part.kind, part.carbons) for part in late.split.parts] == [
        (part.kind, part.carbons) for part in fresh.split.parts
    ]
    assert [part.computed_kcal_mol for part in late.split.parts] == pytest.approx(
        [part.computed_kcal_mol for part in fresh.split.parts], abs=1e-6
    )
