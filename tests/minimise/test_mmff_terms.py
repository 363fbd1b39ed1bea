"""MMFF terms read from RDKit: counts and values that can be worked out by hand, and what is refused.

Parameters named below are of Halgren, J. Comput. Chem. 1996, 17, 490-519, 553-586 (parts I and III).
"""

import numpy as np
import pytest
from rdkit import Chem
from rdkit.Chem.rdForceFieldHelpers import MMFFGetMoleculeProperties

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.mmff_terms import mmff_terms


def _mol(smiles: str) -> Chem.Mol:
    return Chem.AddHs(Chem.MolFromSmiles(smiles))


def _pairs(terms) -> dict[tuple[int, int], int]:
    return {tuple(sorted(pair)): row for row, pair in enumerate(terms.pairs.atoms.tolist())}


def test_cyclohexane_counted_by_hand():
    """6 carbons with 4 bonds each: 18 bonds, 6 x 6 angles, 6 x 9 torsions; 18 x 17/2 pairs less 18 and 36."""
    terms = mmff_terms(_mol("C1CCCCC1"), "MMFF94")
    assert terms.types.tolist() == [1] * 6 + [5] * 12
    assert terms.stretches.atoms.shape == (18, 2)
    assert terms.bends.atoms.shape == (36, 3)
    assert terms.stretch_bends.atoms.shape == (36, 3)
    assert terms.linear_bends.atoms.shape == (0, 3)
    assert terms.out_of_planes.atoms.shape == (0, 4)
    assert terms.torsions.atoms.shape == (54, 4)
    assert terms.pairs.atoms.shape == (153 - 18 - 36, 2)
    np.testing.assert_allclose(terms.charges_e, 0.0, atol=1e-12)


def test_alkane_parameters_are_the_published_ones():
    """Types 1-1: 4.258 mdyn/A and 1.508 A; 1-5: 4.766 and 1.093: so printed in the suite's reference log."""
    terms = mmff_terms(_mol("CC"), "MMFF94")
    values = {
        tuple(sorted(terms.types[pair].tolist())): (force, length)
        for pair, force, length in zip(
            terms.stretches.atoms,
            terms.stretches.force_mdyn_angstrom,
            terms.stretches.length_angstrom,
            strict=True,
        )
    }
    assert values == {(1, 1): (4.258, 1.508), (1, 5): (4.766, 1.093)}


def test_stretch_bend_columns_follow_the_order_of_the_atoms():
    """H-C-C in ethane: the column of the C-C bond has its reference length 1.508, that of C-H 1.093 A."""
    terms = mmff_terms(_mol("CC"), "MMFF94")
    part = terms.stretch_bends
    for (i, j, k), lengths in zip(part.atoms.tolist(), part.length_angstrom.tolist(), strict=True):
        assert lengths == [1.508 if {other, j} == {0, 1} else 1.093 for other in (i, k)]


def test_ethane_pairs_are_the_nine_one_four_pairs():
    assert sorted(_pairs(mmff_terms(_mol("CC"), "MMFF94"))) == [(i, j) for i in (2, 3, 4) for j in (5, 6, 7)]


def test_charges_three_bonds_apart_count_three_quarters():
    """Ethanol, hydroxyl hydrogen: 1-4 to the CH2 hydrogens (x 0.75), 1-5 to those of CH3 (in full)."""
    terms = mmff_terms(_mol("CCO"), "MMFF94")
    rows = _pairs(terms)
    hydroxyl = 8
    charges = terms.charges_e
    assert charges[2] < 0.0 < charges[hydroxyl]
    one_four = terms.pairs.charges_e2[rows[(0, hydroxyl)]]
    assert one_four == pytest.approx(0.75 * charges[0] * charges[hydroxyl])
    one_five = terms.pairs.charges_e2[rows[(3, hydroxyl)]]
    assert one_five == pytest.approx(charges[3] * charges[hydroxyl])
    assert (2, 3) in rows, "O and a methyl hydrogen are three bonds apart"
    assert terms.pairs.charges_e2[rows[(2, 3)]] == pytest.approx(0.75 * charges[2] * charges[3])


def test_donor_and_acceptor_are_drawn_closer():
    """Part I, below equation 12: R* x 0.8 and epsilon x 0.5 between a polar hydrogen and an acceptor."""
    mol = _mol("OCCCO")
    terms = mmff_terms(mol, "MMFF94")
    mmff = MMFFGetMoleculeProperties(mol)
    donor = next(a.GetIdx() for a in mol.GetAtomWithIdx(0).GetNeighbors() if a.GetSymbol() == "H")
    row = _pairs(terms)[(4, donor)]
    radius, well, *_ = mmff.GetMMFFVdWParams(4, donor)
    assert terms.pairs.radius_angstrom[row] == pytest.approx(0.8 * radius)
    assert terms.pairs.well_kcal_mol[row] == pytest.approx(0.5 * well)


@pytest.mark.parametrize(
    ("smiles", "straight"),
    [
        ("CC#N", 1),
        ("CC#CC", 2),
        ("C=C=C", 1),
        ("C[N+]#[C-]", 1),
        ("CN=[N+]=[N-]", 1),
        ("CN=C=O", 1),
        ("CC=O", 0),
    ],
)
def test_straight_centres_have_a_bend_of_their_own_and_no_stretch_bend(smiles, straight):
    terms = mmff_terms(_mol(smiles), "MMFF94")
    centres = terms.linear_bends.atoms[:, 1].tolist()
    assert len(centres) == straight
    assert not set(centres) & set(terms.bends.atoms[:, 1].tolist())
    assert not set(centres) & set(terms.stretch_bends.atoms[:, 1].tolist())
    assert not set(centres) & set(terms.torsions.atoms[:, 1:3].ravel().tolist())


def test_three_membered_ring_has_no_stretch_bend_and_no_torsion_along_itself():
    terms = mmff_terms(_mol("C1CC1"), "MMFF94")
    ring = {0, 1, 2}
    assert any(set(atoms) == ring for atoms in terms.bends.atoms.tolist())
    assert not any(set(atoms) == ring for atoms in terms.stretch_bends.atoms.tolist())
    assert all(len(set(atoms)) == 4 for atoms in terms.torsions.atoms.tolist())


def test_four_membered_ring_has_no_torsion_along_itself():
    terms = mmff_terms(_mol("C1CCC1"), "MMFF94")
    assert not any(set(atoms) == {0, 1, 2, 3} for atoms in terms.torsions.atoms.tolist())
    assert len(terms.torsions.atoms) == 4 * 9 - 4


def test_flat_centre_has_three_out_of_plane_terms_with_one_constant():
    terms = mmff_terms(_mol("CC(C)=O"), "MMFF94")
    part = terms.out_of_planes
    assert part.atoms[:, 1].tolist() == [1, 1, 1]
    assert sorted(part.atoms[:, 3].tolist()) == [0, 2, 3]
    assert len(set(part.force_mdyn_angstrom_rad2.tolist())) == 1


def test_variants_differ_at_the_amide_nitrogen_only():
    """MMFF94s (Halgren 1999) stiffens delocalised nitrogen and its torsions, and nothing else."""
    one, other = (mmff_terms(_mol("CC(=O)NC"), variant) for variant in ("MMFF94", "MMFF94s"))
    assert not np.array_equal(one.torsions.barrier_kcal_mol, other.torsions.barrier_kcal_mol)
    for part in ("stretches", "bends", "stretch_bends", "pairs"):
        for name, values in vars(getattr(one, part)).items():
            assert np.array_equal(values, getattr(getattr(other, part), name)), (part, name)


def test_separate_fragments_still_feel_each_other():
    """Two waters: no pair inside either, nine between them."""
    assert len(mmff_terms(_mol("O.O"), "MMFF94").pairs.atoms) == 9


def test_charges_of_an_ion_add_up():
    assert mmff_terms(_mol("[NH3+]C1CCCCC1"), "MMFF94").charges_e.sum() == pytest.approx(1.0)
    assert mmff_terms(_mol("[O-]C(=O)C1CCCCC1"), "MMFF94").charges_e.sum() == pytest.approx(-1.0)


def test_the_molecule_is_left_as_it_was():
    """Pyridine N-oxide and tropone: aromaticity of the force field differs from that of the molecule."""
    for smiles in ("[O-][n+]1ccccc1C1CCCCC1", "O=c1cccccc1C1CCCCC1"):
        mol = _mol(smiles)
        before = mol.ToBinary(Chem.PropertyPickleOptions.AllProps)
        mmff_terms(mol, "MMFF94s")
        assert mol.ToBinary(Chem.PropertyPickleOptions.AllProps) == before


def test_uff_is_refused():
    with pytest.raises(EngineError, match="UFF has no MMFF parameters; choose MMFF94 or MMFF94s"):
        mmff_terms(_mol("C1CCCCC1"), "UFF")


@pytest.mark.parametrize("element", ["OB(O)", "[SeH]", "C[Sn](C)(C)", "C[Ge](C)(C)"])
def test_elements_without_parameters_are_refused(element):
    with pytest.raises(MoleculeError, match="no parameters for an atom of this molecule; choose UFF"):
        mmff_terms(_mol(f"{element}C1CCCCC1"), "MMFF94")


def test_missing_hydrogens_are_refused():
    with pytest.raises(MoleculeError, match=r"C \(atom index 0\) has hydrogens that are not atoms"):
        mmff_terms(Chem.MolFromSmiles("C1CCCCC1"), "MMFF94")


def test_a_radical_is_refused():
    with pytest.raises(MoleculeError, match=r"C \(atom index 0\) is a radical"):
        mmff_terms(_mol("[CH2]C1CCCCC1"), "MMFF94")


@pytest.mark.parametrize(("smiles", "charge"), [("[CH2+]C1CCCCC1", r"\+1"), ("[CH2-]C1CCCCC1", "-1")])
def test_an_ion_typed_as_a_neutral_atom_is_refused(smiles, charge):
    with pytest.raises(MoleculeError, match=f"formal charges add up to {charge}"):
        mmff_terms(_mol(smiles), "MMFF94")
