"""A-values from direct observation of both chairs by low-temperature NMR.

Source: F. R. Jensen, C. H. Bushweller, B. H. Beck, J. Am. Chem. Soc. 1969, 91, 344, as quoted in H. J.
Reich's collection of A-values (its footnote 2a); the paper itself was not seen. kcal/mol.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")
QUOTED = {
    "F": 0.28,
    "Cl": 0.53,
    "Br": 0.48,
    "I": 0.47,
    "OAc": 0.71,
    "OCHO": 0.59,
    "OTs": 0.52,
    "OMs": 0.56,
    "SH": 1.17,
    "SCN": 1.23,
    "NO2": 1.05,
    "CN": 0.24,
    "NC": 0.21,
    "NCO": 0.51,
    "NCS": 0.28,
    "ethynyl": 0.41,
    "SiCl3": 0.61,
    "HgBr": 0.0,
    "HgOAc": 0.0,
}


@pytest.mark.parametrize("name", QUOTED)
def test_value_as_quoted(name: str) -> None:
    row = find_row(TABLE, name)
    assert row is not None
    assert (row.value_kcal_mol, row.source, row.known) == (QUOTED[name], "jensen_1969", "compilation")


def test_no_other_row_claims_this_source() -> None:
    claimed = {row.group for row in TABLE.a_values if row.source == "jensen_1969"}
    assert claimed == {find_row(TABLE, name).group for name in QUOTED}


@pytest.mark.parametrize("quoted", [1.07, 1.10])
def test_methylsulfanyl_is_in_the_range_of_a_primary_value(quoted: float) -> None:
    """The collection gives two numbers beside this paper; Eliel & Kandasamy 1976 measured 1.0."""
    row = find_row(TABLE, "SMe")
    assert row is not None and row.low_kcal_mol <= quoted <= row.high_kcal_mol
