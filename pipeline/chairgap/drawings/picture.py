"""What every drawing is: SVG text that takes its colours from one style sheet, with words in its place."""

from dataclasses import dataclass
from xml.etree import ElementTree

# Colours of our own, distinct by lightness as well as by hue, so that they hold for every kind of colour
# vision and in grey; each has a contrast to the paper of at least 7:1 in LIGHT and 4.5:1 in DARK
# (tests/drawings/test_style.py). No meaning hangs on colour alone: axial bonds are also thicker, marks are
# letters, discs solid or open.
LIGHT = {
    "ink": "#1c2733",
    "quiet": "#465260",
    "paper": "#ffffff",
    "axial": "#0b4a94",
    "equatorial": "#863a00",
    "other": "#5d3f86",
    "agrees": "#005a51",
    "disagrees": "#98174a",
}
DARK = {
    "ink": "#e8edf2",
    "quiet": "#a5b1bd",
    "paper": "#12181f",
    "axial": "#8ab8ff",
    "equatorial": "#ffb070",
    "other": "#c9b6ec",
    "agrees": "#6fd6c4",
    "disagrees": "#ff9dbf",
}

# Elements by the names of these colours, each with its letters as well; carbon and hydrogen have ink, and
# what is not listed is quiet.
ELEMENTS = {
    "O": "disagrees",
    "N": "other",
    **dict.fromkeys(("F", "Cl", "Br", "I"), "agrees"),
    **dict.fromkeys(("S", "Se", "Te", "P"), "equatorial"),
}
FONTS = '"DejaVu Sans","Helvetica","Arial",sans-serif'

# Classes of the drawings: line-NAME strokes, fill-NAME fills. A page sets the custom properties, and holds
# this sheet once for all its drawings; a drawing is never wider than its place.
STYLE = "\n".join(
    [
        *(
            f".line-{name}{{stroke:var(--{name},{colour});fill:none}}"
            f".fill-{name}{{fill:var(--{name},{colour});stroke:none}}"
            for name, colour in LIGHT.items()
        ),
        f".words{{font-family:{FONTS}}}",
        'svg[role="img"]{max-width:100%;height:auto}',
    ]
)
_SVG = "http://www.w3.org/2000/svg"


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A drawing. svg: one <svg> element with viewBox, width and height in px, role and label, no identifiers
    and no style sheet of its own (a page may hold many of them). alt: the words that stand for it."""

    svg: str
    alt: str
    width_px: float
    height_px: float


def alone(picture: Picture) -> str:
    """The drawing as a file of its own, on paper, in the colours of LIGHT.

    Every colour and the font stand as attributes: programs other than browsers know no custom properties, and
    some no style sheets. The classes stay, so that a page that takes the file in may colour it anew.
    """
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(picture.svg)
    root.set("font-family", FONTS)
    root.insert(0, ElementTree.Element("rect", {"class": "fill-paper", "width": "100%", "height": "100%"}))
    for element in root.iter():
        element.attrib.update(_plain(element.attrib.get("class", "")))
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{ElementTree.tostring(root, encoding="unicode")}\n'


def _plain(classes: str) -> dict[str, str]:
    """What the style sheet says of these classes, as attributes."""
    attributes: dict[str, str] = {}
    for word in classes.split():
        kind, _, name = word.partition("-")
        if kind in ("line", "fill"):
            painted, bare = ("stroke", "fill") if kind == "line" else ("fill", "stroke")
            attributes |= {painted: LIGHT[name], bare: "none"}
    return attributes
