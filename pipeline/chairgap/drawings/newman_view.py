"""A ring bond looked along: which bonds are seen at which angles, and which bonds are worth looking along."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from chairgap.drawings.marks import shortened
from chairgap.drawings.plane import Point
from chairgap.records import Face, Floats, Position, RingCarbon, Topology
from chairgap.shape.canonical import ring_shape
from chairgap.shape.positions import ligand_positions
from chairgap.shape.puckering import mean_plane
from chairgap.shape.vectors import cross, length

LONGEST_LABEL = 18

Bond = tuple[int, int]
Places = dict[tuple[int, Face], Position]


@dataclass(frozen=True, kw_only=True)
class Arm:
    """A bond of the front or back carbon `carbon`: the atom at its end, its name (the group, or the ring
    carbon), its angle on the paper (degrees, clockwise from the upright). `joint` is the locant of a ring
    carbon, None for a ligand, which has a face and a position in the ring."""

    atom: int
    carbon: int
    name: str
    joint: int | None
    face: Face | None
    position: Position | None
    angle_deg: float

    @property
    def is_group(self) -> bool:
        return self.joint is None and self.name != "H"

    @property
    def in_words(self) -> str:
        """'CH3 on C1 (axial)', or 'C3'."""
        if self.joint:
            return self.name
        return f"{self.name} on C{self.carbon}{f' ({self.position})' if self.is_group else ''}"

    def at(self, centre: Point, distance: float) -> Point:
        angle = math.radians(self.angle_deg)
        return centre[0] + distance * math.sin(angle), centre[1] - distance * math.cos(angle)


@dataclass(frozen=True, kw_only=True)
class View:
    """A ring bond looked along: locants and atoms of its carbons; their three other bonds, those to their
    ligands first and that to the next ring carbon last."""

    bond: Bond
    atoms: tuple[int, int]
    front: tuple[Arm, ...]
    back: tuple[Arm, ...]

    @property
    def arms(self) -> tuple[Arm, ...]:
        return (*self.front, *self.back)


def bonds_shown(topology: Topology) -> tuple[Bond, ...]:
    """The ring bonds that show most of a molecule, front carbon first: for two groups on neighbouring carbons
    the bond between them, else two parallel bonds.

    Of those the pair whose four carbons bear most groups, then that with most neighbouring groups, then that
    with most groups in front (both of a 1,3 pair); two bonds from the first carbon with a group on a tie.
    """
    held = sorted({locant for locant, _ in topology.groups})
    if len(held) == 2 and (held[1] - held[0]) % 6 in (1, 5):
        return ((held[0], held[1]),)
    first = held[0] if held else 1
    starts = [_wrap(first + step) for step in range(6)]
    pairs = [((start, _wrap(start + way)), *_across(start, way)) for way in (1, -1) for start in starts]

    def worth(pair: tuple[Bond, ...]) -> tuple[int, int, int]:
        here = [[locant in held for locant in bond] for bond in pair]
        return sum(map(sum, here)), sum(map(all, here)), sum(front for front, _ in here)

    return max(pairs, key=worth)


def _across(start: int, way: int) -> tuple[Bond, ...]:
    return ((_wrap(start - 2 * way), _wrap(start + 3 * way)),)


def matched(bonds: tuple[Bond, Bond]) -> tuple[Bond, Bond]:
    """The two bonds, the second turned so that it is looked along in the direction of the first.

    Raises ValueError when the bonds are not opposite each other in the ring.
    """
    first, second = bonds
    way = _step(first)
    _step(second)
    (match,) = _across(first[0], way)
    if set(second) != set(match):
        raise ValueError(f"ring bond {second} is not opposite {first}; that is {match}")
    return first, match


def _step(bond: Bond) -> int:
    """1 for clockwise, -1 for counter-clockwise neighbours, as seen from above."""
    steps = {1: 1, 5: -1}
    if not all(1 <= locant <= 6 for locant in bond) or (bond[1] - bond[0]) % 6 not in steps:
        raise ValueError(
            f"ring carbons {bond[0]} and {bond[1]} are not bonded: locants are 1 to 6, in a ring"
        )
    return steps[(bond[1] - bond[0]) % 6]


def _wrap(locant: int) -> int:
    return (locant - 1) % 6 + 1


def view_of(topology: Topology, positions: Floats, bond: Bond) -> View:
    """The view along one bond; positions (n, 3) angstrom. Raises ValueError for what is no ring bond."""
    step = _step(bond)
    front, back = (topology.carbons[locant - 1] for locant in bond)
    axis = positions[back.atom] - positions[front.atom]
    # (1) right-hand direction of one who looks along d with u up: d x u
    _, normal = mean_plane(positions[topology.ring])
    right = cross(axis / length(axis), normal)
    frame = np.array([right, cross(right, axis / length(axis))])
    places = positions_of(topology, positions)

    def arms(carbon: RingCarbon, joint: int) -> Iterator[Arm]:
        ends = [(one.atom, shortened(one.group, LONGEST_LABEL), None, one.face) for one in carbon.ligands]
        for atom, name, ring_carbon, face in (
            *ends,
            (topology.carbons[joint - 1].atom, f"C{joint}", joint, None),
        ):
            x, y = frame @ (positions[atom] - positions[carbon.atom])
            yield Arm(
                atom=atom,
                carbon=carbon.locant,
                name=name,
                joint=ring_carbon,
                face=face,
                position=places[carbon.locant, face] if face else None,
                angle_deg=math.degrees(math.atan2(x, y)),
            )

    return View(
        bond=bond,
        atoms=(front.atom, back.atom),
        front=tuple(arms(front, _wrap(bond[0] - step))),
        back=tuple(arms(back, _wrap(bond[1] + step))),
    )


def positions_of(topology: Topology, positions: Floats) -> Places:
    """Axial, equatorial or isoclinal for each ligand, by carbon and face, from the geometry."""
    shape = ring_shape(positions[topology.ring])
    return {(one.carbon, one.face): one.position for one in ligand_positions(topology, positions, shape)}


def side(topology: Topology, positions: Floats, view: View) -> float:
    """How far right of the ring's centre the bond lies for one who looks along it."""
    centre, normal = mean_plane(positions[topology.ring])
    near, far = positions[list(view.atoms)]
    return float(cross(far - near, normal) @ ((near + far) / 2.0 - centre))
