"""Reads a chair drawing back from its SVG text, by geometry alone, and lists what breaks the drawing rules.

Text is measured with the glyphs of the DejaVu Sans that matplotlib brings, not with the drawing's own table.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from xml.etree import ElementTree

import numpy as np
from matplotlib.ft2font import LoadFlags

from svg_helpers import FONT, advance

_SVG = "{http://www.w3.org/2000/svg}"

Key = tuple[int, str]
Ends = np.ndarray  # (2, 2): first and last point, px, y down


@cache
def _heights(text: str) -> tuple[float, float]:
    """Lowest and highest ink of a text in em, above the base line positive."""
    inks = [FONT.load_char(ord(letter), LoadFlags.NO_SCALE).bbox for letter in text if letter != " "]
    lows, highs = [ink[1] for ink in inks], [ink[3] for ink in inks]
    return min(lows, default=0) / FONT.units_per_EM, max(highs, default=0) / FONT.units_per_EM


@dataclass
class Text:
    words: str
    box: tuple[float, float, float, float]  # left, top, right, bottom


@dataclass
class DrawnChair:
    letter: str
    ring: dict[tuple[int, int], Ends] = field(default_factory=dict)
    bonds: dict[Key, Ends] = field(default_factory=dict)
    styles: dict[Key, tuple[str, str]] = field(default_factory=dict)
    widths: list[tuple[Ends, float]] = field(default_factory=list)
    labels: dict[Key, Text] = field(default_factory=dict)
    marks: dict[Key, Text] = field(default_factory=dict)
    triangles: dict[Key, tuple[str, tuple[float, float, float, float]]] = field(default_factory=dict)
    numbers: dict[int, Text] = field(default_factory=dict)
    captions: list[Text] = field(default_factory=list)

    def carbon(self, locant: int) -> np.ndarray:
        return self.ring[locant, locant % 6 + 1][0]

    def raised(self, locant: int) -> bool:
        """Whether a carbon stands above both its neighbours on paper."""
        here = self.carbon(locant)[1]
        higher = [here < self.carbon(other)[1] for other in (locant % 6 + 1, (locant - 2) % 6 + 1)]
        assert len(set(higher)) == 1, f"carbon {locant} is neither above nor below both its neighbours"
        return higher[0]

    def placed(self, key: Key) -> tuple[int, str, str]:
        """(carbon, face, position) as the lines say it: a vertical bond is axial; an equatorial bond of a
        raised carbon is its lower one."""
        first, last = self.bonds[key]
        at = [locant for locant in range(1, 7) if _same(self.carbon(locant), first)]
        assert len(at) == 1, f"bond {key} starts at no carbon"
        if first[0] == last[0]:
            return at[0], "up" if last[1] < first[1] else "down", "axial"
        return at[0], "down" if self.raised(at[0]) else "up", "equatorial"


@dataclass
class Drawn:
    size: tuple[float, float]
    alt: str
    chairs: list[DrawnChair]
    legend: list[Text]
    arrows: list[tuple[float, float, float, float]]


def read(svg: str) -> Drawn:
    root = ElementTree.fromstring(svg)
    left, top, width, height = map(float, root.attrib["viewBox"].split())
    assert (left, top) == (0.0, 0.0)
    assert (float(root.attrib["width"]), float(root.attrib["height"])) == (width, height)
    chairs = [_chair(group) for group in root.iter(f"{_SVG}g") if "data-chair" in group.attrib]
    legend = [_text(item, (0.0, 0.0)) for item in root.iter(f"{_SVG}text") if "data-legend" in item.attrib]
    arrows = [_path_box(item.attrib["d"]) for item in root.iter(f"{_SVG}path")]
    return Drawn(
        size=(width, height), alt=root.attrib["aria-label"], chairs=chairs, legend=legend, arrows=arrows
    )


def _chair(group: ElementTree.Element) -> DrawnChair:
    moved = re.fullmatch(r"translate\((\S+) (\S+)\)", group.attrib["transform"])
    assert moved
    shift = (float(moved[1]), float(moved[2]))
    chair = DrawnChair(letter=group.attrib["data-chair"])
    for item in group.iter():
        _take(chair, item, shift)
    return chair


def _take(chair: DrawnChair, item: ElementTree.Element, shift: tuple[float, float]) -> None:
    told = item.attrib
    if item.tag == f"{_SVG}line":
        ends = np.array([[float(told[f"{axis}{end}"]) for axis in "xy"] for end in "12"]) + shift
        chair.widths.append((ends, float(told["stroke-width"])))
        if "data-bond" in told:
            one, two = map(int, told["data-bond"].split("-"))
            chair.ring[one, two] = ends
        else:
            key = _key(told["data-ligand"])
            assert key not in chair.bonds, f"two bonds for {key}"
            chair.bonds[key] = ends
            chair.styles[key] = (told["class"], told["stroke-width"])
    elif item.tag == f"{_SVG}polygon":
        points = np.array([point.split(",") for point in told["points"].split()], dtype=float) + shift
        tip = "up" if points[2][1] < points[0][1] else "down"
        chair.triangles[_key(told["data-face"])] = (tip, (*points.min(axis=0), *points.max(axis=0)))
    elif item.tag == f"{_SVG}text":
        text = _text(item, shift)
        if "data-label" in told:
            chair.labels[_key(told["data-label"])] = text
        elif "data-mark" in told:
            chair.marks[_key(told["data-mark"])] = text
        elif "data-number" in told:
            chair.numbers[int(told["data-number"])] = text
        else:
            assert "data-caption" in told
            chair.captions.append(text)


def _key(told: str) -> Key:
    carbon, face = told.split()[:2]
    return int(carbon), face


def _text(item: ElementTree.Element, shift: tuple[float, float]) -> Text:
    """Words and box of a text, from its spans."""
    x, y = float(item.attrib["x"]) + shift[0], float(item.attrib["y"]) + shift[1]
    spans = [(span.text or "", float(span.attrib["font-size"]), float(span.attrib["dy"])) for span in item]
    spans = spans or [(item.text or "", float(item.attrib["font-size"]), 0.0)]
    wide = sum(advance(letter) * size for text, size, _ in spans for letter in text)
    left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.attrib["text-anchor"]] * wide
    tops, bottoms = [], []
    for text, size, lowered in spans:
        y += lowered
        low, high = _heights(text)
        tops.append(y - high * size)
        bottoms.append(y - low * size)
    words = "".join(text for text, _, _ in spans)
    return Text(words=words, box=(left, min(tops), left + wide, max(bottoms)))


def _path_box(path: str) -> tuple[float, float, float, float]:
    start, across = re.fullmatch(r"M(\S+ \S+)H(\S+?)l\S+ \S+", path).groups()
    x, y = map(float, start.split())
    return min(x, float(across)), y - 6.0, max(x, float(across)), y + 6.0


# ---- the rules ----


def broken_rules(svg: str) -> list[str]:
    """Every drawing rule that this drawing breaks, in words; an empty list for a good drawing."""
    drawn = read(svg)
    found = []
    for chair in drawn.chairs:
        faults = _ring(chair) or [*_directions(chair), *_crowding(chair)]  # no directions without a ring
        found += [f"{chair.letter}: {fault}" for fault in faults]
    return found or _edges(drawn) + _arrow_room(drawn)


def _same(one: np.ndarray, two: np.ndarray) -> bool:
    """Whether two points are the same as far as they are written, to 0.01 px."""
    return bool(abs(one[0] - two[0]) < 0.011 and abs(one[1] - two[1]) < 0.011)


def _slant(one: Ends, two: Ends) -> float:
    """Sine of the angle between two lines."""
    a, b = one[1] - one[0], two[1] - two[0]
    return abs(a[0] * b[1] - a[1] * b[0]) / (np.linalg.norm(a) * np.linalg.norm(b))


# Coordinates are written to 0.01 px, so a direction over 20 px is exact to 0.0005; twice that for two lines.
_PARALLEL = 1e-3


def _ring(chair: DrawnChair) -> list[str]:
    if sorted(chair.ring) != [(locant, locant % 6 + 1) for locant in range(1, 7)]:
        return [f"ring bonds {sorted(chair.ring)}"]
    found = []
    for locant in range(1, 7):
        nxt = locant % 6 + 1
        if not _same(chair.ring[locant, nxt][1], chair.carbon(nxt)):
            found.append(f"ring open at {nxt}")
    for one in (1, 2, 3):
        if _slant(chair.ring[one, one + 1], chair.ring[one + 3, (one + 3) % 6 + 1]) > _PARALLEL:
            found.append(f"ring bond {one} not parallel to the opposite one")
    points = np.array([chair.carbon(locant) for locant in range(1, 7)])
    x, y = points.T
    if np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) <= 0:  # positive for clockwise with y down
        found.append("numbers do not run clockwise")
    heights = [chair.raised(locant) for locant in range(1, 7)]
    if heights != [heights[0], not heights[0]] * 3:
        found.append("raised and lowered carbons do not alternate")
    return found


def _directions(chair: DrawnChair) -> list[str]:
    found = []
    middle = np.mean([chair.carbon(locant) for locant in range(1, 7)], axis=0)
    for key, bond in chair.bonds.items():
        carbon, face, position = chair.placed(key)
        if (carbon, face) != key:
            found.append(f"bond named {key} is drawn as {carbon} {face}")
        along = bond[1] - bond[0]
        if position == "axial":
            if (along[1] < 0) != chair.raised(carbon):
                found.append(f"axial bond {key} points to the wrong side of the ring")
            continue
        for ring_bond in (
            (carbon % 6 + 1, (carbon + 1) % 6 + 1),
            ((carbon - 3) % 6 + 1, (carbon - 2) % 6 + 1),
        ):
            if _slant(bond, chair.ring[ring_bond]) > _PARALLEL:
                found.append(f"equatorial bond {key} not parallel to ring bond {ring_bond}")
        if along @ (bond[0] - middle) <= 0 or (along[1] > 0) != chair.raised(carbon):
            found.append(f"equatorial bond {key} does not point out of the ring")
    for carbon in range(1, 7):
        pair = [chair.bonds.get((carbon, face)) for face in ("up", "down")]
        if all(bond is not None for bond in pair) and not pair[0][1][1] < pair[1][1][1]:
            found.append(f"upper ligand of carbon {carbon} ends below the lower one")
    return found


def _crowding(chair: DrawnChair) -> list[str]:
    """Texts against texts, texts against lines, bonds against ring bonds and other carbons' bonds."""
    boxes = [(f"label {key}", text.box) for key, text in chair.labels.items()]
    boxes += [(f"mark {key}", text.box) for key, text in chair.marks.items()]
    boxes += [(f"triangle {key}", box) for key, (_, box) in chair.triangles.items()]
    boxes += [(f"number {key}", text.box) for key, text in chair.numbers.items()]
    boxes += [(f"caption {text.words}", text.box) for text in chair.captions]
    found = [
        f"{name} on {other}"
        for place, (name, box) in enumerate(boxes)
        for other, there in boxes[place + 1 :]
        if _overlap(box, there, 0.0 if name[:4] in ("mark", "capt") else 0.5)
    ]
    for ends, width in chair.widths:
        room = width / 2 + 0.5
        found += [f"{name} on a line at {ends.tolist()}" for name, box in boxes if _on_line(ends, box, room)]
    bonds = list(chair.bonds.items())
    for place, (key, bond) in enumerate(bonds):
        for other, there in bonds[place + 1 :]:
            if key[0] != other[0] and _between(bond, there) < 3.0:
                found.append(f"bond {key} meets bond {other}")
        for ring_bond, there in chair.ring.items():
            if key[0] not in ring_bond and _between(bond, there) < 3.0:
                found.append(f"bond {key} meets ring bond {ring_bond}")
    for key, text in chair.labels.items():
        away = {other: _from_box(bond[1], text.box) for other, bond in bonds}
        if away[key] > 9.0 or min(away, key=away.__getitem__) != key:
            found.append(f"label {key} is not at the end of its bond")
    return found + _belonging(chair)


def _belonging(chair: DrawnChair) -> list[str]:
    """Numbers nearest to their carbon, letters with their triangles nearest to their bond."""
    found = []
    for number, text in chair.numbers.items():
        away = {locant: _from_box(chair.carbon(locant), text.box) for locant in range(1, 7)}
        if text.words != str(number) or min(away, key=away.__getitem__) != number:
            found.append(f"number {number} is not at its carbon")
    boxes = {key: [text.box] for key, text in chair.marks.items()}
    for key, (_, box) in chair.triangles.items():
        boxes.setdefault(key, []).append(box)
    for key, parts in boxes.items():
        away = {other: _mark_away(_around(parts), bond) for other, bond in chair.bonds.items()}
        apart = max(_mark_away(part, chair.bonds[key]) for part in parts)
        if min(away, key=away.__getitem__) != key or away[key] > 9.0 or apart > 16.0:
            found.append(f"mark of {key} is not at its bond")
    return found


def _mark_away(box: tuple, bond: Ends) -> float:
    """From a box to a bond, to 1 px."""
    many = math.ceil(math.dist(*bond.tolist()))
    (ax, ay), (bx, by) = bond.tolist()
    return min(
        _from_box((ax + at / many * (bx - ax), ay + at / many * (by - ay)), box) for at in range(many + 1)
    )


def _edges(drawn: Drawn) -> list[str]:
    wide, high = drawn.size
    boxes = [text.box for text in drawn.legend] + drawn.arrows
    for chair in drawn.chairs:
        texts = [*chair.labels.values(), *chair.marks.values(), *chair.numbers.values(), *chair.captions]
        boxes += [text.box for text in texts]
        boxes += [(*ends.min(axis=0), *ends.max(axis=0)) for ends, _ in chair.widths]
    return [
        f"{box} leaves the drawing"
        for box in boxes
        if min(box[:2]) < 1 or box[2] > wide - 1 or box[3] > high - 1
    ]


def _arrow_room(drawn: Drawn) -> list[str]:
    """Nothing of the chairs, no caption and no line of the legend reaches another's room."""
    rooms = [("legend", text.box) for text in drawn.legend] + (
        [("arrow", _around(drawn.arrows))] if drawn.arrows else []
    )
    for chair in drawn.chairs:
        texts = [*chair.labels.values(), *chair.marks.values(), *chair.numbers.values(), *chair.captions]
        lines = [(*ends.min(axis=0), *ends.max(axis=0)) for ends, _ in chair.widths]
        rooms.append((f"chair {chair.letter}", _around([*lines, *(text.box for text in texts)])))
    return [
        f"{name} on {other}"
        for place, (name, box) in enumerate(rooms)
        for other, there in rooms[place + 1 :]
        if _overlap(box, there, 0.5)
    ]


def _around(boxes: list) -> tuple[float, float, float, float]:
    low, high = np.min(boxes, axis=0), np.max(boxes, axis=0)
    return low[0], low[1], high[2], high[3]


def _overlap(one: tuple, two: tuple, gap: float) -> bool:
    return all(one[axis] < two[axis + 2] + gap and two[axis] < one[axis + 2] + gap for axis in (0, 1))


def _dots(ends: Ends) -> np.ndarray:
    """A line as points at most half a px apart."""
    many = math.ceil(float(np.linalg.norm(ends[1] - ends[0])) / 0.5) + 1
    return ends[0] + np.linspace(0, 1, many)[:, None] * (ends[1] - ends[0])


def _on_line(ends: Ends, box: tuple, gap: float) -> bool:
    (ax, ay), (bx, by) = ends.tolist()
    if not _overlap((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)), box, gap):
        return False
    dots = _dots(ends)
    return bool(np.any(np.all((dots > np.array(box[:2]) - gap) & (dots < np.array(box[2:]) + gap), axis=1)))


def _between(one: Ends, two: Ends) -> float:
    """Least distance of two lines, to a quarter px; infinite when their boxes are 5 px apart."""
    if np.any(one.max(axis=0) + 5 < two.min(axis=0)) or np.any(two.max(axis=0) + 5 < one.min(axis=0)):
        return math.inf
    return float(np.min(np.linalg.norm(_dots(one)[:, None] - _dots(two)[None, :], axis=2)))


def _from_box(point: Sequence[float], box: tuple) -> float:
    across, down = (max(0.0, box[axis] - point[axis], point[axis] - box[axis + 2]) for axis in (0, 1))
    return math.hypot(across, down)
