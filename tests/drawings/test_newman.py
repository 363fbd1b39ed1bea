"""Newman projections against dihedrals that RDKit measures in the same coordinates."""

import re
from dataclasses import replace

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem import rdMolTransforms
from rdkit.Geometry import Point3D

from chairgap.drawings.newman import newman, newman_double, newman_of
from chairgap.drawings.newman_view import bonds_shown, view_of
from chairgap.drawings.newman_words import conformation
from chairgap.molecule.build import open_molecule
from chairgap.records import Floats, Molecule, Topology
from chairgap.shape.ideal import exocyclic_directions
from chairgap.shape.puckering import ring_from_puckering
from pipeline_helpers import CYCLOHEXANE, in_chair, molecule, rotation, treated
from svg_helpers import Element, Point, apart_deg, clockwise_deg, ends, having, sound, texts

DIMETHYL = "1 up CH3, 2 down CH3"
BONDS = [(k, k % 6 + 1) for k in range(1, 7)] + [(k % 6 + 1, k) for k in range(1, 7)]
# Coordinates are drawn with two decimals; the shortest bond is 26 px long.
ROUNDING_DEG = 0.06


def as_rdkit(built: Molecule, positions: Floats) -> Chem.Conformer:
    mol = open_molecule(built)
    conformer = Chem.Conformer(mol.GetNumAtoms())
    for index, (x, y, z) in enumerate(positions.tolist()):
        conformer.SetAtomPosition(index, Point3D(x, y, z))
    mol.AddConformer(conformer)
    return mol.GetConformer()


def arms(topology: Topology, locant: int, other: int) -> list[int]:
    """Upper ligand, lower ligand, and the ring neighbour on the far side from `other`."""
    carbon = topology.carbons[locant - 1]
    further = (locant + (locant - other) - 1) % 6
    return [carbon.up.atom, carbon.down.atom, topology.carbons[further].atom]


def drawn_dihedrals(topology: Topology, positions: Floats, bond: tuple[int, int]) -> Floats:
    """(3, 3) angle from each front bond clockwise to each back bond, read from the drawing."""
    root = sound(newman(topology, positions, bond))
    front, back = (
        [clockwise_deg(*ends(path)) for path in having(root, name)] for name in ("data-front", "data-back")
    )
    return np.array([[apart_deg(one, other) for other in back] for one in front])


def boat(built: Molecule) -> Floats:
    """Cyclohexane as the ideal boat 1,4B: carbons 1 and 4 raised."""
    topology = built.topology
    ring = ring_from_puckering(0.75, 90.0, 0.0)
    positions = np.zeros((18, 3))
    positions[topology.ring] = ring
    for index, carbon in enumerate(topology.carbons):
        for side, ligand in enumerate(carbon.ligands):
            positions[ligand.atom] = ring[index] + 1.09 * exocyclic_directions(ring)[index, side]
    return positions


@pytest.mark.parametrize("bond", BONDS)
def test_angles_are_the_dihedrals_rdkit_measures(bond: tuple[int, int]) -> None:
    result = treated(DIMETHYL)
    topology = result.molecule.topology
    front, back = (topology.carbons[locant - 1].atom for locant in bond)
    for conformer in result.conformers:
        positions = conformer.minimum.positions
        measured = as_rdkit(result.molecule, positions)
        expected = [
            [
                rdMolTransforms.GetDihedralDeg(measured, one, front, back, other)
                for other in arms(topology, *bond[::-1])
            ]
            for one in arms(topology, *bond)
        ]
        drawn = drawn_dihedrals(topology, positions, bond)
        off = [apart_deg(one, other) for one, other in zip(drawn.ravel(), np.ravel(expected), strict=True)]
        assert np.abs(off).max() < ROUNDING_DEG


def test_the_dihedral_between_the_groups_is_reported() -> None:
    result = treated(DIMETHYL)
    topology = result.molecule.topology
    one, other = topology.carbons[0].up.atom, topology.carbons[1].down.atom
    for conformer in result.conformers:
        measured = as_rdkit(result.molecule, conformer.minimum.positions)
        expected = rdMolTransforms.GetDihedralDeg(measured, one, *topology.ring[:2].tolist(), other)
        picture = newman(topology, conformer.minimum.positions, (1, 2))
        told = f"{expected:+.1f}°".replace("-", "−")
        if conformer.chair:
            (position,) = {one.position for one in conformer.ligands if one.group != "H"}
            words = "gauche" if abs(expected) < 90.0 else "anti"
            assert f"CH3 on C1 ({position}) and CH3 on C2 ({position}): {words}, {told}" in picture.alt
            short = f"CH3 on C1 ({position[0]}) and CH3 on C2 ({position[0]}): {words}, {told}"
            assert short in texts(sound(picture))
        else:
            assert told in picture.alt


def test_a_mirror_image_has_mirrored_angles() -> None:
    result = treated(DIMETHYL)
    positions = result.conformers[0].minimum.positions
    for bond in BONDS:
        drawn = drawn_dihedrals(result.molecule.topology, positions, bond)
        mirrored = drawn_dihedrals(result.molecule.topology, positions * (1.0, 1.0, -1.0), bond)
        assert max(
            abs(apart_deg(-one, other)) for one, other in zip(drawn.flat, mirrored.flat, strict=True)
        ) < (2.0 * ROUNDING_DEG)


def test_where_the_molecule_lies_does_not_matter() -> None:
    result = treated(DIMETHYL)
    positions = result.conformers[0].minimum.positions
    moved = positions @ rotation(np.random.default_rng(3)).T + (4.0, -7.0, 2.0)
    for bonds in (((1, 2), (5, 4)), ((2, 3), (6, 5))):
        for one, other in (
            (newman(result.molecule.topology, place, bonds[0]) for place in (positions, moved)),
            (newman_double(result.molecule.topology, place, bonds) for place in (positions, moved)),
        ):
            numbers = [
                [float(number) for number in re.findall(r"-?\d+\.?\d*", picture.svg)]
                for picture in (one, other)
            ]
            # What is told is rounded to 0.1 degrees, coordinates to 0.01 px.
            assert numbers[0] == pytest.approx(numbers[1], abs=0.11)


def test_the_chair_of_cyclohexane_is_staggered_about_every_bond() -> None:
    """O. Bastiansen et al., J. Mol. Struct. 1973, 18, 163: torsion 54.9 degrees (from memory); the tolerance
    is that of tests/literature/test_bastiansen_1973.py."""
    result = treated(CYCLOHEXANE)
    positions = in_chair(result, "A")[0].minimum.positions
    signs = []
    for bond in BONDS[:6]:
        told = texts(sound(newman(result.molecule.topology, positions, bond)))
        (ring,) = (line for line in told if line.startswith("ring C"))
        number, conformation = ring.split(": ")[1].split(", ")
        assert conformation == "staggered"
        angle = float(number.removesuffix("°").replace("−", "-"))
        assert abs(angle) == pytest.approx(54.9, abs=1.5)
        signs.append(np.sign(angle))
    assert np.array_equal(signs, [signs[0], -signs[0]] * 3)


@pytest.mark.parametrize("groups_by_face", ["1 up C(CH3)3", "1 up C(CH3)3, 4 up C(CH3)3", DIMETHYL])
def test_a_bond_is_staggered_where_all_its_dihedrals_are_gauche_or_anti(groups_by_face: str) -> None:
    """By RDKit's dihedrals; of a mirror image, and seen from behind, it is the same."""
    result = treated(groups_by_face)
    topology = result.molecule.topology
    seen = set()
    for conformer in result.conformers:
        positions = conformer.minimum.positions
        measured = as_rdkit(result.molecule, positions)
        for bond in BONDS[:6]:
            front, back = (topology.carbons[locant - 1].atom for locant in bond)
            sizes = [
                abs(rdMolTransforms.GetDihedralDeg(measured, one, front, back, other))
                for one in arms(topology, *bond)
                for other in arms(topology, *bond[::-1])
            ]
            gauche_or_anti = [30.0 <= size <= 90.0 or size >= 150.0 for size in sizes]
            expected = "between staggered and eclipsed" if any(gauche_or_anti) else "eclipsed"
            expected = "staggered" if all(gauche_or_anti) else expected
            views = [
                view_of(topology, place, ends)
                for place in (positions, positions * (1.0, 1.0, -1.0))
                for ends in (bond, bond[::-1])
            ]
            assert {conformation(view) for view in views} == {expected}
            seen.add(expected)
            if conformer.chairs_held:
                assert expected == "staggered"
    assert "staggered" in seen


def test_the_sides_of_a_boat_are_eclipsed() -> None:
    """Common practice, no source: with carbons 1 and 4 as bow and stern, bonds 2-3 and 5-6 are eclipsed."""
    built = molecule(CYCLOHEXANE)
    words = {
        bond: texts(sound(newman(built.topology, boat(built), bond)))[-1].split(", ")[1] for bond in BONDS[:6]
    }
    eclipsed = {bond for bond, told in words.items() if told == "eclipsed"}
    assert eclipsed == {(2, 3), (5, 6)}
    assert np.abs(drawn_dihedrals(built.topology, boat(built), (2, 3)).diagonal()).max() < 0.2


@pytest.mark.parametrize("bond", BONDS)
def test_two_views_are_joined_by_the_carbons_between_them(bond: tuple[int, int]) -> None:
    """Bonds i-j and its opposite; the joining carbon is bonded to both fronts (or backs)."""
    result = treated(CYCLOHEXANE)
    topology = result.molecule.topology
    positions = in_chair(result, "A")[0].minimum.positions
    opposite = tuple((locant + 2) % 6 + 1 for locant in bond)
    picture = newman_double(topology, positions, (bond, opposite))
    mol = open_molecule(result.molecule)

    def neighbours(locant: int) -> set[int]:
        return {
            atom.GetIdx() for atom in mol.GetAtomWithIdx(topology.carbons[locant - 1].atom).GetNeighbors()
        }

    told = re.findall(r"C(\d) and C(\d), joined by C(\d)", picture.alt)
    assert len(told) == 2
    for place, ends_and_joint in enumerate(told):
        one, other, joint = map(int, ends_and_joint)
        assert bond[place] in (one, other)
        assert neighbours(one) & neighbours(other) == {topology.carbons[joint - 1].atom}


def test_the_joints_of_a_chair_meet_one_above_and_one_below() -> None:
    """Common practice, no source: in two parallel Newman projections one CH2 lies up, the other down."""
    result = treated(CYCLOHEXANE)
    topology = result.molecule.topology
    positions = in_chair(result, "A")[0].minimum.positions
    measured = as_rdkit(result.molecule, positions)
    root = sound(newman_double(topology, positions, ((1, 2), (5, 4))))
    joined = [ends(path) for kind in ("front", "behind") for path in having(root, f"data-joint-{kind}")]
    meets = {end for _, end in joined}
    assert len(joined) == 4 and len(meets) == 2
    heights = sorted(y for _, y in meets)
    level = next(float(disc.attrib["cy"]) for disc in root.iter() if "cy" in disc.attrib)
    assert heights[0] < level - 20.0 and heights[1] > level + 20.0
    ring = topology.ring.tolist()
    expected = [
        rdMolTransforms.GetDihedralDeg(measured, *(ring[locant - 1] for locant in chain))
        for chain in ((6, 1, 2, 3), (6, 5, 4, 3))
    ]
    drawn = [apart_deg(*(clockwise_deg(*path) for path in paths)) for paths in _joints_by_circle(root)]
    assert sorted(drawn) == pytest.approx(sorted(expected), abs=ROUNDING_DEG)


def _joints_by_circle(root: Element) -> list[list[tuple[Point, Point]]]:
    """Front and back joint of each circle; the front one starts in its centre."""
    joints = {
        kind: [ends(path) for path in having(root, f"data-joint-{kind}")] for kind in ("front", "behind")
    }
    return [
        [front, min(joints["behind"], key=lambda back: abs(back[0][0] - front[0][0]))]
        for front in joints["front"]
    ]


# By hand: which ring bonds show what the molecule is about, front carbon first.
SHOWN = [
    ("1 up CH3", ((1, 2), (5, 4))),
    ("1 up CH3, 1 down OH", ((1, 2), (5, 4))),
    (DIMETHYL, ((1, 2),)),
    ("1 up CH3, 6 up OH", ((1, 6),)),
    ("1 up CH3, 3 up CH3", ((3, 4), (1, 6))),
    ("1 up C(CH3)3, 4 up OH", ((1, 2), (5, 4))),
    ("1 up CN, 2 up OCH3, 4 down C6H5", ((4, 5), (2, 1))),
]


@pytest.mark.parametrize(("groups_by_face", "bonds"), SHOWN)
def test_the_bonds_shown_are_those_next_to_the_groups(
    groups_by_face: str, bonds: tuple[tuple[int, int], ...]
) -> None:
    shown = bonds_shown(molecule(groups_by_face).topology)
    assert set(shown) == set(bonds)


@pytest.mark.parametrize("groups_by_face", [one for one, _ in SHOWN])
def test_every_group_and_every_carbon_is_marked_in_both_chairs(groups_by_face: str) -> None:
    """Letters against the labels of the chairs, which know no geometry."""
    result = treated(groups_by_face)
    topology = result.molecule.topology
    for chair in result.chairs:
        best = in_chair(result, chair.letter)[0]
        assert best.chair == chair.letter
        picture = newman_of(topology, best.minimum.positions, chair)
        root = sound(picture)
        marks = [text for text in texts(root) if text in ("a", "e")]
        assert sorted(marks) == sorted(one.position[0] for one in chair.groups)
        seen = {locant for bond in bonds_shown(topology) for locant in bond}
        assert {int(one.attrib["data-number"]) for one in having(root, "data-number")} == seen
        for one in chair.groups:
            assert f"{one.group} on C{one.carbon} ({one.position})" in picture.alt
        assert f"chair {chair.letter}: {chair.name}" in picture.alt


def test_axial_is_gauche_to_the_ring_and_equatorial_is_anti() -> None:
    """Common practice, no source: what a projection is drawn for."""
    for groups_by_face in ("1 up CH3", "1 up CH3, 3 up CH3", "1 up C(CH3)3, 4 up OH"):
        result = treated(groups_by_face)
        for chair in result.chairs:
            best = in_chair(result, chair.letter)[0]
            alt = newman_of(result.molecule.topology, best.minimum.positions, chair).alt
            for one in chair.groups:
                (told,) = re.findall(
                    rf"{re.escape(one.group)} on C{one.carbon} \({one.position}\) and C\d: (\w+)", alt
                )
                assert told == {"axial": "gauche", "equatorial": "anti"}[one.position]


def test_two_axial_groups_on_one_face_are_called_1_3_diaxial() -> None:
    phrases = {
        (groups_by_face, chair.letter): newman_of(
            result.molecule.topology, in_chair(result, chair.letter)[0].minimum.positions, chair
        ).alt.count("1,3-diaxial")
        for groups_by_face in ("1 up CH3, 3 up CH3", "1 up CH3, 3 down CH3")
        for result in [treated(groups_by_face)]
        for chair in result.chairs
        if in_chair(result, chair.letter)[0].chair == chair.letter
    }
    assert phrases.pop(("1 up CH3, 3 up CH3", "B")) == 1
    assert phrases and set(phrases.values()) == {0}


def test_bonds_that_do_not_fit_are_refused() -> None:
    result = treated(CYCLOHEXANE)
    positions = result.conformers[0].minimum.positions
    with pytest.raises(ValueError, match="1 and 3 are not bonded"):
        newman(result.molecule.topology, positions, (1, 3))
    with pytest.raises(ValueError, match="7 are not bonded"):
        newman(result.molecule.topology, positions, (6, 7))
    with pytest.raises(ValueError, match="not opposite"):
        newman_double(result.molecule.topology, positions, ((1, 2), (3, 4)))


def test_names_of_groups_are_text_and_nothing_else() -> None:
    result = treated(DIMETHYL)
    topology = result.molecule.topology
    first = topology.carbons[0]
    odd = replace(
        topology, carbons=(replace(first, up=replace(first.up, group="<script>&")), *topology.carbons[1:])
    )
    positions = result.conformers[0].minimum.positions
    for picture in (newman(odd, positions, (1, 2)), newman_double(odd, positions, ((1, 2), (5, 4)))):
        assert "<script" not in picture.svg
        assert "<script>&" in texts(sound(picture))


def test_the_same_drawing_twice_has_the_same_bytes() -> None:
    result = treated(DIMETHYL)
    positions = result.conformers[0].minimum.positions
    one, other = (newman_double(result.molecule.topology, positions, ((2, 3), (6, 5))) for _ in range(2))
    assert one == other
