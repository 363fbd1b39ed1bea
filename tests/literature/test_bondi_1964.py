"""Van der Waals radii of the elements, angstrom.

Source: A. Bondi, J. Phys. Chem. 1964, 68, 441 (doi 10.1021/j100785a001; paper not seen). The table's values
are from memory; the general library ASE quotes the same paper among the sources of its own list.
"""

import pytest

from chairgap.tables.shipped import find_medium
from machine import library

data, vdw = (library(name, "pip install -e '.[dev]'") for name in ("ase.data", "ase.data.vdw"))

RADII = {row.element: row.radius_angstrom for row in find_medium("water").born_radii}


@pytest.mark.parametrize("element", RADII)
def test_radius(element: str) -> None:
    assert RADII[element] == pytest.approx(vdw.vdw_radii[data.atomic_numbers[element]], abs=1e-9)
