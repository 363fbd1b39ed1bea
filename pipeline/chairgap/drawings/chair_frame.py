"""The bare chair on paper: six carbons and the directions of their twelve bonds."""

from dataclasses import dataclass

import numpy as np

from chairgap.drawings.plane import Line, Point
from chairgap.records import Face, Floats, Position
from chairgap.shape.chairs import position_in_chair

LOCANTS = (1, 2, 3, 4, 5, 6)

# The chair whose left end is raised, by its three ring bonds from the left end along the back, in px with y
# up; the other three are the same, backwards, so opposite bonds are parallel. A ring seen from slightly above
# (common practice, no source).
_ALONG_BACK = np.array([[62.0, -16.0], [98.0, 28.0], [48.0, -76.0]])


@dataclass(frozen=True, kw_only=True)
class Frame:
    """points: (6, 2) carbons 1 to 6 in px round the middle of the ring, y down, clockwise on paper; outward:
    (6, 2) unit directions of the equatorial bonds; raised: for each carbon whether its axial bond is up."""

    points: Floats
    outward: Floats
    raised: tuple[bool, ...]

    def point(self, locant: int) -> Point:
        x, y = self.points[locant - 1]
        return float(x), float(y)

    def axial(self, locant: int) -> Point:
        """Axial bonds are vertical, up from raised carbons."""
        return (0.0, -1.0 if self.raised[locant - 1] else 1.0)

    def direction(self, locant: int, face: Face) -> Point:
        """An equatorial bond is parallel to the ring bonds one away from it."""
        if self.position(locant, face) == "axial":
            return self.axial(locant)
        x, y = self.outward[locant - 1]
        return float(x), float(y)

    def position(self, locant: int, face: Face) -> Position:
        return position_in_chair(locant, face, self.raised[0])

    def ring_bonds(self) -> tuple[tuple[int, int, Line], ...]:
        """(locant, next locant, line) of the six ring bonds."""
        return tuple((one, one % 6 + 1, (self.point(one), self.point(one % 6 + 1))) for one in LOCANTS)

    def number_direction(self, locant: int) -> Point:
        """Where the carbon's number has room: midway between the axial bond and a second one. That is the
        equatorial bond at the two ends; elsewhere the ring bond to the near end when the axial bond crosses
        the inside of the ring, else the other ring bond."""
        here = self.points[locant - 1]
        axial = np.array(self.axial(locant))
        inside = axial[1] * here[1] < 0.0
        second = self.outward[locant - 1]
        if locant not in (1, 4):
            near = [self.points[locant % 6], self.points[locant - 2]]
            step = max(near, key=lambda point: abs(point[0]) if inside else -abs(point[0])) - here
            second = step / np.linalg.norm(step)
        x, y = (axial + second) / np.linalg.norm(axial + second)
        return float(x), float(y)


def frame(odd_up_axial: bool, scale: float = 1.0) -> Frame:
    """Carbon 1 at the right end, 2 and 3 in front, 4 at the left end, 5 and 6 behind, in either chair.

    With the upper ligands of the odd carbons axial, carbon 1 is raised and carbon 4, the left end, is not.
    """
    along = scale * _ALONG_BACK
    half = along.sum(axis=0) / 2
    left, behind_left, behind_right = -half, along[0] - half, along[0] + along[1] - half
    points = np.array([-left, -behind_left, -behind_right, left, behind_left, behind_right])
    if odd_up_axial:
        points = points[[3, 2, 1, 0, 5, 4]] * (-1.0, 1.0)
    points = points * (1.0, -1.0)
    ahead = np.roll(points, -1, axis=0) - np.roll(points, -2, axis=0)
    outward = ahead / np.linalg.norm(ahead, axis=1, keepdims=True)
    return Frame(
        points=points,
        outward=outward,
        raised=tuple((locant % 2 == 1) == odd_up_axial for locant in LOCANTS),
    )
