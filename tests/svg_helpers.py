"""Reading drawings back from their SVG text."""

import math
import re
from collections.abc import Iterator
from functools import cache
from xml.etree import ElementTree

from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font, LoadFlags

from chairgap.drawings.picture import LIGHT, Picture

Element = ElementTree.Element
Point = tuple[float, float]

_CLASSES = {"words", *(f"{kind}-{name}" for kind in ("line", "fill") for name in LIGHT)}
# The widest of the fonts that a drawing names.
FONT = FT2Font(findfont(FontProperties(family="DejaVu Sans")))
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def tag(element: Element) -> str:
    return str(element.tag).rpartition("}")[2]


def sound(picture: Picture, *, links: bool = False) -> Element:
    """The parsed drawing, after a check of what every drawing promises: see chairgap.drawings.picture."""
    root = ElementTree.fromstring(picture.svg)
    assert tag(root) == "svg"
    assert root.attrib["role"] == "img"
    assert root.attrib["aria-label"] == picture.alt
    assert [float(part) for part in root.attrib["viewBox"].split()] == [
        0.0,
        0.0,
        round(picture.width_px, 2),
        round(picture.height_px, 2),
    ]
    moved = {id(inner) for group in root if "transform" in group.attrib for inner in group.iter()}
    for element in root.iter():
        assert links or "id" not in element.attrib
        assert tag(element) not in ("style", "script", "image", "foreignObject")
        assert not {"style", "fill", "stroke", "onload", "onclick"} & set(element.attrib)
        assert set(element.attrib.get("class", "").split()) <= _CLASSES
        assert not any("nan" in value or "inf" in value.split() for value in element.attrib.values())
        assert id(element) in moved or _inside(element, picture.width_px), (
            f"cut off: {''.join(element.itertext())}"
        )
    return root


@cache
def advance(letter: str) -> float:
    """Advance of a letter in em."""
    return FONT.load_char(ord(letter), LoadFlags.NO_SCALE).horiAdvance / FONT.units_per_EM


def _inside(element: Element, width_px: float) -> bool:
    """Whether a level text of one size ends inside the drawing on both sides; True for anything else."""
    placed = "font-size" in element.attrib and "%" not in element.attrib.get("x", "%")
    if tag(element) != "text" or "transform" in element.attrib or len(element) or not placed:
        return True
    length = float(element.attrib["font-size"]) * sum(map(advance, element.text or ""))
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[element.attrib.get("text-anchor", "start")]
    start = float(element.attrib["x"]) - before * length
    return start > -1.0 and start + length < width_px + 1.0


def texts(root: Element) -> list[str]:
    return ["".join(element.itertext()) for element in root.iter() if tag(element) == "text"]


def placed_texts(root: Element) -> Iterator[tuple[str, Point]]:
    for element in root.iter():
        if tag(element) == "text" and "%" not in element.attrib.get("x", "%"):
            yield "".join(element.itertext()), (float(element.attrib["x"]), float(element.attrib["y"]))


def place_of(root: Element, text: str) -> Point:
    (place,) = (place for shown, place in placed_texts(root) if shown == text)
    return place


def having(root: Element, attribute: str) -> list[Element]:
    return [element for element in root.iter() if attribute in element.attrib]


def ends(path: Element) -> tuple[Point, Point]:
    """First and last point of a path of straight lines."""
    numbers = [float(number) for number in _NUMBER.findall(path.attrib["d"])]
    return (numbers[0], numbers[1]), (numbers[-2], numbers[-1])


def clockwise_deg(start: Point, end: Point) -> float:
    """Direction on the paper, degrees clockwise from the upright."""
    return math.degrees(math.atan2(end[0] - start[0], start[1] - end[1]))


def apart_deg(one: float, other: float) -> float:
    """other - one, -180..180 degrees."""
    return (other - one + 180.0) % 360.0 - 180.0
