"""Entropies of the gases: the copies of conformers, symmetry and vibrations weighed together.

Measured: S(298.15 K) of the gases in J/mol/K as the NIST Chemistry WebBook gives them (read from the open
data library `chemicals` 1.5.2); for the dimethylcyclohexanes they rest on H. M. Huffman, S. S. Todd, G. D.
Oliver, J. Am. Chem. Soc. 1949, 71, 584 (from memory).

Computed: S = -dG/dT of all conformers with their copies, plus translation (O. Sackur, H. Tetrode; ideal gas
at 1 bar), minus R ln of the proper permutations of equal atoms that the copies have not already divided out,
plus R ln 2 for a racemate. MMFF94's frequencies leave every dimethyl 9 to 12 J/mol/K short (absolute values
and the reason: test_nist_webbook_entropies.py), so only differences are tested. Miscounting by one factor of
2 (a lost mirror image, a symmetry number taken twice) would shift one isomer by R ln 2 = 5.76; the tolerance
is half of that.
"""

from itertools import combinations

import numpy as np
import pytest
import scipy.constants as si

from chairgap.compare.thermochemistry import absolute_entropy_cal_mol_k
from pipeline_helpers import CYCLOHEXANE, free_energy_of_all_forms, lattice, treated

MEASURED_J_MOL_K = {
    "1 up CH3, 1 down CH3": 364.93,
    "1 up CH3, 2 up CH3": 374.34,
    "1 up CH3, 2 down CH3": 371.33,
    "1 up CH3, 3 up CH3": 371.20,
    "1 up CH3, 3 down CH3": 376.39,
    "1 up CH3, 4 up CH3": 370.87,
    "1 up CH3, 4 down CH3": 365.89,
}
CYCLOHEXANE_J_MOL_K = 298.19
WITHIN_J_MOL_K = 0.5 * si.R * np.log(2.0)
AT_K = 298.15


def entropy_j_mol_k(groups_by_face: str) -> float:
    result = treated(groups_by_face)
    inner = (
        -1000.0
        * si.calorie
        * (free_energy_of_all_forms(result, AT_K + 0.5) - free_energy_of_all_forms(result, AT_K - 0.5))
    )
    mass = float(result.molecule.topology.masses_u.sum()) * si.atomic_mass
    volume_per_molecule = si.k * AT_K / 1e5
    states = (2.0 * np.pi * mass * si.k * AT_K / si.h**2) ** 1.5 * volume_per_molecule
    operations = lattice(groups_by_face).operations
    proper = int((operations.mirrored == 1).sum())
    racemate = not (operations.mirrored == -1).any()
    permutations = si.R * np.log(operations.rotor_degeneracy / proper) + si.R * np.log(2.0) * racemate
    return float(inner + si.R * (np.log(states) + 2.5) + permutations)


def test_cyclohexane() -> None:
    """3.3 short; 5 allows for MMFF94's ring modes, which are too stiff (lowest E_g 474 cm-1, observed 426:
    T. Shimanouchi, NSRDS-NBS 39, 1972, from memory)."""
    assert entropy_j_mol_k(CYCLOHEXANE) == pytest.approx(CYCLOHEXANE_J_MOL_K, abs=5.0)


@pytest.mark.parametrize(("one", "other"), list(combinations(MEASURED_J_MOL_K, 2)))
def test_differences_of_dimethylcyclohexanes(one: str, other: str) -> None:
    measured = MEASURED_J_MOL_K[one] - MEASURED_J_MOL_K[other]
    assert entropy_j_mol_k(one) - entropy_j_mol_k(other) == pytest.approx(measured, abs=WITHIN_J_MOL_K)


@pytest.mark.parametrize("groups_by_face", [CYCLOHEXANE, *MEASURED_J_MOL_K])
def test_symmetry_numbers_give_the_same_entropy_as_copies(groups_by_face: str) -> None:
    """The other way of counting; -dG/dT by differences of 1 K is good to 1e-3 J/mol/K."""
    result = treated(groups_by_face)
    masses = result.molecule.topology.masses_u
    racemate = si.R * np.log(2.0) * (not (lattice(groups_by_face).operations.mirrored == -1).any())
    by_symmetry = si.calorie * absolute_entropy_cal_mol_k(result.conformers, masses, AT_K)
    assert by_symmetry + racemate == pytest.approx(entropy_j_mol_k(groups_by_face), abs=1e-3)
