"""Where groups, their marks and carbon numbers stand round a chair so that nothing touches anything else."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from chairgap.drawings.chair_frame import LOCANTS, Frame
from chairgap.drawings.lettering import CAP_EM, Anchor, Lettering, Run, box_of
from chairgap.drawings.plane import Box, Line, Point, box_at, boxes_touch, line_meets_box, lines_near
from chairgap.records import Face, Position

LABEL_PX = 14.0
NUMBER_PX = 10.5
_BEFORE_LABEL = 4.5  # from the end of a bond to its label
_ROUND_LABEL = 4.0  # from a label to any other bond, label, mark or number
_ROUND_BOND = 6.0  # from a bond to another
_ROUND_MARK = 3.0
_TO_NUMBER = 12.0
_LENGTHS = (30.0, 25.0, 36.0, 20.0, 43.0, 51.0, 60.0, 70.0, 82.0, 96.0)
_STEPS = 4000


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """A ligand to be drawn: its place, the ways to write it, best first, and the size of its mark."""

    carbon: int
    face: Face
    letterings: tuple[Lettering, ...]
    mark_px: tuple[float, float] | None


@dataclass(frozen=True, kw_only=True)
class Spot:
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


def placed(frame: Frame, standing: Fixed, wanted: Sequence[Wanted]) -> tuple[Spot, ...] | None:
    """One spot for every ligand such that nothing touches, or None when none is found."""
    choices = []
    for item in wanted:
        spots = [spot for spot in _spots(frame, item) if _is_clear(spot, standing)]
        choices.append(sorted(spots, key=lambda spot: spot.cost))
    choices.sort(key=len)
    found = _search(choices)
    if found is None:
        return None
    return tuple(sorted(found, key=lambda spot: (spot.carbon, spot.face != "up")))


def _search(choices: list[list[Spot]]) -> list[Spot] | None:
    """Depth first, cheapest spots first, within a number of steps."""
    chosen: list[Spot] = []
    tries = [iter(choices[0])] if choices else []
    for _ in range(_STEPS):
        if len(chosen) == len(choices):
            return chosen
        spot = next((one for one in tries[-1] if not any(_clash(one, other) for other in chosen)), None)
        if spot is not None:
            chosen.append(spot)
            tries.append(iter(choices[len(chosen)]) if len(chosen) < len(choices) else iter(()))
        elif chosen:
            chosen.pop()
            tries.pop()
        else:
            return None
    return None


def _spots(frame: Frame, wanted: Wanted) -> Iterator[Spot]:
    direction = frame.direction(wanted.carbon, wanted.face)
    for length in _LENGTHS:
        for lettering in wanted.letterings:
            for side in (1.0, -1.0) if wanted.mark_px else (0.0,):
                yield _spot(frame, wanted, lettering, direction, (length, side))


def _spot(
    frame: Frame, wanted: Wanted, lettering: Lettering, direction: Point, shape: tuple[float, float]
) -> Spot:
    (x, y), (dx, dy), (length, side) = frame.point(wanted.carbon), direction, shape
    end = (x + length * dx, y + length * dy)
    half_wide, half_high = lettering.atom_em * LABEL_PX / 2, CAP_EM * LABEL_PX / 2
    reach = min(half_wide / abs(dx) if dx else 1e9, half_high / abs(dy) if dy else 1e9) + _BEFORE_LABEL
    shift = {"start": -half_wide, "middle": 0.0, "end": half_wide}[lettering.anchor]
    at = (end[0] + reach * dx + shift, end[1] + reach * dy + half_high)
    mark = None
    if wanted.mark_px:
        wide, high = wanted.mark_px
        away = wide / 2 * abs(dy) + high / 2 * abs(dx) + _ROUND_MARK + 0.5
        middle = (x + length * dx * 0.55 + side * away * -dy, y + length * dy * 0.55 + side * away * dx)
        mark = box_at(middle, wide, high)
    return Spot(
        carbon=wanted.carbon,
        face=wanted.face,
        position=frame.position(wanted.carbon, wanted.face),
        bond=((x, y), end),
        runs=lettering.runs,
        anchor=lettering.anchor,
        at=at,
        label=box_of(lettering.runs, lettering.anchor, at, LABEL_PX),
        mark=mark,
        cost=_cost(lettering, direction, length),
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
    if line_meets_box(spot.bond, spot.label, 0.0):
        return False
    if spot.mark and boxes_touch(spot.mark, spot.label, _ROUND_MARK):
        return False
    for one, two, line in standing.ring:
        if any(line_meets_box(line, box, gap) for box, gap in boxes):
            return False
        if spot.carbon not in (one, two) and lines_near(spot.bond, line, _ROUND_BOND):
            return False
    for _, number in standing.numbers:
        if line_meets_box(spot.bond, number, 2.0) or any(
            boxes_touch(box, number, _ROUND_MARK) for box, _ in boxes
        ):
            return False
    return True


def _clash(one: Spot, two: Spot) -> bool:
    if boxes_touch(one.label, two.label, _ROUND_LABEL):
        return True
    for here, there in ((one, two), (two, one)):
        if line_meets_box(here.bond, there.label, _ROUND_LABEL):
            return True
        if there.mark and (
            boxes_touch(here.label, there.mark, _ROUND_MARK)
            or line_meets_box(here.bond, there.mark, _ROUND_MARK)
        ):
            return True
    if one.mark and two.mark and boxes_touch(one.mark, two.mark, _ROUND_MARK):
        return True
    return one.carbon != two.carbon and lines_near(one.bond, two.bond, _ROUND_BOND)
