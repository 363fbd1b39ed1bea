"""Ideal directions of the two ligands of each ring carbon."""

import numpy as np

from chairgap.records import Floats

_HALF_TETRAHEDRAL_RAD = 0.5 * np.arccos(-1.0 / 3.0)


def exocyclic_directions(ring: Floats) -> Floats:
    """(6, 2, 3) unit vectors of the upper and lower ligand of each atom of ring (6, 3).

    The two bonds of a carbon lie in the plane that halves its ring angle. With the ring numbered clockwise
    seen from above, (previous - atom) x (next - atom) points to the upper side at every atom of any ring
    shape.
    """
    back = np.roll(ring, 1, axis=0) - ring
    ahead = np.roll(ring, -1, axis=0) - ring
    back /= np.linalg.norm(back, axis=1, keepdims=True)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    outward = -(back + ahead)
    outward /= np.linalg.norm(outward, axis=1, keepdims=True)
    upward = np.cross(back, ahead)
    upward /= np.linalg.norm(upward, axis=1, keepdims=True)
    cosine, sine = np.cos(_HALF_TETRAHEDRAL_RAD), np.sin(_HALF_TETRAHEDRAL_RAD)
    return np.stack([cosine * outward + sine * upward, cosine * outward - sine * upward], axis=1)
