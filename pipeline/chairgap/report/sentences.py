"""Sentences about one molecule that the report and the terminal share."""

from chairgap.records import Outcome, Result
from chairgap.report.digest import (
    ENGINES_AGREE_KCAL_MOL,
    ENGINES_AGREE_KCAL_MOL_ANGSTROM,
    engine_agreement,
)


def gap_kinds(outcome: Outcome, result: Result) -> list[tuple[str, float | None]]:
    """The four computed gaps, kcal/mol, each with what it is, its direction and its temperature."""
    gaps, at = result.gaps, f"{outcome.study.settings.temperature_k:.2f} K"
    return [
        ("potential energy, best conformer of each chair, E(B) - E(A)", gaps.potential_kcal_mol),
        (f"ensemble of all rotamers at {at}, E(B) - E(A)", gaps.ensemble_kcal_mol),
        (f"Gibbs energy, harmonic, at {at}, G(B) - G(A)", gaps.gibbs_kcal_mol),
        ("potential energy, best non-chair - best chair (positive: chair lower)", gaps.to_non_chair_kcal_mol),
    ]


def populations_sentence(outcome: Outcome, result: Result) -> str:
    """Populations and the equilibrium constant with its direction."""
    gaps = result.gaps
    constant = "not defined" if gaps.equilibrium_constant is None else f"{gaps.equilibrium_constant:.3g}"
    return (
        f"Populations at {outcome.study.settings.temperature_k:.2f} K from the Gibbs energies: "
        f"chair A {100 * gaps.population_a:.1f} %, chair B {100 * gaps.population_b:.1f} %, "
        f"non-chair {100 * gaps.population_non_chair:.1f} %. K = [A]/[B] = {constant}."
    )


def coverage_sentences(result: Result) -> str:
    """What the search looked at, and what became of it."""
    search = result.search
    covered = "exhaustive over the rotamer lattice" if search.exhaustive else "sampled, not exhaustive"
    return (
        f"{search.starts_minimised} starts minimised ({search.ring_starts} ring shapes, "
        f"{search.lattice_states} lattice states; sampling rounds: {search.rounds}), {covered}; "
        f"{search.minima_found} minima found, {search.new_in_last_round} of them new in the last round. "
        f"Dropped: {search.dropped_stereo_changed} with changed stereo, {search.dropped_unconverged} not "
        f"converged, {search.saddles_left} still on a saddle."
    )


def engines_sentence(result: Result) -> str:
    """Whether the second engine gives the same energies and gradients."""
    check = engine_agreement(result.conformers)

    def shown(value: float | None) -> str:
        return "not compared" if value is None else f"{value:.1e}"

    return (
        f"Engines agree: {check.agree}. Largest difference between RDKit and OpenMM at the same geometry: "
        f"energy {shown(check.energy_difference_kcal_mol)} kcal/mol (limit {ENGINES_AGREE_KCAL_MOL:.0e}), "
        f"gradient {shown(check.gradient_difference_kcal_mol_angstrom)} kcal/mol/Å "
        f"(limit {ENGINES_AGREE_KCAL_MOL_ANGSTROM:.0e})."
    )
