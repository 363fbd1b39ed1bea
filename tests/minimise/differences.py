"""A gradient against differences of its own energy, for every engine alike."""

import numpy as np
import pytest

from chairgap.minimise.verified import EnergyModel
from chairgap.records import Floats

STEP_ANGSTROM = 1e-4


def assert_gradient_is_the_derivative(model: EnergyModel, positions: Floats) -> None:
    """Central differences of the energy, component by component; a step of 1e-4 angstrom leaves an error of
    about 1e-5 kcal/mol/angstrom (a hundred times more at 1e-3), ten times that is allowed."""
    _, gradient = model.energy_and_gradient(positions)
    for atom, axis in np.ndindex(*positions.shape):
        move = np.zeros_like(positions)
        move[atom, axis] = STEP_ANGSTROM
        up = model.energy_and_gradient(positions + move)[0]
        down = model.energy_and_gradient(positions - move)[0]
        assert gradient[atom, axis] == pytest.approx((up - down) / (2.0 * STEP_ANGSTROM), abs=1e-4)
