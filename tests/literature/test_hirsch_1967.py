"""J. A. Hirsch, Table of conformational energies, Top. Stereochem. 1967, 1, 199 (numbers from memory; a web
page prints volume 3, but the series began with volume 1 in 1967). kcal/mol.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table, read_sources

TABLE = read_estimate_table("chairgap")


def test_volume() -> None:
    assert "1967, 1, 199" in read_sources()["hirsch_1967"].citation


@pytest.mark.parametrize(
    ("name", "remembered"),
    [("F", 0.15), ("Cl", 0.43), ("Br", 0.38), ("OH", 0.52), ("OH", 0.87), ("NH2", 1.2), ("Ph", 3.0)],
)
def test_range_holds_the_remembered_numbers(name: str, remembered: float) -> None:
    row = find_row(TABLE, name)
    assert row is not None
    assert row.low_kcal_mol <= remembered <= row.high_kcal_mol
