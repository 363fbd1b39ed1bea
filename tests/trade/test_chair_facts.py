"""What every instructor teaches of the chair. Common practice, no source."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.records import Face
from chairgap.search.lattice import build_lattice
from chairgap.search.placing import place
from chairgap.shape.chairs import position_in_chair, two_chairs
from chairgap.shape.puckering import ring_from_puckering
from pipeline_helpers import CYCLOHEXANE, mmff94, molecule, torsion_deg, treated

FACES: tuple[Face, Face] = ("up", "down")


@pytest.mark.parametrize("odd_up_axial", [True, False])
def test_three_axial_up_three_down_alternating(odd_up_axial: bool) -> None:
    axial = [
        next(face for face in FACES if position_in_chair(carbon, face, odd_up_axial) == "axial")
        for carbon in range(1, 7)
    ]
    assert sorted(axial) == ["down"] * 3 + ["up"] * 3
    assert all(one != two for one, two in itertools.pairwise([*axial, axial[0]]))


@pytest.mark.parametrize("odd_up_axial", [True, False])
@pytest.mark.parametrize("carbon", range(1, 7))
def test_equatorial_is_on_the_other_face_from_axial(carbon: int, odd_up_axial: bool) -> None:
    positions = {face: position_in_chair(carbon, face, odd_up_axial) for face in FACES}
    assert sorted(positions.values()) == ["axial", "equatorial"]


@given(
    one=st.integers(1, 6),
    two=st.integers(1, 6),
    faces=st.tuples(*[st.sampled_from(FACES)] * 2),
    flag=st.booleans(),
)
def test_same_label_means_same_face_or_odd_distance_but_not_both(
    one: int, two: int, faces: tuple[Face, Face], flag: bool
) -> None:
    same_label = position_in_chair(one, faces[0], flag) == position_in_chair(two, faces[1], flag)
    assert same_label == ((faces[0] == faces[1]) != ((one - two) % 2 == 1))


@pytest.mark.parametrize(
    ("groups_by_face", "names"),
    [
        ("1 up CH3, 2 down CH3", {"1e 2e", "1a 2a"}),  # trans-1,2
        ("1 up CH3, 2 up CH3", {"1a 2e", "1e 2a"}),  # cis-1,2
        ("1 up CH3, 3 up CH3", {"1e 3e", "1a 3a"}),  # cis-1,3
        ("1 up CH3, 3 down CH3", {"1a 3e", "1e 3a"}),  # trans-1,3
        ("1 up CH3, 4 down CH3", {"1e 4e", "1a 4a"}),  # trans-1,4
        ("1 up CH3, 4 up CH3", {"1a 4e", "1e 4a"}),  # cis-1,4
        ("1 up CH3, 3 up CH3, 5 up CH3", {"1e 3e 5e", "1a 3a 5a"}),
    ],
)
def test_cis_and_trans_patterns(groups_by_face: str, names: set[str]) -> None:
    assert {chair.name for chair in two_chairs(molecule(groups_by_face).topology)} == names


def test_ring_flip_swaps_axial_and_equatorial_on_all_carbons_and_keeps_faces() -> None:
    """On computed conformers: the two chairs of menthol, twelve ligands each."""
    result = treated("1 up OH, 2 down CH(CH3)2, 5 down CH3")
    chairs = [next(c for c in result.conformers if c.chair == letter) for letter in ("A", "B")]
    swapped = {"axial": "equatorial", "equatorial": "axial"}
    before, after = (
        {(ligand.carbon, ligand.face): (ligand.group, ligand.position) for ligand in chair.ligands}
        for chair in chairs
    )
    assert before.keys() == after.keys() and len(before) == 12
    for place_, (group, position) in before.items():
        assert after[place_] == (group, swapped[position])


def test_faces_of_computed_conformers_are_real() -> None:
    """Up ligands lie above the mean plane of their carbon's neighbours in every conformer, chair or not."""
    result = treated("1 up CH3, 2 down OH")
    for conformer in result.conformers:
        xyz = conformer.minimum.positions
        for carbon in result.molecule.topology.carbons:
            ring = result.molecule.topology.ring
            back = xyz[ring[carbon.locant - 2]] - xyz[carbon.atom]
            ahead = xyz[ring[carbon.locant % 6]] - xyz[carbon.atom]
            above = np.cross(back, ahead)
            assert (xyz[carbon.up.atom] - xyz[carbon.atom]) @ above > 0.0
            assert (xyz[carbon.down.atom] - xyz[carbon.atom]) @ above < 0.0


def test_flat_ring_is_eclipsed_everywhere_and_far_above_the_chair() -> None:
    topology = molecule(CYCLOHEXANE).topology
    flat = place(topology, ring_from_puckering(0.0, 0.0, 0.0), {})
    for carbon, ahead in itertools.pairwise([*topology.carbons, topology.carbons[0]]):
        for one, two in itertools.product(carbon.ligands, ahead.ligands):
            dihedral = abs(torsion_deg(flat, one.atom, carbon.atom, ahead.atom, two.atom))
            eclipsed = one.face == two.face
            # Looking along C-C the two C-H bonds of a carbon are 117 degrees apart in a ring of 120 degrees.
            assert dihedral == pytest.approx(0.0, abs=1e-6) if eclipsed else 110.0 < dihedral < 130.0
    model = mmff94(CYCLOHEXANE)
    chair = min(c.minimum.energy_kcal_mol for c in treated(CYCLOHEXANE).conformers)
    # Twelve eclipsed pairs and ring angles of 120 degrees: more than three times the cost of a twist-boat.
    assert model.energy_and_gradient(flat)[0] - chair > 20.0


@settings(max_examples=8, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.integers(1, 6), st.sampled_from(FACES)), min_size=1, max_size=4, unique=True))
def test_every_ring_start_puts_groups_on_their_faces(groups: list[tuple[int, Face]]) -> None:
    groups_by_face = ", ".join(f"{carbon} {face} F" for carbon, face in groups)
    built = molecule(groups_by_face)
    lattice = build_lattice(built, "MMFF94", 1)
    for index in range(len(lattice.rings)):
        xyz = lattice.start((index, *([0] * (len(lattice.shape) - 1)))).positions
        ring = built.topology.ring
        for carbon in built.topology.carbons:
            back = xyz[ring[carbon.locant - 2]] - xyz[carbon.atom]
            ahead = xyz[ring[carbon.locant % 6]] - xyz[carbon.atom]
            assert (xyz[carbon.up.atom] - xyz[carbon.atom]) @ np.cross(back, ahead) > 0.0
