"""gaps.csv: one row per molecule, refused and failed ones included."""

import pandas as pd

from chairgap.compare.verdict import percent_a
from chairgap.records import Outcome, Refusal, Result
from chairgap.report.cells import GAP, Row, frame_of
from chairgap.report.digest import engine_agreement, lowest, notes, untreated
from chairgap.report.words import preferred_words
from chairgap.text import lines_of

GAPS_HEADERS = (
    "name",
    "status",
    "message",
    "smiles",
    "inchi",
    "groups_by_face",
    "chair_A",
    "chair_B",
    "temperature_k",
    "force_field",
    "minimising_engine",
    "quantum_method",
    "medium",
    "dielectric_constant",
    "a_value_table",
    f"estimate_low_{GAP}",
    f"estimate_{GAP}",
    f"estimate_high_{GAP}",
    "estimate_complete",
    "estimate_missing_terms",
    "estimate_flags",
    f"potential_{GAP}",
    f"ensemble_{GAP}",
    f"gibbs_{GAP}",
    f"gibbs_low_{GAP}",
    f"gibbs_high_{GAP}",
    f"harmonic_gibbs_{GAP}",
    f"enthalpy_{GAP}",
    "entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more",
    f"fitted_enthalpy_{GAP}",
    "fitted_entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more",
    "fit_largest_deviation_kcal_mol",
    "best_non_chair_minus_best_chair_potential_kcal_mol_positive_favours_chair",
    "gibbs_gap_minus_estimate_gap_kcal_mol_positive_computed_favours_A_more",
    "sign_verdict",
    "size_verdict",
    "preferred_by_computation",
    "preferred_in_words",
    "reason_codes",
    "reason_evidence",
    "population_chair_A_percent",
    "population_chair_B_percent",
    "population_non_chair_percent",
    "estimate_low_chair_A_of_both_percent",
    "estimate_chair_A_of_both_percent",
    "estimate_high_chair_A_of_both_percent",
    "gibbs_low_chair_A_of_both_percent",
    "gibbs_chair_A_of_both_percent",
    "gibbs_high_chair_A_of_both_percent",
    "equilibrium_constant_A_over_B",
    "chairs_equal_by_symmetry",
    "global_minimum_form",
    "global_minimum_family",
    "global_minimum_chair",
    "engine_energy_difference_max_kcal_mol",
    "engine_gradient_difference_max_kcal_mol_per_angstrom",
    "engines_agree",
    "conformers",
    "search_ring_starts",
    "search_lattice_states",
    "search_starts_minimised",
    "search_minima_found",
    "search_exhaustive",
    "search_rounds",
    "search_new_minima_in_last_round",
    "search_dropped_stereo_changed",
    "search_dropped_unconverged",
    "search_saddles_left",
    "notes",
)


def gaps_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per molecule: the treated ones in the order of the study, then the refused, then the failed."""
    rows = [_gaps_row(outcome, result) for result in outcome.results]
    rows.extend(_untreated_row(status, refusal) for status, refusal in untreated(outcome))
    return frame_of(rows, GAPS_HEADERS)


def _untreated_row(status: str, refusal: Refusal) -> Row:
    where = str(refusal.place)
    text = " ".join(lines_of(refusal.message))
    message = f"{where}: {text}" if where else text
    return {"name": refusal.name, "status": status, "message": message}


def _gaps_row(outcome: Outcome, result: Result) -> Row:
    molecule, settings, (chair_a, chair_b) = result.molecule, outcome.study.settings, result.chairs
    row: Row = {
        "name": molecule.name,
        "status": "done",
        "smiles": molecule.smiles,
        "inchi": molecule.inchi,
        "groups_by_face": molecule.groups_by_face,
        "chair_A": chair_a.name,
        "chair_B": chair_b.name,
        "temperature_k": settings.temperature_k,
        "force_field": settings.force_field,
        "minimising_engine": settings.engine,
        "quantum_method": settings.quantum_method,
        "medium": settings.medium.name,
        "dielectric_constant": settings.medium.dielectric,
        "a_value_table": outcome.table.name,
        "notes": "; ".join(notes(result)),
    }
    return (
        row
        | _energies(result)
        | _thermal(result)
        | _percents(result, settings.temperature_k)
        | _verdicts(result)
        | _minimum_and_engines(result)
        | _coverage(result)
    )


def _energies(result: Result) -> Row:
    estimate, gaps = result.estimate, result.gaps
    return {
        f"estimate_low_{GAP}": estimate.low_kcal_mol,
        f"estimate_{GAP}": estimate.gap_kcal_mol,
        f"estimate_high_{GAP}": estimate.high_kcal_mol,
        "estimate_complete": estimate.complete,
        "estimate_missing_terms": "; ".join(estimate.missing),
        "estimate_flags": "; ".join(estimate.flags),
        f"potential_{GAP}": gaps.potential_kcal_mol,
        f"ensemble_{GAP}": gaps.ensemble_kcal_mol,
        f"gibbs_{GAP}": gaps.gibbs_kcal_mol,
        "best_non_chair_minus_best_chair_potential_kcal_mol_positive_favours_chair": (
            gaps.to_non_chair_kcal_mol
        ),
        "population_chair_A_percent": 100.0 * gaps.population_a,
        "population_chair_B_percent": 100.0 * gaps.population_b,
        "population_non_chair_percent": 100.0 * gaps.population_non_chair,
        "equilibrium_constant_A_over_B": gaps.equilibrium_constant,
        "chairs_equal_by_symmetry": gaps.equal_by_symmetry,
    }


def _thermal(result: Result) -> Row:
    gaps, comparison, fit = result.gaps, result.comparison, result.temperatures.fit
    return {
        f"gibbs_low_{GAP}": comparison.computed_low_kcal_mol,
        f"gibbs_high_{GAP}": comparison.computed_high_kcal_mol,
        f"harmonic_gibbs_{GAP}": gaps.harmonic_gibbs_kcal_mol,
        f"enthalpy_{GAP}": gaps.enthalpy_kcal_mol,
        "entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more": gaps.entropy_cal_mol_k,
        f"fitted_enthalpy_{GAP}": fit.enthalpy_kcal_mol if fit else None,
        "fitted_entropy_gap_B_minus_A_cal_mol_k_positive_B_has_more": fit.entropy_cal_mol_k if fit else None,
        "fit_largest_deviation_kcal_mol": fit.largest_deviation_kcal_mol if fit else None,
    }


def _percents(result: Result, temperature_k: float) -> Row:
    """Percent of chair A among both chairs, for each end of both ranges."""
    estimate, comparison = result.estimate, result.comparison
    gaps = {
        "estimate_low": estimate.low_kcal_mol,
        "estimate": estimate.gap_kcal_mol,
        "estimate_high": estimate.high_kcal_mol,
        "gibbs_low": comparison.computed_low_kcal_mol,
        "gibbs": result.gaps.gibbs_kcal_mol,
        "gibbs_high": comparison.computed_high_kcal_mol,
    }
    return {
        f"{name}_chair_A_of_both_percent": None if gap is None else percent_a(gap, temperature_k)
        for name, gap in gaps.items()
    }


def _verdicts(result: Result) -> Row:
    comparison = result.comparison
    return {
        "gibbs_gap_minus_estimate_gap_kcal_mol_positive_computed_favours_A_more": (
            comparison.difference_kcal_mol
        ),
        "sign_verdict": comparison.sign,
        "size_verdict": comparison.size,
        "preferred_by_computation": comparison.preferred,
        "preferred_in_words": preferred_words(result),
        "reason_codes": "; ".join(reason.code for reason in comparison.reasons),
        "reason_evidence": "; ".join(reason.evidence for reason in comparison.reasons),
    }


def _minimum_and_engines(result: Result) -> Row:
    best, check = lowest(result.conformers), engine_agreement(result.conformers)
    return {
        "global_minimum_form": best.shape.form if best else None,
        "global_minimum_family": best.shape.family if best else None,
        "global_minimum_chair": (best.chairs_held or None) if best else None,
        "engine_energy_difference_max_kcal_mol": check.energy_difference_kcal_mol,
        "engine_gradient_difference_max_kcal_mol_per_angstrom": check.gradient_difference_kcal_mol_angstrom,
        "engines_agree": check.agree,
    }


def _coverage(result: Result) -> Row:
    search = result.search
    return {
        "conformers": len(result.conformers),
        "search_ring_starts": search.ring_starts,
        "search_lattice_states": search.lattice_states,
        "search_starts_minimised": search.starts_minimised,
        "search_minima_found": search.minima_found,
        "search_exhaustive": search.exhaustive,
        "search_rounds": search.rounds,
        "search_new_minima_in_last_round": search.new_in_last_round,
        "search_dropped_stereo_changed": search.dropped_stereo_changed,
        "search_dropped_unconverged": search.dropped_unconverged,
        "search_saddles_left": search.saddles_left,
    }
