"""Drawings made by a library, taken apart: colours become our classes, names and extras are left out."""

import re
from collections.abc import Iterator, Mapping
from xml.etree import ElementTree

from chairgap.drawings.svg import Element, svg_text

_DRAWN = (
    "g",
    "defs",
    "path",
    "use",
    "line",
    "rect",
    "circle",
    "ellipse",
    "polygon",
    "polyline",
    "text",
    "tspan",
)
_HREF = "{http://www.w3.org/1999/xlink}href"
_DECIMALS = re.compile(r"-?\d+\.\d+")
_BLANKS = re.compile(r"\s+")
_LEFT_OUT = ("id", "class", "clip-path", "font", "font-family")
# Styles that say what is so anyway.
_IDLE = {"fill-opacity": "1", "stroke-opacity": "1", "opacity": "1", "stroke-dasharray": "none"}


def redrawn(svg: str, colours: Mapping[str, str], *, links: bool = False) -> Iterator[Element]:
    """The drawn elements of SVG text of a library, without namespaces, style attributes and, unless `links`,
    identifiers. colours: our names by the colours of the library ('#000000': 'ink').

    Raises KeyError for a colour that has no name of ours.
    """
    for child in ElementTree.fromstring(svg):
        made = _redrawn(child, colours, links)
        if made is not None:
            yield made


def _redrawn(old: Element, colours: Mapping[str, str], links: bool) -> Element | None:
    tag = str(old.tag).rpartition("}")[2]
    if tag not in _DRAWN:
        return None
    new = ElementTree.Element(tag)
    looks = dict(old.attrib)
    looks.update(_style(looks.pop("style", "")))
    for name, value in _painted(looks, colours, text=tag == "text"):
        new.set(name, value)
    if links and tag == "path" and "id" in old.attrib:
        new.set("id", old.attrib["id"])
    new.text = old.text if tag in ("text", "tspan") else None
    new.extend([made for child in old if (made := _redrawn(child, colours, links)) is not None])
    if tag in ("g", "defs") and not len(new):
        return None
    return new


def _style(text: str) -> dict[str, str]:
    pairs = (part.partition(":") for part in text.split(";") if ":" in part)
    return {name.strip(): value.strip() for name, _, value in pairs}


def _painted(looks: dict[str, str], colours: Mapping[str, str], *, text: bool) -> Iterator[tuple[str, str]]:
    """Attributes with the colours as classes. Our classes stroke or fill, never both: what does both in one
    colour is filled, and its edge is left out."""
    fill, edge = (looks.pop(name, "").lower() for name in ("fill", "stroke"))
    if looks.get("stroke-width") == "0":
        edge = "none"
    if fill not in ("", "none"):
        yield "class", f"{'words ' if text else ''}fill-{colours[fill]}"
    elif edge not in ("", "none"):
        yield "class", f"line-{colours[edge]}"
    for name, value in looks.items():
        if name == _HREF:
            yield "href", value
        elif name not in _LEFT_OUT and not name.startswith("{") and _IDLE.get(name) != value:
            yield name, _short(value)


def _short(value: str) -> str:
    """Two decimals, no unit px, one blank for many."""
    rounded = _DECIMALS.sub(lambda number: svg_text(float(number.group())), value)
    return _BLANKS.sub(" ", rounded.removesuffix("px")).strip()
