"""Where groups, their marks and carbon numbers stand round a chair so that nothing touches anything else."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from chairgap.drawings.chair_frame import LOCANTS, Frame
from chairgap.drawings.lettering import CAP_EM, Anchor, Lettering, Run, box_of
from chairgap.drawings.plane import Box, Line, Point, box_at, boxes_touch, line_meets_box, lines_near
from chairgap.records import Face, Position

LABEL_PX = 14.0
NUMBER_PX = 12.0
_BEFORE_LABEL = 4.5  # from the end of a bond to its label
_ROUND_LABEL = 4.0  # from a label to any other bond, label, mark or number
_ROUND_BOND = 6.0  # from a bond to another
_ROUND_MARK = 3.0
_TO_NUMBER = 12.0
_MARK_ALONG = 0.66  # of an equatorial bond, clear of the ring bond beside it
_BESIDE_AXIAL = 3.0  # the price of an equatorial mark on the side of the axial bond
_LENGTHS = (30.0, 25.0, 36.0, 20.0, 43.0, 51.0)
_NODES = 60  # ligands placed before a search gives up; most need no second try


@dataclass(frozen=True, kw_only=True)
class LigandToDraw:
    """A ligand to be drawn: its place, the ways to write it, best first, and the size of its mark."""

    carbon: int
    face: Face
    letterings: tuple[Lettering, ...]
    mark_px: tuple[float, float] | None


class Spot(NamedTuple):
    """A ligand as it will be drawn; `at` is the anchor of its text on the base line."""

    carbon: int
    face: Face
    position: Position
    bond: Line
    runs: tuple[Run, ...]
    anchor: Anchor
    at: Point
    label: Box
    mark: Box | None
    cost: float


@dataclass(frozen=True, kw_only=True)
class Fixed:
    """What stands before any ligand is placed: ring bonds with their two carbons, and carbon numbers."""

    ring: tuple[tuple[int, int, Line], ...]
    numbers: tuple[tuple[int, Box], ...]


def fixed(frame: Frame, *, numbers: bool) -> Fixed:
    boxes = [(locant, number_box(frame, locant)) for locant in LOCANTS] if numbers else []
    return Fixed(ring=frame.ring_bonds(), numbers=tuple(boxes))


def number_box(frame: Frame, locant: int) -> Box:
    (x, y), (dx, dy) = frame.point(locant), frame.number_direction(locant)
    centre = (x + _TO_NUMBER * dx, y + _TO_NUMBER * dy)
    return box_at(centre, 0.64 * NUMBER_PX, CAP_EM * NUMBER_PX)


def placed(frame: Frame, standing: Fixed, requested: Sequence[LigandToDraw]) -> tuple[Spot, ...] | None:
    """One spot for every ligand such that nothing touches, or None when none is found."""
    for lengths in (_LENGTHS[:3], _LENGTHS):  # most ligands need no other
        choices = {}
        for place, item in enumerate(requested):
            spots = [spot for spot in _spots(frame, item, lengths) if _is_clear(spot, standing)]
            choices[place] = sorted(spots, key=lambda spot: spot.cost)
        found = _search(choices, Counter(nodes=_NODES)) if all(choices.values()) else None
        if found is not None:
            return tuple(found[place] for place in range(len(requested)))
    return None


def _search(open_choices: dict[int, list[Spot]], left: Counter[str]) -> dict[int, Spot] | None:
    """Depth first: the ligand with the fewest spots left takes its cheapest, and the others lose what touches
    it; within a number of nodes."""
    if not open_choices:
        return {}
    place = min(open_choices, key=lambda key: len(open_choices[key]))
    for spot in open_choices[place]:
        left["nodes"] -= 1
        if left["nodes"] < 0:
            return None
        others = {
            key: [other for other in spots if not _clash(spot, other)]
            for key, spots in open_choices.items()
            if key != place
        }
        found = _search(others, left) if all(others.values()) else None
        if found is not None:
            return {place: spot, **found}
    return None


def _spots(frame: Frame, requested: LigandToDraw, lengths: tuple[float, ...]) -> Iterator[Spot]:
    direction = frame.direction(requested.carbon, requested.face)
    sides = (1.0, -1.0) if requested.mark_px else (0.0,)
    for length, lettering, side in product(lengths, requested.letterings, sides):
        yield _spot(frame, requested, lettering, direction, (length, side))


def _spot(
    frame: Frame, requested: LigandToDraw, lettering: Lettering, direction: Point, shape: tuple[float, float]
) -> Spot:
    (x, y), (dx, dy), (length, side) = frame.point(requested.carbon), direction, shape
    end = (x + length * dx, y + length * dy)
    half_wide, half_high = lettering.atom_em * LABEL_PX / 2, CAP_EM * LABEL_PX / 2
    reach = min(half_wide / abs(dx) if dx else 1e9, half_high / abs(dy) if dy else 1e9) + _BEFORE_LABEL
    whole = box_of(lettering.runs, "start", (0.0, 0.0), LABEL_PX)
    if abs(dy) > 0.5:  # what hangs below the base line or stands above a capital keeps its distance too
        reach += whole.bottom if dy < 0.0 else -whole.top - 2 * half_high
    beyond = lettering.beyond_em * LABEL_PX if abs(dy) > 0.5 else 0.0
    shift = {"start": -half_wide, "middle": 0.0, "end": half_wide + beyond}[lettering.anchor]
    at = (end[0] + reach * dx + shift, end[1] + reach * dy + half_high)
    mark, beside = None, 0.0
    if requested.mark_px:
        wide, high = requested.mark_px
        away = wide / 2 * abs(dy) + high / 2 * abs(dx) + _ROUND_MARK + 0.5
        along = length * (_MARK_ALONG if dx else 0.5)
        middle = (x + along * dx - side * away * dy, y + along * dy + side * away * dx)
        mark = box_at(middle, wide, high)
        beside = _BESIDE_AXIAL if side * dx * frame.axial(requested.carbon)[1] > 0.0 else 0.0
    return Spot(
        carbon=requested.carbon,
        face=requested.face,
        position=frame.position(requested.carbon, requested.face),
        bond=((x, y), end),
        runs=lettering.runs,
        anchor=lettering.anchor,
        at=at,
        label=box_of(lettering.runs, lettering.anchor, at, LABEL_PX),
        mark=mark,
        cost=_cost(lettering, direction, length) + beside,
    )


def _cost(lettering: Lettering, direction: Point, length: float) -> float:
    """Short of or beyond the usual length costs by the px; text that runs against its bond costs more."""
    unusual = abs(length - _LENGTHS[0])
    if lettering.anchor == "middle":
        return unusual + 6.0 * abs(direction[0])
    runs_left = lettering.anchor == "end"
    against = direction[0] > -0.1 if runs_left else direction[0] < -0.1
    return unusual + 12.0 * against


def _is_clear(spot: Spot, standing: Fixed) -> bool:
    """Whether a spot touches neither the ring, nor a number, nor itself."""
    boxes = [(spot.label, _ROUND_LABEL), *([(spot.mark, _ROUND_MARK)] if spot.mark else [])]
    if line_meets_box(spot.bond, spot.label, 2.2):
        return False
    if spot.mark and boxes_touch(spot.mark, spot.label, _ROUND_MARK):
        return False
    for one, two, line in standing.ring:
        if any(line_meets_box(line, box, gap) for box, gap in boxes):
            return False
        if spot.carbon not in (one, two) and lines_near(spot.bond, line, _ROUND_BOND):
            return False
    return not any(
        line_meets_box(spot.bond, number, 2.0) or boxes_touch(box, number, _ROUND_MARK)
        for _, number in standing.numbers
        for box, _ in boxes
    )


def _clash(one: Spot, two: Spot) -> bool:
    if boxes_touch(one.label, two.label, _ROUND_LABEL):
        return True
    for here, there in ((one, two), (two, one)):
        if line_meets_box(here.bond, there.label, _ROUND_LABEL):
            return True
        if there.mark and boxes_touch(here.label, there.mark, _ROUND_MARK):
            return True
        if there.mark and line_meets_box(here.bond, there.mark, _ROUND_MARK):
            return True
    if one.mark and two.mark and boxes_touch(one.mark, two.mark, _ROUND_MARK):
        return True
    return one.carbon != two.carbon and lines_near(one.bond, two.bond, _ROUND_BOND)
