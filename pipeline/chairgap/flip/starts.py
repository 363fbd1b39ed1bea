"""Where saddles are looked for: rings at the half-chairs, envelopes and boats, groups as in low minima."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.records import Floats
from chairgap.search.explore import Found
from chairgap.search.lattice import Lattice
from chairgap.search.rotamers import rotor_angle_deg
from chairgap.shape.pucker_vector import on_sphere
from chairgap.shape.puckering import pseudorotation, ring_from_puckering
from chairgap.shape.torsions import turn_deg

# Where half-chair and envelope saddles lie with these force fields: theta near 60, Q near that of a chair; a
# little nearer to the equator the ring runs up to them instead of back to the chair.
_TILTED_THETA_DEG = 63.0
_TILTED_Q_ANGSTROM = 0.55
_BOAT_Q_ANGSTROM = 0.70
# Orientations of the groups tried for each ring: those of the lowest minima on both its sides.
_FROM_CHAIR = 3
_FROM_EACH_TWIST_BOAT = 2
_NEIGHBOUR_DEG = 45.0
_ORIENTATION_WINDOW_KCAL_MOL = 3.0
_SAME_ANGLE_DEG = 40.0


@dataclass(frozen=True, kw_only=True)
class SaddleStart:
    """positions (n, 3); target (3,) the pucker vector to hold the ring at; uphill (3,) the direction on the
    sphere, a unit vector, along which the saddle is a maximum."""

    positions: Floats
    target: Floats
    uphill: Floats
    name: str


def saddle_starts(lattice: Lattice, minima: Sequence[Found], sides: Sequence[int]) -> Iterator[SaddleStart]:
    """Starts for all saddles. sides says of each minimum: +1 chair at theta 0, -1 at 180, 0 no chair.

    Half-chairs and envelopes (12 longitudes in each hemisphere) take the groups from the chair of their
    hemisphere and from the twist-boats they lead to, boats from the twist-boats on both sides.
    """
    topology = lattice.molecule.topology
    longitudes = [pseudorotation(item.positions[topology.ring])[1] for item in minima]
    for side in (1, -1, 0):
        chair = [item for item, where in zip(minima, sides, strict=True) if where == side != 0]
        for theta, phi in _places(side):
            beside = [
                [
                    item
                    for item, where, at in zip(minima, sides, longitudes, strict=True)
                    if where == 0 and 0.0 <= sense * turn_deg(phi, at) <= _NEIGHBOUR_DEG
                ]
                for sense in (1.0, -1.0)
            ]
            pool = [*_lowest(chair, _FROM_CHAIR)]
            for held in beside:
                pool += _lowest(held, _FROM_EACH_TWIST_BOAT if side == 0 else 1)
            q = _BOAT_Q_ANGSTROM if side == 0 else _TILTED_Q_ANGSTROM
            ring = ring_from_puckering(q, theta, phi)
            for number, (variants, angles) in enumerate(_orientations(lattice, pool), start=1):
                yield SaddleStart(
                    positions=lattice.built(ring, variants, angles),
                    target=on_sphere(q, theta, phi),
                    uphill=_uphill(side, theta, phi),
                    name=f"theta {theta:.0f} phi {phi:.0f} groups {number}",
                )


def _lowest(minima: Sequence[Found], most: int) -> list[Found]:
    """The lowest minima, at most so many, within the window above the first."""
    ordered = sorted(minima, key=lambda item: item.energy_kcal_mol)[:most]
    return [
        item
        for item in ordered
        if item.energy_kcal_mol <= ordered[0].energy_kcal_mol + _ORIENTATION_WINDOW_KCAL_MOL
    ]


def _places(side: int) -> list[tuple[float, float]]:
    if side == 0:
        return [(90.0, 60.0 * step) for step in range(6)]
    theta = _TILTED_THETA_DEG if side > 0 else 180.0 - _TILTED_THETA_DEG
    return [(theta, 30.0 * step) for step in range(12)]


def _uphill(side: int, theta_deg: float, phi_deg: float) -> Floats:
    """Unit tangent of the sphere: along phi at a boat, along theta elsewhere."""
    theta, phi = np.radians(theta_deg), np.radians(phi_deg)
    if side == 0:
        return np.array([-np.sin(phi), np.cos(phi), 0.0])
    return np.array([np.cos(theta) * np.cos(phi), np.cos(theta) * np.sin(phi), -np.sin(theta)])


def _orientations(
    lattice: Lattice, minima: Sequence[Found]
) -> list[tuple[tuple[int, ...], tuple[float, ...]]]:
    """(group variants, rotor angles) of minima, each kind once."""
    found: list[tuple[tuple[int, ...], tuple[float, ...]]] = []
    for item in minima:
        angles = tuple(rotor_angle_deg(rotor, item.positions) for rotor in lattice.rotors)
        if not any(item.variants == known and _alike(angles, others) for known, others in found):
            found.append((item.variants, angles))
    return found


def _alike(first: Sequence[float], second: Sequence[float]) -> bool:
    return all(abs(turn_deg(b, a)) < _SAME_ANGLE_DEG for a, b in zip(first, second, strict=True))
