"""The map of ring shapes as drawings for the page of a study, in its colours: a disc for each half."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any

import numpy as np

from chairgap.drawings.lettering import as_text, form_runs, width_em
from chairgap.drawings.marks import disc, runs_words, shortened, stroke, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.plane import Point
from chairgap.drawings.ring_shapes import on_disc
from chairgap.drawings.svg import Element, element, picture
from chairgap.flip.report.sphere import NEAR_EQUATOR_DEG, beside, energies_between
from chairgap.records import Floats, Integers, KeptFlip
from chairgap.shape.canonical import CANONICAL_FORMS
from chairgap.text import typeset

_RADIUS, _MIDDLE = 140.0, (178.0, 200.0)
_WIDTH, _HEIGHT = 356.0, 422.0
_MOST_BANDS = 9
# From dark to light, even in lightness, so that it holds for every kind of colour vision and in grey: the
# colours of cividis (J. R. Nunez, C. R. Anderton, R. S. Renslow, PLoS ONE 2018, 13, e0199239, from memory).
_COLOURS = (
    *("#00224e", "#1a386f", "#3b496c", "#575c6d", "#707173"),
    *("#8a8678", "#a69d75", "#c4b56c", "#e4cf5b", "#fee838"),
)
_LEAST_PLACES = 10
_NAMES_PX = 12.0


def map_places(kept: KeptFlip) -> list[tuple[int, float, float]]:
    """For each geometry of the path the half it lies on (0: theta to 90 degrees) and its place there."""
    places = []
    for frame in kept.frames:
        north = frame.theta_deg <= 90.0
        x, y = _at(frame.theta_deg, frame.phi_deg, north=north)
        places.append((0 if north else 1, round(x, 1), round(y, 1)))
    return places


def has_map(kept: KeptFlip) -> bool:
    """Whether there are places enough to draw between."""
    return len(kept.map) >= _LEAST_PLACES


def map_picture(kept: KeptFlip, *, north: bool) -> Picture:
    """Half of the sphere: potential energy above the lowest minimum as bands, the forms by name, the chair at
    its pole, the path with its minima and saddles."""
    # Here and not above: it would cost every start.
    from contourpy import FillType, contour_generator

    theta, phi, energy = np.array(kept.map).T
    highest = max(1.0, float(energy.max()))
    step = next((one for one in (1.0, 2.0, 5.0, 10.0, 20.0) if one * _MOST_BANDS >= highest), highest)
    bounds = [step * number for number in range(int(np.ceil(highest / step)) + 1)]
    span = np.linspace(0.0, 90.0, 19) if north else np.linspace(180.0, 90.0, 19)
    thetas, phis = np.meshgrid(span, np.linspace(0.0, 360.0, 73), indexing="ij")
    energies = np.maximum(energies_between((theta, phi, energy), thetas, phis), 0.0)
    x, y = on_disc(thetas, phis, north=north)
    lines: Any = contour_generator(
        _MIDDLE[0] + _RADIUS * x, _MIDDLE[1] - _RADIUS * y, energies, fill_type=FillType.OuterOffset
    )
    drawn = [words(_MIDDLE[0], 14.0, f"θ {'0° to 90°' if north else '90° to 180°'}", size=13.0)]
    for colour, low, high in zip(_colours(bounds), bounds, [*bounds[1:-1], np.inf], strict=False):
        outlines, offsets = lines.filled(low, high)
        drawn += _band(outlines, offsets, colour)
    drawn.append(disc(*_MIDDLE, _RADIUS, solid=False))
    path = _path_places(kept, north=north)
    drawn += [
        *_path(path),
        *_names(path, north=north),
        *_pole(kept, path, north=north),
        *_legend(bounds),
    ]
    letter = kept.north if north else _other(kept)
    span_words, top = "0 to 90" if north else "90 to 180", f"{bounds[-1]:g}"
    alt = (
        f"Map of the ring shapes of {shortened(kept.levels.molecule, 200)}, theta from {span_words} degrees, "
        f"chair {letter} in the middle, boats and twist-boats at the rim: potential energy from 0 to {top} "
        "kcal/mol above the lowest minimum, with the lowest path."
    )
    mark = element("g", disc(0.0, 0.0, 6.5, colour="disagrees"), data_play="place", visibility="hidden")
    return picture([*drawn, mark], width_px=_WIDTH, height_px=_HEIGHT, alt=alt)


def _colours(bounds: Sequence[float]) -> list[str]:
    """One for each band, from the first to the last."""
    bands = len(bounds) - 1
    return [_COLOURS[round(number * (len(_COLOURS) - 1) / max(bands - 1, 1))] for number in range(bands)]


def _other(kept: KeptFlip) -> str:
    return "B" if kept.north == "A" else "A"


def _at(theta_deg: float, phi_deg: float, *, north: bool, beyond: float = 1.0) -> Point:
    x, y = on_disc(np.array(theta_deg), np.array(phi_deg), north=north)
    reach = max(1.0, float(np.hypot(x, y)) / beyond)
    return _MIDDLE[0] + _RADIUS * beyond * float(x) / reach, _MIDDLE[1] - _RADIUS * beyond * float(y) / reach


def _band(outlines: Sequence[Floats], offsets: Sequence[Integers], colour: str) -> Iterator[Element]:
    """One path for the polygons of a band, holes included."""
    parts = []
    for outline, ends in zip(outlines, offsets, strict=True):
        for start, end in pairwise(ends.tolist()):
            corners = outline[start : end - 1].tolist()
            parts.append("M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in corners) + "z")
    if parts:
        shape = {"d": "".join(parts), "fill_rule": "evenodd"}
        yield element("path", fill=colour, stroke=colour, stroke_width=0.5, **shape)


def _path_places(kept: KeptFlip, *, north: bool) -> list[tuple[Point, str]]:
    """Place and kind of the geometries on this half and a little beyond its rim."""
    return [
        (_at(frame.theta_deg, frame.phi_deg, north=north), frame.place.partition(" ")[0])
        for frame in kept.frames
        if (frame.theta_deg if north else 180.0 - frame.theta_deg) <= NEAR_EQUATOR_DEG
    ]


def _path(path: list[tuple[Point, str]]) -> Iterator[Element]:
    places = [place for place, _ in path]
    if len(places) > 1:
        yield stroke(places, colour="paper", width=5.0)
        yield stroke(places, colour="disagrees", width=2.4)
    for (x, y), kind in path:
        if kind == "minimum":
            yield element("circle", cx=x, cy=y, r=5.0, class_="fill-disagrees edge")
        elif kind == "saddle":
            yield element("path", d=f"M{x:.1f} {y - 6.0:.1f}l5.5 10h-11z", class_="fill-disagrees edge")


def _names(path: list[tuple[Point, str]], *, north: bool) -> Iterator[Element]:
    """The forms by name, clear of the path, on paper where they lie on the map."""
    own = np.array([place for place, _ in path]).reshape(-1, 2)
    own = (own - _MIDDLE) / (_RADIUS, -_RADIUS)
    for form in CANONICAL_FORMS:
        here = form.theta_deg <= 90.5 if north else form.theta_deg >= 89.5
        if form.family == "chair" or not here:
            continue
        runs = form_runs(form.label)
        if abs(form.theta_deg - 90.0) < 1.0:
            yield runs_words(*_at(90.0, form.phi_deg, north=north, beyond=1.14), runs)
            continue
        place = np.array(on_disc(np.array(form.theta_deg), np.array(form.phi_deg), north=north))
        across, upwards = beside(place, own).tolist()
        middle = (_MIDDLE[0] + _RADIUS * across, _MIDDLE[1] - _RADIUS * upwards)
        yield from _on_paper(middle, width_em(runs) * _NAMES_PX, 15.0)
        yield runs_words(*middle, runs, size=_NAMES_PX)


def _on_paper(middle: Point, width: float, height: float) -> Iterator[Element]:
    x, y = middle
    yield element(
        "rect",
        class_="fill-paper",
        x=x - width / 2.0 - 2.0,
        y=y - height / 2.0,
        width=width + 4.0,
        height=height,
        rx=3.0,
        fill_opacity="0.85",
    )


def _pole(kept: KeptFlip, path: list[tuple[Point, str]], *, north: bool) -> Iterator[Element]:
    """The chair of this half by its letter and its name, below the middle, or above it where the path goes
    down."""
    letter = kept.north if north else _other(kept)
    name = kept.levels.chairs["AB".index(letter)]
    lines = (f"chair {letter}, {as_text(form_runs('1C4' if north else '4C1'))}", shortened(name, 24))
    near = [y - _MIDDLE[1] for (x, y), _ in path if math.dist((x, y), _MIDDLE) < 0.4 * _RADIUS]
    x, y = _MIDDLE[0], _MIDDLE[1] + (-28.0 if sum(near) > 0.0 else 28.0)
    yield from _on_paper((x, y), max(7.0 * len(line) for line in lines), 32.0)
    for row, line in enumerate(lines):
        yield words(x, y - 8.0 + 16.0 * row, line)


def _legend(bounds: list[float]) -> Iterator[Element]:
    """The bands with their bounds, and what the energy is."""
    count, top = len(bounds) - 1, _MIDDLE[1] + _RADIUS + 32.0
    wide = 300.0 / count
    left = _MIDDLE[0] - 150.0
    for number, colour in enumerate(_colours(bounds)):
        yield element("rect", x=left + wide * number, y=top, width=wide, height=12.0, fill=colour)
    for number, bound in enumerate(bounds[:-1]):
        yield words(left + wide * number, top + 22.0, typeset(f"{bound:g}"))
    yield words(_MIDDLE[0], top + 40.0, "E above the lowest minimum, kcal/mol")
