"""A-values of the methylsulfur groups.

Source: E. L. Eliel, D. Kandasamy, J. Org. Chem. 1976 (41, 3899 from memory; abstract seen): 13C NMR at
-95 +- 5 C against methyl, for which 1.7 was taken: SCH3 1.0 (also directly), S(O)CH3 1.2, SO2CH3 2.5
kcal/mol.
"""

import pytest

from literature.csv_rows import a_value_row


@pytest.mark.parametrize(("group", "printed"), [("SCH3", 1.0), ("S(O)CH3", 1.2), ("SO2CH3", 2.5)])
def test_value_as_printed(group: str, printed: float) -> None:
    row = a_value_row(group)
    assert float(row["value_kcal_mol"]) == printed
    assert (row["source"], row["known"]) == ("eliel_kandasamy_1976", "primary")
    # -95 C
    assert float(row["temperature_k"]) == pytest.approx(273.15 - 95.0, abs=0.2)
