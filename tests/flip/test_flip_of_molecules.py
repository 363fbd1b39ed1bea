"""Flips of substituted rings: what they swap and keep, what is verified, and what cannot depend on chance."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from threadpoolctl import threadpool_limits

from chairgap.flip.frames import path_frames
from chairgap.flip.landscape import survey
from chairgap.flip.recipe import compute_flip
from chairgap.flip.restrained import held_at
from chairgap.flip.sphere import sphere_map
from chairgap.minimise.hessian import hessian, normal_modes
from chairgap.minimise.saddle import find_saddle
from chairgap.records import Flip, Floats
from chairgap.shape.canonical import ring_shape
from chairgap.shape.degeneracy import superposed
from chairgap.shape.positions import ligand_positions
from chairgap.shape.pucker_vector import pucker_vector
from flip_helpers import above_lowest, flipped, of_kind
from pipeline_helpers import SETTINGS, mmff94, molecule, rotation

SWAPPING = [
    "1 up CH3",
    "1 up CH3, 1 down CH3",
    pytest.param("1 up CH3, 2 up CH3", marks=pytest.mark.long),
    pytest.param("1 up CH3, 2 down CH3", marks=pytest.mark.long),
]
RANDOM = [
    "1 up CH3",
    "1 up Cl",
    "1 up OH",
    "1 up CH3, 2 down CH3",
    "1 up CH3, 3 up F",
    "1 up C2H5",
    "1 up CH3, 1 down CH3",
    "1 up CN, 4 down CH3",
    "1 up F, 2 up Cl",
    "1 up C(CH3)3",
]

# Those whose second flip, from another numbering and seed, takes a few seconds at most.
QUICK = ["1 up CH3", "1 up Cl", "1 up CH3, 1 down CH3"]
SOME = [one if one in QUICK else pytest.param(one, marks=pytest.mark.long) for one in RANDOM]


def labels(flip: Flip, positions: Floats) -> dict[tuple[int, str], str]:
    """(carbon, face) -> axial or equatorial, from the geometry."""
    topology = flip.molecule.topology
    shape = ring_shape(positions[topology.ring])
    return {(item.carbon, item.face): item.position for item in ligand_positions(topology, positions, shape)}


@pytest.mark.parametrize("groups_by_face", SWAPPING)
def test_path_swaps_axial_and_equatorial_at_all_six_carbons_and_keeps_faces(groups_by_face: str) -> None:
    """Common practice, no source: a ring flip turns every axial ligand equatorial and keeps every face."""
    flip, ground = flipped(groups_by_face)
    assert flip.path and (flip.path[0].from_form, flip.path[-1].to_form) == ("A", "B")
    with threadpool_limits(1):
        frames = path_frames(flip, ground)
    first, last = labels(flip, frames[0].positions), labels(flip, frames[-1].positions)
    other = {"axial": "equatorial", "equatorial": "axial"}
    assert len(first) == 12
    assert last == {place: other[position] for place, position in first.items()}
    topology = flip.molecule.topology
    for (
        frame
    ) in frames:  # faces: the upper ligand stays above the lower one, seen along the ring's own normal
        ring = frame.positions[topology.ring]
        centre = ring.mean(axis=0)
        normal = np.cross(ring[1] - centre, ring[0] - centre)
        normal += np.cross(ring[3] - centre, ring[2] - centre) + np.cross(ring[5] - centre, ring[4] - centre)
        for carbon in topology.carbons:
            above = frame.positions[carbon.up.atom] - frame.positions[carbon.down.atom]
            assert above @ normal > 0.0, (frame.step, carbon.locant)


@pytest.mark.parametrize("groups_by_face", SWAPPING)
def test_path_starts_rises_and_falls_between_its_stationary_points(groups_by_face: str) -> None:
    flip, ground = flipped(groups_by_face)
    with threadpool_limits(1):
        frames = path_frames(flip, ground)
    named = [frame for frame in frames if frame.place]
    assert [frame.place.split()[0] for frame in named] == ["minimum", "saddle", "minimum"] * len(flip.path)
    marks = [index for index, frame in enumerate(frames) if frame.place]
    for start, end in pairwise(marks):
        between = np.array([frame.energy_kcal_mol for frame in frames[start : end + 1]])
        steps = np.diff(between)
        assert (steps > -0.02).all() or (steps < 0.02).all(), "energy goes one way between named places"
        # 12 frames share a climb of 5 to 11 kcal/mol: 1 on the mean, and no more than 3 at the steepest.
        assert np.abs(steps).max() < 3.0, "no jump"


@pytest.mark.parametrize("groups_by_face", ["1 up H", "1 up CH3", "1 up C(CH3)3, 4 up C(CH3)3"])
def test_descents_reach_the_minimum_the_saddle_names(groups_by_face: str) -> None:
    """Also where a mirror plane splits the descent: the last frame before a minimum lies close to it."""
    flip, ground = flipped(groups_by_face)
    with threadpool_limits(1):
        frames = path_frames(flip, ground)
    ring = flip.molecule.topology.ring
    for index, frame in enumerate(frames):
        if frame.place.startswith("minimum"):
            near = frames[index + 1] if index + 1 < len(frames) and not frames[index + 1].place else None
            near = near or frames[index - 1]
            apart = pucker_vector(near.positions[ring]) - pucker_vector(frame.positions[ring])
            assert np.linalg.norm(apart) < 0.05, (index, frame.place)
            assert near.energy_kcal_mol - frame.energy_kcal_mol < 0.3


@pytest.mark.parametrize(
    "groups_by_face", ["1 up CH3", pytest.param("1 up OH, 3 up OH", marks=pytest.mark.long)]
)
def test_saddles_are_first_order_and_stationary(groups_by_face: str) -> None:
    """By a Hessian formed anew: one imaginary mode and no more; gradient below the promise."""
    flip, _ = flipped(groups_by_face)
    model = mmff94(groups_by_face)
    masses = flip.molecule.topology.masses_u
    for item in flip.saddles:
        energy, gradient = model.energy_and_gradient(item.saddle.positions)
        assert energy == pytest.approx(item.saddle.energy_kcal_mol, abs=1e-8)
        assert float(np.sqrt(np.mean(gradient**2))) < 1e-4
        second = hessian(model.gradient, item.saddle.positions)
        frequencies, _ = normal_modes(second, item.saddle.positions, masses)
        assert frequencies[0] < -3.0 < frequencies[1]
        assert item.ends[0].keys() != item.ends[1].keys()


def test_path_is_lowest_by_trying_every_route() -> None:
    """All routes of methylcyclohexane's graph, by brute force: none has a lower highest saddle."""
    flip, _ = flipped("1 up CH3")
    highest = max(flip.saddles[step.saddle - 1].saddle.energy_kcal_mol for step in flip.path)
    below = [item for item in flip.saddles if item.saddle.energy_kcal_mol < highest - 1e-9]
    reached = {"A"}
    for _ in below:
        for item in below:
            joins = {*item.ends[0], *item.ends[1]}
            if reached & joins:
                reached |= joins
    assert "B" not in reached


def test_methyl_saddles_are_the_known_ones() -> None:
    """MMFF94, from an independent search made before this one was written: 10.70 on the equatorial side,
    11.71 and 12.11 on the axial one; boats 6.77 to 10.00."""
    flip, _ = flipped("1 up CH3")
    gates = sorted(round(above_lowest(flip, item), 2) for item in of_kind(flip, "chair to twist-boat"))
    assert gates == [10.70, 11.71, 12.11]
    boats = sorted(above_lowest(flip, item) for item in of_kind(flip, "twist-boat to twist-boat"))
    assert (round(boats[0], 2), round(boats[-1], 2)) == (6.77, 10.00)


def test_a_saddle_on_a_mirror_plane_leads_to_both_twist_boats() -> None:
    """Its way down runs on the plane to a boat, which leans to either side; named was the one that rounding
    chose, and the lowest path went over two boats more."""
    flip, _ = flipped("1 up CH3")
    ends = [set(item.ends[0]) | set(item.ends[1]) for item in of_kind(flip, "chair to twist-boat")]
    assert ends == [{"A", "3S1", "5S1"}, {"B", "1S3", "1S5"}, {"B", "3S1", "5S1"}]
    boats = [set(item.ends[0]) | set(item.ends[1]) for item in of_kind(flip, "twist-boat to twist-boat")]
    assert sorted(map(sorted, boats)) == [
        ["1S3", "1S5"], ["1S3", "2S6"], ["1S5", "6S2"], ["2S6", "5S1"], ["3S1", "5S1"], ["3S1", "6S2"]
    ]  # fmt: skip
    assert len(flip.path) == 4
    assert len(flipped("1 up H")[0].path) == 2, "any twist-boat of cyclohexane leads on"


def test_twist_boat_as_minimum_is_reported() -> None:
    flip, _ = flipped("1 up C(CH3)3, 4 up C(CH3)3")
    assert flip.minima[0].chair is None and flip.minima[0].shape.family == "twist-boat"
    assert "a non-chair, twist-boat" in flip.note and "path from chair to chair runs through it" in flip.note
    assert flip.path, "both chairs are minima, and joined"


@pytest.mark.long
def test_a_chair_without_minimum_is_reported() -> None:
    flip, _ = flipped("1 up C(CH3)3, 3 up C(CH3)3")
    assert not flip.path and flip.rates is None
    assert "Chair B has no minimum" in flip.note


@pytest.mark.parametrize("groups_by_face", SOME)
def test_saddle_energies_do_not_depend_on_numbering_or_seed(groups_by_face: str) -> None:
    """The ring carbons numbered from another carbon the other way round, and another seed of the search."""
    one, _ = flipped(groups_by_face)
    turned = ", ".join(
        f"{(3 - int(word.split()[0])) % 6 + 1} {word.split()[1]} {word.split()[2]}"
        for word in groups_by_face.split(", ")
    )
    other, _ = flipped(turned, seed=7)
    first, second = (
        np.array(sorted(above_lowest(flip, item) for item in flip.saddles)) for flip in (one, other)
    )
    assert first.shape == second.shape
    assert np.abs(first - second).max() < 1e-4


@pytest.mark.parametrize("groups_by_face", SOME)
def test_saddles_are_found_again_from_elsewhere(groups_by_face: str) -> None:
    """Turned in space, every atom pushed at random by 0.05 angstrom and the ring held 0.03 angstrom off, then
    relaxed as every start is: the same saddle to 1e-4 kcal/mol."""
    flip, _ = flipped(groups_by_face)
    rng = np.random.default_rng(len(groups_by_face))
    model, ring = mmff94(groups_by_face), flip.molecule.topology.ring
    with threadpool_limits(1):
        for item in flip.saddles[:2]:
            turn = rotation(rng)
            there = item.saddle.positions @ turn.T
            off = rng.normal(size=3)
            target = pucker_vector(there[ring]) + 0.03 * off / np.linalg.norm(off)
            start = there + rng.normal(0.0, 0.05, there.shape)
            _, held = held_at(model, ring, target, start)
            along = item.saddle.mode @ turn.T
            again = find_saddle(model, held, flip.molecule.topology.masses_u, along, "again")
            assert again is not None
            assert again.energy_kcal_mol == pytest.approx(item.saddle.energy_kcal_mol, abs=1e-4)


@pytest.mark.long
def test_equal_seeds_give_equal_bits() -> None:
    with threadpool_limits(1):
        one, two = (compute_flip(molecule("1 up CH3, 3 up F"), SETTINGS)[0] for _ in range(2))
    energies = [[item.saddle.energy_kcal_mol for item in flip.saddles] for flip in (one, two)]
    assert energies[0] == energies[1]


@pytest.mark.long
def test_mirror_image_has_the_same_saddles() -> None:
    one, _ = flipped("1 up CH3, 2 down CH3")
    other, _ = flipped("1 down CH3, 2 up CH3")
    first, second = (sorted(above_lowest(f, s) for s in f.saddles) for f in (one, other))
    assert first == pytest.approx(second, abs=1e-4)


def test_survey_keeps_symmetric_copies_apart() -> None:
    """The ordinary search folds the six twist-boats of cyclohexane into one; the survey does not."""
    ground = survey(molecule("1 up H"), SETTINGS)
    assert len(ground.found) == 8
    assert sorted(ground.sides) == [-1, 0, 0, 0, 0, 0, 0, 1]


def test_map_agrees_with_the_stationary_points() -> None:
    """Cyclohexane: chairs at the poles, twist-boats and boats on the equator; 266 places at 15 degrees."""
    flip, ground = flipped("1 up H")
    with threadpool_limits(1):
        points = sphere_map(flip, ground, 15.0)
    assert len(points) == 266
    found = {(point.theta_deg, point.phi_deg): point.energy_kcal_mol for point in points}
    assert found[0.0, 0.0] == pytest.approx(0.0, abs=0.01)
    assert found[180.0, 0.0] == pytest.approx(0.0, abs=0.01)
    for step in range(6):
        assert found[90.0, 60.0 * step] == pytest.approx(6.672, abs=0.02), "boat"
        assert found[90.0, 30.0 + 60.0 * step] == pytest.approx(5.930, abs=0.02), "twist-boat"
    assert all(point.spread_kcal_mol < 0.05 and point.walks >= 2 for point in points), "no hysteresis"
    # Sixfold symmetry of the map: phi + 120 gives the same energy; so does the other hemisphere.
    for (theta, phi), energy in found.items():
        if theta not in (0.0, 180.0):
            assert found[theta, (phi + 120.0) % 360.0] == pytest.approx(energy, abs=0.03)
            assert found[180.0 - theta, (phi + 180.0) % 360.0] == pytest.approx(energy, abs=0.03)


@pytest.mark.long
def test_map_is_never_below_the_lowest_minimum() -> None:
    flip, ground = flipped("1 up OH")
    with threadpool_limits(1):
        points = sphere_map(flip, ground, 30.0)
    # The held minima are relaxed to slopes of 0.1 kcal/mol/angstrom: a few hundredths of a kcal/mol.
    assert min(point.energy_kcal_mol for point in points) > -0.02


def test_superposed_is_a_proper_rotation() -> None:
    rng = np.random.default_rng(3)
    first = rng.normal(size=(9, 3))
    moved = first @ rotation(rng).T + 5.0
    assert np.allclose(superposed(first, moved), first)
    mirrored = first * np.array([1.0, 1.0, -1.0])
    assert not np.allclose(superposed(first, mirrored), first, atol=0.1)
    for i, j in combinations(range(9), 2):
        before = np.linalg.norm(mirrored[i] - mirrored[j])
        after = superposed(first, mirrored)
        assert np.linalg.norm(after[i] - after[j]) == pytest.approx(before)
