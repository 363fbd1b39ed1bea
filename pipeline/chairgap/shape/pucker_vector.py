"""Cremer-Pople puckering of a six-ring as three Cartesian-like numbers, with their analytic gradient.

The point (q2 cos phi, q2 sin phi, q3), whose length is Q and whose direction is (theta, phi) on the sphere,
has no singular places (theta and phi do: at the chairs phi means nothing). Source of the coordinates: D.
Cremer, J. A. Pople, J. Am. Chem. Soc. 1975, 97, 1354 (doi 10.1021/ja00839a011, from memory); the gradient is
our own derivation from their definition of the mean plane.
"""

import numpy as np

from chairgap.records import Floats
from chairgap.shape.vectors import cross

_TURN = 2.0 * np.pi * np.arange(6) / 6.0
RING_SINES, RING_COSINES = np.sin(_TURN), np.cos(_TURN)
# Rows give q2 cos phi, q2 sin phi and q3 from the heights z_j; each row sums to zero.
WEIGHTS = np.stack(
    [
        np.sqrt(1.0 / 3.0) * np.cos(2.0 * _TURN),
        -np.sqrt(1.0 / 3.0) * np.sin(2.0 * _TURN),
        np.sqrt(1.0 / 6.0) * (-1.0) ** np.arange(6),
    ]
)


def pucker_vector(ring: Floats) -> Floats:
    """(q2 cos phi, q2 sin phi, q3) of ring (6, 3), in the unit of ring."""
    return pucker_vector_and_gradient(ring)[0]


def pucker_vector_and_gradient(ring: Floats) -> tuple[Floats, Floats]:
    """The vector (3,) and its derivatives (3, 6, 3) by the ring's coordinates (6, 3)."""
    # (1) N = R' x R'', R' = sum R_j sin, R'' = sum R_j cos; (2) xi_k = (sum_j w_kj R_j) . N / |N|
    r_sin, r_cos = RING_SINES @ ring, RING_COSINES @ ring
    area = cross(r_sin, r_cos)
    length = float(np.linalg.norm(area))
    normal = area / length
    sums = WEIGHTS @ ring
    vector: Floats = sums @ normal
    # (3) d xi_k = w_kj n . dR_j + V . (dR' x R'' + R' x dR'') / |N|, V the part of the sum across n
    across = sums - np.outer(vector, normal)
    by_sin = cross(r_cos, across) / length
    by_cos = cross(across, r_sin) / length
    gradient: Floats = (
        WEIGHTS[:, :, None] * normal
        + RING_SINES[None, :, None] * by_sin[:, None, :]
        + RING_COSINES[None, :, None] * by_cos[:, None, :]
    )
    return vector, gradient


def on_sphere(q_angstrom: float, theta_deg: Floats | float, phi_deg: Floats | float) -> Floats:
    """(..., 3) the vectors of rings with this Q, theta and phi."""
    theta, phi = np.radians(theta_deg), np.radians(phi_deg)
    places = [np.sin(theta) * np.cos(phi), np.sin(theta) * np.sin(phi), np.cos(theta)]
    return q_angstrom * np.stack(places, axis=-1)
