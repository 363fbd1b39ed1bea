"""Saved drawings outside a browser: two readers of SVG that share no code paint them in the colours meant."""

from collections.abc import Iterator

import numpy as np
import pytest
from every_kind import KINDS

from chairgap.drawings.picture import alone
from svg_helpers import Element, ends, sound, tag
from svg_readers import READERS, SCALE, rgb

# Colours that a drawing of this kind has besides ink on paper.
ALSO = {
    "chairs": {"axial", "equatorial", "quiet"},
    "key": {"axial", "equatorial", "quiet"},
    "question": {"quiet"},
    "frames": {"quiet"},
    "flat": {"quiet"},
    "newman": {"equatorial", "quiet"},
    "newman double": {"equatorial", "quiet"},
    "levels": {"quiet", "other"},
    "flip": {"quiet"},
    "ring shapes": {"quiet"},
}


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("kind", KINDS)
def test_colours_are_those_of_the_page_in_light(kind: str, reader: str) -> None:
    picture = KINDS[kind]()
    seen = READERS[reader](alone(picture))
    assert seen.shape[:2] == (SCALE * picture.height_px, SCALE * picture.width_px)
    corners = {tuple(seen[y, x].tolist()) for y in (0, -1) for x in (0, -1)}
    assert corners == {rgb("paper")}
    for name in {"ink", *ALSO.get(kind, ())}:
        assert (seen == rgb(name)).all(axis=-1).sum() > 25, f"no {name}"
    # Black is nobody's colour here, nor is what shows where nothing is painted.
    for nobody in ((0, 0, 0), (0, 255, 0)):
        assert not (seen == nobody).all(axis=-1).any()
    assert (seen == rgb("paper")).all(axis=-1).mean() > 0.5


def solid_spots(root: Element) -> Iterator[tuple[str, float, float]]:
    """Colour by name and place of what is drawn last at that place: middles of bonds."""
    for element in root.iter():
        kind = element.attrib.get("class", "")
        at = element.attrib
        if tag(element) == "line" and "data-ligand" in at:
            x, y = ((float(at[f"{axis}1"]) + float(at[f"{axis}2"])) / 2.0 for axis in "xy")
            yield kind.removeprefix("line-"), x, y
        elif "data-front" in at or "data-back" in at:
            (ax, ay), (bx, by) = ends(element)
            yield kind.removeprefix("line-"), 0.3 * ax + 0.7 * bx, 0.3 * ay + 0.7 * by


def test_bonds_have_their_colours_at_their_places() -> None:
    """They are shifted as groups; their shift is taken from the drawing."""
    spots = 0
    for kind in ("chairs", "newman", "newman double"):
        picture = KINDS[kind]()
        root = sound(picture)
        seen = [read(alone(picture)) for read in READERS.values()]
        groups = [group for group in root if "transform" in group.attrib]
        for group in groups:
            shift = group.attrib.get("transform", "translate(0 0)")[10:-1].split()
            for name, x, y in solid_spots(group):
                column, row = (int(SCALE * (at + float(by))) for at, by in zip((x, y), shift, strict=True))
                for image in seen:
                    assert tuple(image[row, column].tolist()) == rgb(name), (kind, name, x, y)
                spots += 1
    assert spots == 4 + 6 + 8


def test_both_readers_see_the_same() -> None:
    """Fonts differ a little; nothing else may."""
    for kind, make in KINDS.items():
        one, other = (read(alone(make())).astype(int) for read in READERS.values())
        shape = np.minimum(one.shape, other.shape)
        off = np.abs(one[: shape[0], : shape[1]] - other[: shape[0], : shape[1]]).max(axis=-1)
        assert (off > 128).mean() < 0.02, kind


def test_this_test_can_fail() -> None:
    """The drawing as it stands in a page is black on nothing to these readers."""
    for read in READERS.values():
        seen = read(KINDS["chairs"]().svg)
        assert (seen == (0, 0, 0)).all(axis=-1).any()
        assert tuple(seen[0, 0].tolist()) == (0, 255, 0)
