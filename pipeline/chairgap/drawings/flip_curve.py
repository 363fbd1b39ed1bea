"""The energy along the path of a ring flip, with a mark for the geometry that is shown beside it."""

from collections.abc import Iterator, Sequence

from chairgap.drawings.lettering import form_runs, width_em
from chairgap.drawings.levels import Scale, energy_axis
from chairgap.drawings.marks import disc, runs_words, shortened, stroke, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.plane import Point
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import FlipLevels, KeptFrame

_LEFT, _RIGHT, _TOP, _HEIGHT, _WIDTH = 52.0, 14.0, 34.0, 190.0, 400.0
_SIZE = 12.0
_GAP = 3.0


def curve_places(frames: Sequence[KeptFrame]) -> list[Point]:
    """Where each geometry stands in `flip_curve`: evenly from left to right, at the height of its energy."""
    scale = _scale(frames)
    step = (_WIDTH - _LEFT - _RIGHT) / max(len(frames) - 1, 1)
    return [(_LEFT + step * number, scale.y(frame.energy_kcal_mol)) for number, frame in enumerate(frames)]


def flip_curve(levels: FlipLevels, frames: Sequence[KeptFrame]) -> Picture:
    """Potential energy of the geometries of the path, minima as discs and saddles as triangles, named as far
    as there is room; the mark stands at the first geometry."""
    places = curve_places(frames)
    drawn = [
        *energy_axis(_scale(frames), "E, kcal/mol", left=_LEFT),
        words((_LEFT + _WIDTH - _RIGHT) / 2.0, _TOP + _HEIGHT + 34.0, "along the path"),
        stroke(places, width=2.0),
    ]
    drawn += _stops(frames, places)
    (x, y), mark = places[0], disc(0.0, 0.0, 6.5, colour="disagrees")
    drawn.append(element("g", mark, data_play="mark", transform=f"translate({x:.1f} {y:.1f})"))
    top = max(frame.energy_kcal_mol for frame in frames)
    saddles = sum(level.kind == "saddle" for level in levels.path)
    alt = (
        f"Energy along the path of the ring flip of {shortened(levels.molecule, 200)}: from chair A over "
        f"{saddles} saddle{'' if saddles == 1 else 's'}, at the highest {top:.2f} kcal/mol above the lowest "
        "minimum, to chair B."
    )
    return picture(drawn, width_px=_WIDTH, height_px=_TOP + _HEIGHT + 46.0, alt=alt)


def _scale(frames: Sequence[KeptFrame]) -> Scale:
    top = max(1.0, *(frame.energy_kcal_mol for frame in frames))
    return Scale(low=-0.04 * top, high=1.04 * top, top=_TOP, height=_HEIGHT)


def _stops(frames: Sequence[KeptFrame], places: Sequence[Point]) -> Iterator[Element]:
    """Marks of minima and saddles; a name above a saddle and below a minimum, where it keeps clear of the
    name before it."""
    free_from = {"minimum": 0.0, "saddle": 0.0}
    for frame, (x, y) in zip(frames, places, strict=True):
        kind = frame.place.partition(" ")[0]
        if kind not in free_from:
            continue
        if kind == "minimum":
            yield disc(x, y, 3.6)
        else:
            yield element("path", class_="fill-ink", d=f"M{x:.1f} {y - 5.0:.1f}l4.5 8h-9z")
        name = form_runs(frame.form)
        half = width_em(name) * _SIZE / 2.0
        if x - half < free_from[kind] + _GAP:
            continue
        free_from[kind] = x + half
        middle = min(max(x, _LEFT + half), _WIDTH - half)
        yield runs_words(middle, y + 15.0 if kind == "minimum" else y - 15.0, name, size=_SIZE)
