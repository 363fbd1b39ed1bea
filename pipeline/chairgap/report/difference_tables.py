"""split.csv, temperatures.csv and solvents.csv: why the numbers differ, and how they move."""

from collections.abc import Iterable

import pandas as pd

from chairgap.records import Outcome, Result
from chairgap.report.cells import GAP, Row, frame_of
from chairgap.report.words import joined_numbers

SPLIT_HEADERS = (
    "name",
    "model",
    "temperature_k",
    "part",
    "relation",
    "carbons",
    "groups",
    f"computed_{GAP}",
    f"tabulated_{GAP}",
    f"computed_minus_tabulated_{GAP}",
    "note",
)

TEMPERATURES_HEADERS = (
    "name",
    "model",
    "temperature_k",
    f"gibbs_{GAP}",
    "equilibrium_constant_A_over_B",
    "population_chair_A_percent",
    "population_chair_B_percent",
    "population_non_chair_percent",
)

SOLVENTS_HEADERS = (
    "name",
    "force_field_or_quantum_method",
    "temperature_k",
    "medium",
    "dielectric_constant",
    f"potential_{GAP}",
    f"gibbs_{GAP}",
    "population_chair_A_percent",
    "population_chair_B_percent",
    "population_non_chair_percent",
    "hydrogen_bonds_best_of_A",
    "hydrogen_bonds_best_of_B",
)


def split_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per part of the difference, computed Gibbs gap minus estimate; the last column but one adds up
    to it. A molecule that was not divided has one row that says why."""
    return frame_of(
        (row for result in outcome.results for row in _split_rows(outcome, result)), SPLIT_HEADERS
    )


def _split_rows(outcome: Outcome, result: Result) -> Iterable[Row]:
    settings = outcome.study.settings
    head: Row = {
        "name": result.molecule.name,
        "model": settings.model,
        "temperature_k": settings.temperature_k,
    }
    if not result.split.parts:
        yield head | {"note": result.split.note}
    for part in result.split.parts:
        yield head | {
            "part": part.kind,
            "relation": part.relation,
            "carbons": joined_numbers(part.carbons),
            "groups": "; ".join(part.groups),
            f"computed_{GAP}": part.computed_kcal_mol,
            f"tabulated_{GAP}": part.tabulated_kcal_mol,
            f"computed_minus_tabulated_{GAP}": part.difference_kcal_mol,
        }


def temperatures_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per molecule and temperature, quasi-harmonic Gibbs energies of the same minima."""
    model = outcome.study.settings.model
    return frame_of(
        (
            {
                "name": result.molecule.name,
                "model": model,
                "temperature_k": point.temperature_k,
                f"gibbs_{GAP}": point.gibbs_kcal_mol,
                "equilibrium_constant_A_over_B": point.equilibrium_constant,
                "population_chair_A_percent": 100.0 * point.population_a,
                "population_chair_B_percent": 100.0 * point.population_b,
                "population_non_chair_percent": 100.0 * point.population_non_chair,
            }
            for result in outcome.results
            for point in result.temperatures.points
        ),
        TEMPERATURES_HEADERS,
    )


def solvents_frame(outcome: Outcome) -> pd.DataFrame:
    """One row per molecule and medium of the series, in the order of the study."""
    settings = outcome.study.settings
    return frame_of(
        (
            {
                "name": result.molecule.name,
                "force_field_or_quantum_method": settings.force_field_or_quantum_method,
                "temperature_k": settings.temperature_k,
                "medium": point.medium,
                "dielectric_constant": point.dielectric,
                f"potential_{GAP}": point.potential_kcal_mol,
                f"gibbs_{GAP}": point.gibbs_kcal_mol,
                "population_chair_A_percent": 100.0 * point.population_a,
                "population_chair_B_percent": 100.0 * point.population_b,
                "population_non_chair_percent": 100.0 * point.population_non_chair,
                "hydrogen_bonds_best_of_A": point.hydrogen_bonds_a,
                "hydrogen_bonds_best_of_B": point.hydrogen_bonds_b,
            }
            for result in outcome.results
            for point in result.media
        ),
        SOLVENTS_HEADERS,
    )
