"""The strokes, marks and words of the drawings, and the short words of their labels."""

from collections.abc import Sequence

from chairgap.drawings.lettering import CAP_EM, Anchor, Run, text_element, width_em
from chairgap.drawings.svg import Element, element, svg_text
from chairgap.records import Topology

_LETTER_HEIGHT = CAP_EM / 2.0


def words(
    x: float | str,
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


def runs_words(
    x: float, y: float, runs: tuple[Run, ...], *, size: float = 12.0, colour: str = "ink"
) -> Element:
    """Runs round a middle, letters half above and half below y. They begin at a place of our own reckoning:
    some readers cannot find the middle of a line with raised digits."""
    at = (x - width_em(runs) * size / 2.0, y + _LETTER_HEIGHT * size)
    return text_element(runs, at, size, "start", colour)


def stroke(
    points: Sequence[tuple[float, float]], *, colour: str = "ink", width: float = 1.5, **more: str
) -> Element:
    """An open line through the points."""
    (x, y), *others = points
    path = f"M{svg_text(x)} {svg_text(y)}" + "".join(f"L{svg_text(a)} {svg_text(b)}" for a, b in others)
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


def percent(fraction: float) -> str:
    """'92.0 %'; what rounds to 0 or 100 is written as a bound."""
    if 0.0 < fraction < 0.0005:
        return "below 0.1 %"
    if 0.9995 < fraction < 1.0:
        return "above 99.9 %"
    return f"{100.0 * fraction:.1f} %"


def groups_in_words(topology: Topology) -> str:
    """'groups: CH3 up on C1, OH down on C3', or 'groups: none'."""
    phrase = ", ".join(f"{ligand.group} {ligand.face} on C{locant}" for locant, ligand in topology.groups)
    return f"groups: {phrase or 'none'}"


def shortened(text: str, most: int) -> str:
    """At most `most` characters on one line, the last an ellipsis where some were left out."""
    line = "".join(letter if letter.isprintable() else " " for letter in text).strip()
    return line if len(line) <= most else f"{line[: most - 1]}…"


def width_of(text: str, size: float) -> float:
    """Width in px of a line of text of this size, not less than it will be."""
    return size * width_em((Run(text, 0),))


def spread(places: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places of labels at least `gap` apart and between low and high (beyond high where there is no room),
    each as near to the place given for it as least squares put them. Order is kept.

    Source: pooling of adjacent violators (M. Ayer et al., Ann. Math. Stat. 1955, 26, 641, from memory), on
    the places less their rank times gap.
    """
    order = sorted(range(len(places)), key=lambda index: places[index])
    pools: list[tuple[float, int]] = []
    for rank, index in enumerate(order):
        mean, count = places[index] - rank * gap, 1
        while pools and pools[-1][0] > mean:
            other, more = pools.pop()
            mean, count = (mean * count + other * more) / (count + more), count + more
        pools.append((mean, count))
    level = [mean for mean, count in pools for _ in range(count)]
    room = max(low, high - gap * (len(places) - 1))
    placed = [0.0] * len(places)
    for rank, index in enumerate(order):
        placed[index] = min(max(level[rank], low), room) + rank * gap
    return placed
