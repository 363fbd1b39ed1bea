"""Whole starting geometries: a placed ring, each ligand on its face, each group turned to its rotor state."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.search.fragments import Variant, frame

_CH_ANGSTROM = 1.10
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


def place(topology: Topology, ring: Floats, variants: dict[int, Variant]) -> Floats:
    """(n, 3) geometry with the given ring (6, 3) and one variant for each ligand that is not hydrogen, keyed
    by the ligand's first atom. Groups are not yet turned to any rotor state."""
    positions = np.zeros((len(topology.symbols), 3))
    positions[topology.ring] = ring
    directions = exocyclic_directions(ring)
    for index, carbon in enumerate(topology.carbons):
        for side, ligand in enumerate(carbon.ligands):
            direction = directions[index, side]
            if ligand.group == "H":
                positions[ligand.atom] = ring[index] + _CH_ANGSTROM * direction
            else:
                variant = variants[ligand.atom]
                positions[variant.atoms] = ring[index] + variant.positions @ frame(direction).T
    return positions
