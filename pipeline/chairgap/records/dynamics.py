"""The results of dynamics of a ring: time in each family of shapes, flips, and a free energy along theta."""

from dataclasses import dataclass

from chairgap.records.types import Floats


@dataclass(frozen=True, kw_only=True)
class DynamicsReport:
    """Langevin dynamics of one molecule at temperature_k.

    Fractions of time (chair A, chair B, other) with the standard errors of block means, and the classical
    harmonic populations of the same surface to set them against. flips counts passages from one chair's core
    to the other's; with fewer than about ten of them the errors are too small.
    """

    temperature_k: float
    steps: int
    step_fs: float
    seed: int
    samples: int
    fraction_a: float
    fraction_b: float
    fraction_other: float
    error_a: float
    error_b: float
    error_other: float
    harmonic_a: float
    harmonic_b: float
    harmonic_other: float
    flips: int
    kinetic_temperature_k: float


@dataclass(frozen=True, kw_only=True)
class ThetaProfile:
    """Free energy along theta at temperature_k by metadynamics, kcal/mol, lowest value 0; arrays (g,) at the
    middles of bins.

    free_energy is -RT ln p(theta), p per degree of theta; per_area has the sphere's sin(theta) taken out:
    free_energy + RT ln sin(theta). error is the standard error over independent runs, each with p adding up
    to 1. All three are not a number where a run never came.
    """

    temperature_k: float
    runs: int
    steps: int
    theta_deg: Floats
    free_energy_kcal_mol: Floats
    per_area_kcal_mol: Floats
    error_kcal_mol: Floats
