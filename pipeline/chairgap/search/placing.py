"""Whole starting geometries: a placed ring, each ligand on its face, each group turned to its rotor state."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.search.fragments import Variant, frame
from chairgap.shape.ideal import exocyclic_directions

_CH_ANGSTROM = 1.10


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
