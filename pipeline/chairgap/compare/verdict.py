"""Estimate against computation: who is preferred, and whether the two agree in sign and in size."""

import math
from typing import Literal

from chairgap.compare.reasons import CHARGED
from chairgap.records import Comparison, Estimate, Gaps, Reason, Settings, Verdict
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K

Preferred = Literal["A", "B", "non-chair", "undecided", "equal"]


def preferred_form(gaps: Gaps, settings: Settings, uncertainty_kcal_mol: float) -> Preferred:
    """The most populated of chair A, chair B and the non-chair forms, by Gibbs energy.

    'undecided' when the runner-up lies within settings.undecided_below_kcal_mol, or when the two are the
    chairs and their gap, less or plus the uncertainty of the model, reaches zero; 'equal' when symmetry makes
    the two chairs the same and no non-chair form comes near.
    """
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * settings.temperature_k
    forms: list[tuple[float, Preferred]] = [
        (gaps.population_a, "A"),
        (gaps.population_b, "B"),
        (gaps.population_non_chair, "non-chair"),
    ]
    if gaps.equal_by_symmetry:
        forms = [(gaps.population_a, "equal"), (gaps.population_non_chair, "non-chair")]
    forms.sort(key=lambda form: -form[0])
    (first, name), (second, runner_up) = forms[0], forms[1]
    # (1) G(second) - G(first) = RT ln(p_first / p_second)
    lead = math.inf if second == 0.0 else rt * math.log(first / second)
    close = lead < settings.undecided_below_kcal_mol
    if {name, runner_up} == {"A", "B"}:
        close = close or _reaches_zero(gaps.gibbs_kcal_mol, uncertainty_kcal_mol)
    return "undecided" if close else name


def _reaches_zero(gap_kcal_mol: float | None, uncertainty_kcal_mol: float) -> bool:
    """True also when it only just does, as for a group whose A-value is 0: its error is the gap itself."""
    return gap_kcal_mol is not None and abs(gap_kcal_mol) <= uncertainty_kcal_mol


def _sign(estimate: Estimate, computed: float | None, threshold: float, uncertainty: float) -> Verdict:
    if estimate.gap_kcal_mol is None or computed is None or not _sign_is_known(estimate):
        return "not comparable"
    low, high = estimate.low_kcal_mol, estimate.high_kcal_mol
    straddles = low is not None and high is not None and low < 0.0 < high
    small = min(abs(estimate.gap_kcal_mol), abs(computed)) < threshold
    if straddles or small or _reaches_zero(computed, uncertainty):
        return "undecided"
    return "agrees" if estimate.gap_kcal_mol * computed > 0.0 else "disagrees"


def _sign_is_known(estimate: Estimate) -> bool:
    """True when no term is missing, or only syn-diaxial crowding in the chair that is the worse anyway."""
    worse = "B" if (estimate.gap_kcal_mol or 0.0) > 0.0 else "A"
    unknown = [term for term in estimate.terms if term.value_kcal_mol is None]
    widening = all(term.kind == "syn-diaxial" and term.chair == worse for term in unknown)
    return estimate.complete or (bool(unknown) and widening)


def _size(estimate: Estimate, computed: float | None, tolerance: float) -> Verdict:
    low, high = estimate.low_kcal_mol, estimate.high_kcal_mol
    if computed is None or low is None or high is None or not estimate.complete:
        return "not comparable"
    return "agrees" if low - tolerance <= computed <= high + tolerance else "disagrees"


def compare(
    estimate: Estimate,
    gaps: Gaps,
    settings: Settings,
    reasons: tuple[Reason, ...],
    uncertainty_kcal_mol: float,
) -> Comparison:
    """Verdicts on the Gibbs gap, the kind that A-values are.

    Sign: 'undecided' when either number is below the threshold, or when the range of either holds zero: the
    estimate's from its table, the computed one from the uncertainty of the model; 'not comparable' when the
    estimate lacks a term that could turn it. Size: 'agrees' when the computed gap lies within the estimate's
    range widened by the size tolerance on both sides; 'not comparable' when the estimate lacks a term. Both
    are 'not comparable' when no chair is preferred, since the hand rules only weigh chairs, and for charged
    groups, whose A-values are of solutions.
    """
    computed = gaps.gibbs_kcal_mol
    uncertainty = 0.0 if gaps.equal_by_symmetry else uncertainty_kcal_mol
    preferred = preferred_form(gaps, settings, uncertainty)
    both_zero = gaps.equal_by_symmetry and estimate.gap_kcal_mol == 0.0
    difference = (
        None if computed is None or estimate.gap_kcal_mol is None else computed - estimate.gap_kcal_mol
    )
    sign = _sign(estimate, computed, settings.undecided_below_kcal_mol, uncertainty)
    size = _size(estimate, computed, settings.size_tolerance_kcal_mol)
    apart = preferred == "non-chair" or any(reason.code == CHARGED for reason in reasons)
    return Comparison(
        difference_kcal_mol=difference,
        computed_low_kcal_mol=None if computed is None else computed - uncertainty,
        computed_high_kcal_mol=None if computed is None else computed + uncertainty,
        sign="not comparable" if apart else "agrees" if both_zero else sign,
        size="not comparable" if apart else size,
        preferred=preferred,
        reasons=reasons,
    )


def percent_a(gap_kcal_mol: float, temperature_k: float) -> float:
    """Percent of chair A among the two chairs for a Gibbs gap G(B) - G(A), at temperature_k."""
    # (2) A / (A + B) = 1 / (1 + exp(-gap / RT)) = (1 + tanh(gap / 2RT)) / 2, which cannot overflow
    return 50.0 * (1.0 + math.tanh(gap_kcal_mol / (2.0 * GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k)))
