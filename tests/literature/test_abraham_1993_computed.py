"""cis-Cyclohexane-1,3-diol by solvent: right in water, wrong in tetrachloromethane, and why.

G(aa) - G(ee) from proton couplings in 14 solvents: 0.1 kcal/mol in tetrachloromethane to 2.7 in water (R. J.
Abraham, E. J. Chambers, W. A. Thomas, J. Chem. Soc., Perkin Trans. 2 1993, 1061; abstract seen). What comes
out here by MMFF94 and the continuum: 0.49 in the gas phase, 1.70 in tetrachloromethane, 3.22 in water. The
gas phase is not measured; the abstract derives an internal hydrogen bond of 1.6 kcal/mol in
tetrachloromethane.
"""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from boundary_elements import COULOMB, conductor_energy_kcal_mol
from chairgap.minimise.solvated import open_solute
from chairgap.molecule.build import open_molecule
from chairgap.records import GAS_PHASE, Result
from chairgap.tables.shipped import find_medium
from pipeline_helpers import SETTINGS, in_chair, molecule, treated_with

DIOL = "1 up OH, 3 up OH"
CCL4, WATER = find_medium("tetrachloromethane"), find_medium("water")
PUBLISHED = {CCL4.name: 0.1, WATER.name: 2.7}
# The model's mean error for single groups is 0.6; see data/README.md.
MODEL_ERROR = 0.6
# The factor published for tetrachloromethane: F. J. Luque, C. Aleman, M. Bachs, M. Orozco, J. Comput. Chem.
# 1996, 17, 806 (from memory).
CAVITY_OF_CCL4 = 1.8


@cache
def in_media(groups_by_face: str) -> Result:
    return treated_with(molecule(groups_by_face), replace(SETTINGS, medium_series=(GAS_PHASE, CCL4, WATER)))


def gaps(groups_by_face: str) -> dict[str, float]:
    points = in_media(groups_by_face).media
    return {point.medium: point.gibbs_kcal_mol for point in points if point.gibbs_kcal_mol is not None}


def test_water_is_right() -> None:
    assert [group.position for group in in_media(DIOL).chairs[0].groups] == ["equatorial", "equatorial"]
    assert gaps(DIOL)[WATER.name] == pytest.approx(PUBLISHED[WATER.name], abs=MODEL_ERROR)


def test_tetrachloromethane_is_wrong_and_the_result_says_so() -> None:
    """Should the model be mended one day, this fails: the reason must then go."""
    found = gaps(DIOL)
    assert found[CCL4.name] - PUBLISHED[CCL4.name] > 2.0 * MODEL_ERROR
    assert found[GAS_PHASE.name] == pytest.approx(PUBLISHED[CCL4.name], abs=MODEL_ERROR)
    reasons = {reason.code: reason.evidence for reason in in_media(DIOL).comparison.reasons}
    assert f"do not trust the gap in {CCL4.name}" in reasons["hydrogen-bond-in-apolar-solvent"]
    assert WATER.name not in reasons["hydrogen-bond-in-apolar-solvent"]


def test_a_dihalide_has_no_such_reason() -> None:
    result = in_media("1 up F, 2 down F")
    assert "hydrogen-bond-in-apolar-solvent" not in {reason.code for reason in result.comparison.reasons}


def test_boundary_elements_on_an_ion() -> None:
    """Born: -C q^2 / 2R, within a percent."""
    found = conductor_energy_kcal_mol(np.zeros((1, 3)), np.ones(1), np.array([2.0]))
    assert found == pytest.approx(-COULOMB / 4.0, rel=0.01)


@cache
def axial_less_equatorial(factor: float) -> tuple[float, float]:
    """Energy of polarisation of the best diaxial conformer less that of the best diequatorial one, against a
    conductor, radii times factor: generalised Born, boundary elements."""
    solute = open_solute(open_molecule(molecule(DIOL)), "MMFF94", WATER.born_radii).continuum
    continuum = replace(solute, radii_angstrom=factor * solute.radii_angstrom)
    born, elements = [], []
    for letter in ("B", "A"):
        best = min(in_chair(in_media(DIOL), letter), key=lambda item: item.minimum.energy_kcal_mol)
        positions = best.minimum.positions
        born.append(continuum.energy_and_gradient(positions)[0])
        elements.append(conductor_energy_kcal_mol(positions, continuum.charges_e, continuum.radii_angstrom))
    return born[0] - born[1], elements[0] - elements[1]


def test_generalised_born_is_not_to_blame() -> None:
    """With the same spheres and charges boundary elements break the hydrogen bond as much: 2.96 against 2.68
    kcal/mol. 0.5 is their scatter with the number of points."""
    born, elements = axial_less_equatorial(1.0)
    assert elements > 2.0
    assert born == pytest.approx(elements, abs=0.5)


def test_the_size_of_the_cavity_is_to_blame() -> None:
    _, bondi = axial_less_equatorial(1.0)
    _, published = axial_less_equatorial(CAVITY_OF_CCL4)
    assert abs(published) < 0.1 * bondi


def test_generalised_born_cannot_take_a_larger_cavity() -> None:
    """Twenty percent more, and it says the opposite of boundary elements."""
    born, elements = axial_less_equatorial(1.2)
    assert elements > 1.0
    assert born < 0.0
