"""Weeding: minima that are the same conformer, up to permutation of equal atoms and mirror image."""

from collections.abc import Sequence

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.degeneracy import Operations, coincidences

# Minimised to a relative gradient of 1e-6, equal minima agree far better than this.
ENERGY_SIEVE_KCAL_MOL = 1e-4


def is_same_conformer(topology: Topology, operations: Operations, first: Floats, second: Floats) -> bool:
    """True when a feasible operation superposes the two geometries (n, 3)."""
    return bool(coincidences(topology, operations, first, second).any())


def find_same(
    topology: Topology,
    operations: Operations,
    known: Sequence[tuple[float, Floats]],
    energy_kcal_mol: float,
    positions: Floats,
    energy_within_kcal_mol: float = ENERGY_SIEVE_KCAL_MOL,
) -> int | None:
    """Index in `known` (energy, positions) of the conformer that positions (n, 3) repeats, or None.

    Energy is only a sieve (equal conformers have equal energies); geometry decides.
    """
    energies = np.array([energy for energy, _ in known])
    for index in np.flatnonzero(np.abs(energies - energy_kcal_mol) <= energy_within_kcal_mol).tolist():
        if is_same_conformer(topology, operations, known[index][1], positions):
            return int(index)
    return None
