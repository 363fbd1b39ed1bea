"""stationary.csv, path.csv and map.csv of a ring flip."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from chairgap.drawings.flip_levels import above_lowest
from chairgap.records import (
    Flip,
    FlipMinimum,
    FlipSaddle,
    Floats,
    Minimum,
    PathFrame,
    RingShape,
    Saddle,
    SpherePoint,
)
from chairgap.report.columns import Column, Row, Table, number, text, whole
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.puckering import displacements

# A ring bond counts as eclipsed when its ring torsion is below this (our own limit).
ECLIPSED_DEG = 15.0
# Carbons bent less than this out of the mean plane have no flagpole (our own limit).
_BENT_ANGSTROM = 0.25

_SIGN = "positive_less_stable"
_ABOVE = "above_lowest_minimum"


@dataclass(frozen=True, kw_only=True)
class FlipTables:
    """What the tables of a flip are made from."""

    flip: Flip
    model: str
    frames: Sequence[PathFrame]
    points: Sequence[SpherePoint]


def joined(sides: Iterable[Iterable[object]]) -> str:
    """What the two sides of a saddle lead to, in words: 'A and 3S1 or 5S1'."""
    return " and ".join(" or ".join(map(str, side)) for side in sides)


def ring_torsions_deg(ring: Floats) -> list[float]:
    """The six torsions of ring (6, 3), along C1-C2, C2-C3 ... C6-C1."""
    return [dihedral_deg(ring[[(k + step) % 6 for step in (-1, 0, 1, 2)]]) for k in range(6)]


def eclipsed_bonds(torsions_deg: Sequence[float]) -> str:
    """The ring bonds, of six torsions as `ring_torsions_deg` gives them, that are eclipsed."""
    return "; ".join(f"C{k + 1}-C{(k + 1) % 6 + 1}" for k in range(6) if abs(torsions_deg[k]) < ECLIPSED_DEG)


def flagpole_distance_angstrom(flip: Flip, positions: Floats) -> float | None:
    """Distance of the two first atoms that point inwards over a boat, from opposite carbons bent to one side;
    None for rings in which no opposite pair is bent to one side by 0.25 angstrom each (chairs)."""
    carbons = flip.molecule.topology.carbons
    z = displacements(positions[flip.molecule.topology.ring])
    found = []
    for k in range(3):
        if min(abs(z[k]), abs(z[k + 3])) < _BENT_ANGSTROM or z[k] * z[k + 3] < 0.0:
            continue
        one, other = ((carbons[i].up if z[k] > 0.0 else carbons[i].down).atom for i in (k, k + 3))
        found.append(float(np.linalg.norm(positions[one] - positions[other])))
    return min(found, default=None)


def _shape(shape_of: Callable[[Row], RingShape]) -> tuple[Column[Row], ...]:
    return (
        number("cremer_pople_q", "angstrom", lambda row: shape_of(row).q_angstrom),
        number("cremer_pople_theta", "deg", lambda row: shape_of(row).theta_deg),
        number("cremer_pople_phi", "deg", lambda row: shape_of(row).phi_deg),
    )


class _StationaryRow(NamedTuple):
    """A minimum or a saddle."""

    source: FlipTables
    item: FlipMinimum | FlipSaddle

    @property
    def at_minimum(self) -> FlipMinimum | None:
        return self.item if isinstance(self.item, FlipMinimum) else None

    @property
    def at_saddle(self) -> FlipSaddle | None:
        return self.item if isinstance(self.item, FlipSaddle) else None

    @property
    def point(self) -> Minimum | Saddle:
        return self.item.minimum if isinstance(self.item, FlipMinimum) else self.item.saddle

    @property
    def energies(self) -> tuple[float, float, float]:
        return above_lowest(self.source.flip, self.item)

    @property
    def torsions_deg(self) -> list[float]:
        return ring_torsions_deg(self.point.positions[self.source.flip.molecule.topology.ring])


# Minima, then saddles, each kind by rising potential energy.
STATIONARY: Table[FlipTables, _StationaryRow] = Table(
    rows=lambda source: (
        *(_StationaryRow(source, item) for item in source.flip.minima),
        *(_StationaryRow(source, item) for item in source.flip.saddles),
    ),
    columns=(
        text("model", lambda row: row.source.model),
        text("kind", lambda row: "minimum" if row.at_minimum else "saddle"),
        whole("number", lambda row: row.item.number),
        text("ring_form", lambda row: row.item.shape.form),
        text("ring_family", lambda row: row.item.shape.family),
        text("chair", lambda row: row.at_minimum.chair if row.at_minimum else None),
        text("joins", lambda row: joined(row.at_saddle.ends) if row.at_saddle else None),
        text(
            "runs_down_to_minima",
            lambda row: joined(end.values() for end in row.at_saddle.ends) if row.at_saddle else None,
        ),
        number(f"potential_energy_{_ABOVE}", "kcal_mol", lambda row: row.energies[0], sign=_SIGN),
        number(f"enthalpy_{_ABOVE}", "kcal_mol", lambda row: row.energies[1], sign=_SIGN),
        number(f"gibbs_energy_{_ABOVE}", "kcal_mol", lambda row: row.energies[2], sign=_SIGN),
        number("temperature", "k", lambda row: row.source.flip.temperature_k),
        *_shape(lambda row: row.item.shape),
        text("ring_torsions_deg", lambda row: "; ".join(f"{angle:.1f}" for angle in row.torsions_deg)),
        text("eclipsed_ring_bonds", lambda row: eclipsed_bonds(row.torsions_deg)),
        number(
            "flagpole_distance",
            "angstrom",
            lambda row: flagpole_distance_angstrom(row.source.flip, row.point.positions),
        ),
        number(
            "imaginary_frequency",
            "cm1",
            lambda row: float(row.point.frequencies_cm1[0]) if row.at_saddle else None,
        ),
        number(
            "lowest_real_frequency",
            "cm1",
            lambda row: float(row.point.frequencies_cm1[1 if row.at_saddle else 0]),
        ),
        number("gradient_rms", "kcal_mol_per_angstrom", lambda row: row.point.gradient_rms_kcal_mol_angstrom),
    ),
)


class _FrameRow(NamedTuple):
    """A geometry of the path."""

    source: FlipTables
    number: int
    frame: PathFrame


PATH: Table[FlipTables, _FrameRow] = Table(
    rows=lambda source: (_FrameRow(source, *numbered) for numbered in enumerate(source.frames, start=1)),
    columns=(
        text("model", lambda row: row.source.model),
        text("step", lambda row: row.frame.step),
        whole("frame", lambda row: row.number),
        text("place", lambda row: row.frame.place),
        number(
            f"potential_energy_{_ABOVE}",
            "kcal_mol",
            lambda row: row.frame.energy_kcal_mol - row.source.flip.minima[0].minimum.energy_kcal_mol,
            sign=_SIGN,
        ),
        *_shape(lambda row: row.frame.shape),
        text("nearest_ring_form", lambda row: row.frame.shape.form),
    ),
)


class _PointRow(NamedTuple):
    """A place of the sphere of ring shapes."""

    source: FlipTables
    point: SpherePoint


# By rising theta and phi.
MAP: Table[FlipTables, _PointRow] = Table(
    rows=lambda source: (_PointRow(source, point) for point in source.points),
    columns=(
        text("model", lambda row: row.source.model),
        number("cremer_pople_theta", "deg", lambda row: row.point.theta_deg),
        number("cremer_pople_phi", "deg", lambda row: row.point.phi_deg),
        number("cremer_pople_q", "angstrom", lambda row: row.point.q_angstrom),
        number(f"potential_energy_{_ABOVE}", "kcal_mol", lambda row: row.point.energy_kcal_mol, sign=_SIGN),
        number("difference_between_walks", "kcal_mol", lambda row: row.point.spread_kcal_mol),
        whole("walks", lambda row: row.point.walks),
    ),
)
