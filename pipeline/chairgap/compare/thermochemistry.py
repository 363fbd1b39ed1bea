"""Gibbs energy of one conformer: rigid rotor, harmonic oscillators.

Low modes: the harmonic formula fails for soft torsions, so every frequency below LOW_MODE_CM1 is taken as
LOW_MODE_CM1 in zero-point energy, enthalpy and entropy alike (R. F. Ribeiro, A. V. Marenich, C. J. Cramer,
D. G. Truhlar, J. Phys. Chem. B 2011, 115, 14556, doi 10.1021/jp205508z, from memory).

Translation is left out: all conformers of a molecule share it, so no gap depends on it. Symmetry numbers are
left out on purpose; copies of a conformer are counted instead (see chairgap.shape.copies).
"""

import math

import numpy as np

from chairgap.records import Floats
from chairgap.units import (
    ATOMIC_MASS_KG,
    BOLTZMANN_J_PER_K,
    GAS_CONSTANT_KCAL_PER_MOL_K,
    KCAL_MOL_PER_CM1,
    PLANCK_J_S,
)

LOW_MODE_CM1 = 100.0


def vibrational_gibbs_kcal_mol(frequencies_cm1: Floats, temperature_k: float) -> float:
    """Zero-point plus thermal Gibbs energy of harmonic modes (m,) at temperature_k, kcal/mol.

    Source: D. A. McQuarrie, Statistical Mechanics, 1976, chapter 6 (from memory).
    """
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    quantum = np.maximum(frequencies_cm1, LOW_MODE_CM1) * KCAL_MOL_PER_CM1
    # (1) G_vib = sum [ h nu / 2 + R T ln(1 - exp(-h nu / R T)) ]
    return float(np.sum(0.5 * quantum + rt * np.log1p(-np.exp(-quantum / rt))))


def rotational_gibbs_kcal_mol(positions: Floats, masses_u: Floats, temperature_k: float) -> float:
    """-RT ln q_rot of a rigid asymmetric top, symmetry number 1, kcal/mol; positions (n, 3) in angstrom.

    Source: D. A. McQuarrie, Statistical Mechanics, 1976, chapter 8 (from memory).
    """
    arms = positions - np.average(positions, axis=0, weights=masses_u)
    # (2) I = sum m (r^2 1 - r r^T)
    inertia = np.einsum("i,ij,ij->", masses_u, arms, arms) * np.eye(3) - np.einsum(
        "i,ij,ik->jk", masses_u, arms, arms
    )
    moments = np.linalg.eigvalsh(inertia) * ATOMIC_MASS_KG * 1e-20
    # (3) q_rot = sqrt(pi) prod sqrt(8 pi^2 I kT / h^2)
    factors = 8.0 * np.pi**2 * moments * BOLTZMANN_J_PER_K * temperature_k / PLANCK_J_S**2
    log_q = 0.5 * math.log(math.pi) + 0.5 * float(np.sum(np.log(factors)))
    return -GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k * log_q


def gibbs_kcal_mol(
    energy_kcal_mol: float,
    frequencies_cm1: Floats,
    positions: Floats,
    masses_u: Floats,
    temperature_k: float,
) -> float:
    """Potential energy plus vibrational and rotational Gibbs energy of one conformer, kcal/mol."""
    return (
        energy_kcal_mol
        + vibrational_gibbs_kcal_mol(frequencies_cm1, temperature_k)
        + rotational_gibbs_kcal_mol(positions, masses_u, temperature_k)
    )
