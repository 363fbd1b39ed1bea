"""What every drawing is: SVG text that takes its colours from one style sheet, with words in its place."""

from dataclasses import dataclass

# Colours of our own, distinct by lightness as well as by hue, so that they hold for every kind of colour
# vision and in grey; each has a contrast of at least 4.5:1 to the paper (tests/drawings/test_style.py). No
# meaning hangs on colour alone: axial bonds are also thicker, marks are letters, discs solid or open.
LIGHT = {
    "ink": "#1c2733",
    "quiet": "#55616e",
    "paper": "#ffffff",
    "axial": "#0b4a94",
    "equatorial": "#9a4300",
    "other": "#5d3f86",
    "agrees": "#00645a",
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

# Classes of the drawings: line-NAME strokes, fill-NAME fills. A page sets the custom properties; alone, a
# drawing shows the colours of LIGHT.
STYLE = "\n".join(
    [
        *(
            f".line-{name}{{stroke:var(--{name},{colour});fill:none}}"
            f".fill-{name}{{fill:var(--{name},{colour});stroke:none}}"
            for name, colour in LIGHT.items()
        ),
        '.words{font-family:"DejaVu Sans","Helvetica","Arial",sans-serif}',
    ]
)


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A drawing. svg: one <svg> element with viewBox, width and height in px, role and label, no identifiers
    and no style sheet of its own (a page may hold many of them). alt: the words that stand for it."""

    svg: str
    alt: str
    width_px: float
    height_px: float


def alone(picture: Picture) -> str:
    """The drawing as a file of its own: with its style sheet, on paper."""
    head, rest = picture.svg.split(">", 1)
    paper = '<rect class="fill-paper" width="100%" height="100%"/>'
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}><style>{STYLE}</style>{paper}{rest}\n'
