"""First-order saddle points by eigenvector following, verified by their Hessian.

Uphill along one mode, downhill along all others (partitioned rational function optimisation: A. Banerjee, N.
Adams, J. Simons, R. Shepard, J. Phys. Chem. 1985, 89, 52, doi 10.1021/j100247a015, from memory). The Hessian
is formed anew at every step: with these force fields it costs a few milliseconds, and the mode that is
followed is then never lost.
"""

from dataclasses import dataclass

import numpy as np

from chairgap.minimise.hessian import gradient_rms, normal_modes, polished, rigid_motions
from chairgap.minimise.verified import (
    GRADIENT_RMS_KCAL_MOL_ANGSTROM,
    IMAGINARY_BELOW_CM1,
    EnergyModel,
)
from chairgap.records import Floats, Saddle

_MOST_STEPS = 40
_LONGEST_STEP_ANGSTROM = 0.25
_FIRST_STEP_ANGSTROM = 0.12
_SHORTEST_STEP_ANGSTROM = 0.01
# Within this the quadratic model holds and plain Newton steps finish the work.
_NEAR_RMS = 0.5
_POLISH_STEPS = 8
# Curvatures (kcal/mol/angstrom^2) below this are equally soft.
_SOFT = 2.0


@dataclass(frozen=True, kw_only=True)
class _Frame:
    """Energy, gradient (n, 3), Hessian (3n, 3n), and its inner eigenvalues and vectors at one geometry."""

    energy: float
    gradient: Floats
    second: Floats
    values: Floats
    vectors: Floats


def find_saddle(
    model: EnergyModel, positions: Floats, masses_u: Floats, along: Floats, start: str
) -> Saddle | None:
    """The saddle reached from positions (n, 3) by going uphill along the mode most like `along` (n, 3).

    None when the steps do not converge, or when the stationary point has no or several imaginary modes.
    """
    radius = _FIRST_STEP_ANGSTROM
    frame = _look(model, positions)
    followed = _most_like(frame, along.ravel())
    for _ in range(_MOST_STEPS):
        index = int(np.argmax(np.abs(frame.vectors.T @ followed)))
        followed = frame.vectors[:, index]
        one_negative = frame.values[0] < 0.0 < frame.values[1]
        if one_negative and gradient_rms(frame.gradient) < _NEAR_RMS:
            done = _finish(model, positions, frame, masses_u, start)
            if done is not None:
                return done
        step = _uphill_step(frame, index, radius)
        expected = float(frame.gradient.ravel() @ step + 0.5 * step @ frame.second @ step)
        positions = positions + step.reshape(-1, 3)
        after = _look(model, positions)
        radius = _new_radius(radius, after.energy - frame.energy, expected)
        frame = after
    return None


def _look(model: EnergyModel, positions: Floats) -> _Frame:
    second = model.hessian(positions)
    energy, gradient = model.energy_and_gradient(positions)
    rigid = rigid_motions(positions, np.ones(len(positions)))
    # Rigid motions are moved far above the spectrum and dropped.
    left = second - rigid @ (rigid.T @ second)
    inner = left - (left @ rigid) @ rigid.T + 1e7 * rigid @ rigid.T
    values, vectors = np.linalg.eigh(inner)
    return _Frame(
        energy=energy, gradient=gradient, second=second, values=values[:-6], vectors=vectors[:, :-6]
    )


def _most_like(frame: _Frame, along: Floats) -> Floats:
    """The mode that answers most to a force along `along`: (4) the part of H^-1 a on each mode, so that a
    soft mode that bends the ring wins over a stiff one that moves the same atoms."""
    answers = np.abs(frame.vectors.T @ along) / np.maximum(np.abs(frame.values), _SOFT)
    result: Floats = frame.vectors[:, int(np.argmax(answers))]
    return result


def _uphill_step(frame: _Frame, index: int, radius: float) -> Floats:
    """(3n,) step, at most `radius` long, uphill along mode `index` and downhill along the others."""
    forces = frame.vectors.T @ frame.gradient.ravel()
    others = np.arange(len(forces)) != index
    curvature, slope = frame.values[index], forces[index]
    # (1) lambda_p = b/2 + sqrt(b^2/4 + g^2), the larger root: uphill
    uphill = 0.5 * curvature + np.sqrt(0.25 * curvature**2 + slope**2)
    # (2) lambda_n: the lowest root of sum g_i^2 / (lambda - b_i) = lambda over the other modes: downhill
    downhill = _lowest_root(frame.values[others], forces[others])
    shifted = np.empty_like(forces)
    shifted[index] = curvature - uphill
    shifted[others] = frame.values[others] - downhill
    # (3) h_i = -g_i / (b_i - lambda); a mode without force has no step
    small = np.abs(shifted) < 1e-9
    lengths = np.where(small, 0.0, -forces / np.where(small, 1.0, shifted))
    if abs(slope) < 1e-6 and curvature > 0.0:
        lengths[index] = radius  # on a symmetric minimum nothing says which way is up: take one
    longest = float(np.linalg.norm(lengths))
    if longest > radius:
        lengths *= radius / longest
    step: Floats = frame.vectors @ lengths
    return step


def _lowest_root(values: Floats, forces: Floats) -> float:
    """Lowest eigenvalue of the arrow matrix of equation (2)."""
    size = len(values)
    arrow = np.zeros((size + 1, size + 1))
    arrow[np.arange(size), np.arange(size)] = values
    arrow[:size, size] = arrow[size, :size] = forces
    return float(np.linalg.eigvalsh(arrow)[0])


def _new_radius(radius: float, happened: float, expected: float) -> float:
    """Longer steps while the quadratic model is right about the energy, shorter ones where it is not."""
    if abs(expected) < 1e-6:
        return radius
    ratio = happened / expected
    if 0.75 < ratio < 1.25:
        return min(_LONGEST_STEP_ANGSTROM, 1.5 * radius)
    if ratio < 0.25 or ratio > 1.75:
        return max(_SHORTEST_STEP_ANGSTROM, 0.5 * radius)
    return radius


def _finish(
    model: EnergyModel, positions: Floats, frame: _Frame, masses_u: Floats, start: str
) -> Saddle | None:
    """Newton steps to a gradient far below the promised one; None when they lead away or it is no saddle."""
    found = polished(
        model.gradient,
        model.hessian,
        positions,
        frame.second,
        steps=_POLISH_STEPS,
        longest_angstrom=_LONGEST_STEP_ANGSTROM,
    )
    if found.led_away:
        return None
    positions, second = found.positions, found.second
    energy, gradient = model.energy_and_gradient(positions)
    if gradient_rms(gradient) > GRADIENT_RMS_KCAL_MOL_ANGSTROM:
        return None
    frequencies, modes = normal_modes(second, positions, masses_u)
    if frequencies[0] >= IMAGINARY_BELOW_CM1 or frequencies[1] <= IMAGINARY_BELOW_CM1:
        return None
    return Saddle(
        positions=positions - np.average(positions, axis=0, weights=masses_u),
        energy_kcal_mol=energy,
        gradient_rms_kcal_mol_angstrom=gradient_rms(gradient),
        frequencies_cm1=frequencies,
        mode=modes[:, 0].reshape(-1, 3),
        start=start,
    )
