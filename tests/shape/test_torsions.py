"""Many dihedrals at once: against RDKit's own, under rotation, and in the mirror image."""

import numpy as np
import pytest
from rdkit.Chem import Conformer, rdMolTransforms

from chairgap.records import Floats
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.torsions import any_within, torsion_directions
from pipeline_helpers import lattice, rotation

SPOKEN = "1 up CH(CH3)2, 2 down OH, 4 up CO2CH3"


def placed() -> tuple[Floats, np.ndarray]:
    grid = lattice(SPOKEN)
    return grid.start((0,) * len(grid.shape)).positions, grid.chains


def test_dihedrals_are_those_of_rdkit() -> None:
    positions, chains = placed()
    own = Conformer(len(positions))
    own.SetPositions(np.ascontiguousarray(positions))
    expected = np.array([rdMolTransforms.GetDihedralDeg(own, *map(int, chain)) for chain in chains])
    assert len(chains) > 20
    assert torsion_directions(positions, chains) == pytest.approx(np.exp(1j * np.radians(expected)), abs=1e-9)
    one_by_one = np.array([dihedral_deg(positions[chain]) for chain in chains])
    assert np.exp(1j * np.radians(one_by_one)) == pytest.approx(np.exp(1j * np.radians(expected)), abs=1e-9)


def test_rotation_changes_nothing_and_a_mirror_takes_the_conjugate() -> None:
    positions, chains = placed()
    here = torsion_directions(positions, chains)
    turned = positions @ rotation(np.random.default_rng(3)).T + [1.0, -2.0, 3.0]
    assert torsion_directions(turned, chains) == pytest.approx(here, abs=1e-9)
    assert torsion_directions(positions * [1.0, 1.0, -1.0], chains) == pytest.approx(here.conj(), abs=1e-9)


def test_stacked_chains_keep_their_shape() -> None:
    positions, chains = placed()
    here = torsion_directions(positions, chains)
    stacked = torsion_directions(positions, np.stack([chains, chains[::-1]]))
    assert np.array_equal(stacked, np.stack([here, here[::-1]]))


def test_near_means_every_dihedral_of_one_row() -> None:
    known = np.exp(1j * np.radians([[60.0, 179.0], [180.0, 300.0]]))

    def near(*angles_deg: float) -> bool:
        return any_within(known, np.exp(1j * np.radians(angles_deg)), 10.0)

    assert near(69.9, 188.9) and near(51.0, -178.0) and near(-175.0, -55.0)
    assert not near(70.1, 179.0) and not near(60.0, 300.0)
    assert not any_within(known[:0], known[0], 10.0)
