"""Downhill steps on surfaces whose minimum is known."""

from itertools import pairwise

import numpy as np
import pytest

from chairgap.minimise.hessian import gradient_rms
from chairgap.minimise.quasi_newton import downhill
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM

CURVATURES = np.geomspace(1.0, 900.0, 9)
MINIMUM = np.linspace(-1.0, 1.0, 9).reshape(3, 3)


def quartic(positions: np.ndarray) -> tuple[float, np.ndarray]:
    """sum k x^2 / 2 + k x^4, x the distance from the minimum along each coordinate."""
    away = (positions - MINIMUM).ravel()
    energy = float(CURVATURES @ (0.5 * away**2 + away**4))
    return energy, (CURVATURES * (away + 4.0 * away**3)).reshape(3, 3)


@pytest.mark.parametrize("second", [np.diag(CURVATURES), 50.0 * np.eye(9), -np.diag(CURVATURES)])
def test_reaches_the_minimum_whatever_the_first_hessian(second: np.ndarray) -> None:
    found = downhill(quartic, MINIMUM + 0.3, second)
    assert found is not None
    assert gradient_rms(quartic(found)[1]) <= GRADIENT_RMS_KCAL_MOL_ANGSTROM
    # The softest curvature is 1 kcal/mol/angstrom^2; nine components.
    assert np.abs(found - MINIMUM).max() <= 9.0 * GRADIENT_RMS_KCAL_MOL_ANGSTROM


def test_a_good_hessian_saves_steps() -> None:
    def steps(second: np.ndarray) -> int:
        asked = []

        def counted(positions: np.ndarray) -> tuple[float, np.ndarray]:
            asked.append(positions)
            return quartic(positions)

        assert downhill(counted, MINIMUM + 0.05, second) is not None
        return len(asked)

    assert steps(np.diag(CURVATURES)) < steps(50.0 * np.eye(9))


def test_every_step_goes_down_and_is_short() -> None:
    seen = []

    def watched(positions: np.ndarray) -> tuple[float, np.ndarray]:
        seen.append(positions)
        return quartic(positions)

    downhill(watched, MINIMUM + 0.5, np.diag(CURVATURES))
    moves = [np.abs(after - before).max() for before, after in pairwise(seen)]
    assert max(moves) <= 0.1 + 1e-12


def test_a_bottomless_slope_is_no_minimum() -> None:
    assert downhill(lambda x: (float(x.sum()), np.ones_like(x)), MINIMUM, np.eye(9)) is None
