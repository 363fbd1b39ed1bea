"""The answer for one molecule, from its anchored gap, and how hand sum and computed gap stand to it."""

from typing import Literal

from chairgap.compare.verdict import percent_a
from chairgap.records import Anchored, Estimate, Gaps, Headline, Settings, Standing


def headline(
    anchored: Anchored,
    estimate: Estimate,
    gaps: Gaps,
    settings: Settings,
    *,
    non_chair: bool,
    charged: bool,
) -> Headline:
    """The headline of a molecule. non_chair: the model's most populated ring shape is no chair, which the
    anchored gap, a gap between chairs, cannot know. charged: a group is charged, so its A-value is of
    solutions and the model's gap is not. In both cases nothing is compared."""
    gap, uncertainty = anchored.gap_kcal_mol, anchored.uncertainty_kcal_mol
    at_k, apart = settings.temperature_k, non_chair or charged
    return Headline(
        chair=_chair(anchored, equal=gaps.equal_by_symmetry, non_chair=non_chair),
        gap_kcal_mol=gap,
        uncertainty_kcal_mol=uncertainty,
        percent=None if gap is None else percent_a(abs(gap), at_k),
        low_percent=None if gap is None else percent_a(abs(gap) - uncertainty, at_k),
        high_percent=None if gap is None else percent_a(abs(gap) + uncertainty, at_k),
        hand_sum="not comparable" if apart else _hand_sum(estimate, anchored, settings),
        model="not comparable" if apart else standing(gaps.gibbs_kcal_mol, anchored, settings),
    )


def _chair(
    anchored: Anchored, *, equal: bool, non_chair: bool
) -> Literal["A", "B", "undecided", "equal", "non-chair", "unknown"]:
    gap = anchored.gap_kcal_mol
    if non_chair:
        return "non-chair"
    if equal:
        return "equal"
    if gap is None:
        return "unknown"
    if abs(gap) <= anchored.uncertainty_kcal_mol:
        return "undecided"
    return "A" if gap > 0.0 else "B"


def _hand_sum(estimate: Estimate, anchored: Anchored, settings: Settings) -> Standing:
    return standing(estimate.gap_kcal_mol, anchored, settings) if estimate.complete else "incomplete"


def standing(other_kcal_mol: float | None, anchored: Anchored, settings: Settings) -> Standing:
    """How another gap G(B) - G(A) stands to the anchored one: it agrees within the uncertainty of the
    anchored gap or the size tolerance of the study, whichever is wider, unless the anchored gap prefers a
    chair (it lies beyond its uncertainty) and the other has the opposite sign. Otherwise it differs, or
    prefers the opposite chair where both lie beyond the study's threshold of undecided gaps as well."""
    gap = anchored.gap_kcal_mol
    if other_kcal_mol is None or gap is None:
        return "none"
    close = abs(other_kcal_mol - gap) <= max(anchored.uncertainty_kcal_mol, settings.size_tolerance_kcal_mol)
    opposite = abs(gap) > anchored.uncertainty_kcal_mol and other_kcal_mol * gap < 0.0
    if close and not opposite:
        return "agrees"
    clear = min(abs(other_kcal_mol), abs(gap)) >= settings.undecided_below_kcal_mol
    return "opposite chair" if clear and opposite else "differs"
