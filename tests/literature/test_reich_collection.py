"""Values as the collection of A-values by H. J. Reich (university web page) prints them, and as a university
course table prints them; typed a second time, independently of the shipped file. kcal/mol.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")

DEFAULT = {
    "OMe": 0.60,
    "OEt": 0.9,
    "OCOCF3": 0.68,
    "OTBS": 1.06,
    "SPh": 0.8,
    "S-": 1.3,
    "SOPh": 1.9,
    "SO2Ph": 2.5,
    "NH2": 1.23,
    "NH3+": 1.9,
    "N3": 0.62,
    "vinyl": 1.35,
    "CHO": 0.8,
    "COCl": 1.25,
    "CO2H": 1.35,
    "CO2-": 1.92,
    "CO2Me": 1.27,
    "CO2iPr": 1.20,
    "CH2tBu": 2.0,
    "CH2OTs": 1.75,
    "cHex": 2.15,
    "CF3": 2.1,
    "SiMe3": 2.5,
    "GeMe3": 2.1,
    "GePh3": 2.9,
    "SnMe3": 1.1,
    "SnPh3": 1.4,
    "PbMe3": 0.7,
    "PH2": 1.6,
    "PMe2": 1.5,
    "P(OMe)2": 1.5,
    "PCl2": 1.9,
    "SePh": 1.1,
    "TePh": 0.9,
}
IN_RANGE = {
    "F": [0.15, 0.36],
    "Cl": [0.43, 0.51],
    "Br": [0.38],
    "I": [0.43, 0.49],
    "OH": [0.87, 1.0],
    "OAc": [0.60, 0.79],
    "OSiMe3": [0.74, 0.80, 1.31],
    "OTIPS": [0.51, 0.94],
    "SH": [1.22],
    "SMe": [0.7],
    "SOMe": [1.2],
    "SO2Me": [2.5],
    "NH2": [1.2, 1.7],
    "NHMe": [1.0],
    "NMe2": [2.1],
    "NO2": [1.13],
    "CN": [0.17, 0.21],
    "vinyl": [1.68],
    "CO2Me": [1.31],
    "Me": [1.70],
    "Et": [1.75],
    "iPr": [2.15],
    "Ph": [3.0],
}
COURSE_TABLE = {
    "F": 0.2,
    "Cl": 0.5,
    "Br": 0.6,
    "OH": 1.0,
    "OMe": 0.6,
    "N3": 0.5,
    "CN": 0.2,
    "ethynyl": 0.4,
    "CHO": 0.6,
    "CO2H": 1.4,
    "CO2Me": 1.2,
    "Me": 1.8,
    "Et": 1.9,
    "iPr": 2.1,
    "tBu": 5.4,
    "Ph": 2.8,
    "SiH3": 1.5,
    "SiMe3": 2.5,
    "SnMe3": 1.0,
}


@pytest.mark.parametrize("name", DEFAULT)
def test_default_is_the_printed_number(name: str) -> None:
    row = find_row(TABLE, name)
    assert row is not None
    assert (row.value_kcal_mol, row.source, row.known) == (DEFAULT[name], "reich_collection", "compilation")


@pytest.mark.parametrize("name", IN_RANGE)
def test_range_holds_the_other_printed_numbers(name: str) -> None:
    row = find_row(TABLE, name)
    assert row is not None
    assert all(row.low_kcal_mol <= printed <= row.high_kcal_mol for printed in IN_RANGE[name])


@pytest.mark.parametrize("name", COURSE_TABLE)
def test_range_holds_the_course_table(name: str) -> None:
    row = find_row(TABLE, name)
    assert row is not None
    assert row.low_kcal_mol <= COURSE_TABLE[name] <= row.high_kcal_mol
