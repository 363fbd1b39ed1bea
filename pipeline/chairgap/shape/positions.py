"""Axial, equatorial and isoclinal ligands from coordinates, and which chair a conformer is.

In a ring of the chair family the ring decides: a raised atom has its upper ligand axial, a lowered one its
lower ligand, alternating round the ring. A crowded axial group leans outward, by more than it takes to make
its angle no steeper than that of the hydrogen beside it (axial trityl), and is axial all the same. In every
other ring the angle between bond and Cremer-Pople mean-plane normal is read: of the two ligands of a carbon
the steeper is axial; when their angles differ by less than ISOCLINAL_WITHIN_DEG (twofold axis of a
twist-boat) both are isoclinal. The angle itself is always given.
"""

import numpy as np

from chairgap.records import (
    Chair,
    ChairLetter,
    Floats,
    LigandPosition,
    Position,
    RingShape,
    Topology,
)
from chairgap.shape.chairs import position_in_chair
from chairgap.shape.puckering import mean_plane
from chairgap.shape.vectors import length

ISOCLINAL_WITHIN_DEG = 20.0


def ligand_positions(topology: Topology, positions: Floats, shape: RingShape) -> tuple[LigandPosition, ...]:
    """The twelve ligands of a conformer; positions (n, 3) angstrom, shape that of its ring."""
    _, normal = mean_plane(positions[topology.ring])
    labelled = []
    ends = [ligand.atom for carbon in topology.carbons for ligand in carbon.ligands]
    bonds = positions[ends] - positions[topology.ring.repeat(2)]
    cosines = np.abs(bonds @ normal) / length(bonds)
    every_angle = np.degrees(np.arccos(np.clip(cosines, 0.0, 1.0))).reshape(6, 2).tolist()
    for carbon, angles in zip(topology.carbons, every_angle, strict=True):
        for ligand, angle, other in zip(carbon.ligands, angles, angles[::-1], strict=True):
            by_ring = position_in_chair(carbon.locant, ligand.face, odd_up_axial(shape))
            by_angle = _position(angle, other)
            labelled.append(
                LigandPosition(
                    carbon=carbon.locant,
                    face=ligand.face,
                    group=ligand.group,
                    position=by_ring if shape.family == "chair" else by_angle,
                    angle_deg=angle,
                )
            )
    return tuple(labelled)


def _position(angle_deg: float, other_deg: float) -> Position:
    if abs(angle_deg - other_deg) < ISOCLINAL_WITHIN_DEG:
        return "isoclinal"
    return "axial" if angle_deg < other_deg else "equatorial"


def odd_up_axial(shape: RingShape) -> bool:
    """True when ring atoms 1, 3 and 5 are raised: theta below 90 in the numbering clockwise from above."""
    return shape.theta_deg < 90.0


def which_chair(shape: RingShape, chairs: tuple[Chair, Chair]) -> ChairLetter | None:
    """The chair whose axial/equatorial pattern the ring imposes; None for any other ring shape.

    Theta alone would not name a chair, since it depends on numbering and direction; here both are fixed by
    the ring carbons' own numbers.
    """
    if shape.family != "chair":
        return None
    return next(chair.letter for chair in chairs if chair.odd_up_axial == odd_up_axial(shape))
