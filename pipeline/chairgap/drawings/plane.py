"""Boxes and straight lines on paper: what touches what; x to the right and y down, in px."""

from typing import NamedTuple

Point = tuple[float, float]
Line = tuple[Point, Point]


class Box(NamedTuple):
    """An upright rectangle."""

    left: float
    top: float
    right: float
    bottom: float


def box_at(centre: Point, width: float, height: float) -> Box:
    x, y = centre
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def around(boxes: list[Box]) -> Box:
    """The box that holds all of these."""
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


def box_of_line(line: Line) -> Box:
    (ax, ay), (bx, by) = line
    return Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))


def boxes_touch(one: Box, two: Box, gap: float) -> bool:
    """Whether two boxes come nearer than the gap, along x and along y."""
    return (
        one.left < two.right + gap
        and two.left < one.right + gap
        and one.top < two.bottom + gap
        and two.top < one.bottom + gap
    )


def line_meets_box(line: Line, box: Box, gap: float) -> bool:
    """Whether a line enters the box grown by the gap on every side (clipping by parameter intervals)."""
    (ax, ay), (bx, by) = line
    left, top, right, bottom = box[0] - gap, box[1] - gap, box[2] + gap, box[3] + gap
    if (ax <= left and bx <= left) or (ax >= right and bx >= right):
        return False
    if (ay <= top and by <= top) or (ay >= bottom and by >= bottom):
        return False
    enters, leaves = 0.0, 1.0
    for start, along, low, high in ((ax, bx - ax, left, right), (ay, by - ay, top, bottom)):
        if along:
            first, last = (low - start) / along, (high - start) / along
            enters, leaves = max(enters, min(first, last)), min(leaves, max(first, last))
    return enters < leaves


def lines_near(one: Line, two: Line, gap: float) -> bool:
    """Whether two lines cross or come nearer than the gap."""
    (a, b), (c, d) = one, two
    for axis in (0, 1):
        low, high = min(c[axis], d[axis]) - gap, max(c[axis], d[axis]) + gap
        if (a[axis] <= low and b[axis] <= low) or (a[axis] >= high and b[axis] >= high):
            return False
    if _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0:
        return True
    return min(_to_line(a, two), _to_line(b, two), _to_line(c, one), _to_line(d, one)) < gap


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _to_line(point: Point, line: Line) -> float:
    """Distance of a point from a line of finite length."""
    (px, py), ((ax, ay), (bx, by)) = point, line
    ux, uy = bx - ax, by - ay
    share = max(0.0, min(1.0, ((px - ax) * ux + (py - ay) * uy) / (ux * ux + uy * uy)))
    return float(((px - ax - share * ux) ** 2 + (py - ay - share * uy) ** 2) ** 0.5)
