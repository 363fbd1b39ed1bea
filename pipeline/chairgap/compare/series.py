"""Gap, equilibrium constant and populations over a series of temperatures; dH and dS that fit them."""

from collections.abc import Sequence

import numpy as np

from chairgap.compare.populations import ensemble_kcal_mol, shares
from chairgap.compare.thermochemistry import gibbs_kcal_mol
from chairgap.records import Conformer, Floats, LinearFit, SeriesPoint, TemperatureSeries


def temperature_series(
    conformers: Sequence[Conformer], masses_u: Floats, temperatures_k: Sequence[float]
) -> TemperatureSeries:
    """Gibbs gap G(B) - G(A) at each temperature (rising), from the same minima; quasi-harmonic.

    The fit needs a gap at two temperatures or more.
    """
    points = tuple(_point(conformers, masses_u, at) for at in sorted(set(temperatures_k)))
    known = [(point.temperature_k, point.gibbs_kcal_mol) for point in points]
    return TemperatureSeries(
        points=points, fit=linear_fit([(at, gap) for at, gap in known if gap is not None])
    )


def _point(conformers: Sequence[Conformer], masses_u: Floats, temperature_k: float) -> SeriesPoint:
    gibbs = [
        gibbs_kcal_mol(
            item.minimum.energy_kcal_mol,
            item.minimum.frequencies_cm1,
            item.minimum.positions,
            masses_u,
            temperature_k,
        )
        for item in conformers
    ]
    sides = (
        [item.degeneracy_a for item in conformers],
        [item.degeneracy_b for item in conformers],
        [item.degeneracy_other for item in conformers],
    )
    sums = [ensemble_kcal_mol(gibbs, degeneracies, temperature_k) for degeneracies in sides]
    population_a, population_b, population_non_chair = shares(sums, temperature_k)
    a, b = sums[0], sums[1]
    return SeriesPoint(
        temperature_k=temperature_k,
        gibbs_kcal_mol=None if a is None or b is None else b - a,
        equilibrium_constant=population_a / population_b if population_b > 0.0 else None,
        population_a=population_a,
        population_b=population_b,
        population_non_chair=population_non_chair,
    )


def gibbs_gap_kcal_mol(
    conformers: Sequence[Conformer], masses_u: Floats, temperature_k: float
) -> float | None:
    """G(B) - G(A) at any temperature, from the same minima; quasi-harmonic."""
    return _point(conformers, masses_u, temperature_k).gibbs_kcal_mol


def anchored_at_kcal_mol(
    anchored_kcal_mol: float | None, gibbs_kcal_mol: float | None, gibbs_there_kcal_mol: float | None
) -> float | None:
    """The anchored gap at another temperature, from the model's Gibbs gaps at that of the study and there.

    How an A-value changes with temperature is thus taken from the model. From medium to medium A-values and
    parts are taken anew (`chairgap.model.assessment.anchor_in_media`).
    """
    if anchored_kcal_mol is None or gibbs_kcal_mol is None or gibbs_there_kcal_mol is None:
        return None
    # (1) anchored(T) = anchored(T0) + G(T) - G(T0)
    return anchored_kcal_mol + gibbs_there_kcal_mol - gibbs_kcal_mol


def linear_fit(gaps: Sequence[tuple[float, float]]) -> LinearFit | None:
    """The straight line dG = dH - T dS through (temperature_k, gibbs_kcal_mol), by least squares; None for
    fewer than two temperatures.

    It is what a van 't Hoff plot gives: dH and dS taken as constant over the series. The largest deviation
    says how far they are not.
    """
    if len(gaps) < 2:
        return None
    temperatures, energies = np.array(gaps).T
    # (2) dG = dH - T dS
    slope, intercept = np.polyfit(temperatures, energies, 1)
    return LinearFit(
        enthalpy_kcal_mol=float(intercept),
        entropy_cal_mol_k=-1000.0 * float(slope),
        largest_deviation_kcal_mol=float(np.abs(intercept + slope * temperatures - energies).max()),
    )
