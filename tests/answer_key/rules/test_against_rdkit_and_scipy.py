"""The symbolic answers against general libraries: RDKit's CIP labels and InChI, scipy's constants."""

import math

import pytest
import scipy.constants
from hypothesis import given, settings
from hypothesis import strategies as st
from key_helpers import answered, claim, facts
from rdkit import Chem
from rdkit.Chem import rdCIPLabeler

from chairgap.answer_key.rules.answers.handedness import handedness

GROUPS = ("CH3", "OH", "Cl")
LIGANDS = st.lists(
    st.tuples(st.integers(1, 6), st.sampled_from(["up", "down"]), st.sampled_from(GROUPS)),
    min_size=1,
    max_size=6,
    unique_by=lambda ligand: ligand[:2],
)


def mirrored(mol: Chem.Mol) -> Chem.Mol:
    image = Chem.Mol(mol)
    for atom in image.GetAtoms():
        if atom.GetChiralTag() != Chem.ChiralType.CHI_UNSPECIFIED:
            atom.InvertChirality()
    return image


@settings(max_examples=120, deadline=None, derandomize=True)
@given(LIGANDS)
def test_chirality_against_inchi(ligands: list[tuple[int, str, str]]) -> None:
    """A molecule is chiral exactly when InChI tells it from its mirror image."""
    text = ", ".join(f"{carbon} {face} {group}" for carbon, face, group in sorted(ligands))
    mol = Chem.MolFromSmiles(facts(text).smiles)
    differ = Chem.MolToInchi(mol) != Chem.MolToInchi(mirrored(mol))
    assert handedness(facts(text)).chiral == differ


@settings(max_examples=60, deadline=None, derandomize=True)
@given(LIGANDS)
def test_cip_labels_of_the_smiles(ligands: list[tuple[int, str, str]]) -> None:
    """As many R, S, r and s at ring carbons as RDKit finds in the molecule read anew from its SMILES."""
    text = ", ".join(f"{carbon} {face} {group}" for carbon, face, group in sorted(ligands))
    mol = Chem.MolFromSmiles(facts(text).smiles)
    rdCIPLabeler.AssignCIPLabels(mol)
    expected = sorted(atom.GetProp("_CIPCode") for atom in mol.GetAtoms() if atom.HasProp("_CIPCode"))
    assert sorted(label for label in facts(text).cip if label) == expected


@pytest.mark.parametrize(
    ("smiles", "labels"),
    [
        ("C[C@@H]1CCCC[C@H]1C", {"R": 2}),  # (1R,2R)-trans-1,2-dimethylcyclohexane, from memory
        ("C[C@@H]1CCCC[C@@H]1C", {"R": 1, "S": 1}),
        ("CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O", {"R": 2, "S": 1}),  # (-)-menthol is 1R,2S,5R
    ],
)
def test_named_molecules(smiles: str, labels: dict[str, int]) -> None:
    found = [label for label in facts(smiles).cip if label]
    assert {label: found.count(label) for label in set(found)} == labels


@pytest.mark.parametrize("temperature", [250.0, 298.15, 350.0])
@pytest.mark.parametrize("text", ["1 up CH3", "1 up CH3, 2 down CH3", "1 up OH"])
def test_k_and_percent_against_scipy(text: str, temperature: float) -> None:
    gap = answered(claim(text, "gap", "")).value
    assert gap is not None
    rt = scipy.constants.R * temperature / (1000.0 * scipy.constants.calorie)
    k = math.exp(gap / rt)
    assert answered(claim(text, "K", "", temperature_k=temperature)).value == pytest.approx(k, rel=1e-9)
    percent = answered(claim(text, "percent", "", temperature_k=temperature)).value
    assert percent == pytest.approx(100.0 * k / (1.0 + k), rel=1e-9)
    two = [
        answered(claim(text, "percent", "", percent_of=letter, temperature_k=temperature)).value or 0.0
        for letter in ("A", "B")
    ]
    assert sum(two) == pytest.approx(100.0)


def test_cis_12_chairs_are_interconverting_mirror_images() -> None:
    """Meso cis-1,2: each chair is chiral, the flip makes its mirror image. Common practice, no source."""
    hand = handedness(facts("1 up CH3, 2 up CH3"))
    assert hand.interconverting and not hand.chiral
    assert not handedness(facts("1 up CH3, 3 up CH3")).interconverting
    assert not handedness(facts("1 up CH3, 4 down CH3")).chair_chiral
    assert handedness(facts("1 up CH3, 2 down CH3")).chiral
