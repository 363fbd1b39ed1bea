"""A still picture of one conformer from its coordinates: groups named, close contacts with distances."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.drawings.label_places import Obstacles
from chairgap.drawings.lettering import CAP_EM, Run, runs_of, text_element, width_em
from chairgap.drawings.marks import disc, groups_in_words, shortened, stroke, words
from chairgap.drawings.picture import ELEMENTS, Picture
from chairgap.drawings.plane import Line, Point, around, box_at
from chairgap.drawings.svg import Element, element, picture, svg_text
from chairgap.records import Contact, Floats, Integers, Ligand, LigandPosition, Topology
from chairgap.shape.canonical import ring_shape
from chairgap.shape.contacts import contacts_with_atoms, ligand_atoms
from chairgap.shape.positions import ligand_positions
from chairgap.shape.puckering import mean_plane
from chairgap.shape.vectors import cross, length
from chairgap.units import fixed

# The onlooker is this far above the mean plane; ring carbon 1 this far in front of the right-hand side.
_ABOVE_DEG = 22.0
_FRONT_DEG = 11.0

_PX_PER_ANGSTROM = 46.0
_MARGIN = 8.0
_RADII = {"H": 4.2, "C": 9.0}
_HETERO_RADIUS = 10.5
_NEARER = 0.13
_PALEST = 0.45
_LABEL_PX, _LETTER_PX, _NUMBER_PX = 14.0, 13.0, 12.5
_MOST_CONTACTS = 4
_LONGEST_LABEL = 18
_ROW = 18.0
# What covering an atom costs a label: a letter or a number more than a bare disc, a hydrogen least.
_COST = {"H": 4.0, "C": 8.0}
_HETERO_COST = 30.0


@dataclass(frozen=True, kw_only=True)
class _Scene:
    """A conformer on paper: places (px, x to the right, y down, round the middle of the ring), depths
    (larger is nearer), the ligands with their positions, and the contacts with their atoms."""

    topology: Topology
    places: list[Point]
    depth: Floats
    ligands: tuple[LigandPosition, ...]
    contacts: tuple[tuple[Contact, tuple[int, int]], ...]

    def near(self, depth: float) -> float:
        """0 for the farthest, 1 for the nearest atom."""
        span = float(self.depth.max() - self.depth.min())
        return 0.5 if span == 0.0 else (depth - float(self.depth.min())) / span

    def grown(self, atom: int) -> float:
        return 1.0 + _NEARER * (2.0 * self.near(float(self.depth[atom])) - 1.0)

    def radius(self, atom: int) -> float:
        symbol = self.topology.symbols[atom]
        if symbol == "C":
            return _RADII["C"] * self.grown(atom) * (1.1 if atom in self.topology.ring else 0.75)
        return _RADII.get(symbol, _HETERO_RADIUS) * self.grown(atom)


def conformer_view(topology: Topology, positions: Floats) -> Picture:
    """Orthographic, from slightly above the mean plane of the ring, ring carbon 1 at the right and in front;
    positions (n, 3) angstrom. Nearer atoms are larger, darker and painted over those behind. Ring carbons
    show their numbers, other carbons are small discs, heteroatoms show their element, hydrogens are open;
    groups are named with a or e, the nearest contacts dotted with their distance in angstrom.
    """
    ring = positions[topology.ring]
    seen = (positions - ring.mean(axis=0)) @ onlooker(ring).T
    shape = ring_shape(ring)
    ligands = ligand_positions(topology, positions, shape)
    contacts = sorted(
        contacts_with_atoms(topology, positions, shape, ligands), key=lambda one: one[0].distance_angstrom
    )
    scene = _Scene(
        topology=topology,
        places=[
            (round(_PX_PER_ANGSTROM * x, 1), round(-_PX_PER_ANGSTROM * y, 1)) for x, y, _ in seen.tolist()
        ],
        depth=seen[:, 2],
        ligands=ligands,
        contacts=tuple(contacts[:_MOST_CONTACTS]),
    )
    painted = [(float(scene.depth[atom]), _atom(scene, atom)) for atom in range(len(scene.depth))]
    # A bond lies just behind the farther of its atoms, so that both discs cover its ends.
    painted += [(float(scene.depth[pair].min()) - 1e-6, _bond(scene, pair)) for pair in topology.bonds]
    painted.sort(key=lambda piece: piece[0])
    return _composed(scene, [one for _, piece in painted for one in piece])


def _composed(scene: _Scene, atoms: list[Element]) -> Picture:
    """Atoms, contacts and labels with room for all of them, and what the dots mean below."""
    obstacles = _obstacles(scene)
    drawn = [*atoms, *_contact_lines(scene)]
    drawn += [*_contact_labels(scene, obstacles), *_group_labels(scene, obstacles)]
    box = around([*(box for box, _ in obstacles.boxes), *obstacles.labels])
    legend = "dotted: close contact, angstrom" if scene.contacts else ""
    width = max(box.right - box.left, width_em((Run(legend, 0),)) * 12.0) + 2.0 * _MARGIN
    height = box.bottom - box.top + 2.0 * _MARGIN
    shift = f"translate({width / 2.0 - (box.left + box.right) / 2.0:.2f} {_MARGIN - box.top:.2f})"
    elements = [element("g", *drawn, transform=shift)]
    if legend:
        elements.append(words(width / 2.0, height + _ROW / 2.0 - 4.0, legend, colour="quiet"))
        height += _ROW
    return picture(elements, width_px=width, height_px=height, alt=_in_words(scene))


def _obstacles(scene: _Scene) -> Obstacles:
    boxes = []
    for atom, place in enumerate(scene.places):
        symbol, across = scene.topology.symbols[atom], 2.0 * scene.radius(atom)
        price = _HETERO_COST if atom in scene.topology.ring else _COST.get(symbol, _HETERO_COST)
        boxes.append((box_at(place, across, across), price))
    lines = [_line(scene, pair) for pair in (*scene.topology.bonds, *(pair for _, pair in scene.contacts))]
    return Obstacles(boxes=boxes, lines=lines)


def _line(scene: _Scene, pair: Sequence[int] | Integers) -> Line:
    return scene.places[int(pair[0])], scene.places[int(pair[1])]


def onlooker(ring: Floats) -> Floats:
    """(3, 3): directions to the right, upwards and towards the onlooker, for ring atoms at (6, 3)."""
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


def _atom(scene: _Scene, atom: int) -> list[Element]:
    symbol, place, radius = scene.topology.symbols[atom], scene.places[atom], scene.radius(atom)
    pale = svg_text(_PALEST + (1.0 - _PALEST) * scene.near(float(scene.depth[atom])))
    ring = scene.topology.ring.tolist()
    if atom in ring:
        number = str(ring.index(atom) + 1)
        return [disc(*place, radius, data_atom=str(atom)), _centred(number, place, "paper")]
    under = disc(*place, radius, colour="paper")
    if symbol == "C":
        return [under, disc(*place, radius, fill_opacity=pale, data_atom=str(atom))]
    if symbol == "H":
        return [under, disc(*place, radius, solid=False, stroke_opacity=pale, data_atom=str(atom))]
    colour = ELEMENTS.get(symbol, "quiet")
    return [disc(*place, radius, colour=colour, data_atom=str(atom)), _centred(symbol, place, "paper")]


def _centred(text: str, place: Point, colour: str) -> Element:
    at = (place[0], place[1] + CAP_EM / 2.0 * _NUMBER_PX)
    return text_element((Run(text, 0),), at, _NUMBER_PX, "middle", colour)


def _bond(scene: _Scene, pair: Integers) -> list[Element]:
    """The line on a broader one of paper, which cuts what lies behind; those to hydrogens cut nothing. Bonds
    from the ring to a group are coloured by its position, and thicker to an axial one."""
    near = scene.near(float(scene.depth[pair].mean()))
    position = _position_of(scene, pair)
    width = (3.0 if position == "axial" else 2.2) + 2.0 * near
    colour = position if position in ("axial", "equatorial") else "ink"
    opacity = "1" if colour != "ink" else svg_text(_PALEST + (1.0 - _PALEST) * near)
    line = stroke(_line(scene, pair), colour=colour, width=width, stroke_opacity=opacity)
    if "H" in (scene.topology.symbols[atom] for atom in pair):
        return [line]
    return [stroke(_line(scene, pair), colour="paper", width=width + 4.0), line]


def _position_of(scene: _Scene, pair: Integers) -> str:
    """Axial, equatorial or isoclinal for the bond from the ring to a group, else ''."""
    ends = {int(atom) for atom in pair}
    for number, (_, ligand) in enumerate(_ligands(scene.topology)):
        if ligand.atom in ends and ligand.group != "H" and ends & set(scene.topology.ring.tolist()):
            return scene.ligands[number].position
    return ""


def _ligands(topology: Topology) -> Iterator[tuple[int, Ligand]]:
    """(locant, ligand) of all twelve, in the order of their positions."""
    for carbon in topology.carbons:
        for ligand in carbon.ligands:
            yield carbon.locant, ligand


def _contact_lines(scene: _Scene) -> Iterator[Element]:
    for contact, pair in scene.contacts:
        kind = f"{contact.kind} {pair[0]} {pair[1]}"
        yield stroke(
            _line(scene, pair),
            colour="other",
            width=2.0,
            stroke_dasharray="1 4",
            stroke_linecap="round",
            data_contact=kind,
        )


def _contact_labels(scene: _Scene, obstacles: Obstacles) -> Iterator[Element]:
    """The distances beside the middles of their lines."""
    for contact, pair in scene.contacts:
        (ax, ay), (bx, by) = _line(scene, pair)
        label = (Run(fixed(contact.distance_angstrom, 2), 0),)
        size = (width_em(label) * 12.0, 12.0 * CAP_EM)
        across = (by - ay, ax - bx)
        long = math.hypot(*across) or 1.0
        outward = (across[0] / long, across[1] / long)
        middle = ((ax + bx) / 2.0, (ay + by) / 2.0)
        yield from _label_at(label, obstacles.free_place([middle], size, outward, 5.0), 12.0, "other")


def _group_labels(scene: _Scene, obstacles: Obstacles) -> Iterator[Element]:
    """Each group by its name and a or e, outside its atoms where there is room."""
    members = ligand_atoms(scene.topology)
    for number, (locant, ligand) in enumerate(_ligands(scene.topology)):
        if ligand.group == "H":
            continue
        name = shortened(ligand.group, _LONGEST_LABEL)
        formula = (Run(name, 0),) if "*" in name or "…" in name else runs_of(name)
        position = scene.ligands[number].position
        letter = (Run(position[0], 0),) if position in ("axial", "equatorial") else ()
        wide = width_em(formula) * _LABEL_PX + (5.0 + width_em(letter) * _LETTER_PX if letter else 0.0)
        carbon = scene.places[scene.topology.carbons[locant - 1].atom]
        heavy = [int(atom) for atom in members[ligand.atom] if scene.topology.symbols[atom] != "H"]
        # Seen from its ring carbon, near its own first atom or its outermost one.
        first = scene.places[ligand.atom]
        last = max(
            (scene.places[atom] for atom in heavy or [ligand.atom]), key=lambda at: math.dist(at, carbon)
        )
        along = (last[0] - carbon[0], last[1] - carbon[1])
        long = math.hypot(*along) or 1.0
        outward = (along[0] / long, along[1] / long)
        x, y = obstacles.free_place([first, last], (wide, _LABEL_PX), outward, 12.0)
        start = x - wide / 2.0
        foot = y + CAP_EM / 2.0 * _LABEL_PX
        yield text_element(
            formula, (start, foot), _LABEL_PX, "start", "ink", data_label=f"{locant} {ligand.face}"
        )
        if letter:
            yield text_element(letter, (start + wide, foot), _LETTER_PX, "end", position)


def _label_at(label: tuple[Run, ...], middle: Point, size: float, colour: str) -> Iterator[Element]:
    yield text_element(label, (middle[0], middle[1] + CAP_EM / 2.0 * size), size, "middle", colour)


def _in_words(scene: _Scene) -> str:
    topology = scene.topology
    groups = [
        f"{ligand.group} on C{locant} {one.position}"
        for one, (locant, ligand) in zip(scene.ligands, _ligands(topology), strict=True)
        if ligand.group != "H"
    ]
    contacts = [
        f"{contact.kind} {contact.groups[0]} on C{contact.carbons[0]} and {contact.groups[1]} on "
        f"C{contact.carbons[1]}, {fixed(contact.distance_angstrom, 2)} angstrom"
        for contact, _ in scene.contacts
    ]
    parts = [groups_in_words(topology), ", ".join(groups)]
    parts.append("closest contacts: " + "; ".join(contacts) if contacts else "")
    return (
        "Still picture of the conformer from its computed coordinates, seen from slightly above the ring, C1 "
        f"at the right, ring carbons numbered clockwise; {'; '.join(filter(None, parts))}."
    )
