"""The reversal of methyl, ethyl and isopropyl: what of it comes out of the temperature series.

H. Booth, J. R. Everett, J. Chem. Soc., Perkin Trans. 2 1980, 255 (doi 10.1039/P29800000255), abstract:
-dH 1.75, 1.60, 1.52 kcal/mol; dS -0.03, 0.64, 2.31 eu; -dG near 300 K isopropyl > ethyl > methyl.
K. B. Wiberg, J. D. Hammer, H. Castejon, W. F. Bailey, E. L. DeLeon, R. M. Jarret, J. Org. Chem. 1999, 64,
2085, abstract: dH (157 K) 1.76(10), 1.54(12), 1.40(15) kcal/mol; dS 0.2(2), 1.3(8), 3.5(9) eu.
So by enthalpy methyl > ethyl > isopropyl, and the entropy turns the order round at room temperature.

Here H and G are axial minus equatorial, S is equatorial minus axial, so G = H + T S; 1 eu = 1 cal/mol/K.

What comes out: the order of the free energies at 298 K, the order and size of the entropies, and with them
what the entropy adds on the way from H to G (methyl < ethyl < isopropyl). What does not: the order of the
enthalpies. dH at 157 K in kcal/mol,

                methyl   ethyl   isopropyl
    measured    1.75     1.57    1.46        (mean of the two papers)
    MMFF94      1.59     1.71    1.89
    MMFF94s     1.59     1.71    1.89
    UFF         2.15     2.37    3.29
    GFN2-xTB    1.65     1.54    1.76

The force fields have no reversal at all. GFN2-xTB reverses methyl and ethyl as measured, and has isopropyl
0.3 too high. The numbers are pinned below: a change, also one towards the measurement, must be looked at.
"""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from chairgap.compare.series import temperature_series
from chairgap.model.treatment import on_surface, search
from chairgap.records import Computation, ForceField, LinearFit, Result
from machine import tblite
from pipeline_helpers import SETTINGS, molecule, treated

ALKYL = ("CH3", "C2H5", "CH(CH3)2")
MEASURED_ENTHALPY_KCAL_MOL = {"CH3": (1.75, 1.76), "C2H5": (1.54, 1.60), "CH(CH3)2": (1.40, 1.52)}
MEASURED_ENTROPY_CAL_MOL_K = {"CH3": (-0.03, 0.2), "C2H5": (0.64, 1.3), "CH(CH3)2": (2.31, 3.5)}
ROOM_K = 298.15
SERIES_K = SETTINGS.temperature_series_k  # what a study prints when nothing else is asked for
LOW_K = (147.0, 157.0, 167.0)  # about the temperature of the enthalpies of 1999
# Half of R ln 2 (1.38 eu): a rotamer counted once too often or too seldom would show.
ENTROPY_WITHIN_CAL_MOL_K = 0.65
FORCE_FIELDS: tuple[ForceField, ...] = ("MMFF94", "MMFF94s", "UFF")


def fit_of(computed: Result | Computation, temperatures_k: tuple[float, ...]) -> LinearFit:
    masses = computed.molecule.topology.masses_u
    fit = temperature_series(computed.conformers, masses, temperatures_k).fit
    assert fit is not None
    return fit


def gibbs_298_kcal_mol(computed: Result | Computation) -> float:
    masses = computed.molecule.topology.masses_u
    (point,) = temperature_series(computed.conformers, masses, (ROOM_K,)).points
    assert point.gibbs_kcal_mol is not None
    return point.gibbs_kcal_mol


def force_field(group: str, name: ForceField = "MMFF94") -> Result:
    return treated(f"1 up {group}", force_field=name)


@cache
def quantum(group: str) -> Computation:
    """GFN2-xTB, the chairs alone (a third of the time): a twist-boat has no part in the gap between them."""
    tblite()
    searched = search(molecule(f"1 up {group}"), SETTINGS)
    chairs = tuple(found for found in searched.minima if "C" in found.form)
    return on_surface(replace(searched, minima=chairs), replace(SETTINGS, quantum_method="GFN2-xTB"))


def rises(values: list[float]) -> bool:
    return all(one < next_one for one, next_one in pairwise(values))


# --- what holds -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FORCE_FIELDS)
def test_order_of_the_free_energies_at_298_k_is_the_measured_one(name: ForceField) -> None:
    assert rises([gibbs_298_kcal_mol(force_field(group, name)) for group in ALKYL])


@pytest.mark.parametrize("name", FORCE_FIELDS)
def test_order_of_the_fitted_entropies_is_the_measured_one(name: ForceField) -> None:
    """Equatorial has more in every case, and the more the more the axial group is hindered."""
    entropies = [-fit_of(force_field(group, name), SERIES_K).entropy_cal_mol_k for group in ALKYL]
    assert entropies[0] > 0.0
    assert rises(entropies)


@pytest.mark.parametrize("group", ALKYL)
def test_fitted_entropies_are_those_of_either_paper(group: str) -> None:
    low, high = MEASURED_ENTROPY_CAL_MOL_K[group]
    entropy = -fit_of(force_field(group), SERIES_K).entropy_cal_mol_k
    assert low - ENTROPY_WITHIN_CAL_MOL_K <= entropy <= high + ENTROPY_WITHIN_CAL_MOL_K


def test_from_enthalpy_to_free_energy_the_entropy_adds_as_measured() -> None:
    """G(298 K) - H: 0.0, 0.2, 0.7 (Booth) and 0.1, 0.4, 1.0 kcal/mol (Wiberg); the tolerance is T times that
    of the entropies."""
    within = ROOM_K * ENTROPY_WITHIN_CAL_MOL_K / 1000.0
    added = []
    for group in ALKYL:
        result = force_field(group)
        added.append(gibbs_298_kcal_mol(result) - fit_of(result, SERIES_K).enthalpy_kcal_mol)
        low, high = (ROOM_K * entropy / 1000.0 for entropy in MEASURED_ENTROPY_CAL_MOL_K[group])
        assert low - within <= added[-1] <= high + within
    assert rises(added)


def test_the_papers_say_what_is_said_of_them_here() -> None:
    for paper in (0, 1):
        enthalpies = [MEASURED_ENTHALPY_KCAL_MOL[group][1 - paper] for group in ALKYL]
        entropies = [MEASURED_ENTROPY_CAL_MOL_K[group][paper] for group in ALKYL]
        assert rises(enthalpies[::-1]) and rises(entropies)
        pairs = zip(enthalpies, entropies, strict=True)
        assert rises([enthalpy + ROOM_K * entropy / 1000.0 for enthalpy, entropy in pairs])


# --- what does not, as numbers ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "enthalpies_kcal_mol"),
    [("MMFF94", [1.59, 1.71, 1.89]), ("MMFF94s", [1.59, 1.71, 1.89]), ("UFF", [2.15, 2.37, 3.29])],
)
def test_no_force_field_has_the_measured_order_of_the_enthalpies(
    name: ForceField, enthalpies_kcal_mol: list[float]
) -> None:
    found = [fit_of(force_field(group, name), LOW_K).enthalpy_kcal_mol for group in ALKYL]
    assert found == pytest.approx(enthalpies_kcal_mol, abs=0.01)


@pytest.mark.long
def test_the_quantum_method_reverses_methyl_and_ethyl_and_not_isopropyl() -> None:
    """GFN2-xTB: by enthalpy methyl > ethyl, by free energy at 298 K ethyl > methyl, both as measured; but
    isopropyl, lowest by measured enthalpy, comes out highest."""
    methyl, ethyl, isopropyl = (fit_of(quantum(group), LOW_K).enthalpy_kcal_mol for group in ALKYL)
    assert ethyl < methyl < isopropyl
    assert [methyl, ethyl, isopropyl] == pytest.approx([1.65, 1.54, 1.76], abs=0.01)
    assert rises([gibbs_298_kcal_mol(quantum(group)) for group in ALKYL])
    for group, enthalpy in zip(ALKYL, (methyl, ethyl, isopropyl), strict=True):
        low, high = MEASURED_ENTHALPY_KCAL_MOL[group]
        off = max(low - enthalpy, enthalpy - high, 0.0)
        assert off == pytest.approx({"CH3": 0.10, "C2H5": 0.0, "CH(CH3)2": 0.24}[group], abs=0.01)
