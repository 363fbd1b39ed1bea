"""SVG elements by the standard library's XML, so that every text and attribute is escaped."""

from collections.abc import Iterable
from math import ceil
from xml.etree import ElementTree

from chairgap.drawings.picture import Picture

Element = ElementTree.Element


def element(tag: str, *children: Element, text: str = "", **attributes: str | float) -> Element:
    """One element; `class_` stands for class, underscores in names for hyphens, numbers are rounded."""
    names = {name.rstrip("_").replace("_", "-"): svg_text(value) for name, value in attributes.items()}
    made = ElementTree.Element(tag, names)
    made.text = svg_text(text) or None
    made.extend(children)
    return made


def picture(children: Iterable[Element], *, width_px: float, height_px: float, alt: str) -> Picture:
    """A drawing of these elements, with its words for those who do not see it. Its size becomes whole px: a
    fraction would leave a line along the edge half covered by the paper."""
    width_px, height_px = float(ceil(width_px)), float(ceil(height_px))
    root = element(
        "svg",
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {svg_text(width_px)} {svg_text(height_px)}",
        width=width_px,
        height=height_px,
        role="img",
        aria_label=alt,
    )
    svg = ElementTree.tostring(root, encoding="unicode", short_empty_elements=True)
    return Picture(svg=svg, alt=alt, width_px=width_px, height_px=height_px)


def svg_text(value: str | float) -> str:
    """A number with at most two decimals; text but for control characters, which XML cannot hold."""
    if isinstance(value, str):
        return value if value.isprintable() else "".join(c if c.isprintable() else " " for c in value)
    return f"{value:.2f}".rstrip("0").rstrip(".")
