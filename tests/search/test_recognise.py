"""Starts that are not minimised: equal ones by symmetry, and neighbours of known minima."""

import numpy as np
import pytest

from chairgap.minimise.compiled.engine import minimise_unless_known
from chairgap.minimise.engines import search_model
from chairgap.minimise.verified import Basins, EnergyModel, Left
from chairgap.molecule.agreed import agreed
from chairgap.records import Floats
from chairgap.search import explore
from chairgap.search.lattice import build_lattice
from chairgap.search.recognise import NEAR_DEG, Recogniser, recogniser
from chairgap.search.rotamers import turn_by
from chairgap.shape.duplicates import find_same, is_same_conformer
from pipeline_helpers import SETTINGS, lattice, mmff94, molecule, rotation


def every_start(groups_by_face: str) -> list[Floats]:
    grid = lattice(groups_by_face)
    return [grid.start(point).positions for point in np.ndindex(*grid.shape)]


def kept_and_left(groups_by_face: str) -> tuple[list[Floats], list[Floats]]:
    seen: Recogniser = recogniser(lattice(groups_by_face))
    starts = every_start(groups_by_face)
    left = [seen.is_repeat(positions) for positions in starts]
    kept = [positions for positions, repeat in zip(starts, left, strict=True) if not repeat]
    return kept, [positions for positions, repeat in zip(starts, left, strict=True) if repeat]


@pytest.mark.parametrize(
    ("groups_by_face", "count"),
    # OH on a chair with a mirror plane: gauche on either side is one start; twist-boats have no symmetry.
    # By hand: 2 chairs x 2 + 3 twist-boats x 3. Eight rings x 3 states where there is no symmetry.
    [("1 up OH", 13), ("1 up CH3", 5), ("1 up CH3, 2 down OH", 24)],
)
def test_lattice_starts_that_symmetry_leaves(groups_by_face: str, count: int) -> None:
    assert len(kept_and_left(groups_by_face)[0]) == count


@pytest.mark.parametrize("groups_by_face", ["1 up OH", "1 up OH, 2 down OH", "1 up OH, 3 up OH, 5 up OH"])
def test_a_start_left_out_is_superposed_by_a_relabelling(groups_by_face: str) -> None:
    """The torsions say what superposition of all labelled atoms (Kabsch) says."""
    kept, left = kept_and_left(groups_by_face)
    topology, relabellings = molecule(groups_by_face).topology, lattice(groups_by_face).relabellings
    assert left
    for positions in left:
        assert any(is_same_conformer(topology, relabellings, other, positions) for other in kept)
    for index, positions in enumerate(kept):
        assert not any(is_same_conformer(topology, relabellings, other, positions) for other in kept[:index])


def test_neighbours_of_a_minimum_are_recognised_turned_moved_and_mirrored() -> None:
    groups_by_face = "1 up OH, 2 down OH"
    grid = lattice(groups_by_face)
    minimum = mmff94(groups_by_face).minimise(grid.start((0,) * len(grid.shape)).positions)
    assert minimum is not None
    seen = recogniser(grid)
    assert not seen.is_near_minimum(minimum)
    seen.keep_minimum(minimum, 0.0)
    moved = minimum @ rotation(np.random.default_rng(1)).T + 4.0
    for positions in (minimum, moved, minimum * [1.0, 1.0, -1.0]):
        assert seen.is_near_minimum(positions)
    for by_deg, near in ((0.8 * NEAR_DEG, True), (1.2 * NEAR_DEG, False), (120.0, False)):
        assert seen.is_near_minimum(turn_by(grid.rotors[0], minimum, by_deg)) is near


@pytest.mark.parametrize("groups_by_face", ["1 up C2H5", "1 up OH, 3 up OH", "1 up CO2CH3"])
def test_neighbours_of_a_minimum_fall_into_it(groups_by_face: str) -> None:
    """Every rotor of every minimum turned by half of NEAR_DEG either way comes back."""
    grid, model, topology = lattice(groups_by_face), mmff94(groups_by_face), molecule(groups_by_face).topology
    relaxed = [model.minimise(positions) for positions in every_start(groups_by_face)[::3]]
    minima = [positions for positions in relaxed if positions is not None]
    assert minima
    for minimum in minima:
        for rotor in grid.rotors:
            for by_deg in (-0.5 * NEAR_DEG, 0.5 * NEAR_DEG):
                back = model.minimise(turn_by(rotor, minimum, by_deg))
                assert back is not None
                assert is_same_conformer(topology, grid.relabellings, minimum, back)


@pytest.mark.compiled
@pytest.mark.parametrize(
    "groups_by_face",
    ["1 up OH, 4 up OH", "1 up NCS", pytest.param("5 up OSO2C6H4CH3", marks=pytest.mark.long)],
)
def test_a_way_that_is_left_leads_to_a_minimum_that_is_known(
    groups_by_face: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every way left is walked to its end after all. Isothiocyanates have minima 10 degrees apart with hardly
    a barrier between them; by nearness alone one was taken for the other."""
    built = agreed(molecule(groups_by_face)).molecule
    model, grid = search_model(built, SETTINGS), build_lattice(built, "MMFF94", 1)
    known: list[tuple[float, Floats]] = []
    left = 0

    def watched(model: EnergyModel, positions: Floats, basins: Basins) -> Floats | Left:
        nonlocal left
        found = minimise_unless_known(model, positions, basins)
        end = model.minimise(positions)
        assert end is not None
        own = model.energy_and_gradient(end)[0], end
        is_known = find_same(built.topology, grid.relabellings, known, *own) is not None
        if isinstance(found, str):
            assert found == "known" and is_known
            left += 1
        else:
            assert found.tobytes() == end.tobytes()
            known.append(own)
        return found

    monkeypatch.setattr(explore, "minimise_unless_known", watched)
    _, report = explore.explore(grid, model, SETTINGS.search)
    assert report.starts_left_early == left > 0
    assert report.starts_minimised == len(known) and report.minimisations_per_minimum < 1.2
