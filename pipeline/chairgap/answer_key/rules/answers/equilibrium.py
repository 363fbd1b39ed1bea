"""K and percent from the estimated gap."""

import math

from chairgap.answer_key.rules.answers.energies import ledger_steps
from chairgap.answer_key.rules.answers.labels import Tables
from chairgap.answer_key.rules.choosing import estimate_of
from chairgap.answer_key.rules.words import problem
from chairgap.records import Answer, Claim, Facts
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K

# Own tables of many large values reach gaps whose K no float holds.
_LARGEST_EXPONENT = 600.0


def exponential(exponent: float) -> float:
    """exp(exponent), cut at exp(+-600)."""
    return math.exp(max(-_LARGEST_EXPONENT, min(exponent, _LARGEST_EXPONENT)))


def equilibrium_constant(gap_kcal_mol: float, temperature_k: float) -> float:
    """K = [A]/[B] = exp((G(B) - G(A)) / RT), cut at exp(+-600)."""
    return exponential(gap_kcal_mol / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k))


def _gap(claim: Claim, facts: Facts, tables: Tables) -> tuple[float, tuple[str, ...]]:
    estimate = estimate_of(claim, facts, tables)
    if estimate.gap_kcal_mol is None:
        raise problem(
            claim, f"The table has no value for {'; '.join(estimate.missing)}; no K can be estimated."
        )
    steps = ledger_steps(estimate, facts)
    return estimate.gap_kcal_mol, (*steps, f"G(B) - G(A) = {estimate.gap_kcal_mol:.2f} kcal/mol.")


def k(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """K = [stable chair]/[other chair] at the declared temperature."""
    gap, steps = _gap(claim, facts, tables)
    temperature = claim.conventions.temperature_k
    if abs(gap) / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature) > _LARGEST_EXPONENT:
        raise problem(
            claim,
            f"A gap of {gap:.4g} kcal/mol at {temperature:g} K gives a K too large to be a number; "
            "check the table and the temperature.",
        )
    value = equilibrium_constant(abs(gap), temperature)
    words = (
        f"K = [stable]/[other] = exp(gap / RT), R = {1000.0 * GAS_CONSTANT_KCAL_PER_MOL_K:.4f} cal/(mol K), "
        f"T = {temperature:g} K: exp({abs(gap):.2f} / {GAS_CONSTANT_KCAL_PER_MOL_K * temperature:.4f}) = "
        f"{value:.4g}."
    )
    return Answer(text=f"{value:.4g}", value=value, unit="", steps=(*steps, words))


def percent(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Percent of the chair that convention percent_of names, of both chairs together."""
    gap, steps = _gap(claim, facts, tables)
    temperature = claim.conventions.temperature_k
    ratio = equilibrium_constant(gap, temperature)
    share_a = ratio / (1.0 + ratio)
    of = claim.conventions.percent_of
    shares = {"A": share_a, "B": 1.0 - share_a, "stable": max(share_a, 1.0 - share_a)}
    if of in ("axial", "equatorial"):
        shares |= _by_position(claim, facts, share_a)
    value = 100.0 * shares[of]
    larger = max(ratio, 1.0 / ratio)
    words = (
        f"K = [stable]/[other] = {larger:.4g} at {temperature:g} K; percent of the stable chair = "
        f"100 K / (1 + K) = {100.0 * larger / (1.0 + larger):.2f}.",
        f"Asked for: {of}, {value:.2f} %.",
    )
    return Answer(text=f"{value:.2f} %", value=value, unit="%", steps=(*steps, *words))


def _by_position(claim: Claim, facts: Facts, share_a: float) -> dict[str, float]:
    """Shares of the chairs by the position of the one group; only for a single group."""
    if len(facts.chairs[0].groups) != 1:
        raise problem(
            claim,
            f"{facts.groups_by_face} has several groups, so 'percent_of={claim.conventions.percent_of}' "
            "has no single meaning; use stable, A or B.",
        )
    # Chair A is the one with fewer axial groups.
    return {"equatorial": share_a, "axial": 1.0 - share_a}
