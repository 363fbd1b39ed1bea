"""The answer must not depend on how a molecule is written, numbered, turned or mirrored, nor on the seed."""

import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem

from chairgap.records import Result
from chairgap.shape.canonical import ring_shape
from chairgap.shape.chairs import two_chairs
from chairgap.shape.contacts import find_contacts
from chairgap.shape.positions import ligand_positions, which_chair
from pipeline_helpers import molecule, molecule_from_smiles, rotation, treated, treated_molecule

LIGHT = ("1 up CH3, 2 down OH", "1 up C2H5, 3 up Cl")
SPOKEN = (*LIGHT, pytest.param("1 up OH, 2 up NH2, 4 down CH3", marks=pytest.mark.long))


def assert_same(one: Result, other: Result) -> None:
    """Energies to 1e-6 kcal/mol; Gibbs energies to 1e-5, the noise of numerical Hessians."""
    assert [chair.name for chair in one.chairs] == [chair.name for chair in other.chairs]
    for key, within in (("potential_kcal_mol", 1e-6), ("ensemble_kcal_mol", 1e-6), ("gibbs_kcal_mol", 1e-5)):
        assert getattr(one.gaps, key) == pytest.approx(getattr(other.gaps, key), abs=within)
    assert len(one.conformers) == len(other.conformers)
    for first, second in zip(one.conformers, other.conformers, strict=True):
        assert first.minimum.energy_kcal_mol == pytest.approx(second.minimum.energy_kcal_mol, abs=1e-6)
        assert (first.chair, first.degeneracy) == (second.chair, second.degeneracy)
        assert first.shape.family == second.shape.family
    assert one.comparison.sign == other.comparison.sign
    assert one.comparison.preferred == other.comparison.preferred


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_any_way_of_writing_the_molecule(groups_by_face: str) -> None:
    smiles = molecule(groups_by_face).smiles
    mol = Chem.MolFromSmiles(smiles)
    order = list(range(mol.GetNumAtoms()))
    random.Random(7).shuffle(order)
    rewritten = Chem.MolToSmiles(Chem.RenumberAtoms(mol, order), canonical=False)
    expected = treated_molecule(molecule_from_smiles(smiles))
    found = treated_molecule(molecule_from_smiles(rewritten))
    assert_same(found, expected)
    assert [g.group for g in found.chairs[0].groups] == [g.group for g in expected.chairs[0].groups]


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_mirror_image_has_the_same_gaps_and_mirrored_faces(groups_by_face: str) -> None:
    mirrored = " ".join({"up": "down", "down": "up"}.get(word, word) for word in groups_by_face.split(" "))
    one, other = treated(groups_by_face), treated(mirrored)
    for key in ("potential_kcal_mol", "ensemble_kcal_mol", "gibbs_kcal_mol"):
        assert getattr(one.gaps, key) == pytest.approx(getattr(other.gaps, key), abs=1e-6)
    assert [c.degeneracy for c in one.conformers] == [c.degeneracy for c in other.conformers]
    faces = [{(g.carbon, g.group): g.face for g in result.chairs[0].groups} for result in (one, other)]
    assert all(faces[0][place] != faces[1][place] for place in faces[0])
    positions = [
        {(g.carbon, g.group): g.position for g in result.chairs[0].groups} for result in (one, other)
    ]
    assert positions[0] == positions[1]


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.integers(0, 10_000), st.sampled_from(LIGHT))
def test_labels_do_not_depend_on_where_the_molecule_lies(seed: int, groups_by_face: str) -> None:
    result = treated(groups_by_face)
    topology = result.molecule.topology
    rng = np.random.default_rng(seed)
    for conformer in result.conformers[:6]:
        moved = conformer.minimum.positions @ rotation(rng).T + rng.normal(scale=20.0, size=3)
        shape = ring_shape(moved[topology.ring])
        ligands = ligand_positions(topology, moved, shape)
        assert (shape.form, shape.family) == (conformer.shape.form, conformer.shape.family)
        assert shape.theta_deg == pytest.approx(conformer.shape.theta_deg, abs=1e-6)
        assert [x.position for x in ligands] == [x.position for x in conformer.ligands]
        assert which_chair(shape, two_chairs(topology)) == conformer.chair
        found = find_contacts(topology, moved, shape, ligands)
        assert [(c.kind, c.carbons) for c in found] == [(c.kind, c.carbons) for c in conformer.contacts]


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_seed_does_not_matter_to_a_complete_walk(groups_by_face: str) -> None:
    one, other = treated(groups_by_face), treated(groups_by_face, seed=99)
    assert one.search.exhaustive
    assert_same(one, other)


@pytest.mark.parametrize("groups_by_face", ["1 up CH3", "1 up C2H5", "1 up OH, 2 down Cl"])
def test_openmm_as_minimiser_gives_the_same_gaps(groups_by_face: str) -> None:
    one, other = treated(groups_by_face), treated(groups_by_face, engine="openmm")
    for key in ("potential_kcal_mol", "ensemble_kcal_mol", "gibbs_kcal_mol", "to_non_chair_kcal_mol"):
        assert getattr(one.gaps, key) == pytest.approx(getattr(other.gaps, key), abs=1e-4)


@pytest.mark.parametrize(
    "groups_by_face", [*SPOKEN, "1 up C6H5", pytest.param("1 up CO2CH3, 4 up NO2", marks=pytest.mark.long)]
)
def test_engines_agree_at_every_minimum(groups_by_face: str) -> None:
    for conformer in treated(groups_by_face).conformers:
        assert conformer.check.energy_difference_kcal_mol is not None
        assert conformer.check.gradient_difference_kcal_mol_angstrom is not None
        assert conformer.check.energy_difference_kcal_mol <= 1e-6
        assert conformer.check.gradient_difference_kcal_mol_angstrom <= 1e-5
        assert conformer.minimum.gradient_rms_kcal_mol_angstrom <= 1e-4
        assert conformer.minimum.frequencies_cm1[0] > 0.0


@pytest.mark.parametrize("force_field", ["UFF", "MMFF94s"])
def test_other_force_fields_run(force_field: str) -> None:
    result = treated("1 up CH3", force_field=force_field)  # type: ignore[arg-type]
    assert result.gaps.potential_kcal_mol is not None and result.gaps.potential_kcal_mol > 1.0
    checked = result.conformers[0].check.energy_difference_kcal_mol
    assert (checked is None) == (force_field == "UFF")
