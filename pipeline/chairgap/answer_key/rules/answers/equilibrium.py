"""K and percent from the estimated gap."""

import math

from chairgap.answer_key.rules.answers.energies import known_gap_kcal_mol, ledger_steps
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import plain, problem, stated
from chairgap.records import Answer, Chair, PercentOf
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, fixed, signed

# Own tables of many large values reach gaps whose K no float holds: exp(709.8) is the last that one does.
_LARGEST_EXPONENT = 700.0


def exponential(exponent: float) -> float:
    """exp(exponent), cut at exp(+-700)."""
    return math.exp(max(-_LARGEST_EXPONENT, min(exponent, _LARGEST_EXPONENT)))


def equilibrium_constant(gap_kcal_mol: float, temperature_k: float) -> float:
    """K = [A]/[B] = exp((G(B) - G(A)) / RT), cut at exp(+-700)."""
    return exponential(gap_kcal_mol / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k))


def _gap(case: Case) -> tuple[float, tuple[str, ...]]:
    gap = known_gap_kcal_mol(case, "K")
    return gap, (*ledger_steps(case), f"G(B) - G(A) = {signed(gap)} kcal/mol.")


def constant_words(gap_kcal_mol: float, temperature_k: float) -> str:
    """K with four digits, or as its logarithm, '10^312.4', where no number of the machine holds it."""
    exponent = gap_kcal_mol / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k)
    if abs(exponent) > _LARGEST_EXPONENT:
        return f"10^{exponent / math.log(10.0):.1f}"
    return f"{exponential(exponent):.4g}"


def k(case: Case) -> Answer:
    """K = [stable chair]/[other chair] at the declared temperature. A claim is a number, and so never beyond
    what a number holds: there the value is infinite."""
    gap, steps = _gap(case)
    temperature = case.conventions.temperature_k
    text = constant_words(abs(gap), temperature)
    value = math.inf if text.startswith("10^") else equilibrium_constant(abs(gap), temperature)
    words = (
        f"K = [stable]/[other] = exp(gap / RT), R = {1000.0 * GAS_CONSTANT_KCAL_PER_MOL_K:.4f} cal/(mol K), "
        f"T = {temperature:g} K: "
        f"exp({fixed(abs(gap), 2)} / {fixed(GAS_CONSTANT_KCAL_PER_MOL_K * temperature, 4)}) = {text}."
    )
    return Answer(text=text, value=value, unit="", steps=(*steps, words))


def percent(case: Case) -> Answer:
    """Percent of the chair asked for, of both chairs together."""
    gap, steps = _gap(case)
    temperature, of = case.conventions.temperature_k, share_of(case)
    ratio = equilibrium_constant(gap, temperature)
    share_a = ratio / (1.0 + ratio)
    share = max(share_a, 1.0 - share_a) if of == "stable" else share_a if _is_a(of) else 1.0 - share_a
    value = 100.0 * share
    larger, shown = max(ratio, 1.0 / ratio), constant_words(abs(gap), temperature)
    words = (
        f"K = [stable]/[other] = {shown} at {temperature:g} K; percent of the stable chair = "
        f"100 K / (1 + K) = {fixed(100.0 * larger / (1.0 + larger), 2)}.",
        *([] if of == "stable" else [f"Asked for: {of}, {fixed(value, 2)} %."]),
    )
    return Answer(text=f"{fixed(value, 2)} %", value=value, unit="%", steps=(*steps, *words))


def share_of(case: Case) -> PercentOf:
    """Whose percent is asked for: the chair that the claim itself names ('5 % axial', or in column 'chair'),
    else what convention percent_of says. Raises InputError where 'axial' and 'equatorial' mean no chair."""
    claim, of = case.claim, case.conventions.percent_of
    said = stated(claim.claimed)
    behind = said.rest.strip("% ()") if said else ""
    named = case.chair_called(behind) if behind else None
    if isinstance(named, Chair):
        return named.letter
    if plain(claim.chair).lower() == "stable":
        return "stable"
    if claim.chair:
        return case.chair.letter
    if of in ("axial", "equatorial") and len(case.facts.chairs[0].groups) != 1:
        raise problem(
            claim,
            f"{case.facts.groups_by_face} has several groups, so 'percent_of={of}' "
            "has no single meaning; use stable, A or B.",
        )
    return of


def is_of_stable(case: Case, *, a_stable: bool) -> bool:
    """Whether the more stable chair is the one whose percent is asked for."""
    of = share_of(case)
    return of == "stable" or _is_a(of) == a_stable


def _is_a(of: str) -> bool:
    """Chair A is the one with fewer axial groups."""
    return of in ("A", "equatorial")
