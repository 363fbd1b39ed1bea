"""A published gap of a molecule beside its anchored gap.

The anchored gap that is compared is the one in the published medium; where the gas phase, an apolar medium or
none is published, else the first of the study's media that is the gas phase or apolar, since gaps there are
those of the gas phase. Without such a medium nothing is compared. With T the published temperature, T0 that
of the study and G the model's Gibbs gap in the study's own medium, u the uncertainty of the anchored gap, e
the published error (0 where none is published):

    (1) anchored(T) = anchored(T0) + G(T) - G(T0)
    (2) it agrees with a number x where |anchored(T) - x| is at most sqrt(u^2 + e^2)
    (3) it agrees with 'at least x' where anchored(T) + u is at least x, with 'at most x' where
        anchored(T) - u is at most x, and with a favoured chair alone, a bound of 0, likewise

Otherwise it differs; it prefers the opposite chair where its sign is not the published one and both lie at
least 0.2 kcal/mol from zero; where only the favoured chair is published, whenever it does not agree.
"""

import math
from collections.abc import Mapping

from chairgap.compare.equilibria import CLEAR_KCAL_MOL, GAS_LIKE
from chairgap.records import Anchored, MeasuredGap, MeasuredStanding, MediumClass, PublishedGap


def measured_gap(
    published: PublishedGap,
    anchored: Mapping[str, Anchored],
    classes: Mapping[str, MediumClass],
    shift_kcal_mol: float | None,
) -> MeasuredGap:
    """The published gap with what stands beside it. anchored: by the name of the medium, that of the study
    first; classes: of each medium; shift_kcal_mol: G(T) - G(T0), None where the model has no gap."""
    medium = _medium_of(published, anchored, classes)
    there = anchored.get(medium)
    gap = there.gap_kcal_mol if there is not None else None
    # (1)
    gap = None if gap is None or shift_kcal_mol is None else gap + shift_kcal_mol
    uncertainty = there.uncertainty_kcal_mol if there is not None else 0.0
    return MeasuredGap(
        published=published,
        anchored_in=medium,
        anchored_kcal_mol=gap,
        uncertainty_kcal_mol=uncertainty,
        stands="other medium" if not medium else _stands(published, gap, uncertainty),
    )


def _medium_of(
    published: PublishedGap, anchored: Mapping[str, Anchored], classes: Mapping[str, MediumClass]
) -> str:
    row = published.equilibrium
    if row.medium in anchored:
        return row.medium
    if row.medium_class not in GAS_LIKE:
        return ""
    return next((name for name in anchored if classes.get(name) in GAS_LIKE), "")


def _stands(published: PublishedGap, gap: float | None, uncertainty: float) -> MeasuredStanding:
    value = published.gap_kcal_mol
    if gap is None:
        return "none"
    opposite = bool(published.favoured) and gap != 0.0 and (gap > 0.0) != (published.favoured == "A")
    if value is None:
        return "opposite chair" if opposite and abs(gap) > uncertainty else "agrees"
    error = published.error_kcal_mol or 0.0
    # (2), (3)
    agrees = {
        "at least": gap + uncertainty >= value,
        "at most": gap - uncertainty <= value,
    }.get(published.bound, abs(gap - value) <= math.hypot(uncertainty, error))
    if agrees:
        return "agrees"
    clear = min(abs(gap), abs(value)) >= CLEAR_KCAL_MOL
    return "opposite chair" if opposite and clear else "differs"
