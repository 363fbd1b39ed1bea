"""The lattice, the rotors and the account of a search."""

import numpy as np
import pytest

from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.molecule.build import open_molecule
from chairgap.records import SearchSettings
from chairgap.search.explore import explore
from chairgap.search.rotamers import find_rotors, turn
from chairgap.shape.contacts import dihedral_deg
from pipeline_helpers import CYCLOHEXANE, lattice, molecule, treated


@pytest.mark.parametrize(
    ("groups_by_face", "count"),
    [(CYCLOHEXANE, 2), ("1 up CH3", 5), ("1 up CH3, 2 down CH3", 6), ("1 up CH3, 2 down OH", 8)],
)
def test_ring_starts_that_symmetry_leaves(groups_by_face: str, count: int) -> None:
    """Cyclohexane: one chair, one twist-boat. Methyl: both chairs and three pairs of mirror-image
    twist-boats. trans-1,2: a twofold axis pairs some. No symmetry: all eight. (Counted by hand.)
    """
    assert len(lattice(groups_by_face).rings) == count


@pytest.mark.parametrize(
    ("group", "states"),
    [
        ("OH", [3]),
        ("NH2", [3]),
        ("C2H5", [3, 1]),
        ("CH(CH3)2", [3, 1, 1]),
        ("C6H5", [6]),
        ("NO2", [6]),
        ("CO2CH3", [6, 2, 1]),
        ("CHO", [6]),
        ("SOCH3", [3, 1]),
        ("CN", []),
        ("Cl", []),
    ],
)
def test_rotor_states(group: str, states: list[int]) -> None:
    built = molecule(f"1 up {group}")
    rotors = find_rotors(open_molecule(built), built.topology)
    assert sorted(len(rotor.states_deg) for rotor in rotors) == sorted(states)


def test_turning_sets_the_dihedral_and_nothing_else() -> None:
    built = molecule("1 up C2H5, 3 up OH")
    positions = lattice("1 up C2H5, 3 up OH").start((0,) * len(lattice("1 up C2H5, 3 up OH").shape)).positions
    for rotor in find_rotors(open_molecule(built), built.topology):
        for state in (60.0, 180.0, 200.0):
            turned = turn(rotor, positions, state)
            chain = [rotor.reference, rotor.near, rotor.far, rotor.first]
            assert dihedral_deg(turned[chain]) % 360.0 == pytest.approx(state, abs=1e-6)
            still = np.setdiff1d(np.arange(len(positions)), rotor.moving)
            assert np.array_equal(turned[still], positions[still])


def test_inverting_nitrogen_gives_two_shapes_of_the_group() -> None:
    assert lattice("1 up NHCH3").shape[1] == 2
    assert lattice("1 up NH2").shape[1] == 1


def test_cyclohexyl_as_a_group_is_tried_axial_and_equatorial() -> None:
    result = treated("1 up C6H11")
    assert lattice("1 up C6H11").shape[1] >= 2
    assert result.comparison.preferred == "A"


@pytest.mark.long
def test_long_chain_ends_within_its_budget_and_says_that_it_sampled() -> None:
    built = molecule("1 up *CCCCCCCC")
    grid = lattice("1 up *CCCCCCCC")
    settings = SearchSettings(effort="quick", most_starts=230)
    found, report = explore(grid, rdkit_model(open_molecule(built), "MMFF94"), settings)
    assert not report.exhaustive
    assert report.lattice_states > 230 >= report.starts_minimised > 200 and report.rounds >= 2
    assert len(found) == report.minima_found > 50
    assert found[0].form in ("1C4", "4C1")


def test_search_account_of_a_small_molecule() -> None:
    report = treated("1 up C2H5").search
    assert report.exhaustive and report.new_in_last_round == 0
    assert report.lattice_states == 15
    assert report.dropped_stereo_changed == report.dropped_unconverged == report.saddles_left == 0


@pytest.mark.long
def test_crowded_amide_is_found_in_both_senses_of_twist_whatever_the_seed() -> None:
    """One planar start of C(=O)N(CH3)2 falls to one side only; which one depended on the seed. Compared are
    the conformers, thirteen in either run.
    """
    one, other = treated("1 up *C(=O)N(C)C"), treated("1 up *C(=O)N(C)C", seed=2)
    assert one.gaps.to_non_chair_kcal_mol == pytest.approx(other.gaps.to_non_chair_kcal_mol, abs=1e-4)
    energies = [[c.minimum.energy_kcal_mol for c in result.conformers] for result in (one, other)]
    assert energies[0] == pytest.approx(energies[1], abs=1e-4)
