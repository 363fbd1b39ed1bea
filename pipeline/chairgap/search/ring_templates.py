"""Starting rings: both chairs and the six twist-boats, one of each set that symmetry makes equal."""

from dataclasses import dataclass

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.canonical import CANONICAL_FORMS
from chairgap.shape.degeneracy import Operations
from chairgap.shape.puckering import displacements, ring_from_puckering

# Amplitudes near those of the minima of cyclohexane itself; minimisation does the rest.
CHAIR_Q_ANGSTROM = 0.56
TWIST_BOAT_Q_ANGSTROM = 0.72


@dataclass(frozen=True, kw_only=True)
class RingStart:
    """A starting ring: canonical label and (6, 3) coordinates, mean plane z = 0, up is +z."""

    label: str
    ring: Floats


def all_ring_starts() -> tuple[RingStart, ...]:
    """Two chairs and six twist-boats from inverse Cremer-Pople coordinates."""
    amplitudes = {"chair": CHAIR_Q_ANGSTROM, "twist-boat": TWIST_BOAT_Q_ANGSTROM}
    return tuple(
        RingStart(
            label=form.label,
            ring=ring_from_puckering(amplitudes[form.family], form.theta_deg, form.phi_deg),
        )
        for form in CANONICAL_FORMS
        if form.family in amplitudes
    )


def distinct_ring_starts(topology: Topology, operations: Operations) -> tuple[RingStart, ...]:
    """The ring starts that no feasible operation turns into one another.

    Every rotamer is tried on each start kept, so the starts left out could only give permutation and mirror
    copies. An operation puts into atom i the height of its image p[i], with the sign of the side it maps up
    to.
    """
    place = np.full(len(topology.symbols), -1)
    place[topology.ring] = np.arange(6)
    labelled = topology.labelled.tolist()
    columns = [labelled.index(atom) for atom in topology.ring.tolist()]
    images = place[operations.maps[:, columns]]
    direction = np.where((images[:, 1] - images[:, 0]) % 6 == 1, 1, -1)
    side = (direction * operations.mirrored)[:, None]
    kept: list[RingStart] = []
    for start in all_ring_starts():
        copies = side * displacements(start.ring)[images]
        known = [displacements(other.ring) for other in kept]
        if not any(np.isclose(copies, z, atol=1e-6).all(axis=1).any() for z in known):
            kept.append(start)
    return tuple(kept)
