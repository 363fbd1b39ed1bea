"""The four computed gaps and the populations of one molecule."""

from collections.abc import Callable, Sequence

from chairgap.compare.populations import ensemble_kcal_mol, shares
from chairgap.records import Conformer, Gaps


def _difference(b: float | None, a: float | None) -> float | None:
    return None if a is None or b is None else b - a


def _lowest(conformers: Sequence[Conformer], copies: Callable[[Conformer], int]) -> float | None:
    energies = [item.minimum.energy_kcal_mol for item in conformers if copies(item) > 0]
    return min(energies) if energies else None


def compute_gaps(conformers: Sequence[Conformer], temperature_k: float, *, equal_by_symmetry: bool) -> Gaps:
    """Gaps E(B) - E(A) in kcal/mol; the kinds are defined at chairgap.records.Gaps.

    A conformer that symmetry puts into both chairs enters both sums, so equal chairs give exactly 0.
    Raises ValueError when there is no conformer at all.
    """
    sides: tuple[Callable[[Conformer], int], ...] = (
        lambda item: item.copies_a,
        lambda item: item.copies_b,
        lambda item: item.copies_other,
    )
    lowest = [_lowest(conformers, side) for side in sides]
    energies = [item.minimum.energy_kcal_mol for item in conformers]
    gibbs = [item.gibbs_kcal_mol for item in conformers]
    potential_sums = [
        ensemble_kcal_mol(energies, [side(item) for item in conformers], temperature_k) for side in sides
    ]
    gibbs_sums = [
        ensemble_kcal_mol(gibbs, [side(item) for item in conformers], temperature_k) for side in sides
    ]
    population_a, population_b, population_non_chair = shares(gibbs_sums, temperature_k)
    chairs = [value for value in lowest[:2] if value is not None]
    return Gaps(
        potential_kcal_mol=_difference(lowest[1], lowest[0]),
        ensemble_kcal_mol=_difference(potential_sums[1], potential_sums[0]),
        gibbs_kcal_mol=_difference(gibbs_sums[1], gibbs_sums[0]),
        to_non_chair_kcal_mol=_difference(lowest[2], min(chairs) if chairs else None),
        population_a=population_a,
        population_b=population_b,
        population_non_chair=population_non_chair,
        equilibrium_constant=population_a / population_b if population_b > 0.0 else None,
        equal_by_symmetry=equal_by_symmetry,
    )
