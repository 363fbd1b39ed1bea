"""Axial, equatorial and isoclinal ligands from coordinates, and which chair a conformer is.

Orientation is read from the angle between the bond and the Cremer-Pople mean-plane normal: near 0 for axial
and near 70 degrees for equatorial bonds of an ideal chair. Of the two ligands of a carbon the steeper is
axial; when their angles differ by less than ISOCLINAL_WITHIN_DEG (twofold axis of a twist-boat) both are
isoclinal.
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

ISOCLINAL_WITHIN_DEG = 20.0


def ligand_positions(topology: Topology, positions: Floats) -> tuple[LigandPosition, ...]:
    """The twelve ligands of a conformer; positions (n, 3) angstrom."""
    _, normal = mean_plane(positions[topology.ring])
    labelled = []
    for carbon in topology.carbons:
        bonds = np.array([positions[ligand.atom] - positions[carbon.atom] for ligand in carbon.ligands])
        cosines = np.abs(bonds @ normal) / np.linalg.norm(bonds, axis=1)
        angles = np.degrees(np.arccos(np.clip(cosines, 0.0, 1.0)))
        for ligand, angle, other in zip(carbon.ligands, angles, angles[::-1], strict=True):
            labelled.append(
                LigandPosition(
                    carbon=carbon.locant,
                    face=ligand.face,
                    group=ligand.group,
                    position=_position(float(angle), float(other)),
                    angle_deg=float(angle),
                )
            )
    return tuple(labelled)


def _position(angle_deg: float, other_deg: float) -> Position:
    if abs(angle_deg - other_deg) < ISOCLINAL_WITHIN_DEG:
        return "isoclinal"
    return "axial" if angle_deg < other_deg else "equatorial"


def which_chair(
    shape: RingShape, ligands: tuple[LigandPosition, ...], chairs: tuple[Chair, Chair]
) -> ChairLetter | None:
    """The chair whose axial/equatorial pattern the conformer shows at all six carbons; None for any other
    ring shape, and for a ring near a chair in which some carbon does not fit the pattern."""
    if shape.family != "chair":
        return None
    for chair in chairs:
        if all(
            ligand.position == position_in_chair(ligand.carbon, ligand.face, chair.odd_up_axial)
            for ligand in ligands
        ):
            return chair.letter
    return None
