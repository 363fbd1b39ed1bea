"""Dipole moments: by hand, by a published number, and against turning and moving."""

import math
from dataclasses import replace

import numpy as np
import pytest
import scipy.constants as si
from hypothesis import given
from hypothesis import strategies as st

from chairgap.errors import Place
from chairgap.model.treatment import compute
from chairgap.molecule.build import build_molecules
from chairgap.records import Conformer, MoleculeRequest
from chairgap.shape.dipole import dipole_debye
from chairgap.units import DEBYE_PER_E_ANGSTROM
from pipeline_helpers import SETTINGS, TABLE, in_chair, rotation, treated


def best(groups_by_face: str, positions: str) -> Conformer:
    """The lowest conformer of the chair whose groups have these positions, 'aa' or 'ee'."""
    result = treated(groups_by_face)
    (letter,) = (
        chair.letter
        for chair in result.chairs
        if "".join(group.position[0] for group in chair.groups) == positions
    )
    return in_chair(result, letter)[0]


def test_one_elementary_charge_over_one_angstrom() -> None:
    """4.803 D (handbook, from memory), and from scipy's constants: 1 D = 1e-21 / c C m."""
    pair = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
    found = dipole_debye(np.array([-1.0, 1.0]), pair)
    assert found == pytest.approx(4.803, abs=5e-4)
    assert found == pytest.approx(si.e * si.angstrom / (1e-21 / si.c), rel=1e-9)
    assert found == DEBYE_PER_E_ANGSTROM


def test_water_of_three_point_charges() -> None:
    """Charges -0.834, 0.417, r 0.9572 angstrom, 104.52 degrees: 2.35 D (W. L. Jorgensen et al., J. Chem.
    Phys. 1983, 79, 926, doi 10.1063/1.445869, from memory)."""
    half = math.radians(104.52) / 2.0
    arms = [[math.sin(half), math.cos(half), 0.0], [-math.sin(half), math.cos(half), 0.0]]
    positions = 0.9572 * np.array([[0.0, 0.0, 0.0], *arms])
    found = dipole_debye(np.array([-0.834, 0.417, 0.417]), positions)
    assert found == pytest.approx(2.35, abs=0.005)
    assert found == pytest.approx(2 * 0.417 * 0.9572 * math.cos(half) * 4.80320, abs=1e-4)


def test_two_equal_bonds_opposite_each_other_cancel() -> None:
    line = np.array([[-1.2, 0.0, 0.0], [0.0, 0.0, 0.0], [1.2, 0.0, 0.0]])
    assert dipole_debye(np.array([-0.4, 0.8, -0.4]), line) == pytest.approx(0.0, abs=1e-12)


@given(st.integers(2, 12), st.integers(0, 10_000))
def test_turning_moving_and_mirroring_change_nothing(atoms: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    charges, positions = rng.normal(size=atoms), rng.normal(scale=3.0, size=(atoms, 3))
    charges -= charges.mean()
    found = dipole_debye(charges, positions)
    assert found is not None
    for mirror in (1.0, -1.0):
        moved = mirror * positions @ rotation(rng).T + rng.normal(scale=20.0, size=3)
        assert dipole_debye(charges, moved) == pytest.approx(found, abs=1e-9)
    assert dipole_debye(2.0 * charges, positions) == pytest.approx(2.0 * found)


@pytest.mark.parametrize("charge", [-1.0, 1.0, 0.01])
def test_an_ion_has_none(charge: float) -> None:
    """Its dipole depends on the origin."""
    assert dipole_debye(np.array([charge, 0.0]), np.eye(2, 3)) is None


def test_without_charges_there_is_none() -> None:
    assert dipole_debye(None, np.eye(3)) is None


# --- molecules (common practice, no source) ---------------------------------------------------------------


def test_a_centre_of_symmetry_leaves_no_dipole() -> None:
    for positions in ("aa", "ee"):
        assert best("1 up Cl, 4 down Cl", positions).dipole_debye == pytest.approx(0.0, abs=1e-6)


def test_trans_1_2_dichloro_diequatorial_has_the_greater_dipole() -> None:
    """Two bond dipoles 60 degrees apart add up to 2 cos 30 of one, two antiparallel ones to nothing; so the
    diequatorial form gains in polar solvents. One chlorine has 2.5 D here."""
    one = treated("1 up Cl").conformers[0].dipole_debye
    both, opposite = (best("1 up Cl, 2 down Cl", positions).dipole_debye for positions in ("ee", "aa"))
    assert one is not None and both is not None and opposite is not None
    assert both == pytest.approx(2.0 * one * math.cos(math.radians(30.0)), rel=0.15)
    assert opposite < 0.3 * one


@pytest.mark.parametrize("groups_by_face", ["1 up NH3+", "1 up CO2-"])
def test_charged_groups_have_none(groups_by_face: str) -> None:
    assert {item.dipole_debye for item in treated(groups_by_face).conformers} == {None}


def test_a_molecule_without_known_charges_has_none() -> None:
    """Tin: neither MMFF94 nor electronegativity equalisation knows it (tests/molecule/test_charges.py)."""
    request = MoleculeRequest(name="tin", place=Place(), smiles="C[Sn](C)(C)C1CCCCC1")
    (built,) = build_molecules(request, TABLE, force_field="UFF", atom_limit=100)
    conformers = compute(built, replace(SETTINGS, force_field="UFF")).conformers
    assert conformers and {item.dipole_debye for item in conformers} == {None}
