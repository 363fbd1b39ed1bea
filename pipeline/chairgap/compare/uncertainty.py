"""How far a computed gap may be off, estimated from how far the same model is off for each group alone.

For a group X alone on the ring the model errs by e(X) = computed Gibbs gap - A-value, and the A-value is
known within half its range, h(X). In a molecule the error of X counts once for each time X is axial in chair
B but not in chair A, less the times the other way round: n(X). Groups that err alike on both sides cancel.
Errors of different groups are taken as independent:

    (1) u^2 = sum over groups of n(X)^2 (e(X)^2 + h(X)^2) + late^2

late is what the search was still bringing when its budget ended, 0 for one that came to its end
(`late_shift_kcal_mol`).

A group without an A-value counts with the mean absolute error of the model over all groups of the scorecard.
Errors of pairs of groups are not in u: for them there is no reference. For a single group the range gap - u
to gap + u reaches the A-value by construction, so there it is a statement, not a test.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.records import Chair, EstimateTable, LateMinima


@dataclass(frozen=True, kw_only=True)
class GroupError:
    """Computed Gibbs gap of a group alone minus its A-value, and half the range of the A-value, kcal/mol."""

    error_kcal_mol: float
    half_range_kcal_mol: float


def group_errors(table: EstimateTable, gibbs_kcal_mol: Mapping[str, float]) -> dict[str, GroupError]:
    """The error of each group that has a computed gap, E(axial) - E(equatorial), and an A-value."""
    return {
        row.group: GroupError(
            error_kcal_mol=gibbs_kcal_mol[row.group] - row.value_kcal_mol,
            half_range_kcal_mol=0.5 * (row.high_kcal_mol - row.low_kcal_mol),
        )
        for row in table.a_values
        if row.group in gibbs_kcal_mol
    }


def net_axial(chairs: tuple[Chair, Chair]) -> dict[str, int]:
    """For each group: how many are axial in chair B less how many are axial in chair A; zeros left out."""
    net: dict[str, int] = {}
    for chair, sign in zip(chairs, (-1, 1), strict=True):
        for group in chair.groups:
            if group.position == "axial":
                net[group.group] = net.get(group.group, 0) + sign
    return {group: count for group, count in net.items() if count}


def model_uncertainty_kcal_mol(
    chairs: tuple[Chair, Chair],
    errors: Mapping[str, GroupError],
    mean_error_kcal_mol: float,
    late_shift_kcal_mol: float = 0.0,
) -> float:
    """u of equation (1), kcal/mol, never negative."""
    total = late_shift_kcal_mol**2
    for group, count in net_axial(chairs).items():
        known = errors.get(group)
        squared = (
            mean_error_kcal_mol**2
            if known is None
            else known.error_kcal_mol**2 + known.half_range_kcal_mol**2
        )
        total += count**2 * squared
    return math.sqrt(total)


def table_temperature_k(
    chairs: tuple[Chair, Chair], table: EstimateTable, temperature_k: float
) -> float | None:
    """The temperature of the A-values that do not cancel, where known; of several the one furthest away from
    temperature_k."""
    net = net_axial(chairs)
    known = [
        row.temperature_k for row in table.a_values if row.group in net and row.temperature_k is not None
    ]
    return max(known, key=lambda known_k: abs(known_k - temperature_k), default=None)


def late_shift_kcal_mol(late: Sequence[LateMinima], window_kcal_mol: float, temperature_k: float) -> float:
    """How much a search that its budget ended was still bringing, kcal/mol at a temperature.

    (1) E(c) = -RT ln sum exp(-E/RT) over the minima of chair c
    (2) s^2 = sum over both chairs of (E(c) with all minima - E(c) without those met in the last quarter of
    the starts)^2

    A chair met only then counts with the energy window. The rule is our own.
    """
    squares = []
    for chair in late:
        now = _sum_kcal_mol((*chair.before_kcal_mol, *chair.late_kcal_mol), temperature_k)
        before = _sum_kcal_mol(chair.before_kcal_mol, temperature_k)
        if now is not None:
            earlier = before if before is not None else now + window_kcal_mol
            squares.append((now - earlier) ** 2)
    return math.sqrt(math.fsum(squares))


def _sum_kcal_mol(energies_kcal_mol: Sequence[float], temperature_k: float) -> float | None:
    return ensemble_kcal_mol(energies_kcal_mol, [1] * len(energies_kcal_mol), temperature_k)
