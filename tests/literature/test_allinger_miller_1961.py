"""The methyl/methyl syn-diaxial interaction.

Source: N. L. Allinger, M. A. Miller, J. Am. Chem. Soc. 1961, 83, 2145: 3.7 kcal/mol (number seen on a
university course page, attribution from memory). It takes the place of two methyl/hydrogen contacts of
0.87.
"""

import pytest

from chairgap.estimate.ledger import estimate_gap
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import chair_pair


@pytest.mark.parametrize("table_name", ["chairgap", "textbook"])
def test_value_and_form(table_name: str) -> None:
    (row,) = (
        row
        for row in read_estimate_table(table_name).interactions
        if (row.kind, row.group_1, row.group_2) == ("syn-diaxial", "CH3", "CH3")
    )
    assert (row.value_kcal_mol, row.form, row.source) == (3.7, "replacing", "allinger_miller_1961")


def test_cis_1_3_dimethyl_is_two_contacts_with_hydrogen_and_the_pair() -> None:
    chairs = chair_pair([(1, "up", "CH3"), (3, "up", "CH3")])
    found = estimate_gap(chairs, read_estimate_table("chairgap"))
    assert found.gap_kcal_mol == pytest.approx(0.87 + 0.87 + 3.7, abs=1e-12)
    assert found.terms[-1].value_kcal_mol == pytest.approx(1.96, abs=1e-12)  # as an excess
