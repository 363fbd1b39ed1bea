"""The ring flip on computed chairs of random substitution patterns. Common practice, no source."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from chairgap.records import ChairLetter, Conformer, Result
from pipeline_helpers import in_chair, ring_torsions_deg, torsion_deg, treated

SWAPPED = {"axial": "equatorial", "equatorial": "axial"}
# Small groups, so that both chairs are minima; up to four on the twelve places of the ring.
PATTERNS = st.dictionaries(
    st.tuples(st.integers(1, 6), st.sampled_from(("up", "down"))),
    st.sampled_from(("CH3", "F", "Cl", "CN")),
    min_size=1,
    max_size=4,
).map(lambda groups: ", ".join(f"{c} {face} {group}" for (c, face), group in sorted(groups.items())))
FEW = settings(max_examples=12, deadline=None, derandomize=True)


def both_chairs(groups_by_face: str) -> tuple[Result, Conformer, Conformer]:
    """A minimum of either chair *as labelled by its coordinates*; equal chairs stand for one another, so one
    of them is then the other's ring flip only up to numbering and the pattern is passed over."""
    result = treated(groups_by_face)
    found = {item.chair: item for item in reversed(result.conformers)}
    assume("A" in found and "B" in found)
    return result, found["A"], found["B"]


@FEW
@given(PATTERNS)
def test_flip_swaps_axial_and_equatorial_everywhere_and_keeps_every_face(groups_by_face: str) -> None:
    _, one, other = both_chairs(groups_by_face)
    assert [(x.carbon, x.face, x.group) for x in one.ligands] == [
        (x.carbon, x.face, x.group) for x in other.ligands
    ]
    assert [SWAPPED[x.position] for x in one.ligands] == [x.position for x in other.ligands]


@FEW
@given(PATTERNS)
def test_flip_turns_every_ring_torsion_to_the_other_sign(groups_by_face: str) -> None:
    result, one, other = both_chairs(groups_by_face)
    first, second = (ring_torsions_deg(result, item.minimum.positions) for item in (one, other))
    assert np.all(first * second < 0.0)
    assert all(a * b < 0.0 for a, b in pairwise([*first, first[0]]))


@FEW
@given(PATTERNS)
def test_every_chair_has_three_axial_up_and_three_down_alternating(groups_by_face: str) -> None:
    for item in treated(groups_by_face).conformers:
        if item.chair is None:
            continue
        axial = [x.face for x in item.ligands if x.position == "axial"]
        equatorial = [x.face for x in item.ligands if x.position == "equatorial"]
        assert len(axial) == len(equatorial) == 6
        assert all(a != b for a, b in pairwise([*axial, axial[0]]))
        assert all(a != e for a, e in zip(axial, equatorial, strict=True))


@FEW
@given(PATTERNS)
def test_computed_positions_are_those_the_two_named_chairs_promise(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    promised = {chair.letter: chair for chair in result.chairs}
    for item in result.conformers:
        if item.chair is None:
            continue
        seen = [(x.carbon, x.face, x.position) for x in item.ligands if x.group != "H"]
        assert seen == [(g.carbon, g.face, g.position) for g in promised[item.chair].groups]


@FEW
@given(PATTERNS)
def test_neighbours_are_anti_only_when_both_are_axial(groups_by_face: str) -> None:
    """Vicinal groups: a/a stand at 180 degrees, a/e and e/e at 60; crowding bends them by up to 30."""
    result = treated(groups_by_face)
    topology = result.molecule.topology
    for item in result.conformers:
        if item.chair is None:
            continue
        placed = {(x.carbon, x.face): x.position for x in item.ligands}
        for near, far in pairwise([*topology.carbons, topology.carbons[0]]):
            for one in near.ligands:
                for two in far.ligands:
                    angle = torsion_deg(item.minimum.positions, one.atom, near.atom, far.atom, two.atom)
                    pair = placed[near.locant, one.face], placed[far.locant, two.face]
                    expected = 180.0 if pair == ("axial", "axial") else 60.0
                    assert abs(angle) == pytest.approx(expected, abs=30.0)


@pytest.mark.parametrize(("letter", "contacts"), [("A", 0), ("B", 2)])
def test_an_axial_group_meets_two_axial_hydrogens(letter: ChairLetter, contacts: int) -> None:
    best = in_chair(treated("1 up CH3"), letter)[0]
    diaxial = [contact for contact in best.contacts if contact.kind == "1,3-diaxial"]
    assert len(diaxial) == contacts
    for contact in diaxial:
        assert contact.groups == ("CH3", "H") and set(contact.carbons) in ({1, 3}, {1, 5})
        assert 2.0 < contact.distance_angstrom < 2.8  # closest pair of hydrogens


@pytest.mark.parametrize(
    ("groups_by_face", "letter", "gauche", "diaxial"),
    [
        ("1 up CH3, 2 down CH3", "A", 1, 0),  # ee
        ("1 up CH3, 2 down CH3", "B", 0, 4),  # aa: anti
        ("1 up CH3, 2 up CH3", "A", 1, 2),  # ae
        ("1 up CH3, 3 up CH3", "B", 0, 3),  # aa: one CH3/CH3, and CH3/H from either
        ("1 up CH3, 4 down CH3", "B", 0, 4),
    ],
)
def test_contacts_of_dimethyls_counted_by_hand(
    groups_by_face: str, letter: ChairLetter, gauche: int, diaxial: int
) -> None:
    best = in_chair(treated(groups_by_face), letter)[0]
    kinds = [contact.kind for contact in best.contacts]
    assert (kinds.count("gauche"), kinds.count("1,3-diaxial")) == (gauche, diaxial)
