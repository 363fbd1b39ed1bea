"""Absolute entropies of ten gases: vibrations, rotation, translation, symmetry numbers, rotamers and mirror
images together.

Measured: S(298.15 K, 1 bar) of the gas in J/mol/K as the NIST Chemistry WebBook gives it, read from the open
data library `chemicals` (S0g, method WEBBOOK).

What a handbook value of a chiral compound is. trans-1,2- and trans-1,3-dimethylcyclohexane cannot turn into
their mirror images; ours is the entropy of one enantiomer. The measured samples were racemic. Unless the two
hands lie at random in the crystal, calorimetry from 0 K finds the entropy of mixing too, so the handbook's
number is the racemate's, R ln 2 = 5.76 J/mol/K more than one enantiomer's. This is our reading (the papers
were not seen); that the numbers bear it out is tested below. cis-1,2-dimethylcyclohexane turns into its
mirror image by a ring flip and is a racemate by itself, which `mirror_images` counts.

What to expect. MMFF94 falls short every time, by 3.3 J/mol/K for cyclohexane and by 2.7 to 4.3 more for each
carbon attached (numbers below). Its frequencies are too high: with GFN2-xTB's, everything else equal, the
shortfall is 1.4 for cyclohexane, 0.8 for methyl, 3.3 for ethyl and 0.0 to 2.5 for the seven dimethyls. Low
modes have no part in it: raising those below 100 cm-1 costs ethyl 0.5 and the others nothing. The tolerance
is one-sided, 5 for the ring and 4.5 for each further carbon.
"""

from dataclasses import replace
from functools import cache

import chemicals
import pytest
import scipy.constants as si
from numpy import log

from chairgap.compare.thermochemistry import LowModes, absolute_entropy_cal_mol_k
from chairgap.model.treatment import compute
from chairgap.records import Computation, Result
from machine import tblite
from pipeline_helpers import CYCLOHEXANE, SETTINGS, molecule, treated

AT_K = 298.15
R_LN_2 = float(si.R * log(2.0))
# CAS number, carbons beyond the ring, shortfall of MMFF94 (measured minus computed, J/mol/K) as found
GASES = {
    CYCLOHEXANE: ("110-82-7", 0, 3.28),
    "1 up CH3": ("108-87-2", 1, 5.97),
    "1 up C2H5": ("1678-91-7", 2, 9.91),
    "1 up CH3, 1 down CH3": ("590-66-9", 2, 10.27),
    "1 up CH3, 2 up CH3": ("2207-01-4", 2, 11.91),
    "1 up CH3, 2 down CH3": ("6876-23-9", 2, 10.08),
    "1 up CH3, 3 up CH3": ("638-04-0", 2, 9.48),
    "1 up CH3, 3 down CH3": ("2207-03-6", 2, 11.55),
    "1 up CH3, 4 up CH3": ("624-29-3", 2, 11.63),
    "1 up CH3, 4 down CH3": ("2207-04-7", 2, 9.76),
}
DIMETHYLS = [groups_by_face for groups_by_face in GASES if groups_by_face.count("CH3") == 2]
CHIRAL = ("1 up CH3, 2 down CH3", "1 up CH3, 3 down CH3")
RING_J_MOL_K, CARBON_J_MOL_K = 5.0, 4.5


def measured_j_mol_k(groups_by_face: str) -> float:
    found = chemicals.S0g(GASES[groups_by_face][0], method="WEBBOOK")
    assert found is not None
    return float(found)


def computed_j_mol_k(result: Result | Computation, low_modes: LowModes = "quasi-harmonic") -> float:
    masses = result.molecule.topology.masses_u
    return si.calorie * absolute_entropy_cal_mol_k(result.conformers, masses, AT_K, low_modes)


@cache
def shortfall_j_mol_k(groups_by_face: str) -> float:
    """Measured minus computed, the racemate counted."""
    racemate = R_LN_2 if groups_by_face in CHIRAL else 0.0
    return measured_j_mol_k(groups_by_face) - computed_j_mol_k(treated(groups_by_face)) - racemate


def test_the_library_holds_the_values_meant() -> None:
    """Cyclohexane 298.2 J/mol/K; and no two gases share a number."""
    assert measured_j_mol_k(CYCLOHEXANE) == pytest.approx(298.2, abs=0.05)
    assert len({measured_j_mol_k(groups_by_face) for groups_by_face in GASES}) == len(GASES)


@pytest.mark.parametrize("groups_by_face", GASES)
def test_entropy(groups_by_face: str) -> None:
    _, carbons, found = GASES[groups_by_face]
    shortfall = shortfall_j_mol_k(groups_by_face)
    assert 0.0 < shortfall < RING_J_MOL_K + CARBON_J_MOL_K * carbons
    assert shortfall == pytest.approx(found, abs=0.1)  # the number the docstring and this table tell


def test_chiral_compounds_are_reported_as_racemates() -> None:
    """Taken as one enantiomer, each of the two would stand out from the other five dimethyls by more than
    half of R ln 2; taken as racemates they stand among them."""
    others = [
        shortfall_j_mol_k(groups_by_face) for groups_by_face in DIMETHYLS if groups_by_face not in CHIRAL
    ]
    assert len(others) == 5
    for groups_by_face in CHIRAL:
        racemate = shortfall_j_mol_k(groups_by_face)
        assert min(others) < racemate < max(others)
        assert racemate + R_LN_2 > max(others) + 0.5 * R_LN_2


def test_low_modes_do_not_explain_the_shortfall() -> None:
    for groups_by_face in GASES:
        raised = computed_j_mol_k(treated(groups_by_face), "harmonic") - computed_j_mol_k(
            treated(groups_by_face)
        )
        assert 0.0 <= raised < (0.6 if groups_by_face == "1 up C2H5" else 0.05)


@pytest.mark.parametrize("groups_by_face", [CYCLOHEXANE, pytest.param("1 up CH3", marks=pytest.mark.long)])
def test_frequencies_of_a_quantum_method_close_most_of_it(groups_by_face: str) -> None:
    """GFN2-xTB: 1.4 and 0.8 J/mol/K short, so symmetry numbers and copies are right and the force field's
    vibrations are what is wrong."""
    tblite()
    computed = compute(molecule(groups_by_face), replace(SETTINGS, quantum_method="GFN2-xTB"))
    assert computed_j_mol_k(computed) == pytest.approx(measured_j_mol_k(groups_by_face), abs=2.0)
