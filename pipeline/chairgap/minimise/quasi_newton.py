"""Downhill by quasi-Newton steps (BFGS) from a Hessian that is known where they start."""

from collections.abc import Callable

import numpy as np

from chairgap.minimise.hessian import gradient_rms
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM
from chairgap.records import Floats

_MOST_STEPS = 500
_MOST_HALVINGS = 12
# Short steps stay in the basin of the start.
_LONGEST_STEP_ANGSTROM = 0.1
# Curvatures below this, kcal/mol/angstrom^2, are taken for it (rotors, rigid motions).
_SOFTEST = 5.0
# Rounding of an energy of some hundred kcal/mol.
_ROUNDING_KCAL_MOL = 1e-9


def downhill(
    surface: Callable[[Floats], tuple[float, Floats]], positions_angstrom: Floats, second: Floats
) -> Floats | None:
    """Positions (n, 3) of the minimum downhill from those given, or None.

    surface gives energy and gradient (n, 3); second is the Hessian (3n, 3n) at the start, its curvatures made
    positive here. Every step lowers the energy. None when the root mean square of the gradient components
    does not come down to what `verified_minimum` demands, or the energy is not finite on the way.
    """
    place, inverse = positions_angstrom.ravel(), _positive_inverse(second)
    energy, gradient = surface(positions_angstrom)
    for _ in range(_MOST_STEPS):
        if gradient_rms(gradient) <= GRADIENT_RMS_KCAL_MOL_ANGSTROM:
            return place.reshape(-1, 3)
        slope = gradient.ravel()
        step = -inverse @ slope
        step *= min(1.0, _LONGEST_STEP_ANGSTROM / np.abs(step).max())
        for _ in range(_MOST_HALVINGS):
            lower, ahead = surface((place + step).reshape(-1, 3))
            if lower <= energy + _ROUNDING_KCAL_MOL:
                break
            step *= 0.5
        else:
            return None
        inverse = _updated(inverse, step, ahead.ravel() - slope)
        place, energy, gradient = place + step, lower, ahead
    return None


def _positive_inverse(second: Floats) -> Floats:
    values, vectors = np.linalg.eigh(second)
    inverse: Floats = (vectors / np.maximum(np.abs(values), _SOFTEST)) @ vectors.T
    return inverse


def _updated(inverse: Floats, step: Floats, change: Floats) -> Floats:
    """The inverse Hessian after a step s (3n,) that changed the gradient by y (3n,), unchanged where s.y is
    not positive (J. Nocedal, S. J. Wright, Numerical Optimization, 2006, equation 6.17, from memory)."""
    along = float(step @ change)
    if along <= 1e-12:
        return inverse
    turned = inverse @ change
    # (1) B + (1 + y.B.y / s.y) s s^T / s.y - (B y s^T + s y^T B) / s.y
    mixed = np.outer(turned, step)
    stretch = (1.0 + float(change @ turned) / along) / along
    result: Floats = inverse + stretch * np.outer(step, step) - (mixed + mixed.T) / along
    return result
