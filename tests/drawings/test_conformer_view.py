"""The still picture against the coordinates it is drawn from."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest

from chairgap.drawings.conformer_view import conformer_view
from chairgap.drawings.picture import Picture
from chairgap.records import Floats, Result
from pipeline_helpers import rotation, treated
from svg_helpers import Element, advance, having, sound, tag, texts

DIMETHYL = "1 up CH3, 2 down CH3"
CROWDED = [
    DIMETHYL,
    "1 up C(CH3)3, 4 up OH",
    "1 up CH3, 3 up CH3, 5 up CH3",
    "1 up CN, 2 up OCH3, 4 down C6H5",
]
OTHERS = ["1 up H", "1 up CH3", "1 up C(CH3)3, 4 up OH"]


def drawn(result: Result, positions: Floats) -> Picture:
    return conformer_view(result.molecule.topology, positions)


def atoms_of(root: Element) -> dict[int, Element]:
    """First circle of each atom by its index."""
    return {int(each.attrib["data-atom"]): each for each in having(root, "data-atom")}


def flat(result: Result, positions: Floats) -> Floats:
    """(n, 2) places of the atoms in order of their index, y upwards."""
    atoms = atoms_of(sound(drawn(result, positions)))
    return np.array(
        [(float(atoms[k].attrib["cx"]), -float(atoms[k].attrib["cy"])) for k in range(len(positions))]
    )


@pytest.mark.parametrize("groups_by_face", [DIMETHYL, *OTHERS])
def test_the_picture_is_an_orthographic_projection(groups_by_face: str) -> None:
    """Least squares: one matrix with two rows at right angles and of equal length takes every atom to its
    place."""
    result = treated(groups_by_face)
    for conformer in result.conformers[:4]:
        positions = conformer.minimum.positions
        seen = flat(result, positions)
        matrix, *_ = np.linalg.lstsq(positions - positions.mean(axis=0), seen - seen.mean(axis=0), rcond=None)
        left = (positions - positions.mean(axis=0)) @ matrix - (seen - seen.mean(axis=0))
        assert np.abs(left).max() < 0.1
        (across, mixed), (_, up) = matrix.T @ matrix
        assert across == pytest.approx(up, rel=1e-2)
        assert abs(mixed) < 1e-2 * across


def test_up_is_up_and_carbon_1_is_at_the_right() -> None:
    for groups_by_face in (DIMETHYL, *OTHERS):
        result = treated(groups_by_face)
        topology = result.molecule.topology
        for conformer in result.conformers[:4]:
            seen = flat(result, conformer.minimum.positions)
            assert all(seen[one.up.atom, 1] > seen[one.down.atom, 1] for one in topology.carbons)
            assert int(np.argmax(seen[topology.ring, 0])) == 0


def test_the_ring_runs_clockwise_seen_from_above() -> None:
    """Seen from above the mean plane, a closed walk 1 to 6 has a negative area on the paper (y upwards)."""
    result = treated(DIMETHYL)
    ring = flat(result, result.conformers[0].minimum.positions)[result.molecule.topology.ring]
    following = np.roll(ring, -1, axis=0)
    assert float(np.sum(ring[:, 0] * following[:, 1] - ring[:, 1] * following[:, 0])) < -100.0


def test_nearer_atoms_are_painted_later_and_larger() -> None:
    """Depth from the projection itself: the direction at right angles to both rows of its matrix."""
    result = treated(DIMETHYL)
    positions = result.conformers[0].minimum.positions
    seen = flat(result, positions)
    matrix, *_ = np.linalg.lstsq(positions - positions.mean(axis=0), seen - seen.mean(axis=0), rcond=None)
    depth = positions @ np.cross(matrix[:, 0], matrix[:, 1])
    atoms = atoms_of(sound(drawn(result, positions)))
    painted = list(atoms)
    assert np.all(np.diff(depth[painted]) > 0.0)
    hydrogens = [k for k in painted if result.molecule.topology.symbols[k] == "H"]
    assert np.all(np.diff([float(atoms[k].attrib["r"]) for k in hydrogens]) >= 0.0)


def test_where_the_molecule_lies_does_not_matter() -> None:
    result = treated(DIMETHYL)
    positions = result.conformers[1].minimum.positions
    moved = positions @ rotation(np.random.default_rng(8)).T - (3.0, 1.0, 9.0)
    # Places are drawn with one decimal.
    assert flat(result, positions) == pytest.approx(flat(result, moved), abs=0.11)


def test_numbers_elements_groups_and_size() -> None:
    result = treated("1 up C(CH3)3, 4 up OH")
    for conformer in result.conformers:
        picture = drawn(result, conformer.minimum.positions)
        shown = [text for text in texts(sound(picture)) if not re.fullmatch(r"\d\.\d\d|dotted.*|[ae]", text)]
        assert sorted(shown) == sorted(["1", "2", "3", "4", "5", "6", "O", "C(CH3)3", "OH"])
        assert len(picture.svg) < 12_000
        assert "C(CH3)3 up on C1, OH up on C4" in picture.alt


@pytest.mark.parametrize("groups_by_face", CROWDED)
def test_groups_are_marked_as_the_conformer_has_them(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    for conformer in result.conformers[:6]:
        root = sound(drawn(result, conformer.minimum.positions))
        marks = sorted(text for text in texts(root) if text in ("a", "e"))
        positions = [one.position for one in conformer.ligands if one.group != "H"]
        assert marks == sorted(one[0] for one in positions if one != "isoclinal")
        bonds = [path.attrib["class"] for path in root.iter() if path.attrib.get("class") == "line-axial"]
        assert len(bonds) == positions.count("axial")


@pytest.mark.parametrize("groups_by_face", CROWDED)
def test_contacts_are_those_of_the_report_with_their_distances(groups_by_face: str) -> None:
    """Distances of the dotted lines' atoms in the coordinates, against the records that the report shows."""
    result = treated(groups_by_face)
    for conformer in result.conformers[:6]:
        positions = conformer.minimum.positions
        root = sound(drawn(result, positions))
        expected = sorted(contact.distance_angstrom for contact in conformer.contacts)[:4]
        pairs = [path.attrib["data-contact"].rsplit(" ", 2)[1:] for path in having(root, "data-contact")]
        measured = [math.dist(*(positions[int(atom)] for atom in pair)) for pair in pairs]
        assert sorted(measured) == pytest.approx(expected)
        shown = sorted(text for text in texts(root) if re.fullmatch(r"\d\.\d\d", text))
        assert shown == [f"{distance:.2f}" for distance in expected]
        assert any("dotted" in text for text in texts(root)) is bool(expected)


def boxes(root: Element) -> list[tuple[float, float, float, float]]:
    """Boxes of the words of groups and distances, by the widths of the font's letters."""
    found = []
    for one in root.iter():
        words = "".join(one.itertext())
        if tag(one) != "text" or re.fullmatch(r"\d|[A-Z][a-z]?|dotted.*", words):
            continue
        size = float(one.attrib["font-size"])
        spans = [(each.text or "", float(each.attrib["font-size"])) for each in one] or [(words, size)]
        wide = sum(advance(letter) * em for text, em in spans for letter in text)
        x, y = float(one.attrib["x"]), float(one.attrib["y"])
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[one.attrib["text-anchor"]] * wide
        found.append((left, y - 0.73 * size, left + wide, y))
    return found


@pytest.mark.parametrize("groups_by_face", CROWDED)
def test_labels_keep_clear_of_each_other_and_everything_is_on_the_paper(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    for conformer in result.conformers[:6]:
        picture = drawn(result, conformer.minimum.positions)
        root = sound(picture)
        (group,) = (one for one in root if "transform" in one.attrib)
        right, down = map(float, group.attrib["transform"][10:-1].split())
        rooms = boxes(group)
        assert rooms
        for number, one in enumerate(rooms):
            for other in rooms[:number]:
                apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
                assert apart, (one, other)
        rooms += [
            (x - r, y - r, x + r, y + r)
            for circle in group.iter()
            if tag(circle) == "circle"
            for x, y, r in [[float(circle.attrib[name]) for name in ("cx", "cy", "r")]]
        ]
        for left, top, end, foot in rooms:
            assert left + right > 0.0 and end + right < picture.width_px
            assert top + down > 0.0 and foot + down < picture.height_px


def test_names_are_text_and_bytes_are_the_same_twice() -> None:
    result = treated(DIMETHYL)
    topology = result.molecule.topology
    first = topology.carbons[0]
    odd = replace(
        topology, carbons=(replace(first, up=replace(first.up, group='<i>"&')), *topology.carbons[1:])
    )
    positions = result.conformers[0].minimum.positions
    picture = conformer_view(odd, positions)
    assert sound(picture).attrib["aria-label"].count('<i>"&') >= 1
    assert picture == conformer_view(odd, positions)
    assert "<i>" not in picture.svg
    assert math.isfinite(picture.width_px + picture.height_px)
