"""The agreed writing: one for all numberings and the mirror image, and the way back from it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.molecule import fragments
from chairgap.molecule.agreed import agreed
from chairgap.molecule.build import writing_of
from chairgap.molecule.numbering import HYDROGEN, every_writing
from chairgap.molecule.stereo import stereo_survives
from chairgap.molecule.substituents import groups_by_face_text
from chairgap.records import Chair, Molecule
from chairgap.search.lattice import build_lattice
from chairgap.shape.chairs import two_chairs
from pipeline_helpers import TABLE, molecule

# Equally heavy groups make ties; the others have stereocentres, pseudo-asymmetric ones and double bonds.
GROUPS = (
    "CH3",
    "Cl",
    "OH",
    "F",
    "CH(CH3)2",
    "*[C@H](F)C",
    "*[C@@H](F)C",
    "*[C@@H]([C@H](C)F)[C@@H](C)F",
    "*[C@H]1CC[C@@H](F)CC1",
    "*/C=C/C",
    "*[S@](C)=O",
)
PATTERNS = st.dictionaries(
    st.tuples(st.integers(1, 6), st.sampled_from(("up", "down"))),
    st.sampled_from(GROUPS),
    min_size=1,
    max_size=4,
).map(lambda groups: ", ".join(f"{c} {face} {group}" for (c, face), group in sorted(groups.items())))
TIES = st.dictionaries(
    st.tuples(st.integers(1, 6), st.sampled_from(("up", "down"))),
    st.sampled_from(("CH3", "Cl", "*[C@H](F)C", "*[C@@H](F)C")),
    min_size=2,
    max_size=6,
).map(lambda groups: ", ".join(f"{c} {face} {group}" for (c, face), group in sorted(groups.items())))
TETRACHLORO = "1 up Cl, 2 up Cl, 3 down Cl, 4 down Cl"


def every_molecule(groups_by_face: str) -> list[tuple[Molecule, dict[tuple[int, str], tuple[int, str]]]]:
    """The molecule in all its writings, and where each place of a writing is in the first."""
    first = molecule(groups_by_face)
    found = []
    for writing in every_writing(writing_of(first.topology), fragments.mirror):
        text = groups_by_face_text(writing.faces, TABLE)
        places = {(c, f): writing.site(c, f) for c in range(1, 7) for f in ("up", "down")}
        found.append((molecule(text), places))
    return found


def axial(chair: Chair, places: dict[tuple[int, str], tuple[int, str]]) -> set[tuple[int, str]]:
    return {places[group.carbon, group.face] for group in chair.groups if group.position == "axial"}


def assert_one_chair_a(groups_by_face: str) -> None:
    molecules = every_molecule(groups_by_face)
    sets = [axial(two_chairs(built.topology)[0], places) for built, places in molecules]
    own = writing_of(molecules[0][0].topology)
    # A writing that equals the first one is an operation of symmetry; when it exchanges the chairs, they are
    # equal and either may be called A.
    images = [w for w in every_writing(own, fragments.mirror) if w.faces == own]
    equal = {frozenset(w.site(*place) for place in sets[0]) for w in images}
    assert {frozenset(one) for one in sets} <= equal


def test_chair_a_of_the_tetrachloride_is_the_same_however_it_is_numbered() -> None:
    assert_one_chair_a(TETRACHLORO)


@pytest.mark.long
@settings(max_examples=60, deadline=None)
@given(TIES)
def test_chair_a_is_the_same_physical_chair_in_every_writing(groups_by_face: str) -> None:
    assert_one_chair_a(groups_by_face)


@settings(max_examples=20, deadline=None)
@given(PATTERNS)
def test_every_writing_has_one_agreed_writing(groups_by_face: str) -> None:
    writings = {writing_of(agreed(one).molecule.topology) for one, _ in every_molecule(groups_by_face)}
    assert len(writings) == 1


@settings(max_examples=20, deadline=None, derandomize=True)
@given(PATTERNS, st.integers(0, 23))
def test_the_way_back_keeps_bonds_and_configuration(groups_by_face: str, number: int) -> None:
    built = every_molecule(groups_by_face)[number][0]
    there = agreed(built)
    lattice = build_lattice(there.molecule, "MMFF94", 1)
    positions = lattice.start((0,) * len(lattice.shape)).positions
    assert stereo_survives(there.molecule, positions)
    back = there.back(positions)
    topology, other = built.topology, there.molecule.topology
    assert [topology.symbols[i] for i in range(len(back))] == [other.symbols[i] for i in there.atoms]
    assert topology.masses_u == pytest.approx(other.masses_u[there.atoms])
    bonds = {frozenset(pair) for pair in other.bonds.tolist()}
    assert {frozenset(there.atoms[pair].tolist()) for pair in topology.bonds} == bonds
    assert stereo_survives(built, back)
    assert np.array_equal(np.sort(there.atoms), np.arange(len(back)))


def test_a_ring_without_groups_has_no_leading_one() -> None:
    assert molecule("1 up H").topology.leading is None
    assert writing_of(agreed(molecule("1 up H")).molecule.topology) == ((HYDROGEN, HYDROGEN),) * 6
