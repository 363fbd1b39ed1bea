"""The whole pipeline on random molecules: any of the twelve numberings, any SMILES, either mirror image.

It is searched in one agreed writing, so the answer does not change at all; in a list of groups by face only
the locants are the user's. Chair A is the same physical chair, unless symmetry makes both chairs equal.
"""

import random

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rdkit import Chem

from chairgap.molecule import fragments
from chairgap.molecule.numbering import ALL_NUMBERINGS, RingFaces, mirrored, renumbered
from chairgap.molecule.substituents import groups_by_face_text
from chairgap.records import Result, Topology
from pipeline_helpers import TABLE, molecule, molecule_from_smiles, treated, treated_molecule

# Few rotors each, so that an example costs tenths of a second; two carry a stereocentre or a lone pair.
GROUPS = ("CH3", "F", "Cl", "OH", "CN", "CF3", "*[C@H](F)C", "SH")
PATTERNS = st.dictionaries(
    st.tuples(st.integers(1, 6), st.sampled_from(("up", "down"))),
    st.sampled_from(GROUPS),
    min_size=1,
    max_size=3,
).map(lambda groups: ", ".join(f"{c} {face} {group}" for (c, face), group in sorted(groups.items())))
FEW = settings(max_examples=4, deadline=None, derandomize=True)
KINDS = ("potential_kcal_mol", "ensemble_kcal_mol", "gibbs_kcal_mol")
# The energies are those of one search; sums over conformers are taken in another order of atoms.
WITHIN_KCAL_MOL = 1e-8
COMPARED_UP_TO_KCAL_MOL = 3.0


def faces_of(topology: Topology) -> RingFaces:
    return tuple((carbon.up.fragment, carbon.down.fragment) for carbon in topology.carbons)


def assert_same_answer(one: Result, other: Result) -> None:
    assert one.search == other.search
    for kind in KINDS:
        first, second = getattr(one.gaps, kind), getattr(other.gaps, kind)
        if first is None or second is None:
            assert first is second
        else:
            assert second == pytest.approx(first, abs=WITHIN_KCAL_MOL)
    assert one.gaps.equal_by_symmetry is other.gaps.equal_by_symmetry
    assert one.gaps.population_non_chair == pytest.approx(other.gaps.population_non_chair, abs=1e-8)
    counts = [low_conformers(result) for result in (one, other)]
    assert [row[1:] for row in counts[0]] == [row[1:] for row in counts[1]]
    assert [row[0] for row in counts[0]] == pytest.approx([row[0] for row in counts[1]], abs=1e-5)


def low_conformers(result: Result) -> list[tuple[float, str, int, int]]:
    """Energy rounded (so that equal ones sort alike), family, copies in no chair and in both chairs."""
    ceiling = result.conformers[0].minimum.energy_kcal_mol + COMPARED_UP_TO_KCAL_MOL
    return sorted(
        (
            round(c.minimum.energy_kcal_mol, 5),
            c.shape.family,
            c.degeneracy_other,
            c.degeneracy_a + c.degeneracy_b,
        )
        for c in result.conformers
        if c.minimum.energy_kcal_mol <= ceiling
    )


@FEW
@given(PATTERNS, st.sampled_from(ALL_NUMBERINGS[1:]))
def test_any_of_the_twelve_numberings(groups_by_face: str, numbering: object) -> None:
    one = treated(groups_by_face)
    ring = renumbered(faces_of(one.molecule.topology), numbering)  # type: ignore[arg-type]
    assert_same_answer(one, treated(groups_by_face_text(ring, TABLE)))


@FEW
@given(PATTERNS, st.integers(0, 1_000_000))
def test_any_smiles_gives_every_digit_again(groups_by_face: str, seed: int) -> None:
    mol = Chem.MolFromSmiles(molecule(groups_by_face).smiles)
    order = list(range(mol.GetNumAtoms()))
    random.Random(seed).shuffle(order)
    rewritten = Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False, doRandom=True)
    one = treated_molecule(molecule_from_smiles(molecule(groups_by_face).smiles))
    other = treated_molecule(molecule_from_smiles(rewritten))
    assert one.gaps == other.gaps and one.chairs == other.chairs and one.search == other.search
    for first, second in zip(one.conformers, other.conformers, strict=True):
        assert np.array_equal(first.minimum.positions, second.minimum.positions)
        assert (first.ligands, first.contacts, first.degeneracy) == (
            second.ligands,
            second.contacts,
            second.degeneracy,
        )


@FEW
@given(PATTERNS)
def test_mirror_image_has_the_same_gaps_and_every_face_exchanged(groups_by_face: str) -> None:
    one = treated(groups_by_face)
    image = mirrored(faces_of(one.molecule.topology), fragments.mirror)
    assume("@" in one.molecule.smiles)
    other = treated(groups_by_face_text(image, TABLE))
    assert_same_answer(one, other)
    exchanged = {"up": "down", "down": "up"}
    before = sorted((g.carbon, exchanged[g.face], g.position) for g in one.chairs[0].groups)
    # Its mirror image has the lower ligands of odd carbons axial where chair A has the upper ones.
    (image_of_a,) = [c for c in other.chairs if c.odd_up_axial is not one.chairs[0].odd_up_axial]
    assert sorted((g.carbon, g.face, g.position) for g in image_of_a.groups) == before
