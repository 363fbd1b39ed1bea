"""What must not change, and what must, when a ring is moved, mirrored or renumbered."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from chairgap.shape.canonical import ring_shape
from chairgap.shape.puckering import puckering, ring_from_puckering

AMPLITUDE = st.floats(0.3, 0.8)
THETA = st.floats(5.0, 175.0)
PHI = st.floats(0.0, 359.9)
SEED = st.integers(0, 10_000)


def same_angle(first: float, second: float, within: float = 1e-6) -> bool:
    return abs((first - second + 180.0) % 360.0 - 180.0) < within


@given(AMPLITUDE, THETA, PHI, SEED)
def test_rotation_and_translation(q: float, theta: float, phi: float, seed: int) -> None:
    ring = ring_from_puckering(q, theta, phi)
    turn = Rotation.random(rng=seed)
    moved = turn.apply(ring) + np.array([3.0, -7.0, 11.0])
    found = puckering(moved)
    assert np.allclose(found[:2], (q, theta), atol=1e-7)
    assert same_angle(found[2], phi)
    assert ring_shape(moved).family == ring_shape(ring).family


@given(AMPLITUDE, THETA, PHI)
def test_starting_one_atom_later_swaps_the_poles(q: float, theta: float, phi: float) -> None:
    # z_j -> z_(j+1): q3 changes sign and phi grows by 120 degrees (from the definition).
    found = puckering(np.roll(ring_from_puckering(q, theta, phi), -1, axis=0))
    assert np.allclose(found[:2], (q, 180.0 - theta), atol=1e-7)
    assert same_angle(found[2], phi + 120.0)


@given(AMPLITUDE, THETA, PHI)
def test_mirror_image_keeps_the_family(q: float, theta: float, phi: float) -> None:
    ring = ring_from_puckering(q, theta, phi)
    mirrored = ring * np.array([-1.0, 1.0, 1.0])
    # Mirrored in a vertical plane the numbering runs the other way: the normal turns over, z changes sign.
    found = puckering(mirrored)
    assert np.allclose(found[:2], (q, 180.0 - theta), atol=1e-7)
    assert same_angle(found[2], phi + 180.0)
    assert ring_shape(mirrored).family == ring_shape(ring).family


@given(AMPLITUDE, THETA, PHI, st.integers(0, 5), st.booleans())
def test_family_does_not_depend_on_numbering(
    q: float, theta: float, phi: float, shift: int, backwards: bool
) -> None:
    ring = ring_from_puckering(q, theta, phi)
    renumbered = np.roll(ring[::-1] if backwards else ring, shift, axis=0)
    first, second = ring_shape(ring), ring_shape(renumbered)
    if first.distance_deg < 10.0:  # well inside one form's cell, where rounding cannot decide
        assert first.family == second.family
        assert abs(first.distance_deg - second.distance_deg) < 1e-5
