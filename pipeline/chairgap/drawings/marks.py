"""The strokes, marks and words of the drawings, and the short words of their labels."""

import re
from collections.abc import Sequence
from typing import Literal

from chairgap.drawings.svg import Element, element, shown

Anchor = Literal["start", "middle", "end"]

_COUNT = re.compile(r"(?<=[A-Za-z)])\d+")
_SUBSCRIPTS = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
_LONGEST_LABEL = 14
_LETTER_HEIGHT = 0.36


def words(
    x: float,
    y: float,
    text: str,
    *,
    size: float = 12.0,
    anchor: Anchor = "middle",
    colour: str = "ink",
    **more: str,
) -> Element:
    """Text whose letters stand half above and half below y."""
    return element(
        "text",
        text=text,
        class_=f"words fill-{colour}",
        x=x,
        y=y + _LETTER_HEIGHT * size,
        font_size=size,
        text_anchor=anchor,
        **more,
    )


def stroke(
    points: Sequence[tuple[float, float]], *, colour: str = "ink", width: float = 1.5, **more: str
) -> Element:
    """An open line through the points."""
    (x, y), *others = points
    path = f"M{shown(x)} {shown(y)}" + "".join(f"L{shown(a)} {shown(b)}" for a, b in others)
    return element("path", class_=f"line-{colour}", d=path, stroke_width=width, **more)


def disc(
    x: float, y: float, radius: float, *, colour: str = "ink", solid: bool = True, **more: str
) -> Element:
    """A solid disc, or the ring of an open one."""
    return element("circle", cx=x, cy=y, r=radius, **_body(colour, solid), **more)


def square(x: float, y: float, radius: float, *, colour: str = "ink", solid: bool = True) -> Element:
    """A square of half-side `radius`, solid or open."""
    return element(
        "rect", x=x - radius, y=y - radius, width=2 * radius, height=2 * radius, **_body(colour, solid)
    )


def _body(colour: str, solid: bool) -> dict[str, str]:
    if solid:
        return {"class_": f"fill-{colour}"}
    return {"class_": f"line-{colour}", "stroke_width": "1.6"}


def fixed(value: float, decimals: int) -> str:
    """A number with fixed decimals; never '-0.00'."""
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text


def signed(value: float, decimals: int = 2) -> str:
    """A number with its sign always written, and no sign on zero."""
    text = fixed(value, decimals)
    return f"+{text}" if float(text) > 0.0 else text


def percent(fraction: float) -> str:
    """'92.0 %'; what rounds to nothing or to all of it is told by its bound."""
    if 0.0 < fraction < 0.0005:
        return "below 0.1 %"
    if 0.9995 < fraction < 1.0:
        return "above 99.9 %"
    return f"{100.0 * fraction:.1f} %"


def group_label(group: str) -> str:
    """'C(CH₃)₃' for 'C(CH3)3'; a fragment without a name of its own stays as it is, cut when it is long."""
    named = "*" not in group
    label = _COUNT.sub(lambda count: count.group().translate(_SUBSCRIPTS), group) if named else group
    return shortened(label, _LONGEST_LABEL)


def shortened(text: str, most: int) -> str:
    """At most `most` characters on one line, the last an ellipsis where some were left out."""
    line = "".join(letter if letter.isprintable() else " " for letter in text).strip()
    return line if len(line) <= most else f"{line[: most - 1]}…"


def width_of(text: str, size: float) -> float:
    """About how wide text of this size is, in px; somewhat more than most letters take."""
    return 0.6 * size * len(text)


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places of labels at least `gap` apart and, while there is room, between low and high; each as near to
    the place given for it as a single pass up and one down put it. Order is kept."""
    order = sorted(range(len(places)), key=lambda index: places[index])
    put = [places[index] for index in order]
    for index, place in enumerate(put):
        put[index] = max(place, low if index == 0 else put[index - 1] + gap)
    for index in reversed(range(len(put))):
        put[index] = min(put[index], high if index == len(put) - 1 else put[index + 1] - gap)
    placed = [0.0] * len(places)
    for index, place in zip(order, put, strict=True):
        placed[index] = place
    return placed
