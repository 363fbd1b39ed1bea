"""The ring shapes of the conformers on the Cremer-Pople sphere, both halves as discs of equal areas."""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from chairgap.drawings.lettering import Run, form_runs
from chairgap.drawings.marks import disc, runs_words, square, stroke, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import Conformer, Floats, RingFamily
from chairgap.shape.canonical import CANONICAL_FORMS

_RADIUS = 112.0
_NORTH, _SOUTH, _MIDDLE = 150.0, 446.0, 174.0
_WIDTH, _LEGEND_AT = 596.0, 334.0
_MOST_IN_WORDS = 13
_TOGETHER_PX = 24.0


def on_disc(theta_deg: Floats, phi_deg: Floats, *, north: bool) -> tuple[Floats, Floats]:
    """x and y of places on one hemisphere, pole in the middle, equator at radius 1; equal areas stay equal.

    J. H. Lambert's azimuthal projection (1772): r = sqrt(2) sin(theta / 2). phi grows counter-clockwise in
    the north and clockwise in the south, so that the two discs meet at the equator like an opened globe.
    """
    tilt = theta_deg if north else 180.0 - theta_deg
    radius = np.sqrt(2.0) * np.sin(np.radians(tilt) / 2.0)
    angle = np.radians(phi_deg if north else 180.0 - phi_deg)
    return radius * np.cos(angle), radius * np.sin(angle)


def ring_dial(conformers: Sequence[Conformer]) -> Picture:
    """Each conformer at its theta and phi, marked by its family, with its number.

    Left the half with theta 0 to 90 degrees (pole: the chair 1C4), right that with 90 to 180 (pole: 4C1);
    boats and twist-boats lie on the rims.
    """
    drawn = [
        *_half(_pole(conformers, north=True), north=True),
        *_half(_pole(conformers, north=False), north=False),
    ]
    for north in (True, False):
        drawn += _marks([one for one in conformers if (one.shape.theta_deg <= 90.0) is north], north=north)
    drawn += _legend(list(dict.fromkeys(one.shape.family for one in conformers)))
    shown, left = _shown(conformers)
    phrase = "; ".join([*(_in_words(one) for one in shown), *left]) or "no conformer"
    alt = f"Ring shapes on the Cremer-Pople sphere, poles: chairs 1C4 and 4C1, equator: boats; {phrase}."
    return picture(drawn, width_px=_WIDTH, height_px=_LEGEND_AT + 24.0, alt=alt)


def _pole(conformers: Sequence[Conformer], *, north: bool) -> str:
    """'chair A' where a conformer says which chair this half holds, else 'chair'."""
    held = {one.chair for one in conformers if one.chair and (one.shape.theta_deg <= 90.0) is north}
    others = {one.chair for one in conformers if one.chair} - held
    if len(held) == 1:
        return f"chair {held.pop()}"
    return "chair " + {"A": "B", "B": "A"}[others.pop()] if len(others) == 1 and not held else "chair"


def _shown(conformers: Sequence[Conformer]) -> tuple[Sequence[Conformer], list[str]]:
    """Those that are put into words, and a word for the others."""
    if len(conformers) <= _MOST_IN_WORDS + 1:
        return conformers, []
    return conformers[:_MOST_IN_WORDS], [f"and {len(conformers) - _MOST_IN_WORDS} more"]


def _in_words(one: Conformer) -> str:
    shape = one.shape
    return (
        f"conformer {one.number} {shape.family} {shape.form}, Q {shape.q_angstrom:.3f} angstrom, "
        f"theta {shape.theta_deg:.1f}, phi {shape.phi_deg:.1f} degrees"
    )


def _at(theta_deg: float, phi_deg: float, *, north: bool, beyond: float = 1.0) -> tuple[float, float]:
    x, y = on_disc(np.array(theta_deg), np.array(phi_deg), north=north)
    reach = _RADIUS * beyond
    return (_NORTH if north else _SOUTH) + reach * float(x), _MIDDLE - reach * float(y)


def _half(pole: str, *, north: bool) -> Iterator[Element]:
    centre = _NORTH if north else _SOUTH
    form, span = ("1C4", "0° to 90°") if north else ("4C1", "90° to 180°")
    head = (Run(f"θ {span}; middle: {pole}, ", 0), *form_runs(form))
    yield runs_words(centre, 14.0, head)
    yield disc(centre, _MIDDLE, _RADIUS, solid=False)
    for tilt in (30.0, 60.0):
        radius = _RADIUS * math.sqrt(2.0) * math.sin(math.radians(tilt) / 2.0)
        yield element(
            "circle",
            class_="line-quiet",
            cx=centre,
            cy=_MIDDLE,
            r=radius,
            stroke_width=0.7,
            stroke_dasharray="2 4",
        )
    for form in CANONICAL_FORMS:
        if form.family not in ("boat", "twist-boat"):
            continue
        rim = [_at(90.0, form.phi_deg, north=north, beyond=beyond) for beyond in (1.0, 1.05)]
        yield stroke(rim, colour="quiet", width=1.0)
        x, y = _at(90.0, form.phi_deg, north=north, beyond=1.18)
        yield runs_words(x, y, form_runs(form.label), colour="quiet")


def _marks(conformers: Sequence[Conformer], *, north: bool) -> Iterator[Element]:
    """Marks, and the numbers of those that lie together in one label."""
    places = [_at(one.shape.theta_deg, one.shape.phi_deg, north=north) for one in conformers]
    # Marks of one kind on the same px would only cover each other.
    spots = {
        (one.shape.family, round(x), round(y)): (x, y) for (x, y), one in zip(places, conformers, strict=True)
    }
    for (family, *_), (x, y) in spots.items():
        yield from _mark(family, x, y)
    for cluster in _together(places):
        label = _numbers([conformers[index].number for index in cluster])
        yield _named([places[index] for index in cluster], label, _NORTH if north else _SOUTH)


def _together(places: Sequence[tuple[float, float]]) -> list[list[int]]:
    """Indices of places, in sets whose neighbours are within _TOGETHER_PX of each other."""
    clusters: list[list[int]] = []
    for index, place in enumerate(places):
        near = [
            cluster
            for cluster in clusters
            if any(math.dist(places[other], place) < _TOGETHER_PX for other in cluster)
        ]
        clusters = [cluster for cluster in clusters if cluster not in near]
        clusters.append([other for cluster in near for other in cluster] + [index])
    return clusters


def _named(places: Sequence[tuple[float, float]], label: str, centre: float) -> Element:
    """The label on the inner side of its marks; below those at the top, above those at the bottom."""
    across, down = zip(*places, strict=True)
    x, y = sum(across) / len(places), sum(down) / len(places)
    if abs(y - _MIDDLE) > 0.8 * _RADIUS:
        return words(x, max(down) + 15.0 if y < _MIDDLE else min(down) - 15.0, label)
    if abs(x - centre) < 0.3 * _RADIUS:
        return words(x, max(down) + 15.0, label)
    if x > centre:
        return words(min(across) - 9.0, y, label, anchor="end")
    return words(max(across) + 9.0, y, label, anchor="start")


def _mark(family: RingFamily, x: float, y: float) -> Iterator[Element]:
    if family == "chair":
        yield disc(x, y, 4.6)
    elif family == "twist-boat":
        yield disc(x, y, 4.2, solid=False)
    elif family == "boat":
        yield square(x, y, 4.2)
    elif family == "planar":
        yield stroke([(x - 4.0, y - 4.0), (x + 4.0, y + 4.0)])
        yield stroke([(x - 4.0, y + 4.0), (x + 4.0, y - 4.0)])
    else:
        yield square(x, y, 4.0, solid=False)


def _numbers(numbers: Sequence[int]) -> str:
    """'1-3, 7' for 1, 2, 3 and 7; long lists are cut."""
    phrases = []
    # Numbers in a row differ from their places by the same.
    for _, members in groupby(enumerate(sorted(numbers)), key=lambda pair: pair[1] - pair[0]):
        run = [number for _, number in members]
        phrases.append(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)))
    return ", ".join(phrases) if len(phrases) <= 3 else f"{', '.join(phrases[:3])} …"


def _legend(families: Sequence[RingFamily]) -> Iterator[Element]:
    for index, family in enumerate(families):
        x = 24.0 + 116.0 * index
        yield from _mark(family, x, _LEGEND_AT)
        yield words(x + 12.0, _LEGEND_AT, family, anchor="start")
