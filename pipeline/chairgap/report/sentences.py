"""Sentences about one molecule that the report and the terminal share."""

from chairgap.compare.verdict import percent_a
from chairgap.records import Outcome, Result, SplitPart
from chairgap.report.digest import (
    ENGINES_AGREE_KCAL_MOL,
    ENGINES_AGREE_KCAL_MOL_ANGSTROM,
    engine_agreement,
)
from chairgap.units import fixed, signed

_SHOWN_KCAL_MOL = 0.005


def gap_kinds(outcome: Outcome, result: Result) -> list[tuple[str, float | None]]:
    """The computed gaps, kcal/mol, each with what it is, its direction and its temperature."""
    gaps, at = result.gaps, f"{outcome.study.settings.temperature_k:.2f} K"
    return [
        ("potential energy, best conformer of each chair, E(B) - E(A)", gaps.potential_kcal_mol),
        (f"ensemble of all rotamers at {at}, E(B) - E(A)", gaps.ensemble_kcal_mol),
        (f"Gibbs energy, quasi-harmonic, at {at}, G(B) - G(A)", gaps.gibbs_kcal_mol),
        (f"Gibbs energy, harmonic, at {at}, G(B) - G(A)", gaps.harmonic_gibbs_kcal_mol),
        (f"enthalpy at {at}, H(B) - H(A)", gaps.enthalpy_kcal_mol),
        ("potential energy, best non-chair - best chair (positive: chair lower)", gaps.to_non_chair_kcal_mol),
    ]


def uncertainty_sentence(outcome: Outcome, result: Result) -> str:
    """Both ranges, as gaps and as percent of chair A among both chairs; '' without a computed gap."""
    comparison, estimate, gap = result.comparison, result.estimate, result.gaps.gibbs_kcal_mol
    low, high = comparison.computed_low_kcal_mol, comparison.computed_high_kcal_mol
    if gap is None or low is None or high is None:
        return ""
    at_k = outcome.study.settings.temperature_k

    def percents(ends: tuple[float, float]) -> str:
        low, high = (fixed(percent_a(end, at_k), 0) for end in ends)
        return f"chair A {low if low == high else f'{low} to {high}'} % of both chairs"

    sentence = (
        f"Computed Gibbs gap G(B) - G(A) at {at_k:.2f} K {signed(gap)} +- {fixed(0.5 * (high - low), 2)} "
        f"kcal/mol, from the model's error for each group alone: {signed(low)} to {signed(high)}, "
        f"{percents((low, high))}."
    )
    if estimate.complete and estimate.low_kcal_mol is not None and estimate.high_kcal_mol is not None:
        ends = (estimate.low_kcal_mol, estimate.high_kcal_mol)
        sentence += f" Estimate {signed(ends[0])} to {signed(ends[1])}: {percents(ends)}."
    return sentence


def split_sentence(outcome: Outcome, result: Result) -> str:
    """The difference and its parts on one line; what adds less than 0.005 is left out of the line."""
    split, comparison = result.split, result.comparison
    if not split.parts:
        return f"Not divided into parts: {split.note}."
    estimate = result.estimate
    if estimate.gap_kcal_mol is not None and estimate.shown_kcal_mol[0] is None:
        known = f"sum without the {'; '.join(estimate.missing)}"
    else:
        known = "estimate"
    words = [
        f"{_part_words(part)} {signed(part.difference_kcal_mol)}"
        for part in split.parts
        if abs(part.difference_kcal_mol) >= _SHOWN_KCAL_MOL
    ]
    return (
        f"Computed Gibbs gap at {outcome.study.settings.temperature_k:.2f} K "
        f"{signed(result.gaps.gibbs_kcal_mol)} - {known} {signed(estimate.gap_kcal_mol)} = "
        f"{signed(comparison.difference_kcal_mol)} kcal/mol, made up of (positive: towards chair A): "
        f"{', '.join(words) or 'no part above 0.005 kcal/mol'}."
    )


def _part_words(part: SplitPart) -> str:
    if part.kind == "single group":
        return f"{part.groups[0]} alone on C{part.carbons[0]}"
    if part.kind == "pair":
        one, other = part.carbons
        return f"{part.groups[0]} on C{one} with {part.groups[1]} on C{other} ({part.relation})"
    return part.kind


def series_sentence(outcome: Outcome, result: Result) -> str:
    """The straight line through the temperature series, with its direction; '' without one."""
    fit, points = result.temperatures.fit, result.temperatures.points
    if fit is None:
        return ""
    return (
        f"Line through the {_model(outcome)} gaps at {len(points)} temperatures, "
        f"{points[0].temperature_k:.0f} to {points[-1].temperature_k:.0f} K, dG = dH - T dS: "
        f"dH = H(B) - H(A) = {signed(fit.enthalpy_kcal_mol)} kcal/mol, "
        f"dS = S(B) - S(A) = {signed(fit.entropy_cal_mol_k)} cal/mol/K; "
        f"no point deviates by more than {fixed(fit.largest_deviation_kcal_mol, 3)} kcal/mol."
    )


def _model(outcome: Outcome) -> str:
    return outcome.study.settings.force_field_or_quantum_method


def populations_sentence(outcome: Outcome, result: Result) -> str:
    """Populations and the equilibrium constant with its direction."""
    gaps = result.gaps
    constant = "not defined" if gaps.equilibrium_constant is None else f"{gaps.equilibrium_constant:.3g}"
    return (
        f"Populations by {_model(outcome)} at {outcome.study.settings.temperature_k:.2f} K, "
        f"from its Gibbs energies: chair A {100 * gaps.population_a:.1f} %, "
        f"chair B {100 * gaps.population_b:.1f} %, non-chair {100 * gaps.population_non_chair:.1f} %. "
        f"K = [A]/[B] = {constant}."
    )


def coverage_sentences(result: Result) -> str:
    """What the search looked at, and what became of it."""
    search = result.search
    per_minimum = search.minimisations_per_minimum
    each = "" if per_minimum is None else f" ({per_minimum:.1f} minimisations for each)"
    covered = "exhaustive over the lattice of rotamers" if search.exhaustive else "sampled, not exhaustive"
    return (
        f"{search.starts_minimised} starts minimised, {search.starts_left_early} more left on the way to a "
        f"known minimum ({search.ring_starts} ring shapes, {search.lattice_states} lattice states; sampling "
        f"rounds: {search.rounds}), {covered}; {search.minima_found} minima found{each}, "
        f"{search.new_in_last_round} of them new in the last round. Dropped: "
        f"{search.dropped_stereo_changed} with changed configuration, {search.dropped_unconverged} not "
        f"converged, {search.saddles_left} still at a saddle point."
    )


def engines_sentence(result: Result) -> str:
    """Whether the other engines give the same energies and gradients."""
    check = engine_agreement(result.conformers)

    def shown(value: float | None) -> str:
        return "not compared" if value is None else f"{value:.1e}"

    return (
        f"Engines agree: {check.agree}. Largest difference between the engines at the same geometry: "
        f"energy {shown(check.energy_difference_kcal_mol)} kcal/mol (limit {ENGINES_AGREE_KCAL_MOL:.0e}), "
        f"gradient {shown(check.gradient_difference_kcal_mol_angstrom)} kcal/mol/Å "
        f"(limit {ENGINES_AGREE_KCAL_MOL_ANGSTROM:.0e})."
    )
