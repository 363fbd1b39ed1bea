"""The agreed writing of a part: one for all molecules that hold it, and never the wrong way round."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.model.reference_compounds import needed_parts, written
from chairgap.molecule import fragments
from chairgap.molecule.build import writing_of
from chairgap.molecule.numbering import ALL_NUMBERINGS, HYDROGEN, RingFaces, mirrored, renumbered
from chairgap.molecule.substituents import groups_by_face_text
from chairgap.records import GapKinds, Result, Topology
from pipeline_helpers import TABLE, molecule, treated

GROUPS = ("CH3", "Cl", "OH", "*[C@H](F)C")


def pair_of(topology: Topology) -> RingFaces:
    return written(*topology.groups)[0]


def moved(faces: RingFaces, number: int, mirror_image: bool) -> Topology:
    """The same ring in another writing, or its mirror image."""
    image = mirrored(faces, fragments.mirror) if mirror_image else faces
    return molecule(groups_by_face_text(renumbered(image, ALL_NUMBERINGS[number]), TABLE)).topology


@settings(max_examples=60, deadline=None)
@given(
    one=st.sampled_from(GROUPS),
    other=st.sampled_from(GROUPS),
    carbon=st.integers(2, 6),
    face=st.sampled_from(("up", "down")),
    number=st.integers(0, 11),
    mirror_image=st.booleans(),
)
def test_every_writing_and_the_mirror_image_give_the_same_part(
    one: str, other: str, carbon: int, face: str, number: int, mirror_image: bool
) -> None:
    topology = molecule(f"1 up {one}, {carbon} {face} {other}").topology
    same = moved(writing_of(topology), number, mirror_image)
    assert pair_of(same) == pair_of(topology)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("1 up CH3, 2 up Cl", "1 up CH3, 2 down Cl"),
        ("1 up CH3, 3 up Cl", "1 up CH3, 2 up Cl"),
        ("1 up CH3, 1 down Cl", "1 up CH3, 2 down Cl"),
        ("1 up CH3, 2 up *[C@H](F)C", "1 up CH3, 2 up *[C@@H](F)C"),
    ],
)
def test_another_pair_is_another_part(one: str, other: str) -> None:
    assert pair_of(molecule(one).topology) != pair_of(molecule(other).topology)


def test_a_molecule_of_one_or_two_groups_needs_no_part_of_its_own_size() -> None:
    assert needed_parts(molecule("4 down CH3").topology) == ()
    rings = needed_parts(molecule("2 up CH3, 5 up Cl").topology)
    assert sorted(sum(f != HYDROGEN for pair in ring for f in pair) for ring in rings) == [1, 1]


def pair_parts(result: Result) -> list[tuple[tuple[str, ...], float]]:
    return sorted(
        (tuple(sorted(part.groups)), round(part.computed_kcal_mol, 3))
        for part in result.split.parts
        if part.kind == "pair"
    )


@pytest.mark.parametrize("number", [1, 6, 9])
@pytest.mark.parametrize("mirror_image", [False, True])
def test_parts_are_set_in_with_the_right_sign_whichever_way_the_molecule_is_written(
    number: int, mirror_image: bool
) -> None:
    """Chair A may be named B where the rule ends in a tie; here it does not (one axial group against two)."""
    groups_by_face = "1 up CH3, 2 up Cl, 4 up OH"
    written_otherwise = molecule(groups_by_face)
    faces = moved(writing_of(written_otherwise.topology), number, mirror_image)
    other = groups_by_face_text(writing_of(faces), TABLE)
    assert pair_parts(treated(groups_by_face)) == pair_parts(treated(other))


def test_a_pair_has_the_gap_that_its_own_molecule_has() -> None:
    """In 1 up CH3, 3 up Cl, 5 up F CH3/F is a cis-1,3 pair: its gap less those of both groups."""
    whole = treated("1 up CH3, 3 up Cl, 5 up F")
    pair = treated("1 up CH3, 3 up F")

    def own(groups_by_face: str) -> GapKinds:
        return kinds(treated(groups_by_face))

    expected = (
        kinds(pair).potential_kcal_mol - own("1 up CH3").potential_kcal_mol - own("1 up F").potential_kcal_mol
    )
    (found,) = (p for p in whole.split.parts if p.kind == "pair" and set(p.groups) == {"CH3", "F"})
    assert found.computed_kcal_mol == pytest.approx(expected, abs=1e-6)


def kinds(result: Result) -> GapKinds:
    gaps = result.gaps
    assert gaps.potential_kcal_mol is not None
    assert gaps.ensemble_kcal_mol is not None and gaps.gibbs_kcal_mol is not None
    return GapKinds(
        potential_kcal_mol=gaps.potential_kcal_mol,
        ensemble_kcal_mol=gaps.ensemble_kcal_mol,
        gibbs_kcal_mol=gaps.gibbs_kcal_mol,
    )
