"""D. Cremer, J. A. Pople, J. Am. Chem. Soc. 1975, 97, 1354: the two worked examples.

Coordinates: the paper's pyranoid and furanoid rings as they are carried in the test data of a general
trajectory-analysis library; expected numbers as that library prints them. The paper's own printed values
(from memory) are Q 0.556-0.557, theta 5.2, phi 183.7 and q 0.353, phi 265.1: four-decimal coordinates with
q2 = 0.05 fix phi of the pyranoid ring only to a few tenths of a degree.
"""

import numpy as np
import pytest

from chairgap.shape.canonical import ring_shape
from chairgap.shape.puckering import displacements, pseudorotation, puckering

PYRANOID_O5_FIRST = np.array(
    [
        [0.0000, 1.3839, 0.1976],
        [1.1997, 0.7624, -0.2106],
        [1.2356, -0.7040, 0.2393],
        [0.0110, -1.4564, -0.2550],
        [-1.2300, -0.7208, 0.2420],
        [-1.2164, 0.7350, -0.2133],
    ]
)
FURANOID_O2_FIRST = np.array(
    [
        [0.0000, 1.2111, -0.0189],
        [1.1622, 0.4349, 0.1461],
        [0.7425, -1.0012, -0.2174],
        [-0.7221, -1.0309, 0.2057],
        [-1.1826, 0.3861, -0.1154],
    ]
)


def test_pyranoid_ring() -> None:
    assert puckering(PYRANOID_O5_FIRST) == pytest.approx((0.55655, 5.1319, 183.1090), abs=1e-3)


def test_pyranoid_ring_numbered_from_the_next_atom() -> None:
    from_c1 = np.roll(PYRANOID_O5_FIRST, -1, axis=0)
    assert puckering(from_c1) == pytest.approx((0.55655, 174.868, 303.109), abs=1e-3)


def test_pyranoid_ring_is_a_chair_in_either_numbering() -> None:
    assert ring_shape(PYRANOID_O5_FIRST).form == "1C4"
    assert ring_shape(np.roll(PYRANOID_O5_FIRST, -1, axis=0)).form == "4C1"


def test_furanoid_ring() -> None:
    assert pseudorotation(FURANOID_O2_FIRST) == pytest.approx((0.35298, 265.1331), abs=1e-3)


@pytest.mark.parametrize("ring", [PYRANOID_O5_FIRST, FURANOID_O2_FIRST])
def test_published_z_column_is_the_displacement(ring: np.ndarray) -> None:
    # The published coordinates are given in the frame of the mean plane itself, rounded to 1e-4.
    assert displacements(ring) == pytest.approx(ring[:, 2], abs=2e-4)
