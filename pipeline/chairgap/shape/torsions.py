"""Many dihedrals at once, as complex numbers on the unit circle, and how near two sets of them are."""

import numpy as np
from numpy.typing import NDArray

from chairgap.records import Floats, Integers

Directions = NDArray[np.complex128]

_SHORTEST = 1e-12


def torsion_directions(positions: Floats, chains: Integers) -> Directions:
    """(..., t) exp(i angle) of the dihedrals i-j-k-l of chains (..., t, 4) in positions (n, 3).

    Three neighbours of a chain that lie on a line give a direction without meaning. In a mirror image each
    direction is its complex conjugate.
    """
    corners = positions.T[:, chains.T]
    (ax, bx, cx), (ay, by, cy), (az, bz, cz) = corners[:, 1:] - corners[:, :-1]
    n1x, n1y, n1z = ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx
    n2x, n2y, n2z = by * cz - bz * cy, bz * cx - bx * cz, bx * cy - by * cx
    # (1) sin = |b2| b1 . n2, cos = n1 . n2, both times |n1||n2|
    sine = np.sqrt(bx * bx + by * by + bz * bz) * (ax * n2x + ay * n2y + az * n2z)
    whole = n1x * n2x + n1y * n2y + n1z * n2z + 1j * sine
    result: Directions = (whole / np.maximum(np.abs(whole), _SHORTEST)).T
    return result


def turn_deg(from_deg: float, to_deg: float) -> float:
    """The shorter way round, -180 to 180 degrees."""
    return (to_deg - from_deg + 180.0) % 360.0 - 180.0


def any_within(known: Directions, one: Directions, within_deg: float) -> bool:
    """Whether some row of known (m, t) has all its dihedrals within within_deg of those of one (t,)."""
    # (2) cos(a - b) = Re[exp(ia) exp(-ib)]
    apart = (known * one.conj()).real
    return bool((apart > np.cos(np.radians(within_deg))).all(axis=1).any())
