"""Puckering by hand: ideal rings whose amplitudes follow from the definition."""

import numpy as np
import pytest

from chairgap.shape.puckering import displacements, mean_plane, puckering, ring_from_puckering


def chair_amplitude(bond: float, angle_deg: float) -> float:
    """Q of a D3d chair with 1,3 distance d: z = +-h, bond^2 = d^2 / 3 + (2h)^2, Q = sqrt(6) h."""
    apart = 2.0 * bond * np.sin(np.radians(angle_deg) / 2.0)
    return float(np.sqrt(6.0) * np.sqrt((bond**2 - apart**2 / 3.0) / 4.0))


@pytest.mark.parametrize(
    ("bond", "angle", "expected"), [(1.536, 111.4, 0.565), (1.526, 111.2, 0.568), (1.54, 109.4712, 0.629)]
)
def test_amplitude_of_ideal_chairs(bond: float, angle: float, expected: float) -> None:
    assert chair_amplitude(bond, angle) == pytest.approx(expected, abs=5e-4)
    ring = ring_from_puckering(chair_amplitude(bond, angle), 0.0, 0.0, bond)
    edges = np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1)
    assert edges == pytest.approx(bond, abs=1e-12)


def test_up_is_up_when_numbered_clockwise_from_above() -> None:
    ring = ring_from_puckering(0.56, 0.0, 0.0)
    assert mean_plane(ring)[1] == pytest.approx([0.0, 0.0, 1.0])
    assert displacements(ring)[0] > 0.0
    # Clockwise seen from +z: each step turns to the right.
    turn = np.cross(ring[1] - ring[0], ring[2] - ring[1])[2]
    assert turn < 0.0


def test_flat_ring_has_no_amplitude() -> None:
    assert puckering(ring_from_puckering(0.0, 0.0, 0.0))[0] == pytest.approx(0.0, abs=1e-12)


def test_too_strong_a_pucker_is_refused() -> None:
    with pytest.raises(ValueError, match="too large"):
        ring_from_puckering(3.0, 0.0, 0.0)
