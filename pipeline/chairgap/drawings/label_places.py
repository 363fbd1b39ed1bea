"""Places for labels in a picture that is already there: each where it covers least."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from chairgap.drawings.plane import Box, Line, Point, box_at, boxes_touch, line_meets_box

_DIRECTIONS = 24
_DISTANCES = (1.0, 1.6, 2.6, 4.0)
_LABEL_COST, _LINE_COST, _AWAY_COST, _TURN_COST = 60.0, 10.0, 0.05, 3.0
_GAP = 2.0


@dataclass(kw_only=True)
class Obstacles:
    """What a label should not cover: boxes with the price of covering each, lines, and the labels so far."""

    boxes: Sequence[tuple[Box, float]]
    lines: Sequence[Line]
    labels: list[Box] = field(default_factory=list)

    def free_place(self, near: Iterable[Point], size: Point, outward: Point, reach: float) -> Point:
        """The middle for a label of this size (width, height) at one of the points `near`, `reach` px from
        it: where it covers least, points most nearly outward and lies nearest; it is taken from then on."""
        best, least = (0.0, 0.0), math.inf
        points = list(near)
        for x, y in points:
            for step in range(_DIRECTIONS):
                angle = 2.0 * math.pi * step / _DIRECTIONS
                along = (math.cos(angle), math.sin(angle))
                for factor in _DISTANCES:
                    # So far that the label's box clears a disc of this reach in that direction.
                    across = reach * factor + abs(along[0]) * size[0] / 2.0 + abs(along[1]) * size[1] / 2.0
                    middle = (x + across * along[0], y + across * along[1])
                    price = _TURN_COST * (1.0 - along[0] * outward[0] - along[1] * outward[1])
                    price += _AWAY_COST * math.dist(middle, points[0])
                    cost = self._cost(box_at(middle, *size), price, least)
                    if cost < least:
                        best, least = middle, cost
        self.labels.append(box_at(best, *size))
        return best

    def _cost(self, box: Box, cost: float, least: float) -> float:
        """The cost so far and that of all that the box covers; of a dearer box than the least, a part."""
        for others in (((label, _LABEL_COST) for label in self.labels), self.boxes):
            for other, price in others:
                if cost >= least:
                    return cost
                if boxes_touch(box, other, _GAP):
                    cost += price
        for line in self.lines:
            if cost >= least:
                return cost
            if line_meets_box(line, box, 1.0):
                cost += _LINE_COST
        return cost
