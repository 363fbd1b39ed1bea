"""Hessian by central differences of an analytic gradient, normal modes, Newton polishing."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from chairgap.records import Floats
from chairgap.units import CM1_PER_ROOT_FORCE_CONSTANT

Gradient = Callable[[Floats], Floats]

# Larger steps bring anharmonic error (1e-2 angstrom: over 1 cm-1), smaller ones rounding.
STEP_ANGSTROM = 1e-4
_POLISHED_RMS = 1e-7
_MOVED_ANGSTROM = 1e-3


def hessian(gradient: Gradient, positions: Floats) -> Floats:
    """Symmetric (3n, 3n) second derivatives, kcal/mol/angstrom^2, at positions (n, 3).

    gradient is given one array again and again with one entry changed; it must not keep it.
    """
    size = positions.size
    rows = np.empty((size, *positions.shape))
    moved = np.array(positions)
    flat = moved.reshape(-1)
    for axis, place in enumerate(positions.ravel().tolist()):
        flat[axis] = place + STEP_ANGSTROM
        ahead = gradient(moved)
        flat[axis] = place - STEP_ANGSTROM
        # (1) H_i. = (g(x + h e_i) - g(x - h e_i)) / 2h
        np.subtract(ahead, gradient(moved), out=rows[axis])
        flat[axis] = place
    whole = rows.reshape(size, size) / (2.0 * STEP_ANGSTROM)
    return 0.5 * (whole + whole.T)


def rigid_motions(positions: Floats, weights: Floats) -> Floats:
    """Orthonormal basis (3n, 6) of translations and rotations in coordinates scaled by sqrt(weights) (n,).

    Raises ValueError for a linear arrangement, which no cyclohexane is.
    """
    root = np.sqrt(weights)
    x, y, z = root * (positions - weights @ positions / weights.sum()).T
    motions = np.zeros((6, len(weights), 3))
    for axis in range(3):
        motions[axis, :, axis] = root
    # e_k x r for the three axes
    motions[3, :, 1], motions[3, :, 2] = -z, y
    motions[4, :, 0], motions[4, :, 2] = z, -x
    motions[5, :, 0], motions[5, :, 1] = -y, x
    basis, triangle = np.linalg.qr(motions.reshape(6, -1).T)
    if np.abs(np.diag(triangle)).min() < 1e-6:
        raise ValueError("the atoms lie on a line")
    return basis


def _inner(matrix: Floats, rigid: Floats) -> Floats:
    """The matrix with rigid motions projected out: P M P, P = 1 - R R^T."""
    left = matrix - rigid @ (rigid.T @ matrix)
    projected: Floats = left - (left @ rigid) @ rigid.T
    return projected


def frequencies_cm1(second: Floats, positions: Floats, masses_u: Floats) -> Floats:
    """Frequencies (3n - 6,) in cm-1, ascending, imaginary ones negative.

    second: (3n, 3n) Hessian; translations and rotations are projected out exactly.
    """
    values = np.linalg.eigvalsh(_mass_weighted(second, positions, masses_u))
    return _wavenumbers(np.asarray(values, dtype=np.float64))


def normal_modes(second: Floats, positions: Floats, masses_u: Floats) -> tuple[Floats, Floats]:
    """The frequencies of `frequencies_cm1`, and Cartesian modes (3n, 3n - 6) of length 1."""
    values, vectors = np.linalg.eigh(_mass_weighted(second, positions, masses_u))
    modes = vectors[:, :-6] / np.repeat(np.sqrt(masses_u), 3)[:, None]
    return _wavenumbers(values), modes / np.linalg.norm(modes, axis=0)


def _mass_weighted(second: Floats, positions: Floats, masses_u: Floats) -> Floats:
    rigid = rigid_motions(positions, masses_u)
    root = np.repeat(np.sqrt(masses_u), 3)
    # (2) F_ij = H_ij / sqrt(m_i m_j)
    weighted = _inner(second / np.outer(root, root), rigid)
    # Rigid motions are moved far above the spectrum, to be dropped.
    result: Floats = weighted + 1e6 * rigid @ rigid.T
    return result


def _wavenumbers(all_values: Floats) -> Floats:
    values = all_values[:-6]
    # (3) nu = sqrt(lambda) / (2 pi c)
    result: Floats = CM1_PER_ROOT_FORCE_CONSTANT * np.sign(values) * np.sqrt(np.abs(values))
    return result


def gradient_rms(gradient: Floats) -> float:
    """Root mean square over the 3n components of gradient (n, 3), in its own unit."""
    return float(np.sqrt(np.mean(gradient**2)))


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


@dataclass(frozen=True, kw_only=True)
class Polished:
    """Where Newton steps led: positions (n, 3), the last Hessian (3n, 3n), and whether they ended because a
    step was too long or raised the gradient (that step is not taken)."""

    positions: Floats
    second: Floats
    led_away: bool


def polished(
    gradient: Gradient,
    hessian_at: Gradient,
    positions: Floats,
    second: Floats,
    *,
    steps: int,
    longest_angstrom: float,
) -> Polished:
    """Newton steps from positions (n, 3) while they lower the gradient, to far below what is promised;
    the Hessian is renewed when the geometry moved."""
    slope = gradient(positions)
    for _ in range(steps):
        if gradient_rms(slope) < _POLISHED_RMS:
            break
        step = newton_step(second, slope, positions)
        longest = np.abs(step).max()
        if longest > longest_angstrom:
            return Polished(positions=positions, second=second, led_away=True)
        trial = gradient(positions + step)
        before, after = gradient_rms(slope), gradient_rms(trial)
        if after >= before:
            return Polished(positions=positions, second=second, led_away=after > before)
        positions, slope = positions + step, trial
        if longest > _MOVED_ANGSTROM:
            second = hessian_at(positions)
    return Polished(positions=positions, second=second, led_away=False)
