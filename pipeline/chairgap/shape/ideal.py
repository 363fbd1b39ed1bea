"""The ideal chair, and ideal directions of the two ligands of each ring carbon."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.puckering import ring_from_puckering
from chairgap.shape.vectors import cross, length

_PREVIOUS, _NEXT = np.array([5, 0, 1, 2, 3, 4]), np.array([1, 2, 3, 4, 5, 0])
_HALF_TETRAHEDRAL_RAD = 0.5 * np.arccos(-1.0 / 3.0)
# Amplitude of a chair of tetrahedral angles and 1.54 angstrom bonds (from the definition).
_IDEAL_Q_ANGSTROM = 0.629
_BOND_ANGSTROM = 1.54


def ideal_chair(*, odd_up_axial: bool) -> Floats:
    """(6, 3) angstrom: carbons 1 to 6 clockwise seen from above, carbons 1, 3 and 5 raised or lowered."""
    return ring_from_puckering(_IDEAL_Q_ANGSTROM, 0.0 if odd_up_axial else 180.0, 0.0, _BOND_ANGSTROM)


def on_ideal_chair(topology: Topology, *, odd_up_axial: bool) -> Floats:
    """(n, 3) angstrom: the ring as an ideal chair, the first atom of each ligand on its bond, every other
    atom at the origin, where it means nothing."""
    ring = ideal_chair(odd_up_axial=odd_up_axial)
    positions = np.zeros((len(topology.symbols), 3))
    positions[topology.ring] = ring
    for carbon, at, directions in zip(topology.carbons, ring, exocyclic_directions(ring), strict=True):
        for ligand, direction in zip(carbon.ligands, directions, strict=True):
            positions[ligand.atom] = at + _BOND_ANGSTROM * direction
    return positions


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
