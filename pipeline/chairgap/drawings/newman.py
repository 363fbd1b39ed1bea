"""Newman projections: a ring bond, or two parallel ones, looked along, at the angles of the geometry itself.

The onlooker sits before the front carbon, ring normal up; a bond's angle on the paper is that of its
projection along the ring bond, so that the angle between a front and a back bond is their dihedral
(clockwise positive, as IUPAC has it). Front carbons are solid discs with their numbers, back carbons circles
with a number on the rim. Groups carry the letter a or e; bonds to hydrogen are pale.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from chairgap.drawings.lettering import (
    CAP_EM,
    Anchor,
    Run,
    box_of,
    letterings,
    runs_of,
    text_element,
    width_em,
)
from chairgap.drawings.marks import disc, shortened, stroke
from chairgap.drawings.newman_view import (
    LONGEST_LABEL,
    Arm,
    Bond,
    Places,
    View,
    bonds_shown,
    matched,
    positions_of,
    side,
    view_of,
)
from chairgap.drawings.newman_words import Line, lines_of, set_in_type
from chairgap.drawings.picture import Picture
from chairgap.drawings.plane import Box, Point, around, box_at
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import Chair, Floats, RingCarbon, Topology
from chairgap.shape.torsions import turn_deg

_RADIUS, _BADGE = 40.0, 9.0
_FRONT_END, _BACK_END, _BACK_FAR_END = 60.0, 66.0, 86.0
_CLASH_DEG = 26.0
_LABEL_GAP, _LABEL_SIZE, _MARK_SIZE = 11.0, 14.0, 13.0
_MARK_GAP = 5.0
_LINE, _LINE_SIZE, _HEAD_SIZE = 18.0, 12.5, 14.0
_MARGIN = 8.0
_APART = 176.0
_FURTHEST_MEETING = 170.0
_PARALLEL = 0.02
_SAME_PLACE = 30.0

# Sine of the angle from the upright beyond which a label on the left is written leftwards.
_SIDEWAYS = 0.2
_PLAIN_EM = 0.7


class _Placed(NamedTuple):
    """An element and the room it takes."""

    element: Element
    box: Box


def newman_of(topology: Topology, positions: Floats, chair: Chair) -> Picture:
    """One chair along the ring bonds that show most of the molecule (see `bonds_shown`), named above;
    positions (n, 3) angstrom are those of a conformer in this chair."""
    head = shortened(f"chair {chair.letter}: {chair.name}", 44)
    first, *second = bonds_shown(topology)
    if second:
        return newman_double(topology, positions, (first, second[0]), head=head)
    return newman(topology, positions, first, head=head)


def newman(topology: Topology, positions: Floats, bond: Bond, *, head: str = "") -> Picture:
    """One ring bond, front carbon first, by locants; positions (n, 3) angstrom; `head` stands above.

    Raises ValueError when the two are no neighbours in the ring.
    """
    view = view_of(topology, positions, bond)
    drawn = [*_back(view, (0.0, 0.0)), *_front(view, (0.0, 0.0))]
    told = f"Newman projection along the ring bond from C{bond[0]} (front) to C{bond[1]} (behind)"
    return _composed(drawn, (view,), _Words(head, told, lines_of((view,), positions)))


def blank_projection(bond: Bond) -> Picture:
    """The circle of a projection with the numbers of both carbons, front carbon first, and room for six bonds
    and their ends, to be drawn in."""
    half, rim = _BACK_FAR_END + _LABEL_SIZE, _RADIUS * math.sqrt(0.5)
    drawn = [
        disc(half, half, _RADIUS, solid=False),
        _badge(bond[0], (half, half), front=True).element,
        _badge(bond[1], (half + rim, half + rim), front=False).element,
    ]
    about = (
        f"Empty Newman projection: carbon {bond[0]} in front, in the middle of the circle; carbon {bond[1]} "
        "behind, the circle itself."
    )
    return picture(drawn, width_px=2.0 * half, height_px=2.0 * half, alt=about)


def newman_double(
    topology: Topology, positions: Floats, bonds: tuple[Bond, Bond], *, head: str = ""
) -> Picture:
    """Two opposite ring bonds side by side, joined by the two ring carbons between them; positions (n, 3)
    angstrom. The front carbon of the first bond is the one named first; the second bond is turned to match.

    Raises ValueError when the bonds are not opposite each other in the ring.
    """
    left, right = sorted(
        (view_of(topology, positions, bond) for bond in matched(bonds)),
        key=lambda view: side(topology, positions, view),
    )
    centres = {left.bond: (0.0, 0.0), right.bond: (_APART, 0.0)}
    fronts, backs = ((left, left.front), (right, right.front)), ((left, left.back), (right, right.back))
    joints = [_joint(topology, positions, ends, centres) for ends in (fronts, backs)]
    drawn: list[_Placed] = []
    for view, outward in ((left, -1), (right, 1)):
        drawn += _back(view, centres[view.bond], joints[1], outward)
    drawn += _joint_labels(joints)
    for view, outward in ((left, -1), (right, 1)):
        drawn += _front(view, centres[view.bond], joints[0], outward)
    told = (
        f"Newman projection along two parallel ring bonds: in front C{left.bond[0]} and C{right.bond[0]}, "
        f"joined by {joints[0].in_words}; behind C{left.bond[1]} and C{right.bond[1]}, joined by "
        f"{joints[1].in_words}"
    )
    return _composed(drawn, (left, right), _Words(head, told, lines_of((left, right), positions)))


class _Words(NamedTuple):
    """What stands above, what the picture is, and its sentences."""

    head: str
    told: str
    lines: list[str]


def _composed(drawn: Sequence[_Placed], views: Sequence[View], said: _Words) -> Picture:
    """The drawing in the middle, its head above and its sentences below."""
    box = around([placed.box for placed in drawn])
    names = {arm.name for view in views for arm in view.arms if arm.is_group}
    lines = [
        set_in_type(line.replace("(axial)", "(a)").replace("(equatorial)", "(e)"), sorted(names))
        for line in said.lines
    ]
    head = (Run(said.head, 0),) if "*" in said.head else runs_of(said.head)
    wide = max(width_em(line) * _LINE_SIZE for line in lines)
    width = 2.0 * _MARGIN + max(box.right - box.left, wide, width_em(head) * _HEAD_SIZE * 1.1)
    top = _MARGIN + (_LINE + 4.0 if said.head else 0.0)
    middle = width / 2.0
    shift = f"translate({middle - (box.left + box.right) / 2.0:.2f} {top - box.top:.2f})"
    elements = [element("g", *(placed.element for placed in drawn), transform=shift)]
    if said.head:
        elements.append(text_element(head, (middle, 18.0), _HEAD_SIZE, "middle", "ink", font_weight="bold"))
    below = top + box.bottom - box.top + 8.0
    # Lines begin at one place: some readers cannot find the middle of a line with lowered digits.
    start = middle - wide / 2.0
    for row, line in enumerate(lines, start=1):
        elements.append(text_element(line, (start, below + _LINE * row - 4.0), _LINE_SIZE, "start", "ink"))
    about = f"{said.told}{f'; {said.head}' if said.head else ''}. {'; '.join(said.lines)}."
    return picture(elements, width_px=width, height_px=below + _LINE * len(lines) + _MARGIN, alt=about)


class _Joint(NamedTuple):
    """A ring carbon that joins two views: its label, the same in words, and where the bonds to it meet on the
    paper (None when they do not, or far off)."""

    label: Line
    in_words: str
    meets: Point | None


def _joint(
    topology: Topology,
    positions: Floats,
    ends: tuple[tuple[View, tuple[Arm, ...]], ...],
    centres: dict[Bond, Point],
) -> _Joint:
    (left, left_arms), (right, right_arms) = ends
    carbon = topology.carbons[(left_arms[2].joint or 1) - 1]
    label, phrase = _joint_name(carbon, positions_of(topology, positions))
    start, goal = np.array(centres[left.bond]), np.array(centres[right.bond])
    there = [np.array(arms[2].at((0.0, 0.0), 1.0)) for arms in (left_arms, right_arms)]
    # (1) start + s a = goal + t b
    matrix = np.column_stack([there[0], -there[1]])
    if abs(np.linalg.det(matrix)) < _PARALLEL:
        facing = there[0][0] > 1.0 - _PARALLEL and there[1][0] < _PARALLEL - 1.0
        x, y = (start + goal) / 2.0
        return _Joint(label, phrase, (float(x), float(y)) if facing else None)
    along = np.linalg.solve(matrix, goal - start)
    x, y = start + along[0] * there[0]
    near = all(_BACK_END < step < _FURTHEST_MEETING for step in along)
    return _Joint(label, phrase, (float(x), float(y)) if near else None)


def _joint_name(carbon: RingCarbon, places: Places) -> tuple[Line, str]:
    """'CH2 (C6)' or 'CH(OH a) (C6)', as it is set and in words."""
    groups = [
        (shortened(one.group, LONGEST_LABEL), places[carbon.locant, one.face])
        for one in carbon.ligands
        if one.group != "H"
    ]
    label: Line = runs_of(f"C{('H2', 'H', '')[len(groups)]}")
    for group, position in groups:
        formula = (Run(group, 0),) if "*" in group else runs_of(group)
        label = (*label, Run("(", 0), *formula, Run(f" {position[0]})", 0))
    phrase = ", ".join(f"{group} on it {position}" for group, position in groups)
    name = f"C{carbon.locant}"
    return (*label, Run(f" ({name})", 0)), f"{name} ({phrase})" if phrase else name


def _joint_labels(joints: Sequence[_Joint]) -> Iterator[_Placed]:
    """The joining carbons by name: the higher one above the place where its bonds meet, the other below; both
    on the outer side where they meet in the same place (the circles' centres are at height 0)."""
    meeting = [(joint.meets, joint.label) for joint in joints if joint.meets]
    meeting.sort(key=lambda joint: joint[0][1])
    away = [-14.0, 14.0]
    if len(meeting) == 2 and meeting[1][0][1] - meeting[0][0][1] < _SAME_PLACE:
        away = [-32.0, -14.0] if meeting[0][0][1] < 0.0 else [14.0, 32.0]
        meeting = [(meeting[0 if away[0] < 0.0 else 1][0], label) for _, label in meeting]
    for offset, ((x, y), label) in zip(away, meeting, strict=False):
        # Too long to stand between the groups of the two circles: beyond them.
        further = math.copysign(27.0, offset) if width_em(label) * _LABEL_SIZE > _APART - 70.0 else 0.0
        yield _lettered(label, (x, y + offset + further), "middle")


def _lettered(
    line: Line, at: Point, anchor: Anchor, *, colour: str = "ink", size: float = _LABEL_SIZE
) -> _Placed:
    """A line of text whose capitals stand half above and half below the point."""
    foot = (at[0], at[1] + CAP_EM / 2.0 * size)
    return _Placed(text_element(line, foot, size, anchor, colour), box_of(line, anchor, foot, size))


def _label(arm: Arm, at: Point, *, outward: int, beside: bool = False) -> Iterator[_Placed]:
    """The name with its bonded atom at the point, or with its middle there, and the letter of a group beyond
    it. outward: -1 writes what is nearly upright to the left, 1 to the right."""
    sideways = math.sin(math.radians(arm.angle_deg))
    leftwards = sideways < -_SIDEWAYS or (sideways < _SIDEWAYS and outward < 0)
    runs, anchor, atom_em = _written(arm, leftwards=leftwards)
    x, y = at
    if beside:
        anchor = "middle"
    else:
        x += {"start": -0.5, "middle": 0.0, "end": 0.5}[anchor] * atom_em * _LABEL_SIZE
    name = _lettered(runs, (x, y), anchor, colour="quiet" if arm.name == "H" else "ink")
    yield name
    if arm.is_group and arm.position in ("axial", "equatorial"):
        place = (name.box.left - _MARK_GAP, y) if leftwards else (name.box.right + _MARK_GAP, y)
        letter = (Run(arm.position[0], 0),)
        yield _lettered(letter, place, "end" if leftwards else "start", colour=arm.position, size=_MARK_SIZE)


def _written(arm: Arm, *, leftwards: bool) -> tuple[Line, Anchor, float]:
    """How the name is written, its anchor, the width of its bonded atom in em. The names of ring carbons and
    of fragments are no formulas."""
    if arm.joint or "*" in arm.name or "…" in arm.name:
        return (Run(arm.name, 0),), "end" if leftwards else "start", _PLAIN_EM
    ways = letterings(arm.name)
    way = next((one for one in ways if one.anchor == "end"), ways[0]) if leftwards else ways[0]
    return way.runs, way.anchor, way.atom_em


def _bond(ends: Sequence[Point], arm: Arm, width: float, name: str) -> _Placed:
    """A bond in the colour of its kind: ring, axial or equatorial group, hydrogen."""
    colour = arm.position if arm.is_group and arm.position != "isoclinal" else "ink" if arm.joint else "quiet"
    line = stroke(ends, colour=colour or "ink", width=width, **{name: arm.name})
    return _Placed(line, around([box_at(end, width, width) for end in ends]))


def _badge(locant: int, at: Point, *, front: bool) -> _Placed:
    """The number of a carbon: on a solid disc in front, in a circle behind."""
    number = text_element(
        (Run(str(locant), 0),),
        (at[0], at[1] + CAP_EM / 2.0 * 12.0),
        12.0,
        "middle",
        "paper" if front else "ink",
        data_number=str(locant),
    )
    discs = (
        [disc(*at, _BADGE)] if front else [disc(*at, _BADGE, colour="paper"), disc(*at, _BADGE, solid=False)]
    )
    return _Placed(element("g", *discs, number), box_at(at, 2 * _BADGE, 2 * _BADGE))


def _rim_place(view: View, centre: Point) -> Point:
    """The place on the circle farthest from every bond, the lower of equal ones."""

    def clear(angle_deg: float) -> float:
        return min(abs(turn_deg(angle_deg, arm.angle_deg)) for arm in view.arms)

    angle = math.radians(max(range(180, 540, 5), key=lambda deg: round(clear(float(deg)), 1)))
    return centre[0] + _RADIUS * math.sin(angle), centre[1] - _RADIUS * math.cos(angle)


def _near(arm: Arm, others: Sequence[Arm]) -> float | None:
    """Signed angle to the nearest bond of the other carbon where it is too near for two labels."""
    nearest = min((turn_deg(arm.angle_deg, other.angle_deg) for other in others), key=abs)
    return nearest if abs(nearest) < _CLASH_DEG else None


def _back(view: View, centre: Point, joint: _Joint | None = None, outward: int = 1) -> Iterator[_Placed]:
    """Bonds of the back carbon from the circle outwards, then the circle."""
    for arm in view.back:
        start = arm.at(centre, _RADIUS)
        if joint and arm.joint and joint.meets:
            yield _bond([start, joint.meets], arm, 1.8, "data_joint_behind")
            continue
        end = _BACK_END if _near(arm, view.front) is None else _BACK_FAR_END
        yield _bond([start, arm.at(centre, end)], arm, 2.2, "data_back")
        yield from _label(arm, arm.at(centre, end + _LABEL_GAP), outward=outward)
    yield _Placed(disc(*centre, _RADIUS, solid=False), box_at(centre, 2 * _RADIUS, 2 * _RADIUS))


def _front(view: View, centre: Point, joint: _Joint | None = None, outward: int = 1) -> Iterator[_Placed]:
    """Bonds of the front carbon from its disc, thicker than those behind, then the numbers of both."""
    for arm in view.front:
        if joint and arm.joint and joint.meets:
            yield _bond([centre, joint.meets], arm, 3.0, "data_joint_front")
            continue
        yield _bond([centre, arm.at(centre, _FRONT_END)], arm, 3.2, "data_front")
        near = _near(arm, view.back)
        if near is None:
            yield from _label(arm, arm.at(centre, _FRONT_END + _LABEL_GAP), outward=outward)
        else:
            yield from _label(arm, _beside(arm, centre, clockwise=near < 0.0), outward=outward, beside=True)
    yield _badge(view.bond[0], centre, front=True)
    yield _badge(view.bond[1], _rim_place(view, centre), front=False)


def _beside(arm: Arm, centre: Point, *, clockwise: bool) -> Point:
    """The middle of a label beside the end of the bond, on the side named."""
    angle = math.radians(arm.angle_deg + (90.0 if clockwise else -90.0))
    x, y = arm.at(centre, _FRONT_END - 2.0)
    across = 7.0 + width_em(_written(arm, leftwards=False)[0]) * _LABEL_SIZE / 2.0
    return x + across * math.sin(angle), y - 12.0 * math.cos(angle)
