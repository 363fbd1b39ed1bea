"""A still picture of one conformer from its coordinates."""

import math

import numpy as np

from chairgap.drawings.marks import disc, groups_in_words, stroke, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import Element, picture, svg_text
from chairgap.records import Floats, Integers, Topology
from chairgap.shape.puckering import mean_plane
from chairgap.shape.vectors import cross, length

# The onlooker is this far above the mean plane; ring carbon 1 this far in front of the right-hand side.
_ABOVE_DEG = 22.0
_FRONT_DEG = 11.0

_PX_PER_ANGSTROM = 46.0
_MARGIN = 24.0
_RADII = {"H": 4.2, "C": 9.0}
_HETERO_RADIUS = 10.5
_NEARER = 0.13
_PALEST = 0.45


def conformer_view(topology: Topology, positions: Floats) -> Picture:
    """Orthographic, from slightly above the mean plane of the ring, ring carbon 1 at the right and in front;
    positions (n, 3) angstrom. Nearer atoms are larger, darker and painted over those behind. Ring carbons
    show their numbers, other carbons are small discs, heteroatoms show their element, hydrogens are open.
    """
    seen = (positions - positions[topology.ring].mean(axis=0)) @ _frame(positions[topology.ring]).T
    flat = seen[:, :2] * (_PX_PER_ANGSTROM, -_PX_PER_ANGSTROM)
    low, high = flat.min(axis=0) - _MARGIN, flat.max(axis=0) + _MARGIN
    places = [(round(float(x), 1), round(float(y), 1)) for x, y in flat - low]
    depth = seen[:, 2]
    painted = [(float(depth[atom]), _atom(topology, atom, places[atom], depth)) for atom in range(len(depth))]
    # A bond lies just behind the farther of its atoms, so that both discs cover its ends.
    painted += [
        (float(depth[pair].min()) - 1e-6, _bond(topology, places, depth, pair)) for pair in topology.bonds
    ]
    painted.sort(key=lambda piece: piece[0])
    width, height = (high - low).tolist()
    elements = [element for _, piece in painted for element in piece]
    return picture(elements, width_px=width, height_px=height, alt=_in_words(topology))


def _frame(ring: Floats) -> Floats:
    """(3, 3): directions to the right, upwards and towards the onlooker."""
    centre, normal = mean_plane(ring)
    first = ring[0] - centre
    first = first - (first @ normal) * normal
    first = first / length(first)
    side = cross(normal, first)
    turn, rise = math.radians(_FRONT_DEG), math.radians(_ABOVE_DEG)
    right = math.cos(turn) * first + math.sin(turn) * side
    level = math.sin(turn) * first - math.cos(turn) * side
    onlooker = math.cos(rise) * level + math.sin(rise) * normal
    return np.array([right, cross(onlooker, right), onlooker])


def _nearness(depth: Floats, of: float) -> float:
    """0 for the farthest, 1 for the nearest atom."""
    span = float(depth.max() - depth.min())
    return 0.5 if span == 0.0 else (of - float(depth.min())) / span


def _atom(topology: Topology, atom: int, place: tuple[float, float], depth: Floats) -> list[Element]:
    symbol = topology.symbols[atom]
    near = _nearness(depth, float(depth[atom]))
    grown = 1.0 + _NEARER * (2.0 * near - 1.0)
    radius = _RADII.get(symbol, _HETERO_RADIUS) * grown
    locants = {carbon.atom: carbon.locant for carbon in topology.carbons}
    pale = svg_text(_PALEST + (1.0 - _PALEST) * near)
    if symbol == "C" and atom in locants:
        number = words(*place, str(locants[atom]), size=12.5 * grown, colour="paper")
        return [disc(*place, radius + 1.0, data_atom=str(atom)), number]
    if symbol == "C":
        radius *= 0.75
        body = disc(*place, radius, fill_opacity=pale, data_atom=str(atom))
    else:
        body = disc(*place, radius, solid=False, stroke_opacity=pale, data_atom=str(atom))
    element = [] if symbol in ("C", "H") else [words(*place, symbol, size=12.5 * grown)]
    return [disc(*place, radius, colour="paper"), body, *element]


def _bond(
    topology: Topology, places: list[tuple[float, float]], depth: Floats, pair: Integers
) -> list[Element]:
    """The line on a broader one of paper, which cuts what lies behind; those to hydrogens cut nothing."""
    near = _nearness(depth, float(depth[pair].mean()))
    width = 2.2 + 2.0 * near
    ends = [places[atom] for atom in pair]
    line = stroke(ends, width=width, stroke_opacity=svg_text(_PALEST + (1.0 - _PALEST) * near))
    if "H" in (topology.symbols[atom] for atom in pair):
        return [line]
    return [stroke(ends, colour="paper", width=width + 4.0), line]


def _in_words(topology: Topology) -> str:
    return (
        "Still picture of the conformer from its computed coordinates, seen from slightly above the ring, C1 "
        f"at the right, ring carbons numbered clockwise; {groups_in_words(topology)}."
    )
