"""Axial, equatorial and isoclinal ligands of rings whose answer is known without a computer.

The ring is laid down from its puckering, its bonds by `search.placing`; where a rule is of the trade and has
no source the test says so.
"""

import numpy as np
import pytest

from chairgap.records import Floats, LigandPosition
from chairgap.search.placing import place
from chairgap.search.ring_templates import RingStart, all_ring_starts
from chairgap.shape.canonical import ring_shape
from chairgap.shape.chairs import two_chairs
from chairgap.shape.positions import ligand_positions, which_chair
from chairgap.shape.puckering import mean_plane, ring_from_puckering
from pipeline_helpers import CYCLOHEXANE, molecule, ring_torsions_deg, rotation, treated

TOPOLOGY = molecule(CYCLOHEXANE).topology
CHAIRS = tuple(start for start in all_ring_starts() if "C" in start.label)
TWIST_BOATS = tuple(start for start in all_ring_starts() if "S" in start.label)


def placed(ring: Floats) -> Floats:
    return place(TOPOLOGY, ring, {})


def labels(ring: Floats) -> tuple[LigandPosition, ...]:
    return ligand_positions(TOPOLOGY, placed(ring), ring_shape(ring))


def pattern(ligands: tuple[LigandPosition, ...]) -> list[tuple[int, str, str]]:
    return [(ligand.carbon, ligand.face, ligand.position) for ligand in ligands]


def test_there_are_two_chairs_and_six_twist_boats() -> None:
    assert (len(CHAIRS), len(TWIST_BOATS)) == (2, 6)


@pytest.mark.parametrize("start", CHAIRS, ids=lambda start: start.label)
def test_axial_bonds_alternate_and_stand_on_the_raised_side(start: RingStart) -> None:
    """A raised carbon has its axial bond up, a lowered one down (common practice, no source)."""
    for index, height in enumerate(start.ring[:, 2]):
        upper, lower = labels(start.ring)[2 * index : 2 * index + 2]
        assert (upper.face, lower.face) == ("up", "down")
        expected = ("axial", "equatorial") if height > 0.0 else ("equatorial", "axial")
        assert (upper.position, lower.position) == expected


@pytest.mark.parametrize("start", CHAIRS, ids=lambda start: start.label)
def test_ideal_angles_to_the_normal(start: RingStart) -> None:
    """With tetrahedral angles throughout, axial bonds are parallel to the axis and equatorial ones make 70.5
    degrees with it (geometry); rings a little flatter than that tilt both by equal amounts.
    """
    ring = ring_from_puckering(0.629, 0.0 if start.label == "1C4" else 180.0, 0.0, 1.54)
    for ligand in labels(ring):
        assert ligand.angle_deg == pytest.approx(0.0 if ligand.position == "axial" else 70.53, abs=0.1)


@pytest.mark.parametrize("start", TWIST_BOATS, ids=lambda start: start.label)
def test_two_opposite_carbons_of_a_twist_boat_are_isoclinal(start: RingStart) -> None:
    """The twofold axis through two opposite carbons exchanges the two ligands of each (common practice, no
    source); on the other four carbons one ligand is steeper.
    """
    found = labels(start.ring)
    isoclinal = sorted({ligand.carbon for ligand in found if ligand.position == "isoclinal"})
    assert len(isoclinal) == 2 and isoclinal[1] - isoclinal[0] == 3
    for carbon in range(1, 7):
        both = {ligand.position for ligand in found if ligand.carbon == carbon}
        assert both == ({"isoclinal"} if carbon in isoclinal else {"axial", "equatorial"})


def test_both_ligands_of_a_flat_ring_are_isoclinal() -> None:
    assert {ligand.position for ligand in labels(ring_from_puckering(0.0, 0.0, 0.0))} == {"isoclinal"}


@pytest.mark.parametrize("start", all_ring_starts(), ids=lambda start: start.label)
def test_labels_do_not_depend_on_where_the_molecule_stands(start: RingStart) -> None:
    rng = np.random.default_rng(3)
    here = placed(start.ring)
    there = here @ rotation(rng).T + rng.normal(size=3) * 10.0
    first, second = (ligand_positions(TOPOLOGY, xyz, ring_shape(xyz[TOPOLOGY.ring])) for xyz in (here, there))
    assert pattern(first) == pattern(second)
    assert [x.angle_deg for x in first] == pytest.approx([x.angle_deg for x in second], abs=1e-9)


@pytest.mark.parametrize("start", CHAIRS, ids=lambda start: start.label)
def test_a_mirror_image_exchanges_the_chairs(start: RingStart) -> None:
    """Reflected in the mean plane the ring is the other chair of the same numbering; no angle changes."""
    reflected = placed(start.ring) * [1.0, 1.0, -1.0]
    centre, normal = mean_plane(reflected[TOPOLOGY.ring])
    assert normal == pytest.approx([0.0, 0.0, 1.0], abs=1e-9) and centre == pytest.approx(
        np.zeros(3), abs=1e-9
    )
    shape = ring_shape(reflected[TOPOLOGY.ring])
    before, after = labels(start.ring), ligand_positions(TOPOLOGY, reflected, shape)
    assert [x.angle_deg for x in before] == pytest.approx([x.angle_deg for x in after], abs=1e-9)
    assert ring_shape(reflected[TOPOLOGY.ring]).form != start.label


@pytest.mark.parametrize("start", CHAIRS, ids=lambda start: start.label)
def test_each_start_is_the_chair_its_pattern_says(start: RingStart) -> None:
    topology = molecule("1 up Cl").topology
    chairs = two_chairs(topology)
    letter = which_chair(ring_shape(start.ring), chairs)
    # C1 raised: its upper ligand is axial, which is chair B for one group.
    assert letter == ("B" if start.ring[0, 2] > 0.0 else "A")


def test_no_twist_boat_has_a_letter() -> None:
    for start in TWIST_BOATS:
        assert which_chair(ring_shape(start.ring), two_chairs(TOPOLOGY)) is None


@pytest.mark.parametrize(
    "groups_by_face", ["1 up C(CH3)3, 3 up CH3", "1 up SiMe3, 3 up SiMe3", "1 up *c1c(C)cccc1C"]
)
def test_crowded_axial_groups_lean_and_are_axial_all_the_same(groups_by_face: str) -> None:
    """Axial groups that lean outward by 25 degrees and more; the ring's torsions still alternate, as in a
    chair (common practice, no source).
    """
    result = treated(groups_by_face)
    held = [item for item in result.conformers if item.shape.family == "chair" and item.degeneracy_b]
    assert held and result.gaps.potential_kcal_mol is not None and result.gaps.potential_kcal_mol > 4.0
    for item in result.conformers:
        torsions = ring_torsions_deg(result, item.minimum.positions)
        alternating = bool(np.all(np.sign(torsions) == -np.sign(np.roll(torsions, 1))))
        assert (item.chair is not None) == (alternating and np.abs(torsions).min() > 20.0)
