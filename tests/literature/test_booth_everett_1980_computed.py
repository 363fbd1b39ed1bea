"""Computed gaps of methyl, ethyl and isopropyl against two measurements of enthalpy and entropy.

H. Booth, J. R. Everett, J. Chem. Soc., Perkin Trans. 2 1980, 255 (doi 10.1039/P29800000255), abstract,
averages: -dH 1.75, 1.60, 1.52 kcal/mol; dS -0.03, 0.64, 2.31 eu.
K. B. Wiberg, J. D. Hammer, H. Castejon, W. F. Bailey, E. L. DeLeon, R. M. Jarret, J. Org. Chem. 1999, 64,
2085, abstract: dH (157 K) 1.76(10), 1.54(12), 1.40(15) kcal/mol; dS 0.2(2), 1.3(8), 3.5(9) eu.

Here H and G are axial minus equatorial, S is equatorial minus axial; so G = H + T S. 1 eu = 1 cal/mol/K.

Tolerances, on either side of the span of the two papers: 0.4 kcal/mol for energies, the rms deviation from
experiment of MMFF94's conformational energies (T. A. Halgren, R. B. Nachbar, J. Comput. Chem. 1996, 17, 587,
from memory: 0.4); 0.65 eu for entropies, which is less than half of R ln 2 = 1.38 eu, so that a rotamer
counted once too often or too seldom would show. The orders of the three groups, also the one that does not
come out, are in test_booth_everett_wiberg_order.py.
"""

import pytest

from pipeline_helpers import enthalpy_and_entropy_gap, treated

ALKYL = ("CH3", "C2H5", "CH(CH3)2")
ENTHALPY_KCAL_MOL = {"CH3": (1.75, 1.76), "C2H5": (1.54, 1.60), "CH(CH3)2": (1.40, 1.52)}
ENTROPY_CAL_MOL_K = {"CH3": (-0.03, 0.2), "C2H5": (0.64, 1.3), "CH(CH3)2": (2.31, 3.5)}
GIBBS_298_KCAL_MOL = {"CH3": (1.74, 1.82), "C2H5": (1.79, 1.93), "CH(CH3)2": (2.21, 2.44)}
ENERGY_WITHIN_KCAL_MOL = 0.4
ENTROPY_WITHIN_CAL_MOL_K = 0.65
MEASURED_AT_K = 157.0


def widened(span: tuple[float, float], by: float) -> tuple[float, float]:
    return span[0] - by, span[1] + by


@pytest.mark.parametrize("group", ALKYL)
def test_gibbs_gap(group: str) -> None:
    low, high = widened(GIBBS_298_KCAL_MOL[group], ENERGY_WITHIN_KCAL_MOL)
    gap = treated(f"1 up {group}").gaps.gibbs_kcal_mol
    assert gap is not None and low <= gap <= high


@pytest.mark.parametrize("group", ALKYL)
def test_enthalpy(group: str) -> None:
    low, high = widened(ENTHALPY_KCAL_MOL[group], ENERGY_WITHIN_KCAL_MOL)
    enthalpy, _ = enthalpy_and_entropy_gap(treated(f"1 up {group}"), MEASURED_AT_K)
    assert low <= enthalpy <= high


@pytest.mark.parametrize("group", ALKYL)
def test_entropy(group: str) -> None:
    low, high = widened(ENTROPY_CAL_MOL_K[group], ENTROPY_WITHIN_CAL_MOL_K)
    _, entropy = enthalpy_and_entropy_gap(treated(f"1 up {group}"), MEASURED_AT_K)
    assert low <= -entropy <= high
