"""The flat drawing, read again by RDKit and from its SVG text."""

import math
import re

import numpy as np
import pytest
from rdkit import Chem

from chairgap.drawings.flat import flat_picture, laid_out
from chairgap.records import Molecule
from pipeline_helpers import molecule, molecule_from_smiles
from svg_helpers import placed_texts, sound, tag, texts

MENTHOL = "1 up CH3, 3 down OH, 4 up CH(CH3)2"
SPOKEN = [
    "1 up CH3, 2 down CH3",
    "1 up CH3, 2 up CH3",
    "1 up C(CH3)3, 4 up OH",
    "1 up C(CH3)3, 4 down OH",
    MENTHOL,
    "1 up OH, 2 up OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH",
    "1 up CH3, 1 down OH, 4 up Br",
    "1 up F, 2 down Cl, 3 up C6H5",
]


def _as_drawn(built: Molecule) -> str:
    """A MOL block with the wedges of the drawing: RDKit writes its own unless the atoms have no marks."""
    drawn = laid_out(built)
    for atom in drawn.GetAtoms():
        atom.SetChiralTag(Chem.ChiralType.CHI_UNSPECIFIED)
    return str(Chem.MolToMolBlock(drawn, kekulize=False))


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_rdkit_reads_the_same_molecule_from_the_drawing(groups_by_face: str) -> None:
    """Flat coordinates and wedges alone, as a MOL block, give the SMILES the molecule has."""
    built = molecule(groups_by_face)
    again = Chem.MolFromMolBlock(_as_drawn(built))
    assert Chem.MolToSmiles(again) == Chem.MolToSmiles(Chem.MolFromSmiles(built.smiles))


def test_configuration_in_a_group_is_drawn_too() -> None:
    built = molecule_from_smiles("C[C@H](O)[C@H]1CC[C@@H](C)CC1")
    again = Chem.MolFromMolBlock(_as_drawn(built))
    assert Chem.MolToSmiles(again) == Chem.MolToSmiles(Chem.MolFromSmiles(built.smiles))
    assert "@" in built.smiles


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_a_wedge_is_up(groups_by_face: str) -> None:
    """Every wedge to a single group of a ring carbon goes up, every dash down; common practice, no source."""
    built = molecule(groups_by_face)
    drawn = laid_out(built)
    seen = 0
    for locant, ligand in built.topology.groups:
        carbon = built.topology.carbons[locant - 1]
        if "H" not in (carbon.up.group, carbon.down.group):
            continue
        (outward,) = (
            bond
            for bond in drawn.GetAtomWithIdx(locant - 1).GetBonds()
            if not bond.IsInRing() or _leaves(bond)
        )
        if outward.GetBondDir() in (Chem.BondDir.BEGINWEDGE, Chem.BondDir.BEGINDASH):
            wedge = outward.GetBondDir() == Chem.BondDir.BEGINWEDGE
            assert outward.GetBeginAtomIdx() == locant - 1
            assert wedge == (ligand.face == "up")
            seen += 1
    assert seen >= 1
    wedged = [bond for bond in drawn.GetBonds() if bond.GetBondDir() != Chem.BondDir.NONE]
    assert all(_leaves(bond) for bond in wedged)


def _leaves(bond: Chem.Bond) -> bool:
    return max(bond.GetBeginAtomIdx(), bond.GetEndAtomIdx()) > 5


@pytest.mark.parametrize("groups_by_face", ["1 up H", *SPOKEN])
def test_the_ring_is_numbered_clockwise_from_the_top(groups_by_face: str) -> None:
    places = {
        text: place
        for text, place in placed_texts(sound(flat_picture(molecule(groups_by_face))))
        if text.isdigit()
    }
    ring = np.array([places[str(locant)] for locant in range(1, 7)])
    middle = ring.mean(axis=0)
    turns = [math.degrees(math.atan2(x - middle[0], middle[1] - y)) % 360.0 for x, y in ring]
    assert [round(turn) % 360 for turn in turns] == pytest.approx([0, 60, 120, 180, 240, 300], abs=1)


def test_numbers_stand_at_the_atoms_they_name() -> None:
    """The glyphs of OH lie nearest to number 3 of menthol; the only other filled outlines are the wedges of
    carbons 1 and 4."""
    root = sound(flat_picture(molecule(MENTHOL)))
    places = {text: np.array(place) for text, place in placed_texts(root) if text.isdigit()}

    def nearest(point: np.ndarray) -> str:
        return min(places, key=lambda text: float(np.linalg.norm(places[text] - point)))

    filled = [
        np.array([float(number) for number in re.findall(r"-?\d+\.?\d*", path.attrib["d"])]).reshape(-1, 2)
        for path in root.iter()
        if tag(path) == "path" and path.attrib["class"] == "fill-ink"
    ]
    assert sorted({nearest(outline.mean(axis=0)) for outline in filled}) == ["1", "3", "4"]
    wedges = [outline for outline in filled if len(outline) <= 4]
    assert {nearest(wedge.mean(axis=0)) for wedge in wedges} == {"1", "4"}


def test_numbers_can_be_left_out() -> None:
    assert texts(sound(flat_picture(molecule(MENTHOL), numbers=False))) == []
    assert sorted(texts(sound(flat_picture(molecule(MENTHOL))))) == list("123456")


def test_no_stereocentre_no_wedge() -> None:
    for groups_by_face in ("1 up H", "1 up CH3", "1 up CH3, 1 down OH"):
        drawn = laid_out(molecule(groups_by_face))
        assert {bond.GetBondDir() for bond in drawn.GetBonds()} == {Chem.BondDir.NONE}


def test_alt_names_groups_and_faces_and_bytes_are_the_same_twice() -> None:
    picture = flat_picture(molecule(MENTHOL))
    assert "CH3 up on C1, OH down on C3, CH(CH3)2 up on C4" in picture.alt
    assert picture == flat_picture(molecule(MENTHOL))
