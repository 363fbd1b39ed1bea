"""The copy of a conformer in the other chair: the same molecule, the same energy, every group swapped."""

import numpy as np
import pytest

from chairgap.shape.canonical import ring_shape
from chairgap.shape.other_chair import in_other_chair
from chairgap.shape.positions import ligand_positions
from pipeline_helpers import CYCLOHEXANE, mmff94, treated

EQUAL = [
    CYCLOHEXANE,
    "1 up CH3, 2 up CH3",
    "1 up CH3, 4 down CH3, 1 down CH3, 4 up CH3",
    "1 up CH3, 4 up CH3",
]


@pytest.mark.parametrize("groups_by_face", EQUAL)
def test_it_is_the_same_compound_with_every_position_swapped(groups_by_face: str) -> None:
    """Energy by the force field, bonds and handedness by it as well: a wrong label costs tens of kcal/mol."""
    result = treated(groups_by_face)
    topology = result.molecule.topology
    model = mmff94(groups_by_face)
    for conformer in (one for one in result.conformers if one.chair):
        before = conformer.minimum.positions
        after = in_other_chair(topology, before)
        assert after is not None
        energy, _ = model.energy_and_gradient(after)
        assert energy == pytest.approx(conformer.minimum.energy_kcal_mol, abs=1e-6)
        swapped = {"axial": "equatorial", "equatorial": "axial"}
        for one, other in zip(
            *(ligand_positions(topology, p, ring_shape(p[topology.ring])) for p in (before, after)),
            strict=True,
        ):
            assert other.position == swapped[one.position]
        ring = after[topology.ring]
        # Clockwise seen from above: the area vector of the walk points down.
        area = np.cross(ring, np.roll(ring, -1, axis=0)).sum(axis=0)
        for carbon in topology.carbons:
            up, down = after[[carbon.up.atom, carbon.down.atom]]
            assert (up - down) @ area < 0.0
        for center in topology.centres:
            quad = [np.linalg.det(p[center[1:]] - p[center[0]]) for p in (before, after)]
            assert quad[0] * quad[1] > 0.0


@pytest.mark.parametrize("groups_by_face", ["1 up CH3", "1 up CH3, 2 down CH3"])
def test_unequal_chairs_have_no_such_copy(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    assert in_other_chair(result.molecule.topology, result.conformers[0].minimum.positions) is None
