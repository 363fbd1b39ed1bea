"""The computed gaps and the populations of one molecule."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from chairgap.compare.populations import ensemble_kcal_mol, shares
from chairgap.compare.thermochemistry import Thermal, mixture, thermal_of_top
from chairgap.records import Conformer, Gaps, Level, MediumLevels, SolventPoint


def _difference(b: float | None, a: float | None) -> float | None:
    return None if a is None or b is None else b - a


def compute_gaps(conformers: Sequence[Conformer], temperature_k: float, *, equal_by_symmetry: bool) -> Gaps:
    """Gaps E(B) - E(A) in kcal/mol; the kinds are defined at chairgap.records.Gaps.

    A conformer that symmetry puts into both chairs enters both sums, so equal chairs give exactly 0.
    Raises ValueError when there is no conformer at all.
    """
    *sides, others = _sides(conformers)
    energies = [item.minimum.energy_kcal_mol for item in conformers]
    gibbs = [item.gibbs_kcal_mol for item in conformers]
    lowest = [_lowest(energies, degeneracies) for degeneracies in (*sides, others)]
    harmonic = [_harmonic(conformers, degeneracies, temperature_k) for degeneracies in sides]
    chair_a, chair_b = (_mixture(conformers, degeneracies, temperature_k) for degeneracies in sides)
    sums = _in_any_medium(energies, gibbs, (*sides, others), temperature_k)
    population_a, population_b = sums["population_a"], sums["population_b"]
    chairs = [value for value in lowest[:2] if value is not None]
    enthalpy = entropy = None
    if chair_a is not None and chair_b is not None:
        enthalpy = chair_b.enthalpy_kcal_mol - chair_a.enthalpy_kcal_mol
        entropy = 1000.0 * (chair_b.entropy_kcal_mol_k - chair_a.entropy_kcal_mol_k)
    return Gaps(
        **sums,
        enthalpy_kcal_mol=enthalpy,
        entropy_cal_mol_k=entropy,
        harmonic_gibbs_kcal_mol=_difference(harmonic[1], harmonic[0]),
        to_non_chair_kcal_mol=_difference(lowest[2], min(chairs) if chairs else None),
        equilibrium_constant=population_a / population_b if population_b > 0.0 else None,
        equal_by_symmetry=equal_by_symmetry,
    )


def solvent_point(inside: MediumLevels, temperature_k: float) -> SolventPoint:
    """The gaps of a molecule in a medium of the series. Raises ValueError when it has no conformer there."""
    levels = inside.levels
    states = [(level.energy_kcal_mol, level.frequencies_cm1, level.moments_u_angstrom2) for level in levels]
    gibbs = [thermal_of_top(*state, temperature_k).gibbs_kcal_mol(temperature_k) for state in states]
    energies = [level.energy_kcal_mol for level in levels]
    return SolventPoint(
        medium=inside.medium,
        dielectric=inside.dielectric,
        **_in_any_medium(energies, gibbs, _sides(levels), temperature_k),
        hydrogen_bonds_a=inside.hydrogen_bonds_a,
        hydrogen_bonds_b=inside.hydrogen_bonds_b,
    )


def _sides(items: Sequence[Conformer | Level]) -> tuple[list[int], list[int], list[int]]:
    """The labelled copies of each in chair A, in chair B and outside both."""
    return (
        [item.degeneracy_a for item in items],
        [item.degeneracy_b for item in items],
        [item.degeneracy_other for item in items],
    )


def _in_any_medium(
    energies: Sequence[float], gibbs: Sequence[float], sides: Sequence[Sequence[int]], temperature_k: float
) -> dict[str, Any]:
    """The gaps that are given for every medium, and the populations, by the names of their fields."""
    lowest = [_lowest(energies, degeneracies) for degeneracies in sides[:2]]
    ensembles = [ensemble_kcal_mol(energies, degeneracies, temperature_k) for degeneracies in sides[:2]]
    sums = [ensemble_kcal_mol(gibbs, degeneracies, temperature_k) for degeneracies in sides]
    names = ("population_a", "population_b", "population_non_chair")
    return {
        "potential_kcal_mol": _difference(lowest[1], lowest[0]),
        "ensemble_kcal_mol": _difference(ensembles[1], ensembles[0]),
        "gibbs_kcal_mol": _difference(sums[1], sums[0]),
        **dict(zip(names, shares(sums, temperature_k), strict=True)),
    }


def _lowest(energies: Sequence[float], degeneracies: Sequence[int]) -> float | None:
    return min((energy for energy, count in zip(energies, degeneracies, strict=True) if count), default=None)


def _harmonic(
    conformers: Sequence[Conformer], degeneracies: Sequence[int], temperature_k: float
) -> float | None:
    """-RT ln of the sum over one chair; None when a conformer in it has no harmonic Gibbs energy."""
    held = [
        item.harmonic_gibbs_kcal_mol for item, count in zip(conformers, degeneracies, strict=True) if count
    ]
    known = [value for value in held if value is not None]
    if len(known) < len(held):
        return None
    return ensemble_kcal_mol(known, [count for count in degeneracies if count], temperature_k)


def _mixture(
    conformers: Sequence[Conformer], degeneracies: Sequence[int], temperature_k: float
) -> Thermal | None:
    """The rotamers of one chair at equilibrium."""
    if not any(degeneracies):
        return None
    parts = [
        Thermal(
            enthalpy_kcal_mol=item.enthalpy_kcal_mol,
            entropy_kcal_mol_k=(item.enthalpy_kcal_mol - item.gibbs_kcal_mol) / temperature_k,
        )
        for item in conformers
    ]
    return mixture(parts, [float(count) for count in degeneracies], temperature_k)


def gaps_in(point: SolventPoint, gaps: Gaps) -> Gaps:
    """The gaps of a molecule in a medium of the series; `gaps` are those in the study's own medium. Kinds
    that the series does not have are None."""
    return replace(
        gaps,
        potential_kcal_mol=point.potential_kcal_mol,
        ensemble_kcal_mol=point.ensemble_kcal_mol,
        gibbs_kcal_mol=point.gibbs_kcal_mol,
        enthalpy_kcal_mol=None,
        entropy_cal_mol_k=None,
        harmonic_gibbs_kcal_mol=None,
        to_non_chair_kcal_mol=None,
        population_a=point.population_a,
        population_b=point.population_b,
        population_non_chair=point.population_non_chair,
        equilibrium_constant=point.population_a / point.population_b if point.population_b > 0.0 else None,
    )
