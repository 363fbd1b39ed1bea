"""Ideal directions of the two ligands of each ring carbon."""

import numpy as np

from chairgap.records import Floats
from chairgap.shape.vectors import cross, length

_PREVIOUS, _NEXT = np.array([5, 0, 1, 2, 3, 4]), np.array([1, 2, 3, 4, 5, 0])
_HALF_TETRAHEDRAL_RAD = 0.5 * np.arccos(-1.0 / 3.0)


def exocyclic_directions(ring: Floats) -> Floats:
    """(6, 2, 3) unit vectors of the upper and lower ligand of each atom of ring (6, 3).

    The two bonds of a carbon lie in the plane that halves its ring angle. With the ring numbered clockwise
    seen from above, (previous - atom) x (next - atom) points to the upper side at every atom of any ring
    shape.
    """
    back = ring[_PREVIOUS] - ring
    ahead = ring[_NEXT] - ring
    back /= length(back)[:, None]
    ahead /= length(ahead)[:, None]
    outward = -(back + ahead)
    outward /= length(outward)[:, None]
    upward = cross(back, ahead)
    upward /= length(upward)[:, None]
    cosine, sine = np.cos(_HALF_TETRAHEDRAL_RAD), np.sin(_HALF_TETRAHEDRAL_RAD)
    return np.stack([cosine * outward + sine * upward, cosine * outward - sine * upward], axis=1)
