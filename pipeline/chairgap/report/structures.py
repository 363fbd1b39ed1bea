"""conformers.sdf: every conformer with its numbers as data fields (units in the field names)."""

from chairgap.molecule.sdf import sdf_block
from chairgap.records import Conformer, Outcome, Result
from chairgap.report.digest import by_energy, fractions
from chairgap.report.words import groups_held
from chairgap.text import one_line
from chairgap.units import fixed


def sdf_text(outcome: Outcome) -> str:
    """All conformers of all molecules, by rising potential energy within each molecule."""
    return "".join(
        sdf_block(result.molecule, conformer.minimum.positions, _properties(outcome, result, conformer))
        for result in outcome.results
        for conformer in by_energy(result.conformers)
    )


def _name(result: Result) -> dict[str, str]:
    naming = result.molecule.naming
    return {"name_systematic": naming.name} if naming and naming.name else {}


def _properties(outcome: Outcome, result: Result, conformer: Conformer) -> dict[str, str]:
    settings, shape = outcome.study.settings, conformer.shape
    names = {chair.letter: chair.name for chair in result.chairs}
    energies = [other.minimum.energy_kcal_mol for other in result.conformers]
    gibbs = [other.gibbs_kcal_mol for other in result.conformers]
    share = fractions(result.conformers, settings.temperature_k)[conformer.number]
    return {
        "name": one_line(result.molecule.name),
        **_name(result),
        "conformer": str(conformer.number),
        "chair": conformer.chairs_held or "none",
        "chair_groups": groups_held(names, conformer) or "none",
        "model": settings.model,
        "temperature_k": fixed(settings.temperature_k, 2),
        "potential_energy_kcal_mol": fixed(conformer.minimum.energy_kcal_mol, 4),
        "potential_energy_above_lowest_kcal_mol": fixed(conformer.minimum.energy_kcal_mol - min(energies), 4),
        "gibbs_energy_kcal_mol": fixed(conformer.gibbs_kcal_mol, 4),
        "gibbs_energy_above_lowest_kcal_mol": fixed(conformer.gibbs_kcal_mol - min(gibbs), 4),
        "population_percent": fixed(100.0 * share, 4),
        "cremer_pople_q_angstrom": fixed(shape.q_angstrom, 4),
        "cremer_pople_theta_deg": fixed(shape.theta_deg, 2),
        "cremer_pople_phi_deg": fixed(shape.phi_deg, 2),
        "ring_form": shape.form,
        "ring_family": shape.family,
        "degeneracy": str(conformer.degeneracy),
    }
