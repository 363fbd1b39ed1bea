"""Cremer-Pople ring puckering, forward (five- and six-membered rings) and inverse (six-membered).

Source: D. Cremer, J. A. Pople, J. Am. Chem. Soc. 1975, 97, 1354 (doi 10.1021/ja00839a011, from memory).

Direction: with ring atoms numbered clockwise as seen from above, the Cremer-Pople normal n = R' x R'' points
up, to the onlooker, so a positive z_j means that atom j is raised.
"""

import math
from functools import cache

import numpy as np

from chairgap.records import Floats
from chairgap.shape.vectors import cross, length

_ALTERNATE = (-1.0) ** np.arange(6)


@cache
def _waves(atoms: int, times: int) -> tuple[Floats, Floats]:
    """sin and cos (N,) of 2 pi (j-1) / N, `times` as fast."""
    turn = times * (2.0 * np.pi * np.arange(atoms) / atoms)
    return np.sin(turn), np.cos(turn)


def mean_plane(ring: Floats) -> tuple[Floats, Floats]:
    """Centre (3,) and unit normal (3,) of the Cremer-Pople mean plane of ring (N, 3)."""
    sine, cosine = _waves(len(ring), 1)
    centre: Floats = ring.sum(axis=0) / len(ring)
    arms = ring - centre
    # (1) R' = sum_j R_j sin(2 pi (j-1) / N)
    r_sin = sine @ arms
    # (2) R'' = sum_j R_j cos(2 pi (j-1) / N)
    r_cos = cosine @ arms
    # (3) n = R' x R'' / |R' x R''|
    normal = cross(r_sin, r_cos)
    return centre, normal / length(normal)


def displacements(ring: Floats) -> Floats:
    """z_j (N,): heights of the ring atoms (N, 3) above their mean plane, in the unit of ring."""
    centre, normal = mean_plane(ring)
    # (4) z_j = R_j . n
    heights: Floats = (ring - centre) @ normal
    return heights


def pseudorotation(ring: Floats) -> tuple[float, float]:
    """q2 in the unit of ring and phi2 in degrees (0..360) of a ring of five or six atoms (N, 3)."""
    return _second_wave(displacements(ring))


def _second_wave(z: Floats) -> tuple[float, float]:
    sine, cosine = _waves(len(z), 2)
    # (5) q2 cos phi2 = sqrt(2/N) sum_j z_j cos(4 pi (j-1) / N)
    q2_cos = math.sqrt(2.0 / len(z)) * float(z @ cosine)
    # (6) q2 sin phi2 = -sqrt(2/N) sum_j z_j sin(4 pi (j-1) / N)
    q2_sin = -math.sqrt(2.0 / len(z)) * float(z @ sine)
    return math.hypot(q2_cos, q2_sin), math.degrees(math.atan2(q2_sin, q2_cos)) % 360.0


def puckering(ring: Floats) -> tuple[float, float, float]:
    """Q in the unit of ring, theta (0..180) and phi (0..360) in degrees of a six-ring (6, 3).

    Q = 0 has no direction: theta is then 0 by atan2's rule.
    """
    z = displacements(ring)
    q2, phi_deg = _second_wave(z)
    # (7) q3 = sqrt(1/6) sum_j (-1)^(j-1) z_j
    q3 = math.sqrt(1.0 / 6.0) * float(z @ _ALTERNATE)
    # (8) Q^2 = q2^2 + q3^2, q2 = Q sin theta, q3 = Q cos theta
    return math.hypot(q2, q3), math.degrees(math.atan2(q2, q3)), phi_deg


def ring_from_puckering(
    q_angstrom: float, theta_deg: float, phi_deg: float, bond_angstrom: float = 1.53
) -> Floats:
    """(6, 3) ring with exactly the asked puckering, mean plane z = 0, clockwise seen from +z.

    The projection on the mean plane is a regular hexagon whose size makes the mean squared bond length equal
    to bond_angstrom squared; single bonds may be longer or shorter, which a minimisation puts right.
    Raises ValueError when the ring is so strongly puckered that no such hexagon exists.
    """
    theta, phi = np.radians(theta_deg), np.radians(phi_deg)
    q2, q3 = q_angstrom * np.sin(theta), q_angstrom * np.cos(theta)
    turn = 2.0 * np.pi * np.arange(6) / 6.0
    # (9) z_j = sqrt(1/3) q2 cos(phi2 + 4 pi (j-1) / 6) + sqrt(1/6) q3 (-1)^(j-1)
    z = np.sqrt(1.0 / 3.0) * q2 * np.cos(phi + 2.0 * turn) + np.sqrt(1.0 / 6.0) * q3 * _ALTERNATE
    # (10) r^2 = <d^2 - (z_j+1 - z_j)^2>: the side of a regular hexagon is its radius
    radius_squared = bond_angstrom**2 - np.mean((np.roll(z, -1) - z) ** 2)
    if radius_squared <= 0.0:
        raise ValueError(f"Q = {q_angstrom} angstrom is too large for bonds of {bond_angstrom} angstrom")
    radius = np.sqrt(radius_squared)
    # Clockwise seen from +z: the angle falls as the number rises.
    return np.column_stack([radius * np.cos(turn), -radius * np.sin(turn), z])
