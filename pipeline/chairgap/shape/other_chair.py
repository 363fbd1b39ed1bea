"""The copy of a conformer in the other chair, where symmetry makes both chairs equal."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.degeneracy import feasible_operations
from chairgap.shape.puckering import mean_plane


def in_other_chair(topology: Topology, positions: Floats) -> Floats | None:
    """positions (n, 3) angstrom of the labelled copy in the other chair; None where no operation of the
    molecule turns one chair into the other (the rule is in `chairgap.shape.degeneracy`).

    Hydrogens on carbon, which the operations leave out, follow their carbons; those of a ring CH2 take the
    faces that they have.
    """
    operations = feasible_operations(topology, positions)
    turning = np.flatnonzero(operations.turns_chair)
    if not len(turning):
        return None
    image = np.arange(len(topology.symbols))
    image[topology.labelled] = operations.maps[turning[0]]
    hydrogens = _hydrogens(topology)
    for atom, own in hydrogens.items():
        image[own] = hydrogens[int(image[atom])]
    copy = positions[image]
    copy[:, 0] *= operations.mirrored[turning[0]]
    _, normal = mean_plane(copy[topology.ring])
    for carbon in topology.carbons:
        pair = [carbon.up.atom, carbon.down.atom]
        up, down = copy[pair] @ normal
        if carbon.up.group == "H" == carbon.down.group and up < down:
            copy[pair] = copy[pair[::-1]]
    return copy


def _hydrogens(topology: Topology) -> dict[int, list[int]]:
    """The hydrogens that are not labelled, by the atom they are bonded to."""
    left_out = set(range(len(topology.symbols))) - set(topology.labelled.tolist())
    found: dict[int, list[int]] = {}
    for one, other in topology.bonds.tolist():
        for atom, hydrogen in ((one, other), (other, one)):
            if hydrogen in left_out:
                found.setdefault(atom, []).append(hydrogen)
    return found
