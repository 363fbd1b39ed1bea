"""Boltzmann sums over conformers with degeneracies."""

from collections.abc import Sequence

import numpy as np

from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K


def ensemble_kcal_mol(
    energies_kcal_mol: Sequence[float], degeneracies: Sequence[int], temperature_k: float
) -> float | None:
    """Free energy of an ensemble, -RT ln sum_i g_i exp(-E_i / RT), kcal/mol; None when it has no member.

    Members with zero degeneracies do not count.
    """
    members = [(e, g) for e, g in zip(energies_kcal_mol, degeneracies, strict=True) if g > 0]
    if not members:
        return None
    energies, weights = (np.array(column, dtype=float) for column in zip(*members, strict=True))
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    floor = energies.min()
    # (1) F = E0 - RT ln sum_i g_i exp(-(E_i - E0) / RT)
    return float(floor - rt * np.log(np.sum(weights * np.exp(-(energies - floor) / rt))))


def shares(free_energies_kcal_mol: Sequence[float | None], temperature_k: float) -> tuple[float, ...]:
    """Fractions, adding up to 1, of ensembles with the given free energies; None counts as absent.

    Raises ValueError when all are absent.
    """
    present = [value for value in free_energies_kcal_mol if value is not None]
    floor = min(present)
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    weights = [
        0.0 if value is None else float(np.exp(-(value - floor) / rt)) for value in free_energies_kcal_mol
    ]
    return tuple(weight / sum(weights) for weight in weights)
