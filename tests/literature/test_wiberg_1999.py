"""The ranges of methyl, ethyl and isopropyl hold a second, independent measurement.

Source: K. B. Wiberg, J. D. Hammer, H. Castejon, W. F. Bailey, E. L. DeLeon, R. M. Jarret, J. Org. Chem.
1999, 64, 2085, abstract: dH (157 K) 1.76 +- 0.10, 1.54 +- 0.12, 1.40 +- 0.15 kcal/mol and dS 0.2, 1.3,
3.5 cal/mol/K.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table
from chairgap.units import STANDARD_TEMPERATURE_K

TABLE = read_estimate_table("chairgap")


@pytest.mark.parametrize(
    ("group", "enthalpy_kcal_mol", "entropy_cal_mol_k"),
    [("CH3", 1.76, 0.2), ("C2H5", 1.54, 1.3), ("CH(CH3)2", 1.40, 3.5)],
)
def test_upper_end_of_the_range(group: str, enthalpy_kcal_mol: float, entropy_cal_mol_k: float) -> None:
    derived = enthalpy_kcal_mol + STANDARD_TEMPERATURE_K * entropy_cal_mol_k / 1000.0
    assert find_row(TABLE, group).high_kcal_mol == pytest.approx(derived, abs=0.006)


def test_tert_butyl_is_marked_as_competing_with_twist_boats() -> None:
    assert "twist-boat" in find_row(TABLE, "tBu").note
