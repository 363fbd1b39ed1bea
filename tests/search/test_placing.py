"""Placed starts have the asked configuration on every ring, before anything is minimised."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Topology
from chairgap.search.placing import place
from chairgap.search.ring_templates import RingStart, all_ring_starts
from chairgap.search.rotamers import turn_by
from chairgap.shape.ideal import exocyclic_directions
from chairgap.shape.puckering import puckering
from pipeline_helpers import lattice, molecule

# Hands and sides inside the groups too: a stereocentre, a double bond, a sulfoxide, an inverting amine.
GROUPS = ("CH3", "OH", "C(CH3)3", "*[C@H](C)CC", "*[C@@H](F)O", "*/C=C/C", r"*/C=C\C", "*[S@](C)=O", "*NC")
CROWDED = "1 up *[C@H](C)CC, 1 down OH, 2 down *[S@](C)=O, 4 up *NC, 5 down CH3, 6 up CO2CH3"
RINGS = pytest.mark.parametrize("start", all_ring_starts(), ids=lambda start: start.label)


def signed_volume_is_right(topology: Topology, positions: np.ndarray) -> bool:
    """Seen from its upper ligand, previous carbon, next carbon and lower ligand of each ring atom turn the
    same way as for a flat hexagon numbered clockwise from above."""
    ring = positions[topology.ring]
    for index, carbon in enumerate(topology.carbons):
        before, after = ring[index - 1], ring[(index + 1) % 6]
        lower = positions[carbon.down.atom]
        upper = positions[carbon.up.atom]
        if np.linalg.det([before - upper, after - upper, lower - upper]) >= 0.0:
            return False
    return True


def test_the_volume_rule_on_a_flat_hexagon() -> None:
    topology = molecule("1 up H").topology
    positions = np.zeros((18, 3))
    turn = np.radians(60.0) * np.arange(6)
    positions[topology.ring] = np.column_stack(
        [np.cos(turn), -np.sin(turn), np.zeros(6)]
    )  # clockwise from +z
    for carbon in topology.carbons:
        positions[carbon.up.atom] = positions[carbon.atom] * 1.3 + [0.0, 0.0, 1.0]
        positions[carbon.down.atom] = positions[carbon.atom] * 1.3 - [0.0, 0.0, 1.0]
    assert signed_volume_is_right(topology, positions)
    assert not signed_volume_is_right(topology, positions * [1.0, 1.0, -1.0])


@RINGS
def test_a_crowded_pattern_on_each_of_the_eight_rings(start: RingStart) -> None:
    check(CROWDED, start)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(
    st.dictionaries(
        st.tuples(st.integers(1, 6), st.sampled_from(("up", "down"))),
        st.sampled_from(GROUPS),
        min_size=1,
        max_size=4,
    )
)
def test_random_patterns_on_all_eight_rings(groups: dict[tuple[int, str], str]) -> None:
    groups_by_face = ", ".join(f"{carbon} {face} {group}" for (carbon, face), group in sorted(groups.items()))
    for start in all_ring_starts():
        check(groups_by_face, start)


def check(groups_by_face: str, start: RingStart) -> None:
    built, points = molecule(groups_by_face), lattice(groups_by_face)
    rng = np.random.default_rng(8)
    for pick in (0, -1):  # the first and the last variant of each group
        variants = {atom: own[pick] for atom, own in zip(points.groups, points.variants, strict=True)}
        positions = place(built.topology, start.ring, variants)
        assert signed_volume_is_right(built.topology, positions)
        assert stereo_survives(built, positions)
        for rotor in points.rotors:
            positions = turn_by(rotor, positions, float(rng.uniform(0.0, 360.0)))
        assert stereo_survives(built, positions)
        assert puckering(positions[built.topology.ring]) == pytest.approx(puckering(start.ring))


@RINGS
def test_placed_groups_keep_their_bonds(start: RingStart) -> None:
    """Bond lengths from group to ring are those of the group shaped alone; C-H is 1.10 angstrom."""
    built, points = molecule(CROWDED), lattice(CROWDED)
    variants = {atom: own[0] for atom, own in zip(points.groups, points.variants, strict=True)}
    positions = place(built.topology, start.ring, variants)
    for carbon in built.topology.carbons:
        for ligand in carbon.ligands:
            length = np.linalg.norm(positions[ligand.atom] - positions[carbon.atom])
            if ligand.group == "H":
                assert length == pytest.approx(1.10)
            else:
                alone = variants[ligand.atom]
                (first,) = np.flatnonzero(alone.atoms == ligand.atom)
                assert length == pytest.approx(np.linalg.norm(alone.positions[first]))
                assert 1.3 < length < 2.0


@RINGS
def test_the_two_bonds_of_a_carbon_make_the_tetrahedral_angle(start: RingStart) -> None:
    directions = exocyclic_directions(start.ring)
    cosines = (directions[:, 0] * directions[:, 1]).sum(axis=1)
    assert np.degrees(np.arccos(cosines)) == pytest.approx(109.471, abs=1e-3)
    assert np.linalg.norm(directions, axis=2) == pytest.approx(1.0)
