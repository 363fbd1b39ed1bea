"""The map of ring shapes: the lowest energy at each place of the Cremer-Pople sphere."""

from collections.abc import Iterator

import numpy as np

from chairgap.flip.landscape import Ground
from chairgap.flip.restrained import held_at
from chairgap.records import Flip, Floats, SpherePoint
from chairgap.shape.pucker_vector import on_sphere, pucker_vector

DEFAULT_STEP_DEG = 15.0
# A map needs the energy to a few hundredths; tighter costs time and shows nothing.
_SLOPE_KCAL_MOL_ANGSTROM = 0.1


def sphere_map(flip: Flip, ground: Ground, step_deg: float = DEFAULT_STEP_DEG) -> tuple[SpherePoint, ...]:
    """Energy at each (theta, phi), above the lowest minimum, with Q free: the ring is held on its ray only.

    Every meridian is followed from both poles to the other one, each point starting from the geometry before
    it, and round the equator from every twist-boat; the lower energy counts, so a group that lags behind on
    one direction does no harm. `spread_kcal_mol` says how far the two directions differ.
    """
    floor = flip.minima[0].minimum.energy_kcal_mol
    found: dict[tuple[float, float], list[tuple[float, float]]] = {}
    for theta, phi, energy, q in _walks(flip, ground, step_deg):
        found.setdefault((theta, phi), []).append((energy - floor, q))
    points = []
    for (theta, phi), seen in sorted(found.items()):
        energies = [energy for energy, _ in seen]
        lowest, q = min(seen)
        points.append(
            SpherePoint(
                theta_deg=theta,
                phi_deg=phi,
                q_angstrom=q,
                energy_kcal_mol=lowest,
                spread_kcal_mol=max(energies) - lowest,
                walks=len(seen),
            )
        )
    return tuple(points)


def _walks(flip: Flip, ground: Ground, step_deg: float) -> Iterator[tuple[float, float, float, float]]:
    thetas = np.arange(0.0, 180.0 + 0.5 * step_deg, step_deg)
    phis = np.arange(0.0, 360.0 - 0.5 * step_deg, step_deg)
    for pole in (0.0, 180.0):
        order = thetas if pole == 0.0 else thetas[::-1]
        for start in _rotamers_at_pole(flip, ground, pole):
            for phi in phis:
                positions = start
                for theta in order:
                    energy, positions, q = _held_on_ray(ground, positions, float(theta), float(phi))
                    yield float(theta), 0.0 if theta in (0.0, 180.0) else float(phi), energy, q


def _rotamers_at_pole(flip: Flip, ground: Ground, pole: float) -> list[Floats]:
    """The lowest two rotamers of the chair at a pole; a chair that is no minimum is started from its ring."""
    held = [
        item
        for item in flip.minima
        if item.chair is not None and (item.shape.theta_deg < 90.0) == (pole == 0.0)
    ]
    held.sort(key=lambda item: item.minimum.energy_kcal_mol)
    if held:
        return [item.minimum.positions for item in held[:2]]
    index = 0 if pole == 0.0 else 1
    return [ground.lattice.start((index, *(0,) * (len(ground.lattice.shape) - 1))).positions]


def _held_on_ray(
    ground: Ground, positions: Floats, theta_deg: float, phi_deg: float
) -> tuple[float, Floats, float]:
    ray = on_sphere(1.0, theta_deg, phi_deg)
    ring = ground.lattice.molecule.topology.ring
    energy, held = held_at(
        ground.model,
        ring,
        0.6 * ray,
        positions,
        largest_slope_kcal_mol_angstrom=_SLOPE_KCAL_MOL_ANGSTROM,
        free=ray,
    )
    return energy, held, float(np.linalg.norm(pucker_vector(held[ring])))
