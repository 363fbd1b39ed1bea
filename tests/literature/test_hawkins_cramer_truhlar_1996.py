"""Screening factors of the elements in the pairwise generalised-Born sum.

Source: G. D. Hawkins, C. J. Cramer, D. G. Truhlar, J. Phys. Chem. 1996, 100, 19824 (doi 10.1021/jp961710n,
from memory; paper not seen), as the general library OpenMM ships them with its generalised-Born models.
"""

import pytest
from openmm.app.element import Element
from openmm.app.internal.customgbforces import _SCREEN_PARAMETERS

from chairgap.tables.shipped import find_medium

ROWS = find_medium("water").born_radii


@pytest.mark.parametrize("row", ROWS, ids=[row.element for row in ROWS])
def test_screening_factor(row) -> None:
    """The first column of the library's list is that of this model; elements without one share a default."""
    own = Element.getBySymbol(row.element) in _SCREEN_PARAMETERS
    element = Element.getBySymbol(row.element) if own else None
    assert row.screening == _SCREEN_PARAMETERS[element][0]
    assert row.note.startswith("Screening: hawkins_1996" if own else "Screening: no value of its own")
