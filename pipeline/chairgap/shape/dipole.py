"""Dipole moments from partial charges."""

import numpy as np

from chairgap.records import Floats
from chairgap.units import DEBYE_PER_E_ANGSTROM

_NEUTRAL_WITHIN_E = 1e-3


def dipole_debye(charges_e: Floats | None, positions: Floats) -> float | None:
    """Size of the dipole moment of charges (n,) at positions (n, 3) angstrom, in debye.

    None without charges, and for an ion, whose dipole depends on the origin.
    """
    if charges_e is None or abs(float(charges_e.sum())) > _NEUTRAL_WITHIN_E:
        return None
    # (1) mu = sum q r
    return float(np.linalg.norm(charges_e @ positions)) * DEBYE_PER_E_ANGSTROM
