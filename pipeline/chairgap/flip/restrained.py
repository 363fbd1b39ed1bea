"""Minimising with the ring held at a place of the Cremer-Pople sphere."""

import numpy as np
from scipy.optimize import minimize

from chairgap.minimise.verified import EnergyModel
from chairgap.records import Floats, Integers
from chairgap.shape.pucker_vector import pucker_vector_and_gradient

# Holds the ring within about 0.01 angstrom of the target against the steepest slopes met (30 kcal/mol/A).
STIFFNESS_KCAL_MOL_ANGSTROM2 = 3000.0
_MOST_STEPS = 400


def held_at(
    model: EnergyModel,
    ring: Integers,
    target: Floats,
    positions: Floats,
    *,
    largest_slope_kcal_mol_angstrom: float = 0.02,
    free: Floats | None = None,
) -> tuple[float, Floats]:
    """Energy (kcal/mol, the restraint left out) and positions (n, 3) of the minimum with the ring held.

    target (3,): the pucker vector in angstrom; with `free` (3,), a unit vector, the ring may move along it:
    only the two directions across are held. The result is a minimum to largest_slope per component.
    """
    shape = positions.shape
    hold = np.eye(3) if free is None else np.eye(3) - np.outer(free, free)

    def surface(flat: Floats) -> tuple[float, Floats]:
        here = flat.reshape(shape)
        energy, gradient = model.energy_and_gradient(here)
        vector, slopes = pucker_vector_and_gradient(here[ring])
        off = hold @ (vector - target)
        # (1) E + k/2 |xi - xi0|^2
        energy += 0.5 * STIFFNESS_KCAL_MOL_ANGSTROM2 * float(off @ off)
        pulled = gradient.copy()
        pulled[ring] += STIFFNESS_KCAL_MOL_ANGSTROM2 * np.einsum("k,kjx->jx", off, slopes)
        return energy, pulled.ravel()

    found = minimize(
        surface,
        positions.ravel(),
        jac=True,
        method="L-BFGS-B",
        options={
            "maxiter": _MOST_STEPS,
            "gtol": largest_slope_kcal_mol_angstrom,
            "ftol": 1e-12,
            "maxcor": 25,
        },
    )
    held: Floats = np.asarray(found.x, dtype=np.float64).reshape(shape)
    return model.energy_and_gradient(held)[0], held
