"""Starting rings: both chairs and the six twist-boats, one of each set that symmetry makes equal."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import RingFaces, every_writing
from chairgap.records import Floats, Integers, Topology
from chairgap.shape.canonical import CANONICAL_FORMS
from chairgap.shape.degeneracy import Operations
from chairgap.shape.puckering import displacements, ring_from_puckering

# Amplitudes near those of the minima of cyclohexane itself; minimisation does the rest.
CHAIR_Q_ANGSTROM = 0.56
TWIST_BOAT_Q_ANGSTROM = 0.72
_SAME_HEIGHT_ANGSTROM = 1e-6


@dataclass(frozen=True, kw_only=True)
class RingStart:
    """A starting ring: canonical label and (6, 3) coordinates, mean plane z = 0, up is +z."""

    label: str
    ring: Floats


@cache
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
    return _distinct(images, (direction * operations.mirrored)[:, None])


def count_ring_starts(faces: RingFaces) -> int:
    """How many ring starts `distinct_ring_starts` keeps of a ring, from its writing."""
    same = [writing for writing in every_writing(faces, mirror) if writing.faces == faces]
    images = [[writing.numbering.source(locant) for locant in range(1, 7)] for writing in same]
    sides = [-1 if writing.numbering.flipped != writing.mirrored else 1 for writing in same]
    return len(_distinct(np.array(images), np.array(sides)[:, None]))


def _distinct(images: Integers, side: Integers) -> tuple[RingStart, ...]:
    """The first of each set of ring starts that operations make one: images (k, 6), with side (k, 1)."""
    heights = _heights()
    kept: list[int] = []
    for number, own in enumerate(heights):
        copies = side * own[images]
        if not (np.abs(copies[:, None] - heights[kept]) < _SAME_HEIGHT_ANGSTROM).all(axis=2).any():
            kept.append(number)
    return tuple(all_ring_starts()[number] for number in kept)


@cache
def _heights() -> Floats:
    """(8, 6) heights of the ring starts."""
    return np.array([displacements(start.ring) for start in all_ring_starts()])
