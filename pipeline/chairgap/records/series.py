"""What one molecule does over a series of temperatures or solvents."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class SeriesPoint:
    """One temperature: G(B) - G(A), K = [A]/[B] and populations (fractions that add up to 1)."""

    temperature_k: float
    gibbs_kcal_mol: float | None
    equilibrium_constant: float | None
    population_a: float
    population_b: float
    population_non_chair: float


@dataclass(frozen=True, kw_only=True)
class LinearFit:
    """dG = dH - T dS with dH = H(B) - H(A) and dS = S(B) - S(A), both constant over the series."""

    enthalpy_kcal_mol: float
    entropy_cal_mol_k: float
    largest_deviation_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class TemperatureSeries:
    """Points by rising temperature; fit is None when fewer than two of them have a gap."""

    points: tuple[SeriesPoint, ...]
    fit: LinearFit | None


@dataclass(frozen=True, kw_only=True)
class SolventPoint:
    """One medium at the temperature of the study; the gas phase has dielectric constant 1. Gaps are E(B) -
    E(A), kcal/mol; hydrogen bonds are those of the best conformer of each chair."""

    medium: str
    dielectric: float
    potential_kcal_mol: float | None
    ensemble_kcal_mol: float | None
    gibbs_kcal_mol: float | None
    population_a: float
    population_b: float
    population_non_chair: float
    hydrogen_bonds_a: int
    hydrogen_bonds_b: int
