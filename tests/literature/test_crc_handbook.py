"""Dielectric constants of solvents against the CRC Handbook.

Source: W. M. Haynes, T. J. Bruno, D. R. Lide (editors), CRC Handbook of Chemistry and Physics, CRC Press,
2014, permittivity of liquids, as the general library `chemicals` holds its table (the book was not seen).
"""

import pytest
from chemicals.identifiers import CAS_from_any
from chemicals.permittivity import permittivity_data_CRC, permittivity_IAPWS

from chairgap.records import Solvent
from chairgap.tables.shipped import read_solvents

SOLVENTS = read_solvents()


@pytest.mark.parametrize("solvent", SOLVENTS, ids=[row.name for row in SOLVENTS])
def test_dielectric_constant_and_temperature(solvent: Solvent) -> None:
    """The row is looked up by the name through the library's own index, and equals it digit for digit."""
    row = permittivity_data_CRC.loc[CAS_from_any(solvent.name)]
    assert (solvent.dielectric, solvent.temperature_k) == (row["Permittivity"], row["T"])


def test_other_names_are_the_same_compound() -> None:
    """All but three abbreviations stand in the library's index of names."""
    unknown = set()
    for solvent in SOLVENTS:
        for name in solvent.names:
            try:
                found = CAS_from_any(name)
            except ValueError:
                unknown.add(name)
                continue
            assert found == CAS_from_any(solvent.name), name
    assert unknown == {"THF", "DCM", "MeNO2"}


def test_water_against_the_release_of_iapws_1997() -> None:
    """Water at 293.2 K and 998.2 kg/m3: IAPWS release on the static dielectric constant, 1997, by the same
    library's formula; 80.2. 0.2: the two sources differ by 0.1."""
    (water,) = (row for row in SOLVENTS if row.name == "water")
    assert water.dielectric == pytest.approx(permittivity_IAPWS(293.2, 998.2), abs=0.2)
