"""A-values of methyl, ethyl and isopropyl from measured enthalpies and entropies.

Source: H. Booth, J. R. Everett, J. Chem. Soc., Perkin Trans. 2 1980, 255, doi 10.1039/P29800000255, abstract.
"""

import pytest

from chairgap.estimate.groups import find_row
from chairgap.tables.shipped import read_estimate_table, read_sources
from chairgap.units import STANDARD_TEMPERATURE_K

TABLE = read_estimate_table("chairgap")
# G(axial) - G(equatorial) = dH + T dS, with dH = H(ax) - H(eq) and dS = S(eq) - S(ax).
ENTHALPY_KCAL_MOL = {"CH3": 1.75, "C2H5": 1.60, "CH(CH3)2": 1.52}
ENTROPY_CAL_MOL_K = {"CH3": -0.03, "C2H5": 0.64, "CH(CH3)2": 2.31}


@pytest.mark.parametrize("group", ENTHALPY_KCAL_MOL)
def test_default_value_is_the_free_energy_at_298_k(group: str) -> None:
    derived = ENTHALPY_KCAL_MOL[group] + STANDARD_TEMPERATURE_K * ENTROPY_CAL_MOL_K[group] / 1000.0
    row = find_row(TABLE, group)
    assert row is not None
    assert row.value_kcal_mol == pytest.approx(derived, abs=0.005)  # the table has two decimals
    assert (row.source, row.known, row.temperature_k) == ("booth_everett_1980", "primary", 298.0)


def test_order_of_the_free_energies_is_the_one_the_abstract_states() -> None:
    methyl, ethyl, isopropyl = (find_row(TABLE, name).value_kcal_mol for name in ("Me", "Et", "iPr"))
    assert methyl < ethyl < isopropyl


def test_methyl_is_1_74() -> None:
    assert find_row(TABLE, "CH3").value_kcal_mol == 1.74


def test_citation() -> None:
    source = read_sources()["booth_everett_1980"]
    assert "1980, 255" in source.citation
    assert (source.doi, source.doi_known) == ("10.1039/P29800000255", "seen")
