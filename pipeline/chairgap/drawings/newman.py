"""Newman projections: a ring bond, or two parallel ones, looked along, at the angles of the geometry itself.

The onlooker sits before the front carbon, ring normal up; a bond's angle on the paper is that of its
projection along the ring bond, so that the angle between a front and a back bond is their dihedral
(clockwise positive, as IUPAC has it). Between a front and a back bond, perfectly staggered dihedrals are 60
and 180 degrees, eclipsed ones 0 and 120; a bond is called staggered or eclipsed when its nine dihedrals
deviate from these by at most WITHIN_DEG on average, else 'between' (common practice, no source; the bound is
our own).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

import numpy as np

from chairgap.drawings.lettering import CAP_EM, Anchor, Run, letterings, runs_of, text_element, width_em
from chairgap.drawings.marks import disc, groups_in_words, shortened, signed, stroke, width_of, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.plane import Point
from chairgap.drawings.svg import Element, picture
from chairgap.records import Floats, Ligand, RingCarbon, Topology
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.puckering import mean_plane
from chairgap.shape.torsions import turn_deg
from chairgap.shape.vectors import cross, length

WITHIN_DEG = 15.0

_RADIUS = 40.0
_FRONT_END, _BACK_END, _BACK_FAR_END = 60.0, 66.0, 86.0
_CLASH_DEG = 26.0
_LABEL_GAP, _LABEL_SIZE = 11.0, 13.0
_LINE = 17.0
_APART = 190.0
_FURTHEST_MEETING = 170.0
_PARALLEL = 0.02
_SAME_PLACE = 30.0

# Sine of the angle from the upright beyond which a label on the left is written leftwards.
_SIDEWAYS = 0.2
_PLAIN_EM = 0.7
_LONGEST_LABEL = 18

Bond = tuple[int, int]


@dataclass(frozen=True, kw_only=True)
class _Arm:
    """A bond of the front or back carbon: atom at its end, label, the same with its face in sentences, angle
    on the paper (degrees, clockwise from the upright). `joint` is the locant of a ring carbon, None for a
    ligand."""

    atom: int
    label: str
    in_words: str
    group: str
    joint: int | None
    angle_deg: float

    def at(self, centre: Point, distance: float) -> Point:
        angle = math.radians(self.angle_deg)
        return centre[0] + distance * math.sin(angle), centre[1] - distance * math.cos(angle)

    def named(self, centre: Point, distance: float) -> Element:
        """The label with its bonded atom in the line of the bond, at this distance."""
        x, y = self.at(centre, distance)
        sideways = math.sin(math.radians(self.angle_deg))
        runs, anchor, atom_em = self.runs(leftwards=sideways < -_SIDEWAYS)
        away = {"start": -0.5, "middle": 0.0, "end": 0.5}[anchor] * atom_em * _LABEL_SIZE
        return _lettered(runs, x + away, y, anchor)

    def named_beside(self, centre: Point, distance: float, *, clockwise: bool) -> Element:
        """The label beside the bond, on the side named."""
        angle = math.radians(self.angle_deg + (90.0 if clockwise else -90.0))
        x, y = self.at(centre, distance)
        runs, _, _ = self.runs(leftwards=False)
        across = 7.0 + width_em(runs) * _LABEL_SIZE / 2.0
        return _lettered(runs, x + across * math.sin(angle), y - 12.0 * math.cos(angle), "middle")

    def runs(self, *, leftwards: bool) -> tuple[tuple[Run, ...], Anchor, float]:
        """How the label is written, its anchor, the width of its bonded atom in em. The names of ring carbons
        and of fragments are no formulas."""
        if self.joint or self.label != self.group or "*" in self.label:
            return (Run(self.label, 0),), "end" if leftwards else "start", _PLAIN_EM
        ways = letterings(self.group)
        way = next((one for one in ways if one.anchor == "end"), ways[0]) if leftwards else ways[0]
        return way.runs, way.anchor, way.atom_em


@dataclass(frozen=True, kw_only=True)
class _View:
    """A ring bond looked along: locants and atoms of its carbons, their three other bonds."""

    bond: Bond
    atoms: tuple[int, int]
    front: tuple[_Arm, ...]
    back: tuple[_Arm, ...]


def newman(topology: Topology, positions: Floats, bond: Bond) -> Picture:
    """One ring bond, front carbon first, by locants; positions (n, 3) angstrom.

    Raises ValueError when the two are no neighbours in the ring.
    """
    view = _view(topology, positions, bond)
    lines = [f"C{bond[0]} in front (dot), C{bond[1]} behind (circle)", *_in_words(view, positions)]
    width = max(340.0, *(width_of(line, 12.0) for line in lines))
    centre = (width / 2.0, 112.0)
    drawn = [*_back(view, centre), *_front(view, centre)]
    alt = f"Newman projection along the ring bond from C{bond[0]} (front) to C{bond[1]} (back): "
    alt += "; ".join([*lines[1:], groups_in_words(topology)]) + "."
    return _with_lines(drawn, lines, width, 230.0, alt)


def _with_lines(drawn: list[Element], lines: Sequence[str], width: float, top: float, alt: str) -> Picture:
    below = [words(width / 2, top + _LINE * row, line, size=12.0) for row, line in enumerate(lines)]
    return picture([*drawn, *below], width_px=width, height_px=top + 2.0 + _LINE * len(lines), alt=alt)


def newman_double(topology: Topology, positions: Floats, bonds: tuple[Bond, Bond]) -> Picture:
    """Two opposite ring bonds side by side, joined by the two ring carbons between them; positions (n, 3)
    angstrom. The front carbon of the first bond is the one named first; the second bond is turned to match.

    Raises ValueError when the bonds are not opposite each other in the ring.
    """
    bonds = _matched(bonds)
    left, right = sorted(
        (_view(topology, positions, bond) for bond in bonds),
        key=lambda view: _side(topology, positions, view),
    )
    centres = {left.bond: (150.0, 128.0), right.bond: (150.0 + _APART, 128.0)}
    joints = [
        _joint(topology, ends, centres)
        for ends in (((left, left.front), (right, right.front)), ((left, left.back), (right, right.back)))
    ]
    drawn: list[Element] = []
    for view in (left, right):
        drawn += _back(view, centres[view.bond], joints[1])
    drawn += _joint_labels(joints, 128.0)
    for view in (left, right):
        drawn += _front(view, centres[view.bond], joints[0])
    (front, back), (other_front, other_back) = left.bond, right.bond
    lines = [
        f"front (dots): C{front} and C{other_front}, joined by C{joints[0].carbon.locant}",
        f"behind (circles): C{back} and C{other_back}, joined by C{joints[1].carbon.locant}",
    ]
    lines += [f"C{view.bond[0]}-C{view.bond[1]}: {_conformation(view)}" for view in (left, right)]
    lines += [
        f"ring dihedral {_dihedral(view, positions, view.front[2], view.back[2])}" for view in (left, right)
    ]
    alt = "Newman projection along two opposite ring bonds side by side; "
    alt += "; ".join([*lines, groups_in_words(topology)]) + "."
    return _with_lines(drawn, lines, 300.0 + _APART, 250.0, alt)


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


def _matched(bonds: tuple[Bond, Bond]) -> tuple[Bond, Bond]:
    first, second = bonds
    step = _step(first)
    _step(second)
    # Two bonds further round the ring: i, j = i + 1 is opposite i - 2, j + 2, looked at the same way.
    match = (_wrap(first[0] - 2 * step), _wrap(first[1] + 2 * step))
    if set(second) != set(match):
        raise ValueError(f"ring bond {second} is not opposite {first}; that is {match}")
    return first, match


def _view(topology: Topology, positions: Floats, bond: Bond) -> _View:
    step = _step(bond)
    front, back = (topology.carbons[locant - 1] for locant in bond)
    axis = positions[back.atom] - positions[front.atom]
    # (1) right-hand direction of one who looks along d with u up: d x u
    _, normal = mean_plane(positions[topology.ring])
    right = cross(axis / length(axis), normal)
    frame = np.array([right, cross(right, axis / length(axis))])

    def angle(carbon: RingCarbon, atom: int) -> float:
        x, y = frame @ (positions[atom] - positions[carbon.atom])
        return math.degrees(math.atan2(x, y))

    def arms(carbon: RingCarbon, joint: int) -> tuple[_Arm, ...]:
        ligands = (_ligand(one, angle(carbon, one.atom)) for one in carbon.ligands)
        atom, name = topology.carbons[joint - 1].atom, f"C{joint}"
        names = {"label": name, "in_words": name, "group": name}
        return (*ligands, _Arm(atom=atom, **names, joint=joint, angle_deg=angle(carbon, atom)))

    return _View(
        bond=bond,
        atoms=(front.atom, back.atom),
        front=arms(front, _wrap(bond[0] - step)),
        back=arms(back, _wrap(bond[1] + step)),
    )


def _ligand(ligand: Ligand, angle_deg: float) -> _Arm:
    label = shortened(ligand.group, _LONGEST_LABEL)
    return _Arm(
        atom=ligand.atom,
        label=label,
        in_words=f"{label}({ligand.face})",
        group=ligand.group,
        joint=None,
        angle_deg=angle_deg,
    )


def _lettered(runs: tuple[Run, ...], x: float, y: float, anchor: Anchor) -> Element:
    return text_element(runs, (x, y + CAP_EM / 2.0 * _LABEL_SIZE), _LABEL_SIZE, anchor, "ink")


def _conformation(view: _View) -> str:
    pairs = [turn_deg(front.angle_deg, back.angle_deg) for front, back in product(view.front, view.back)]
    from_eclipsed = [abs((angle + 60.0) % 120.0 - 60.0) for angle in pairs]
    eclipsed = sum(from_eclipsed) / len(pairs)
    staggered = sum(60.0 - angle for angle in from_eclipsed) / len(pairs)
    if staggered <= WITHIN_DEG:
        return f"staggered (on average {staggered:.1f}° off 60° and 180°)"
    if eclipsed <= WITHIN_DEG:
        return f"eclipsed (on average {eclipsed:.1f}° off 0° and 120°)"
    return f"between: {staggered:.1f}° off staggered, {eclipsed:.1f}° off eclipsed"


def _dihedral(view: _View, positions: Floats, front: _Arm, back: _Arm) -> str:
    """'CH3(up)-C1-C2-OH(down): +60.0°'."""
    angle = dihedral_deg(positions[[front.atom, *view.atoms, back.atom]])
    names = (front.in_words, *(f"C{locant}" for locant in view.bond), back.in_words)
    return f"{'-'.join(names)}: {signed(angle, 1)}°"


def _in_words(view: _View, positions: Floats) -> Iterator[str]:
    """Staggered or eclipsed, the ring's dihedral, and those between groups; without two groups, the dihedral
    of the nearest front and back bond of each front bond."""
    yield _conformation(view)
    yield f"dihedral in the ring {_dihedral(view, positions, view.front[2], view.back[2])}"
    pairs = product(view.front[:2], view.back[:2])
    groups = [(front, back) for front, back in pairs if front.group != "H" and back.group != "H"]
    nearest = [
        (front, min(view.back, key=lambda back: abs(turn_deg(front.angle_deg, back.angle_deg))))
        for front in view.front[:2]
    ]
    for front, back in groups or nearest:
        yield f"dihedral {_dihedral(view, positions, front, back)}"


def _side(topology: Topology, positions: Floats, view: _View) -> float:
    """How far right of the ring's centre the bond lies for one who looks along it."""
    centre, normal = mean_plane(positions[topology.ring])
    near, far = positions[list(view.atoms)]
    return float(cross(far - near, normal) @ ((near + far) / 2.0 - centre))


def _near(arm: _Arm, others: Sequence[_Arm]) -> float | None:
    """Signed angle to the nearest bond of the other carbon where it is too near for two labels."""
    nearest = min((turn_deg(arm.angle_deg, other.angle_deg) for other in others), key=abs)
    return nearest if abs(nearest) < _CLASH_DEG else None


class _Joint(NamedTuple):
    """Where the bonds to a joining carbon meet on the paper; None when they do not, or far off."""

    carbon: RingCarbon
    meets: Point | None


def _joint(
    topology: Topology, ends: tuple[tuple[_View, tuple[_Arm, ...]], ...], centres: dict[Bond, Point]
) -> _Joint:
    (left, left_arms), (right, right_arms) = ends
    carbon = topology.carbons[(left_arms[2].joint or 1) - 1]
    start, goal = np.array(centres[left.bond]), np.array(centres[right.bond])
    there = [np.array(arms[2].at((0.0, 0.0), 1.0)) for arms in (left_arms, right_arms)]
    # (2) start + s a = goal + t b
    matrix = np.column_stack([there[0], -there[1]])
    if abs(np.linalg.det(matrix)) < _PARALLEL:
        facing = there[0][0] > 1.0 - _PARALLEL and there[1][0] < _PARALLEL - 1.0
        x, y = (start + goal) / 2.0
        return _Joint(carbon, (float(x), float(y)) if facing else None)
    along = np.linalg.solve(matrix, goal - start)
    x, y = start + along[0] * there[0]
    near = all(_BACK_END < step < _FURTHEST_MEETING for step in along)
    return _Joint(carbon, (float(x), float(y)) if near else None)


def _joint_labels(joints: Sequence[_Joint], level: float) -> Iterator[Element]:
    """The joining carbons by name: the higher one above the place where its bonds meet, the other below; both
    on the outer side where they meet in the same place (`level` is the height of the circles' centres)."""
    meeting = [(joint.meets, joint.carbon) for joint in joints if joint.meets]
    meeting.sort(key=lambda joint: joint[0][1])
    away = [-13.0, 13.0]
    if len(meeting) == 2 and meeting[1][0][1] - meeting[0][0][1] < _SAME_PLACE:
        away = [-30.0, -13.0] if meeting[0][0][1] < level else [13.0, 30.0]
        meeting = [(meeting[0 if away[0] < 0.0 else 1][0], carbon) for _, carbon in meeting]
    for offset, ((x, y), carbon) in zip(away, meeting, strict=False):
        name = _joint_name(carbon)
        # Too long to stand between the groups of the two circles: beyond them.
        further = math.copysign(25.0, offset) if width_em(name) * _LABEL_SIZE > _APART - 70.0 else 0.0
        yield _lettered(name, x, y + offset + further, "middle")


def _joint_name(carbon: RingCarbon) -> tuple[Run, ...]:
    """'CH2 (C1)' or 'CH(OH) (C1)'."""
    groups = [shortened(one.group, _LONGEST_LABEL) for one in carbon.ligands if one.group != "H"]
    hydrogens = ("H2", "H", "")[len(groups)]
    written = f"C{hydrogens}{''.join(f'({group})' for group in groups)}"
    plain = (Run(written, 0),) if "*" in written else runs_of(written)
    return (*plain, Run(f" (C{carbon.locant})", 0))


def _back(view: _View, centre: Point, joint: _Joint | None = None) -> Iterator[Element]:
    """Bonds of the back carbon from the circle outwards, then the circle."""
    for arm in view.back:
        start = arm.at(centre, _RADIUS)
        if joint and arm.joint and joint.meets:
            yield stroke([start, joint.meets], width=1.8, data_joint=f"back {arm.label}")
            continue
        end = _BACK_END if _near(arm, view.front) is None else _BACK_FAR_END
        yield stroke([start, arm.at(centre, end)], width=1.8, data_back=arm.label)
        yield arm.named(centre, end + _LABEL_GAP)
    yield disc(*centre, _RADIUS, solid=False)


def _front(view: _View, centre: Point, joint: _Joint | None = None) -> Iterator[Element]:
    """Bonds of the front carbon from its dot, thicker than those behind."""
    for arm in view.front:
        if joint and arm.joint and joint.meets:
            yield stroke([centre, joint.meets], width=3.0, data_joint=f"front {arm.label}")
            continue
        near = _near(arm, view.back)
        yield stroke([centre, arm.at(centre, _FRONT_END)], width=3.0, data_front=arm.label)
        if near is None:
            yield arm.named(centre, _FRONT_END + _LABEL_GAP)
        else:
            yield arm.named_beside(centre, _FRONT_END - 2.0, clockwise=near < 0.0)
    yield disc(*centre, 5.0)
