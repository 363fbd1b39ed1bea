"""The still picture against the coordinates it is drawn from."""

import math
from dataclasses import replace

import numpy as np
import pytest

from chairgap.drawings.conformer_view import conformer_view
from chairgap.drawings.picture import Picture
from chairgap.records import Floats, Result
from pipeline_helpers import rotation, treated
from svg_helpers import Element, having, sound, texts

DIMETHYL = "1 up CH3, 2 down CH3"
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


def test_numbers_elements_and_size() -> None:
    result = treated("1 up C(CH3)3, 4 up OH")
    for conformer in result.conformers:
        picture = drawn(result, conformer.minimum.positions)
        assert sorted(texts(sound(picture))) == ["1", "2", "3", "4", "5", "6", "O"]
        assert len(picture.svg) < 10_000
        assert "C(CH3)3 up on C1, OH up on C4" in picture.alt


def test_names_are_text_and_bytes_are_the_same_twice() -> None:
    result = treated(DIMETHYL)
    topology = result.molecule.topology
    first = topology.carbons[0]
    odd = replace(
        topology, carbons=(replace(first, up=replace(first.up, group='<i>"&')), *topology.carbons[1:])
    )
    positions = result.conformers[0].minimum.positions
    picture = conformer_view(odd, positions)
    assert sound(picture).attrib["aria-label"].count('<i>"&') == 1
    assert picture == conformer_view(odd, positions)
    assert math.isfinite(picture.width_px + picture.height_px)
