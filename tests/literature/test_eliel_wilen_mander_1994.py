"""Ranges against E. L. Eliel, S. H. Wilen, L. N. Mander, Stereochemistry of Organic Compounds, 1994, Table
11.7.

All numbers here are from memory. kcal/mol.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")
REMEMBERED = {
    "F": (0.25, 0.42),
    "Cl": (0.53, 0.64),
    "Br": (0.48, 0.67),
    "I": (0.47, 0.61),
    "OMe": (0.55, 0.75),
    "OAc": (0.68, 0.87),
    "SH": (1.21, 1.21),
    "NO2": (1.13, 1.13),
    "CN": (0.2, 0.2),
    "vinyl": (1.49, 1.68),
    "COMe": (1.02, 1.52),
    "CO2-": (1.92, 2.0),
    "Me": (1.74, 1.74),
    "Et": (1.79, 1.79),
    "iPr": (2.21, 2.21),
    "tBu": (4.7, 4.9),
    "CF3": (2.4, 2.5),
    "NMe2": (1.31, 1.53),
}


@pytest.mark.parametrize("name", REMEMBERED)
def test_range_holds_the_remembered_numbers(name: str) -> None:
    low, high = REMEMBERED[name]
    row = find_row(TABLE, name)
    assert row is not None
    assert row.low_kcal_mol <= low <= high <= row.high_kcal_mol


def test_range_of_hydroxyl_spans_all_solvents() -> None:
    row = find_row(TABLE, "OH")
    in_solvent = {"cyclohexane": 0.60, "2-propanol": 0.95, "CS2": 1.04}
    assert row.low_kcal_mol <= min(in_solvent.values()) and row.high_kcal_mol == max(in_solvent.values())


def test_amino_is_the_value_in_the_least_interacting_solvent_and_its_range_spans_all() -> None:
    row = find_row(TABLE, "NH2")
    in_solvent = {"CFCl3": 1.23, "toluene": 1.47, "aqueous": 1.7}
    assert row.value_kcal_mol == in_solvent["CFCl3"] and row.solvent.startswith("CFCl3")
    assert row.low_kcal_mol <= min(in_solvent.values()) and row.high_kcal_mol == max(in_solvent.values())
