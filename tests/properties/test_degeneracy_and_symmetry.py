"""Copies against symmetry numbers: two ways of counting that must come to the same.

A conformer weighs as many times as it has copies, or else 2 / sigma when its mirror image is another
conformer of the compound and 1 / sigma when it is not (sigma: the rotations that bring it onto itself). The
two may differ by one factor for all conformers of a molecule and no more.

Symmetry is also counted here from elements and positions alone, all hydrogens included, and RDKit says
whether a compound is its own mirror image; neither knows of permutations or rotors.
"""

from functools import cache
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem
from scipy.spatial.transform import Rotation

from chairgap.records import Conformer, Floats, Result
from pipeline_helpers import (
    CYCLOHEXANE,
    in_chair,
    molecule_from_smiles,
    non_chairs,
    treated,
    treated_molecule,
)

SAME_PLACE_ANGSTROM = 0.1
SPOKEN = (
    CYCLOHEXANE,
    "1 up CH3",
    "1 up C2H5",
    "1 up CH(CH3)2",
    "1 up C(CH3)3",
    "1 up C6H5",
    "1 up OH",
    "1 up NH2",
    "1 up CF3",
    "1 up CH3, 1 down CH3",
    "1 up CH3, 2 up CH3",
    "1 up CH3, 2 down CH3",
    "1 up CH3, 3 up CH3",
    "1 up CH3, 3 down CH3",
    "1 up CH3, 4 up CH3",
    "1 up CH3, 4 down CH3",
    "1 up C(CH3)3, 3 down C(CH3)3",
    "1 up C6H5, 4 up C6H5",
    "1 up CH3, 3 up CH3, 5 up CH3",
    "1 up CH3, 3 up CH3, 5 down CH3",
    "1 up CH3, 2 down OH",
    "1 up OH, 2 up OH",
    "1 up OH, 2 down OH",
    "1 up NH2, 2 down NH2",
    "1 up F, 2 down F, 3 up F, 4 down F, 5 up F, 6 down F",
)
# A stereocentre outside the ring, and two of opposite hands.
SMILES = ("C[C@H](O)C1CCCCC1", "C[C@H](F)[C@H]1CC[C@@H]([C@@H](C)F)CC1")


@cache
def result_of(text: str) -> Result:
    return treated_molecule(molecule_from_smiles(text)) if text in SMILES else treated(text)


def operations_onto_itself(symbols: tuple[str, ...], positions: Floats, *, reflected: bool) -> int:
    """Rigid motions of all atoms onto atoms of their element: rotations, or rotations of the mirror image.

    Two atoms that span a plane with the middle fix a motion by where they go.
    """
    target = positions - positions.mean(axis=0)
    moved = target * [-1.0, 1.0, 1.0] if reflected else target
    far = np.linalg.norm(target, axis=1)
    first = int(far.argmax())
    sine = np.linalg.norm(np.cross(target, target[first]), axis=1) / far[first]
    second = int(sine.argmax())
    span = np.linalg.norm(target[first] - target[second])

    def alike(atom: int) -> list[int]:
        near = np.abs(far - far[atom]) < SAME_PLACE_ANGSTROM
        return [i for i in np.flatnonzero(near) if symbols[i] == symbols[atom]]

    kinds = np.array(symbols)
    found = 0
    for one, other in product(alike(first), alike(second)):
        if abs(np.linalg.norm(target[one] - target[other]) - span) > SAME_PLACE_ANGSTROM:
            continue
        turn, _ = Rotation.align_vectors(target[[one, other]], moved[[first, second]])
        apart = np.linalg.norm(turn.apply(moved)[:, None] - target[None], axis=-1)
        nearest = apart.argmin(axis=1)
        found += bool(apart.min(axis=1).max() < SAME_PLACE_ANGSTROM and (kinds[nearest] == kinds).all())
    return found


def is_its_own_mirror_image(smiles: str) -> bool:
    """By RDKit: the SMILES with every chirality mark inverted is the same compound."""
    mol = Chem.MolFromSmiles(smiles)
    image = Chem.Mol(mol)
    for atom in image.GetAtoms():
        atom.InvertChirality()
    return Chem.MolToInchi(mol) == Chem.MolToInchi(image)


def check(result: Result) -> None:
    symbols = result.molecule.topology.symbols
    achiral = is_its_own_mirror_image(result.molecule.smiles)
    pattern = result.conformers[0]
    for item in result.conformers:
        # copies : mirror_images / sigma is one ratio, in whole numbers
        assert (
            item.degeneracy * item.rotational_symmetry * pattern.mirror_images
            == pattern.degeneracy * pattern.rotational_symmetry * item.mirror_images
        ), item.number
        positions = item.minimum.positions
        rotations = operations_onto_itself(symbols, positions, reflected=False)
        reflections = operations_onto_itself(symbols, positions, reflected=True)
        assert item.rotational_symmetry == rotations, item.number
        assert item.mirror_images == (2 if achiral and not reflections else 1), item.number
        assert reflections in (0, rotations)  # a group has as many of either kind, or none


@pytest.mark.parametrize("text", [*SPOKEN, *SMILES])
def test_copies_are_mirror_images_over_symmetry_numbers(text: str) -> None:
    check(result_of(text))


@settings(max_examples=12, deadline=None, derandomize=True)
@given(
    st.lists(
        st.tuples(st.integers(1, 6), st.sampled_from(["up", "down"]), st.sampled_from(["CH3", "F"])),
        min_size=2,
        max_size=4,
        unique_by=lambda site: site[:2],
    )
)
def test_the_same_for_any_pattern_of_methyl_and_fluorine(sites: list[tuple[int, str, str]]) -> None:
    check(treated(", ".join(f"{carbon} {face} {group}" for carbon, face, group in sites)))


def test_the_list_holds_chiral_and_achiral_compounds_and_many_symmetries() -> None:
    results = [result_of(text) for text in (*SPOKEN, *SMILES)]
    chiral = [result for result in results if not is_its_own_mirror_image(result.molecule.smiles)]
    assert len(chiral) >= 6
    conformers = [item for result in results for item in result.conformers]
    assert {item.rotational_symmetry for item in conformers} == {1, 2, 3, 4, 6}
    assert {item.mirror_images for item in conformers} == {1, 2}


# --- by hand (point groups of chairs and twist-boats: common practice, no source) --------------------------


def lowest_chair(groups_by_face: str) -> Conformer:
    result = treated(groups_by_face)
    return min(in_chair(result, "A") + in_chair(result, "B"), key=lambda item: item.minimum.energy_kcal_mol)


@pytest.mark.parametrize(
    ("groups_by_face", "sigma", "mirror_images", "point_group"),
    [
        (CYCLOHEXANE, 6, 1, "D3d"),
        ("1 up CH3", 1, 1, "Cs"),
        ("1 up CH3, 1 down CH3", 1, 1, "Cs"),
        ("1 up CH3, 2 up CH3", 1, 2, "C1, its mirror image is the flipped chair"),
        ("1 up CH3, 2 down CH3", 2, 1, "C2, a chiral compound"),
        ("1 up CH3, 3 up CH3", 1, 1, "Cs"),
        ("1 up CH3, 3 down CH3", 1, 1, "C1, a chiral compound"),
        ("1 up CH3, 4 up CH3", 1, 1, "Cs"),
        ("1 up CH3, 4 down CH3", 2, 1, "C2h"),
        ("1 up CH3, 3 up CH3, 5 up CH3", 3, 1, "C3v"),
        ("1 up F, 2 down F, 3 up F, 4 down F, 5 up F, 6 down F", 6, 1, "D3d"),
    ],
)
def test_symmetry_numbers_of_chairs(
    groups_by_face: str, sigma: int, mirror_images: int, point_group: str
) -> None:
    item = lowest_chair(groups_by_face)
    assert (item.rotational_symmetry, item.mirror_images) == (sigma, mirror_images), point_group


def test_both_chairs_of_trans_1_4_dimethyl_and_of_all_cis_trimethyl_have_the_same_symmetry() -> None:
    for groups_by_face, sigma in (("1 up CH3, 4 down CH3", 2), ("1 up CH3, 3 up CH3, 5 up CH3", 3)):
        result = treated(groups_by_face)
        numbers = [item.rotational_symmetry for letter in ("A", "B") for item in in_chair(result, letter)]
        assert numbers == [sigma, sigma]


def test_the_twist_boat_of_cyclohexane_has_three_twofold_axes() -> None:
    (twist_boat,) = non_chairs(treated(CYCLOHEXANE))
    assert twist_boat.shape.family == "twist-boat"
    # D2: four rotations with the identity, no reflection
    assert (twist_boat.rotational_symmetry, twist_boat.mirror_images) == (4, 2)


def test_gauche_ethyl_has_a_mirror_image_and_anti_ethyl_has_none() -> None:
    assert sorted(item.mirror_images for item in in_chair(treated("1 up C2H5"), "A")) == [1, 2]
