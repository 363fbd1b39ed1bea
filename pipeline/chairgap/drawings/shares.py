"""The shares of chair A, chair B and all other ring shapes as one bar."""

from chairgap.drawings.marks import percent, shortened, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, element, picture, svg_text

_WIDTH, _TOP, _HEIGHT = 520.0, 8.0, 30.0
_LEGEND = 58.0
_COLUMNS = (8.0, 190.0, 372.0)
_LETTER_FROM = 0.06
_LONGEST_NAME = 22


def population_bar(a: float, b: float, other: float, names: tuple[str, str]) -> Picture:
    """Fractions that add up to 1, and the names of the two chairs ('1e', '1a').

    The parts and their words have data-part 'A', 'B' or 'other'; x and width of a rect are percent of the
    whole. A is solid, B pale with an edge, other an edge of dots. Raises ValueError when a share is negative
    or they do not add up to 1.
    """
    if not (min(a, b, other) >= 0.0 and abs(a + b + other - 1.0) <= 1e-6):
        raise ValueError(f"shares {a}, {b} and {other} are not fractions that add up to 1")
    kinds = ("chair A", "chair B", "non-chair")
    named = [*(shortened(name, _LONGEST_NAME) for name in names), ""]
    drawn: list[Element] = []
    start = 0.0
    for part, share, kind, name, column in zip(
        ("A", "B", "other"), (a, b, other), kinds, named, _COLUMNS, strict=True
    ):
        drawn += _part(part, _percent_of(start), _percent_of(share), _TOP, _HEIGHT)
        drawn += _part(part, str(column), "16", _LEGEND, 16.0, in_bar=False)
        drawn.append(words(column + 23.0, _LEGEND + 8.0, kind, anchor="start"))
        at = column + 23.0, _LEGEND + 26.0
        drawn.append(words(*at, percent(share), anchor="start", size=13.0, data_share=part))
        if name:
            drawn.append(
                words(column + 23.0, _LEGEND + 43.0, name, anchor="start", size=12.0, colour="quiet")
            )
        start += share
    for part, share, middle in (("A", a, a / 2.0), ("B", b, a + b / 2.0)):
        if share >= _LETTER_FROM:
            colour = "paper" if part == "A" else "ink"
            at_percent = _percent_of(middle), _TOP + _HEIGHT / 2.0
            drawn.append(words(*at_percent, part, colour=colour, data_letter=part))
    phrase = ", ".join(
        f"{kind}{f' ({name})' if name else ''} {percent(share)}"
        for kind, name, share in zip(kinds, named, (a, b, other), strict=True)
    )
    return picture(
        drawn, width_px=_WIDTH, height_px=_LEGEND + 56.0, alt=f"Computed populations as a bar: {phrase}."
    )


def _percent_of(share: float) -> str:
    return f"{100.0 * share:.3f}%"


def _part(part: str, x: str, width: str, y: float, height: float, *, in_bar: bool = True) -> list[Element]:
    """The rects of one part: in the bar they carry data-part, in the legend not."""
    place = {"x": x, "width": width, "y": svg_text(y), "height": svg_text(height)}
    if in_bar:
        place["data_part"] = part
    if part == "A":
        return [element("rect", class_="fill-ink", **place)]
    edge = element("rect", class_="line-ink", stroke_width="1.4", **place)
    if part == "B":
        return [element("rect", class_="fill-ink", fill_opacity="0.18", **place), edge]
    edge.set("stroke-dasharray", "2 2")
    return [edge]
