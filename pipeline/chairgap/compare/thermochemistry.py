"""Enthalpy, entropy and Gibbs energy of one conformer: rigid rotor, harmonic oscillators.

Low modes: the harmonic formula fails for soft torsions, so in the quasi-harmonic form every frequency below
LOW_MODE_CM1 is taken as LOW_MODE_CM1 in zero-point energy, enthalpy and entropy alike (R. F. Ribeiro, A. V.
Marenich, C. J. Cramer, D. G. Truhlar, J. Phys. Chem. B 2011, 115, 14556, doi 10.1021/jp205508z, from memory).
The harmonic form leaves them as they are.

Translation and the pressure-volume term are left out of conformers' energies: all conformers of a molecule
share them, so no gap depends on them; `translational` gives them where absolute values are needed. Symmetry
numbers are left out as well; degeneracies of a conformer are counted instead (see
chairgap.shape.degeneracy), which comes to the same: `absolute_entropy_cal_mol_k` takes the other way.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from chairgap.records import Conformer, Floats
from chairgap.units import (
    ATOMIC_MASS_KG,
    BOLTZMANN_J_PER_K,
    GAS_CONSTANT_KCAL_PER_MOL_K,
    KCAL_MOL_PER_CM1,
    PLANCK_J_S,
)

LOW_MODE_CM1 = 100.0
STANDARD_PRESSURE_PA = 1e5

LowModes = Literal["quasi-harmonic", "harmonic"]


@dataclass(frozen=True, kw_only=True)
class Thermal:
    """Enthalpy (kcal/mol) and entropy (kcal/mol/K) at one temperature; parts are added with +."""

    enthalpy_kcal_mol: float
    entropy_kcal_mol_k: float

    def __add__(self, other: "Thermal") -> "Thermal":
        return Thermal(
            enthalpy_kcal_mol=self.enthalpy_kcal_mol + other.enthalpy_kcal_mol,
            entropy_kcal_mol_k=self.entropy_kcal_mol_k + other.entropy_kcal_mol_k,
        )

    def gibbs_kcal_mol(self, temperature_k: float) -> float:
        """(1) G = H - T S."""
        return self.enthalpy_kcal_mol - temperature_k * self.entropy_kcal_mol_k


def vibrational(frequencies_cm1: Floats, temperature_k: float, low_modes: LowModes) -> Thermal:
    """Oscillators with frequencies (m,), zero-point energy included.

    Raises ValueError when a harmonic frequency is not positive. Source: D. A. McQuarrie, Statistical
    Mechanics, 1976, chapter 6 (from memory).
    """
    raised = np.maximum(frequencies_cm1, LOW_MODE_CM1) if low_modes == "quasi-harmonic" else frequencies_cm1
    if raised.size and raised.min() <= 0.0:
        raise ValueError("a frequency is not positive: this is no minimum")
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    quantum = raised * KCAL_MOL_PER_CM1
    # (2) H = sum [ h nu / 2 + h nu / (exp(h nu / RT) - 1) ]
    with np.errstate(over="ignore"):  # at a few kelvin exp is infinite and the term 0, as it should be
        thermal = quantum / np.expm1(quantum / rt)
    # (3) TS = sum [ h nu / (exp(h nu / RT) - 1) - RT ln(1 - exp(-h nu / RT)) ]
    heat = thermal - rt * np.log1p(-np.exp(-quantum / rt))
    return Thermal(
        enthalpy_kcal_mol=float(np.sum(0.5 * quantum + thermal)),
        entropy_kcal_mol_k=float(np.sum(heat)) / temperature_k,
    )


def principal_moments(positions: Floats, masses_u: Floats) -> Floats:
    """Principal moments of inertia (3,) in u angstrom^2, rising; positions (n, 3) in angstrom."""
    arms = positions - masses_u @ positions / masses_u.sum()
    # (4) I = sum m (r^2 1 - r r^T)
    products = arms.T @ (masses_u[:, None] * arms)
    inertia = products.trace() * np.eye(3) - products
    moments: Floats = np.linalg.eigvalsh(inertia)
    return moments


def rigid_top(moments_u_angstrom2: Floats, temperature_k: float) -> Thermal:
    """A rigid asymmetric top with symmetry number 1, of these principal moments of inertia (3,).

    Source: D. A. McQuarrie, Statistical Mechanics, 1976, chapter 8 (from memory).
    """
    moments = moments_u_angstrom2 * ATOMIC_MASS_KG * 1e-20
    # (5) q_rot = sqrt(pi) prod sqrt(8 pi^2 I kT / h^2)
    factors = 8.0 * np.pi**2 * moments * BOLTZMANN_J_PER_K * temperature_k / PLANCK_J_S**2
    log_q = 0.5 * math.log(math.pi) + 0.5 * float(np.sum(np.log(factors)))
    # (6) H = 3/2 RT, S = R (ln q_rot + 3/2)
    gas = GAS_CONSTANT_KCAL_PER_MOL_K
    return Thermal(enthalpy_kcal_mol=1.5 * gas * temperature_k, entropy_kcal_mol_k=gas * (log_q + 1.5))


def rotational(positions: Floats, masses_u: Floats, temperature_k: float) -> Thermal:
    """A rigid asymmetric top with symmetry number 1; positions (n, 3) in angstrom."""
    return rigid_top(principal_moments(positions, masses_u), temperature_k)


def translational(mass_u: float, temperature_k: float, pressure_pa: float = STANDARD_PRESSURE_PA) -> Thermal:
    """An ideal gas of particles of mass_u, the pressure-volume term in its enthalpy.

    Source: O. Sackur and H. Tetrode, Ann. Phys. 1911-1912, as in McQuarrie 1976, chapter 5 (from memory).
    """
    thermal_j = BOLTZMANN_J_PER_K * temperature_k
    # (7) q/N = (2 pi m kT / h^2)^(3/2) kT / p
    log_q = 1.5 * math.log(2.0 * math.pi * mass_u * ATOMIC_MASS_KG * thermal_j / PLANCK_J_S**2)
    log_q += math.log(thermal_j / pressure_pa)
    # (8) H = 5/2 RT, S = R (ln q/N + 5/2)
    gas = GAS_CONSTANT_KCAL_PER_MOL_K
    return Thermal(enthalpy_kcal_mol=2.5 * gas * temperature_k, entropy_kcal_mol_k=gas * (log_q + 2.5))


def thermal(
    energy_kcal_mol: float,
    frequencies_cm1: Floats,
    positions: Floats,
    masses_u: Floats,
    temperature_k: float,
    low_modes: LowModes = "quasi-harmonic",
) -> Thermal:
    """Potential energy, vibrations and rotation of one conformer; positions (n, 3) in angstrom."""
    moments = principal_moments(positions, masses_u)
    return thermal_of_top(energy_kcal_mol, frequencies_cm1, moments, temperature_k, low_modes)


def thermal_of_top(
    energy_kcal_mol: float,
    frequencies_cm1: Floats,
    moments_u_angstrom2: Floats,
    temperature_k: float,
    low_modes: LowModes = "quasi-harmonic",
) -> Thermal:
    """The same from its principal moments of inertia (3,)."""
    potential = Thermal(enthalpy_kcal_mol=energy_kcal_mol, entropy_kcal_mol_k=0.0)
    return (
        potential
        + vibrational(frequencies_cm1, temperature_k, low_modes)
        + rigid_top(moments_u_angstrom2, temperature_k)
    )


def gibbs_kcal_mol(
    energy_kcal_mol: float,
    frequencies_cm1: Floats,
    positions: Floats,
    masses_u: Floats,
    temperature_k: float,
    low_modes: LowModes = "quasi-harmonic",
) -> float:
    """Gibbs energy of one conformer, kcal/mol, translation and symmetry left out."""
    whole = thermal(energy_kcal_mol, frequencies_cm1, positions, masses_u, temperature_k, low_modes)
    return whole.gibbs_kcal_mol(temperature_k)


def mixture(parts: Sequence[Thermal], weights: Sequence[float], temperature_k: float) -> Thermal:
    """An equilibrium mixture of species, each counted `weight` times (degeneracies, or 1 / symmetry number).

    Raises ValueError when it has no member.
    """
    members = [(part, weight) for part, weight in zip(parts, weights, strict=True) if weight > 0.0]
    if not members:
        raise ValueError("a mixture of nothing")
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    gibbs = np.array([part.gibbs_kcal_mol(temperature_k) for part, _ in members])
    shares = np.array([weight for _, weight in members]) * np.exp(-(gibbs - gibbs.min()) / rt)
    # (9) G = G0 - RT ln sum w exp(-(G_i - G0) / RT); H = sum p_i H_i; S = (H - G) / T
    total = float(gibbs.min() - rt * math.log(float(shares.sum())))
    enthalpies = np.array([part.enthalpy_kcal_mol for part, _ in members])
    enthalpy = float(shares @ enthalpies / shares.sum())
    return Thermal(enthalpy_kcal_mol=enthalpy, entropy_kcal_mol_k=(enthalpy - total) / temperature_k)


def absolute_entropy_cal_mol_k(
    conformers: Sequence[Conformer],
    masses_u: Floats,
    temperature_k: float,
    low_modes: LowModes = "quasi-harmonic",
) -> float:
    """Entropy of the ideal gas at 1 bar, all conformers and mirror images mixed, cal/mol/K.

    Here with rotational symmetry numbers: a conformer weighs 2 / sigma when its mirror image is another
    conformer of the same compound, else 1 / sigma.
    """
    parts = [
        thermal(
            item.minimum.energy_kcal_mol,
            item.minimum.frequencies_cm1,
            item.minimum.positions,
            masses_u,
            temperature_k,
            low_modes,
        )
        for item in conformers
    ]
    weights = [item.mirror_images / item.rotational_symmetry for item in conformers]
    whole = mixture(parts, weights, temperature_k) + translational(float(masses_u.sum()), temperature_k)
    return 1000.0 * whole.entropy_kcal_mol_k
