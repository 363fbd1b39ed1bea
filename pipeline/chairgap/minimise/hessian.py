"""Hessian by central differences of an analytic gradient, normal modes, Newton polishing."""

from collections.abc import Callable

import numpy as np

from chairgap.records import Floats
from chairgap.units import CM1_PER_ROOT_FORCE_CONSTANT

Surface = Callable[[Floats], tuple[float, Floats]]

# Larger steps bring anharmonic error (1e-2 angstrom: over 1 cm-1), smaller ones rounding.
STEP_ANGSTROM = 1e-4


def hessian(surface: Surface, positions: Floats) -> Floats:
    """Symmetric (3n, 3n) second derivatives, kcal/mol/angstrom^2, at positions (n, 3)."""
    size = positions.size
    rows = np.empty((size, size))
    flat = positions.ravel()
    for axis in range(size):
        moved = flat.copy()
        moved[axis] += STEP_ANGSTROM
        _, ahead = surface(moved.reshape(-1, 3))
        moved[axis] -= 2.0 * STEP_ANGSTROM
        _, behind = surface(moved.reshape(-1, 3))
        # (1) H_i. = (g(x + h e_i) - g(x - h e_i)) / 2h
        rows[axis] = (ahead - behind).ravel() / (2.0 * STEP_ANGSTROM)
    return 0.5 * (rows + rows.T)


def rigid_motions(positions: Floats, weights: Floats) -> Floats:
    """Orthonormal basis (3n, 6) of translations and rotations in coordinates scaled by sqrt(weights) (n,).

    Raises ValueError for a linear arrangement, which no cyclohexane is.
    """
    root = np.sqrt(weights)[:, None]
    arms = positions - np.average(positions, axis=0, weights=weights)
    axes = np.eye(3)
    columns = [(root * axis).ravel() for axis in axes]
    columns += [(root * np.cross(axis, arms)).ravel() for axis in axes]
    basis, triangle = np.linalg.qr(np.array(columns).T)
    if np.abs(np.diag(triangle)).min() < 1e-6:
        raise ValueError("the atoms lie on a line")
    return basis


def _inner(matrix: Floats, rigid: Floats) -> Floats:
    """The matrix with rigid motions projected out: P M P, P = 1 - R R^T."""
    left = matrix - rigid @ (rigid.T @ matrix)
    projected: Floats = left - (left @ rigid) @ rigid.T
    return projected


def normal_modes(second: Floats, positions: Floats, masses_u: Floats) -> tuple[Floats, Floats]:
    """Frequencies (3n - 6,) in cm-1, ascending, imaginary ones negative, and Cartesian modes (3n, 3n - 6).

    second: (3n, 3n) Hessian; translations and rotations are projected out exactly.
    """
    rigid = rigid_motions(positions, masses_u)
    root = np.repeat(np.sqrt(masses_u), 3)
    # (2) F_ij = H_ij / sqrt(m_i m_j)
    weighted = _inner(second / np.outer(root, root), rigid)
    # Rigid motions are moved far above the spectrum and dropped.
    all_values, all_vectors = np.linalg.eigh(weighted + 1e6 * rigid @ rigid.T)
    values: Floats = all_values[:-6]
    vectors: Floats = all_vectors[:, :-6]
    # (3) nu = sqrt(lambda) / (2 pi c)
    frequencies: Floats = CM1_PER_ROOT_FORCE_CONSTANT * np.sign(values) * np.sqrt(np.abs(values))
    modes = vectors / root[:, None]
    return frequencies, modes / np.linalg.norm(modes, axis=0)


def newton_step(second: Floats, gradient: Floats, positions: Floats) -> Floats:
    """Step (n, 3) to the minimum of the quadratic model, free of rigid motion.

    Only meaningful where the inner Hessian is positive definite.
    """
    rigid = rigid_motions(positions, np.ones(len(positions)))
    inner = _inner(second, rigid) + 1e3 * rigid @ rigid.T
    slope = gradient.ravel() - rigid @ (rigid.T @ gradient.ravel())
    # (4) dx = -H^-1 g
    step = np.array(-np.linalg.solve(inner, slope), dtype=np.float64)
    return step.reshape(-1, 3)
