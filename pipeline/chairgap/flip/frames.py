"""The lowest path as a series of geometries: from each saddle down to the minima on both its sides."""

import numpy as np
from scipy.integrate import solve_ivp

from chairgap.flip.landscape import HINT_ANGSTROM, Ground
from chairgap.minimise.verified import EnergyModel
from chairgap.records import Flip, FlipSaddle, FlipStep, Floats, PathFrame
from chairgap.shape.canonical import ring_shape
from chairgap.shape.degeneracy import superposed

_PUSH_ANGSTROM = 0.02
_LEFT_ANGSTROM = 0.25
FRAMES_PER_SIDE = 12
# The descent ends when the gradient is this small; the minimum itself is the last frame.
_FLAT_RMS_KCAL_MOL_ANGSTROM = 0.005
_LONGEST_TIME = 1e4


def path_frames(flip: Flip, ground: Ground) -> tuple[PathFrame, ...]:
    """Geometries along the lowest path, each laid on the one before; () without a path.

    Each side of a saddle is the path of steepest descent in mass-weighted coordinates (K. Fukui, Acc. Chem.
    Res. 1981, 14, 363, doi 10.1021/ar00072a001, from memory), thinned to equal arc lengths. Where one saddle
    runs down to another rotamer than the next one starts from, the groups jump between two frames.
    """
    by_number = {item.number: item for item in flip.saddles}
    frames: list[PathFrame] = []
    for step in flip.path:
        saddle = by_number[step.saddle]
        for positions, where in _over(flip, ground, saddle, step):
            laid = superposed(frames[-1].positions, positions) if frames else positions
            energy, _ = ground.model.energy_and_gradient(laid)
            frames.append(
                PathFrame(
                    positions=laid,
                    energy_kcal_mol=energy,
                    shape=ring_shape(laid[flip.molecule.topology.ring]),
                    step=f"{step.from_form} to {step.to_form}",
                    place=where,
                )
            )
    return tuple(frames)


def _over(flip: Flip, ground: Ground, saddle: FlipSaddle, step: FlipStep) -> list[tuple[Floats, str]]:
    """Up from the minimum where a step begins, over its saddle, down to the other one."""
    at_minimum = {item.number: item.minimum.positions for item in flip.minima}
    one, other = saddle.ends
    if step.from_form in one and step.to_form in other:
        near, far, first = one[step.from_form], other[step.to_form], 1.0
    else:
        near, far, first = other[step.from_form], one[step.to_form], -1.0
    top, masses_u = saddle.saddle.positions, flip.molecule.topology.masses_u
    up = _descent(ground.model, saddle, first, masses_u, superposed(top, at_minimum[near]))
    down = _descent(ground.model, saddle, -first, masses_u, superposed(top, at_minimum[far]))
    start, end = superposed(up[-1], at_minimum[near]), superposed(down[-1], at_minimum[far])
    return [
        (start, f"minimum {near}"),
        *((positions, "") for positions in reversed(up)),
        (top, f"saddle {saddle.number}"),
        *((positions, "") for positions in down),
        (end, f"minimum {far}"),
    ]


def _descent(
    model: EnergyModel, saddle: FlipSaddle, side: float, masses_u: Floats, end: Floats
) -> list[Floats]:
    """At most FRAMES_PER_SIDE geometries between the saddle and its minimum, both left out.

    On a mirror plane the descent splits in two, and rounding would choose; a push of a hundredth of an
    angstrom towards `end` (n, 3), laid on the saddle, makes it the side that the saddle's record names.
    """
    shape = saddle.saddle.positions.shape
    inverse = 1.0 / np.repeat(masses_u, 3)
    mode = saddle.saddle.mode
    towards = end - saddle.saddle.positions
    start = saddle.saddle.positions + side * _PUSH_ANGSTROM * mode / np.abs(mode).max()
    start = start + HINT_ANGSTROM * towards / np.abs(towards).max()

    def downhill(_: float, flat: Floats) -> Floats:
        # (1) dx/dt = -M^-1 grad E: the direction of steepest descent in mass-weighted coordinates
        slope: Floats = -inverse * model.gradient(flat.reshape(shape)).ravel()
        return slope

    def still_steep(_: float, flat: Floats) -> float:
        here = flat.reshape(shape)
        if np.abs(here - saddle.saddle.positions).max() < _LEFT_ANGSTROM:
            return 1.0  # at the top it is flat as well
        gradient = model.gradient(here)
        return float(np.sqrt(np.mean(gradient**2))) - _FLAT_RMS_KCAL_MOL_ANGSTROM

    still_steep.terminal = True  # type: ignore[attr-defined]
    still_steep.direction = -1  # type: ignore[attr-defined]
    found = solve_ivp(
        downhill,
        (0.0, _LONGEST_TIME),
        start.ravel(),
        method="LSODA",
        rtol=1e-4,
        atol=1e-5,
        events=still_steep,
    )
    points = found.y.T
    lengths = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    evenly = np.linspace(0.0, lengths[-1], FRAMES_PER_SIDE + 1)[1:]
    chosen = sorted({int(np.argmin(np.abs(lengths - at))) for at in evenly})
    return [points[index].reshape(shape) for index in chosen]
