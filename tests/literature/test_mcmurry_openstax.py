"""The textbook table against J. McMurry, Organic Chemistry (OpenStax).

Section 4.7: an axial methyl costs 7.6 kJ/mol, equatorial : axial = 95 : 5. Table 4.2 (from memory):
energy of one 1,3-diaxial contact with H in kcal/mol; an axial group has two of them.
"""

import math

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, STANDARD_TEMPERATURE_K, kj_from_kcal

TABLE = read_estimate_table("textbook")
ONE_CONTACT_KCAL_MOL = {
    "F": 0.12,
    "Cl": 0.25,
    "Br": 0.25,
    "OH": 0.5,
    "CH3": 0.9,
    "C2H5": 0.95,
    "CH(CH3)2": 1.1,
    "C(CH3)3": 2.7,
    "C6H5": 1.5,
    "CO2H": 0.7,
    "CN": 0.1,
}


def test_every_value_is_twice_one_contact() -> None:
    assert {row.group: row.value_kcal_mol for row in TABLE.a_values} == pytest.approx(
        {group: 2 * contact for group, contact in ONE_CONTACT_KCAL_MOL.items()}
    )
    assert {row.known for row in TABLE.a_values} == {"from memory"}


def test_axial_methyl_in_kj() -> None:
    assert kj_from_kcal(find_row(TABLE, "Me").value_kcal_mol) == pytest.approx(7.6, abs=0.1)


def test_share_of_equatorial_methyl() -> None:
    ratio = math.exp(1.80 / (GAS_CONSTANT_KCAL_PER_MOL_K * STANDARD_TEMPERATURE_K))
    assert find_row(TABLE, "Me").value_kcal_mol == 1.80
    assert round(100 * ratio / (1 + ratio)) == 95


def test_one_gauche_butane_is_half_of_axial_methyl() -> None:
    (gauche,) = (row for row in TABLE.interactions if row.kind == "vicinal gauche")
    assert gauche.value_kcal_mol == 0.9 == find_row(TABLE, "Me").value_kcal_mol / 2
