"""conformers.csv, ledger.csv, positions.csv and contacts.csv: the details behind gaps.csv."""

from collections.abc import Iterable

import pandas as pd

from chairgap.records import Conformer, LedgerTerm, Outcome, Result
from chairgap.report.cells import GAP, Row, frame_of
from chairgap.report.digest import by_energy, carbon_by_locant, fractions, lowest_in_chair
from chairgap.report.words import groups_held, joined_numbers
from chairgap.shape.chairs import position_in_chair

CONFORMERS_HEADERS = (
    "name",
    "conformer",
    "chair",
    "chair_groups",
    "model",
    "temperature_k",
    "potential_energy_kcal_mol",
    "potential_energy_above_lowest_kcal_mol_positive_less_stable",
    "gibbs_energy_kcal_mol",
    "gibbs_energy_above_lowest_kcal_mol_positive_less_stable",
    "harmonic_gibbs_energy_kcal_mol",
    "enthalpy_kcal_mol",
    "population_percent",
    "degeneracy_in_chair_A",
    "degeneracy_in_chair_B",
    "degeneracy_non_chair",
    "rotational_symmetry_number",
    "mirror_images",
    "dipole_debye",
    "ring_form",
    "ring_family",
    "angle_to_form_deg",
    "cremer_pople_q_angstrom",
    "cremer_pople_theta_deg",
    "cremer_pople_phi_deg",
    "ligand_positions",
    "gradient_rms_kcal_mol_per_angstrom",
    "lowest_frequency_cm1",
    "engine_energy_difference_kcal_mol",
    "engine_gradient_difference_kcal_mol_per_angstrom",
    "start",
)

LEDGER_HEADERS = (
    "name",
    "chair",
    "chair_groups",
    "kind",
    "carbons",
    "groups",
    "energy_in_this_chair_low_kcal_mol_positive_unfavourable",
    "energy_in_this_chair_kcal_mol_positive_unfavourable",
    "energy_in_this_chair_high_kcal_mol_positive_unfavourable",
    f"contribution_to_{GAP}",
    "published_value",
    "source",
    "words",
)

POSITIONS_HEADERS = (
    "name",
    "chair",
    "chair_groups",
    "ring_carbon",
    "up_group",
    "up_position",
    "up_angle_to_ring_normal_deg",
    "down_group",
    "down_position",
    "down_angle_to_ring_normal_deg",
    "angles_from_conformer",
)

CONTACTS_HEADERS = (
    "name",
    "conformer",
    "chair",
    "kind",
    "carbon_1",
    "group_1",
    "carbon_2",
    "group_2",
    "closest_distance_angstrom",
    "dihedral_deg",
)


def conformers_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per conformer, by rising potential energy within each molecule."""
    return frame_of(
        (row for result in outcome.results for row in _conformer_rows(outcome, result)), CONFORMERS_HEADERS
    )


def _conformer_rows(outcome: Outcome, result: Result) -> Iterable[Row]:
    settings, names = outcome.study.settings, {chair.letter: chair.name for chair in result.chairs}
    ordered = by_energy(result.conformers)
    populations = fractions(result.conformers, settings.temperature_k)
    for conformer in ordered:
        minimum = conformer.minimum
        frequencies = minimum.frequencies_cm1
        head: Row = {
            "name": result.molecule.name,
            "conformer": conformer.number,
            "chair": conformer.chairs_held or None,
            "chair_groups": groups_held(names, conformer) or None,
            "model": settings.model,
            "temperature_k": settings.temperature_k,
            "potential_energy_kcal_mol": minimum.energy_kcal_mol,
            "potential_energy_above_lowest_kcal_mol_positive_less_stable": (
                minimum.energy_kcal_mol - ordered[0].minimum.energy_kcal_mol
            ),
            "gibbs_energy_kcal_mol": conformer.gibbs_kcal_mol,
            "gibbs_energy_above_lowest_kcal_mol_positive_less_stable": (
                conformer.gibbs_kcal_mol - min(other.gibbs_kcal_mol for other in ordered)
            ),
            "harmonic_gibbs_energy_kcal_mol": conformer.harmonic_gibbs_kcal_mol,
            "enthalpy_kcal_mol": conformer.enthalpy_kcal_mol,
            "population_percent": 100.0 * populations[conformer.number],
            "gradient_rms_kcal_mol_per_angstrom": minimum.gradient_rms_kcal_mol_angstrom,
            "lowest_frequency_cm1": float(frequencies.min()) if frequencies.size else None,
            "start": minimum.start,
        }
        yield head | _shape_cells(conformer)


def _shape_cells(conformer: Conformer) -> Row:
    shape, check = conformer.shape, conformer.check
    return {
        "degeneracy_in_chair_A": conformer.degeneracy_a,
        "degeneracy_in_chair_B": conformer.degeneracy_b,
        "degeneracy_non_chair": conformer.degeneracy_other,
        "rotational_symmetry_number": conformer.rotational_symmetry,
        "mirror_images": conformer.mirror_images,
        "dipole_debye": conformer.dipole_debye,
        "ring_form": shape.form,
        "ring_family": shape.family,
        "angle_to_form_deg": shape.distance_deg,
        "cremer_pople_q_angstrom": shape.q_angstrom,
        "cremer_pople_theta_deg": shape.theta_deg,
        "cremer_pople_phi_deg": shape.phi_deg,
        "ligand_positions": "; ".join(
            f"{ligand.carbon} {ligand.face} {ligand.group} {ligand.position}"
            for ligand in conformer.ligands
            if ligand.group != "H"
        ),
        "engine_energy_difference_kcal_mol": check.energy_difference_kcal_mol,
        "engine_gradient_difference_kcal_mol_per_angstrom": check.gradient_difference_kcal_mol_angstrom,
    }


def ledger_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per estimate term; terms without a published value have empty energies and say so."""
    return frame_of(
        (_term_row(result, term) for result in outcome.results for term in result.estimate.terms),
        LEDGER_HEADERS,
    )


def _term_row(result: Result, term: LedgerTerm) -> Row:
    names = {chair.letter: chair.name for chair in result.chairs}
    value = term.value_kcal_mol
    return {
        "name": result.molecule.name,
        "chair": term.chair,
        "chair_groups": names[term.chair],
        "kind": term.kind,
        "carbons": joined_numbers(term.carbons),
        "groups": "; ".join(term.groups),
        "energy_in_this_chair_low_kcal_mol_positive_unfavourable": term.low_kcal_mol,
        "energy_in_this_chair_kcal_mol_positive_unfavourable": value,
        "energy_in_this_chair_high_kcal_mol_positive_unfavourable": term.high_kcal_mol,
        f"contribution_to_{GAP}": None if value is None else value if term.chair == "B" else -value,
        "published_value": value is not None,
        "source": term.source,
        "words": term.words,
    }


def positions_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per ring carbon per chair: both ligands, axial or equatorial, with the angle that was measured.

    The angles are those of the chair's best conformer; empty when the search found none of its own kind.
    """
    return frame_of((row for result in outcome.results for row in _position_rows(result)), POSITIONS_HEADERS)


def _position_rows(result: Result) -> Iterable[Row]:
    for chair in result.chairs:
        best = lowest_in_chair(result.conformers, chair.letter)
        own = best if best is not None and best.chair == chair.letter else None
        angles = {(ligand.carbon, ligand.face): ligand.angle_deg for ligand in own.ligands} if own else {}
        for carbon in carbon_by_locant(result):
            row: Row = {
                "name": result.molecule.name,
                "chair": chair.letter,
                "chair_groups": chair.name,
                "ring_carbon": carbon.locant,
                "angles_from_conformer": own.number if own else None,
            }
            for ligand in carbon.ligands:
                face, place = ligand.face, (carbon.locant, ligand.face)
                row[f"{face}_group"] = ligand.group
                row[f"{face}_position"] = position_in_chair(*place, chair.odd_up_axial)
                row[f"{face}_angle_to_ring_normal_deg"] = angles.get(place)
            yield row


def contacts_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per near pair of ligands in each conformer."""
    return frame_of(
        (
            {
                "name": result.molecule.name,
                "conformer": conformer.number,
                "chair": conformer.chairs_held or None,
                "kind": contact.kind,
                "carbon_1": contact.carbons[0],
                "group_1": contact.groups[0],
                "carbon_2": contact.carbons[1],
                "group_2": contact.groups[1],
                "closest_distance_angstrom": contact.distance_angstrom,
                "dihedral_deg": contact.dihedral_deg,
            }
            for result in outcome.results
            for conformer in by_energy(result.conformers)
            for contact in conformer.contacts
        ),
        CONTACTS_HEADERS,
    )
