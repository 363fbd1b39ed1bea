"""Degeneracy of a conformer counted by hand: permutations and mirror images, each exactly once.

Hand rule for one group: the ring with its group has one mirror plane at most, through C1, C4 and the group.
A conformer that has it is its own mirror image and counts 1; without it there is a left and a right form and
it counts 2 (common practice, no source).
"""

import numpy as np
import pytest

from chairgap.records import Conformer, Result
from chairgap.shape.degeneracy import chairs_equal_by_symmetry
from pipeline_helpers import (
    CYCLOHEXANE,
    in_chair,
    lattice,
    neighbours,
    non_chairs,
    torsion_deg,
    treated,
)

ONE_GROUP = ("CH3", "C2H5", "CH(CH3)2", "C(CH3)3", "OH", "NH2", "C6H5", "NO2")


def is_its_own_mirror_image(result: Result, conformer: Conformer) -> bool:
    """Reflects every atom in the plane through C1, C4 and the first atom of the group on C1."""
    topology, positions = result.molecule.topology, conformer.minimum.positions
    group_atom = topology.groups[0][1].atom
    first, fourth = positions[topology.ring[0]], positions[topology.ring[3]]
    normal = np.cross(fourth - first, positions[group_atom] - first)
    normal /= np.linalg.norm(normal)
    image = positions - 2.0 * np.outer((positions - first) @ normal, normal)
    apart = np.linalg.norm(image[:, None] - positions[None], axis=-1)
    nearest = apart.argmin(axis=1)
    same_kind = all(topology.symbols[i] == topology.symbols[j] for i, j in enumerate(nearest))
    return bool(apart.min(axis=1).max() < 0.1) and same_kind


def hydrogen_torsion_deg(result: Result, conformer: Conformer, end: str) -> float:
    """Dihedral H-C1-X-end, `end` being the only atom of that element on the group's first atom X."""
    topology = result.molecule.topology
    ring_carbon = int(topology.ring[0])
    first = topology.groups[0][1].atom
    hydrogen = next(lig.atom for lig in topology.carbons[0].ligands if lig.group == "H")
    (last,) = [
        atom for atom in neighbours(topology, first) if atom != ring_carbon and topology.symbols[atom] == end
    ]
    return abs(torsion_deg(conformer.minimum.positions, hydrogen, ring_carbon, first, last))


@pytest.mark.parametrize("group", ONE_GROUP)
def test_one_group_counts_one_with_a_mirror_plane_and_two_without(group: str) -> None:
    result = treated(f"1 up {group}")
    for letter in ("A", "B"):
        conformers = in_chair(result, letter)
        assert conformers
        for conformer in conformers:
            expected = 1 if is_its_own_mirror_image(result, conformer) else 2
            found = (conformer.degeneracy_a, conformer.degeneracy_b, conformer.degeneracy_other)
            assert found == ((expected, 0, 0) if letter == "A" else (0, expected, 0)), conformer.number


@pytest.mark.parametrize("group", ["CH3", "C(CH3)3"])
def test_a_twist_boat_with_one_group_counts_two(group: str) -> None:
    # Twist-boats have no mirror plane at all.
    conformers = non_chairs(treated(f"1 up {group}"))
    assert conformers and [c.degeneracy_other for c in conformers] == [2] * len(conformers)


def test_methyl_counts_one_in_either_chair() -> None:
    result = treated("1 up CH3")
    assert [c.degeneracy_a for c in in_chair(result, "A")] == [1]
    assert [c.degeneracy_b for c in in_chair(result, "B")] == [1]


def test_equatorial_ethyl_has_two_gauche_forms_and_one_anti_form() -> None:
    result = treated("1 up C2H5")
    copies = {
        round(hydrogen_torsion_deg(result, conformer, "C") / 60.0): conformer.degeneracy_a
        for conformer in in_chair(result, "A")
    }
    assert copies == {1: 2, 3: 1}  # H-C1-C-C near 60 and 180 degrees


def test_equatorial_isopropyl_has_two_gauche_forms_and_one_anti_form() -> None:
    result = treated("1 up CH(CH3)2")
    copies = {
        round(hydrogen_torsion_deg(result, conformer, "H") / 60.0): conformer.degeneracy_a
        for conformer in in_chair(result, "A")
    }
    assert copies == {1: 2, 3: 1}  # H-C1-C-H near 60 and 180 degrees


def test_equatorial_hydroxyl_has_two_gauche_forms_and_one_anti_form() -> None:
    result = treated("1 up OH")
    copies = {
        round(hydrogen_torsion_deg(result, conformer, "H") / 60.0): conformer.degeneracy_a
        for conformer in in_chair(result, "A")
    }
    assert copies == {1: 2, 3: 1}


def test_equatorial_tert_butyl_counts_one_and_its_twisted_axial_form_two() -> None:
    result = treated("1 up C(CH3)3")
    assert [c.degeneracy_a for c in in_chair(result, "A")] == [1]
    # The axial group turns aside from the two hydrogens below it, to the left or to the right.
    assert [c.degeneracy_b for c in in_chair(result, "B")] == [2]


@pytest.mark.parametrize(
    ("group", "turns"),
    [("CH3", 1), ("C(CH3)3", 3), ("OH", 1), ("NH2", 2), ("C6H5", 2), ("NO2", 2), ("CF3", 3), ("CO2CH3", 1)],
)
def test_relabellings_by_turning_one_rotor(group: str, turns: int) -> None:
    # Methyl hydrogens are not told apart; a tert-butyl group has three orientations, not six, since no
    # rotation exchanges two of its methyls alone.
    assert lattice(f"1 up {group}").operations.rotor_degeneracy == turns


def test_cyclohexane_has_two_chairs_and_six_twist_boats() -> None:
    result = treated(CYCLOHEXANE)
    chair, twist = result.conformers
    assert (chair.degeneracy_a, chair.degeneracy_b, chair.degeneracy_other) == (1, 1, 0)
    assert (twist.shape.family, twist.degeneracy_other, twist.degeneracy) == ("twist-boat", 6, 6)


@pytest.mark.parametrize(
    ("groups_by_face", "equal"),
    [
        (CYCLOHEXANE, True),
        ("1 up CH3", False),
        ("1 up CH3, 1 down CH3", True),
        ("1 up CH3, 2 up CH3", True),  # the chairs are mirror images
        ("1 up CH3, 2 down CH3", False),
        ("1 up CH3, 3 up CH3", False),
        ("1 up CH3, 3 down CH3", True),  # identical
        ("1 up CH3, 4 up CH3", True),  # identical
        ("1 up CH3, 4 down CH3", False),
        ("1 up CH3, 2 up OH", False),
        ("1 up CH3, 3 up CH3, 5 up CH3", False),
    ],
)
def test_which_pairs_of_chairs_are_equal(groups_by_face: str, equal: bool) -> None:
    assert chairs_equal_by_symmetry(lattice(groups_by_face).operations) is equal
    gaps = treated(groups_by_face).gaps
    assert gaps.equal_by_symmetry is equal
    values = (gaps.potential_kcal_mol, gaps.ensemble_kcal_mol, gaps.gibbs_kcal_mol)
    if equal:
        assert values == (0.0, 0.0, 0.0)  # exactly, not within rounding
        assert (gaps.equilibrium_constant, gaps.population_a) == (1.0, gaps.population_b)
    else:
        assert all(abs(value) > 0.1 for value in values)


@pytest.mark.parametrize(
    ("groups_by_face", "in_a", "in_b"),
    [
        ("1 up CH3, 1 down CH3", [1], [1]),
        ("1 up CH3, 2 up CH3", [1], [1]),
        ("1 up CH3, 2 down CH3", [1], [1]),
        ("1 up CH3, 3 up CH3", [1], [1]),
        ("1 up CH3, 3 down CH3", [1], [1]),
        ("1 up CH3, 4 up CH3", [1], [1]),
        ("1 up CH3, 4 down CH3", [1], [1]),
        ("1 up CH3, 3 up CH3, 5 up CH3", [1], [1]),
    ],
)
def test_methylated_chairs_count_once_in_each_chair(
    groups_by_face: str, in_a: list[int], in_b: list[int]
) -> None:
    result = treated(groups_by_face)
    assert [c.degeneracy_a for c in in_chair(result, "A")] == in_a
    assert [c.degeneracy_b for c in in_chair(result, "B")] == in_b


@pytest.mark.parametrize(
    ("groups_by_face", "twist_boats"),
    [
        (CYCLOHEXANE, 6),
        ("1 up CH3", 6),
        ("1 up CH3, 2 down CH3", 6),
        ("1 up CH3, 4 down CH3", 6),
        ("1 up CH3, 3 up CH3, 5 up CH3", 6),
    ],
)
def test_all_six_places_on_the_twist_boat_circle_are_counted(groups_by_face: str, twist_boats: int) -> None:
    """One minimum for each of the six twist-boats, where substitution has not merged or split any."""
    assert sum(c.degeneracy_other for c in non_chairs(treated(groups_by_face))) == twist_boats


def test_a_twist_boat_on_a_twofold_axis_is_counted() -> None:
    """trans-1,3-di-tert-butyl: the axis through C2 turns chair A into chair B of the numbering."""
    result = treated("1 up C(CH3)3, 3 down C(CH3)3")
    lowest = result.conformers[0]
    assert (lowest.shape.family, lowest.degeneracy_other, lowest.degeneracy) == ("twist-boat", 1, 1)
    assert all(conformer.degeneracy > 0 for conformer in result.conformers)
