"""Settling on surfaces made for the purpose: what is no minimum is never returned as one."""

import numpy as np
import pytest

from chairgap.minimise.hessian import hessian
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM, Unverified, verified_minimum
from chairgap.records import Floats, Minimum
from chairgap.search.rotamers import turn
from pipeline_helpers import lattice, mmff94, molecule

MASSES = np.full(3, 12.0)
TRIANGLE = np.array([[0.0, 0.0, 0.0], [1.5, 0.0, 0.0], [0.75, 1.3, 0.0]])
PAIRS = ((0, 1), (1, 2), (2, 0))


class Pairs:
    """Energy as a sum over the three distances; `minimise` moves nothing, or fails."""

    def __init__(self, curvature: float, slope: float, *, converges: bool = True) -> None:
        self.curvature, self.slope, self.converges = curvature, slope, converges
        self.asked = 0

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        energy, gradient = 0.0, np.zeros((3, 3))
        for i, j in PAIRS:
            arm = positions_angstrom[i] - positions_angstrom[j]
            length = float(np.linalg.norm(arm))
            rest = float(np.linalg.norm(TRIANGLE[i] - TRIANGLE[j]))
            energy += 0.5 * self.curvature * (length - rest) ** 2 + self.slope * length
            pull = (self.curvature * (length - rest) + self.slope) * arm / length
            gradient[i] += pull
            gradient[j] -= pull
        return energy, gradient

    def gradient(self, positions_angstrom: Floats) -> Floats:
        return self.energy_and_gradient(positions_angstrom)[1]

    def hessian(self, positions_angstrom: Floats) -> Floats:
        return hessian(self.gradient, positions_angstrom)

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        self.asked += 1
        return TRIANGLE.copy() if self.converges else None


def test_a_minimum_is_returned_centred_and_unmoved() -> None:
    found = verified_minimum(Pairs(300.0, 0.0), TRIANGLE + 7.0, MASSES, "made")
    assert isinstance(found, Minimum)
    assert found.positions == pytest.approx(TRIANGLE - TRIANGLE.mean(axis=0), abs=1e-9)
    assert (found.start, found.energy_kcal_mol) == ("made", pytest.approx(0.0, abs=1e-12))
    assert found.gradient_rms_kcal_mol_angstrom < GRADIENT_RMS_KCAL_MOL_ANGSTROM
    assert np.all(found.frequencies_cm1 > 0.0)


def test_a_nearly_minimised_start_is_polished() -> None:
    rough = TRIANGLE + np.random.default_rng(0).normal(0.0, 1e-3, (3, 3))
    found = verified_minimum(Pairs(300.0, 0.0), rough, MASSES, "made")
    assert isinstance(found, Minimum) and found.gradient_rms_kcal_mol_angstrom < 1e-7


def test_a_saddle_that_cannot_be_left_is_reported() -> None:
    model = Pairs(-300.0, 0.0)  # a maximum; minimise brings it back every time
    assert verified_minimum(model, TRIANGLE, MASSES, "made") == Unverified(why="saddle")
    assert model.asked > 1


def test_a_slope_is_no_minimum() -> None:
    assert verified_minimum(Pairs(0.0, 5.0), TRIANGLE, MASSES, "made") == Unverified(why="unconverged")


def test_a_minimiser_that_fails_on_the_way_down_is_reported() -> None:
    found = verified_minimum(Pairs(-300.0, 0.0, converges=False), TRIANGLE, MASSES, "made")
    assert found == Unverified(why="unconverged")


@pytest.mark.parametrize("start", range(5))
def test_unminimised_starts_of_the_lattice_settle_after_minimising(start: int) -> None:
    """Each ring start of ethylcyclohexane with an eclipsed ethyl group, minimised and settled."""
    groups_by_face = "1 up C2H5"
    topology, model, grid = molecule(groups_by_face).topology, mmff94(groups_by_face), lattice(groups_by_face)
    positions = grid.start((start, *([0] * (len(grid.shape) - 1)))).positions
    positions = turn(grid.rotors[0], positions, 120.0)
    relaxed = model.minimise(positions)
    assert relaxed is not None
    found = verified_minimum(model, relaxed, topology.masses_u, "eclipsed")
    assert isinstance(found, Minimum)
    assert found.gradient_rms_kcal_mol_angstrom <= 1e-4
    assert found.frequencies_cm1[0] > 0.0
    assert len(found.frequencies_cm1) == 3 * len(topology.symbols) - 6
