"""The flips that were found in the folder of a study, as the page shows them: a player, levels, map."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from chairgap.drawings.flip_curve import curve_places, flip_curve
from chairgap.drawings.flip_levels import flip_levels
from chairgap.drawings.lettering import as_text, form_runs, runs_of
from chairgap.drawings.marks import shortened
from chairgap.drawings.picture import ELEMENTS
from chairgap.flip.found import FoundFlip, FoundFlips
from chairgap.flip.report.ring_map import has_map, map_picture, map_places
from chairgap.flip.report.text import FLIP_TEXT, conditions, levels_part
from chairgap.page.forms import Form
from chairgap.page.packing import packed
from chairgap.page.pictures import Drawing, drawn
from chairgap.page.rendering import rendered
from chairgap.records import KeptFlip, KeptFrame
from chairgap.text import typeset
from chairgap.units import fixed

# Geometries of a flip on the page: enough for an even movement, and bounded in size.
MOST_FRAMES = 80
_MOST_LETTERS = 18
_PLACES = {"minimum": "minimum", "saddle": "saddle point"}


@dataclass(frozen=True, kw_only=True)
class FlipOnPage:
    """The part of a section on a flip: HTML ('' where it is packed), and packed what the player needs."""

    section: str
    packed: str


class FlipsOfPage:
    """The flips by the key of their molecule, taken by its section."""

    def __init__(self, found: FoundFlips, form: Form):
        self._found, self._form = found, form
        self.shown: list[tuple[str, FoundFlip]] = []

    def of(self, key: str, name: str, number: int) -> FlipOnPage | None:
        """That of a molecule, by its key, name and number on the page; None without one."""
        found = self._found.flips.get(key)
        if found is None:
            return None
        self.shown.append((name, found))
        kept = replace(found.kept, frames=tuple(_fewer(_once(found.kept.frames))))
        section = rendered(
            "flip.html",
            number=number,
            name=name,
            found=found,
            text=FLIP_TEXT if FLIP_TEXT in found.files else "",
            levels=kept.levels,
            conditions=conditions(kept.levels),
            part_of_levels=levels_part(kept.levels),
            drawings=_drawings(kept, name),
            frames=len(kept.frames),
        )
        play = _play(kept) if kept.frames else None
        lazy = self._form == "lazy"
        content = {"section": section if lazy else "", "play": play}
        return FlipOnPage(section="" if lazy else section, packed=packed(content))

    @property
    def faults(self) -> tuple[str, ...]:
        """A sentence for each flip in the folder that is not shown, once all molecules were asked for."""
        if self._form == "counts" and self._found.flips:
            left = [
                f"{len(self._found.flips)} flips are not shown: no page has sections of so many molecules."
            ]
        else:
            taken = {found.folder for _, found in self.shown}
            left = [
                f"{found.folder} is not shown: it is of no molecule of this study, or is numbered otherwise."
                for found in self._found.flips.values()
                if found.folder not in taken
            ]
        return (*self._found.faults, *left)


def _drawings(kept: KeptFlip, name: str) -> dict[str, Drawing]:
    """The drawings of a flip, by what they are."""
    named = partial(drawn, of=name)
    drawings = {}
    if kept.frames:
        curve = partial(flip_curve, kept.levels, kept.frames)
        drawings["curve"] = named("flip-curve", "Energy along the path", curve)
        drawings["levels"] = named("flip-levels", "Levels of the flip", partial(flip_levels, kept.levels))
    for side, north in (("north", True), ("south", False)) if has_map(kept) else ():
        title = f"Map of the ring shapes, {'upper' if north else 'lower'} half"
        drawings[side] = named(f"flip-map-{side}", title, partial(map_picture, kept, north=north))
    return drawings


def _once(frames: Sequence[KeptFrame]) -> list[KeptFrame]:
    """Without the second of two that show the same minimum, as where one step ends and the next begins."""
    return [
        frame
        for before, frame in zip((None, *frames), frames, strict=False)
        if before is None or not frame.place or frame.place != before.place
    ]


def _fewer(frames: Sequence[KeptFrame]) -> Iterator[KeptFrame]:
    """At most MOST_FRAMES, evenly, minima and saddles in any case."""
    between = [number for number, frame in enumerate(frames) if not frame.place]
    room = max(MOST_FRAMES - (len(frames) - len(between)), 0)
    chosen = np.linspace(0, len(between) - 1, min(room, len(between))).round().astype(int).tolist()
    kept = {between[number] for number in chosen}
    yield from (frame for number, frame in enumerate(frames) if frame.place or number in kept)


def _play(kept: KeptFlip) -> dict[str, object]:
    """What the player draws with: positions in hundredths of an angstrom, each frame as its difference from
    the one before; for each frame its form in words, its place on curve and map, and how the groups stand."""
    places = np.round(100.0 * np.array([frame.positions for frame in kept.frames])).astype(int)
    moves = np.diff(places, axis=0, prepend=0).reshape(len(places), -1)
    return {
        "symbols": kept.symbols,
        "colours": [ELEMENTS.get(symbol, "quiet") for symbol in kept.symbols],
        "bonds": kept.bonds,
        "ring": kept.ring,
        "groups": [
            {
                "carbon": group.carbon,
                "atom": group.atom,
                "words": as_text(runs_of(shortened(group.group, _MOST_LETTERS))),
            }
            for group in kept.groups
        ],
        "moves": moves.tolist(),
        "forms": [_form_words(kept, frame) for frame in kept.frames],
        "places": [_PLACES.get(frame.place.partition(" ")[0], "") for frame in kept.frames],
        "energies": [typeset(fixed(frame.energy_kcal_mol, 2)) for frame in kept.frames],
        "stands": ["".join(stand[0] for stand in frame.stands) for frame in kept.frames],
        "curve": [[round(x, 1), round(y, 1)] for x, y in curve_places(kept.frames)],
        "map": map_places(kept),
    }


def _form_words(kept: KeptFlip, frame: KeptFrame) -> str:
    """'chair A (1e 2e), 4C1' or 'twist-boat 1S3', the form in type."""
    form = as_text(form_runs(frame.form))
    if frame.family != "chair":
        return f"{frame.family} {form}"
    letter = kept.north if frame.theta_deg < 90.0 else {"A": "B", "B": "A"}[kept.north]
    return f"chair {letter} ({kept.levels.chairs['AB'.index(letter)]}), {form}"
