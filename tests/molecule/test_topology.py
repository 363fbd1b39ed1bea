"""Arrays of the bonded structure, counted by hand."""

import os
import signal
import threading

import numpy as np
import pytest
from rdkit import Chem

from chairgap.molecule.build import open_molecule
from chairgap.molecule.symmetry import automorphisms, resonance_twins
from molecule.making import build

# smiles: (automorphisms, labelled atoms, fixed centres, stiff bonds)
COUNTS = {
    # the hexagon: 12 symmetry operations
    "C1CCCCC1": (12, 6, 0, 0),
    # reflection through C1 and C4
    "CC1CCCCC1": (2, 7, 0, 0),
    # the same, H of OH is labelled
    "OC1CCCCC1": (2, 8, 0, 0),
    # times 2 for the two CH3 of isopropyl; its CH is a centre (CH3, CH3, ring)
    "CC(C)C1CCCCC1": (4, 9, 1, 0),
    # times 3! for tert-butyl
    "CC(C)(C)C1CCCCC1": (12, 10, 1, 0),
    # times 2 for NH2; amine nitrogen is no centre
    "NC1CCCCC1": (4, 9, 0, 0),
    # times 3! for NH3+, which is a centre
    "[NH3+]C1CCCCC1": (12, 10, 1, 0),
    # the two O of nitro and of carboxylate are equal, those of the acid are not
    "O=[N+]([O-])C1CCCCC1": (4, 9, 0, 0),
    "[O-]C(=O)C1CCCCC1": (4, 9, 0, 0),
    "OC(=O)C1CCCCC1": (2, 10, 0, 0),
    # sulfone: two equal O; sulfonate: three; both are tetrahedral
    "CS(=O)(=O)C1CCCCC1": (4, 10, 1, 0),
    "[O-]S(=O)(=O)C1CCCCC1": (12, 10, 1, 0),
    # phenyl turns over
    "c1ccc(cc1)C1CCCCC1": (4, 12, 0, 0),
    # azide: a chain of three different N
    "[N-]=[N+]=NC1CCCCC1": (2, 9, 0, 0),
    # two equal rings, of which one is the ring: they do not change places
    "C1CCCCC1C1CCCCC1": (4, 12, 1, 0),
    # rectangle: turn and two reflections, times 2 x 2 for the geminal pairs
    "CC1(C)CCC(C)(C)CC1": (16, 10, 0, 0),
    # sulfoxide: a stable pyramid
    "C[S@](=O)C1CCCCC1": (2, 9, 1, 0),
    # the double bond: CH3-CH=CH-ring; vinyl has nothing at its far end
    "C/C=C/C1CCCCC1": (2, 9, 0, 1),
    "C=CC1CCCCC1": (2, 8, 0, 0),
    "CC(C)=CC1CCCCC1": (4, 10, 0, 1),
    # imine N-H: its hydrogen is labelled
    "[H]/N=C/C1CCCCC1": (2, 9, 0, 1),
    # amidinium: the two NH2 are equal; 2 (ring) x 2 (swap) x 2 x 2 (hydrogens), both C-N bonds stiff
    "NC(=[NH2+])C1CCCCC1": (16, 13, 0, 2),
    # amide: no stiff bond
    "NC(=O)C1CCCCC1": (4, 11, 0, 0),
    # silyl: Si and its three hydrogens, labelled as they sit on a heteroatom
    "[SiH3]C1CCCCC1": (12, 10, 1, 0),
}


@pytest.mark.parametrize("smiles", COUNTS)
def test_counts_by_hand(smiles: str) -> None:
    topology = build(smiles=smiles).topology
    found = tuple(
        len(a) for a in (topology.automorphisms, topology.labelled, topology.centres, topology.stiff_bonds)
    )
    assert found == COUNTS[smiles]


def test_automorphisms_form_a_group_and_keep_bonds_and_ring() -> None:
    topology = build(smiles="CC(C)[C@H]1CC[C@@H](C(C)C)CC1").topology
    n = len(topology.symbols)
    maps = {tuple(row) for row in topology.automorphisms.tolist()}
    assert len(maps) == len(topology.automorphisms) == 16
    assert tuple(range(n)) in maps
    labelled = set(topology.labelled.tolist())
    bonds = {frozenset(pair) for pair in topology.bonds.tolist() if set(pair) <= labelled}
    for first in maps:
        assert {frozenset((first[i], first[j])) for i, j in map(tuple, bonds)} == bonds
        assert {first[atom] for atom in topology.ring} == set(topology.ring.tolist())
        assert all(first[atom] == atom for atom in range(n) if atom not in labelled)
        assert {tuple(first[second[i]] for i in range(n)) for second in maps} == maps


def test_ctrl_c_while_automorphisms_are_looked_for_reaches_the_program_and_cuts_nothing_short() -> None:
    """RDKit kept it to itself and gave those that it had found: degeneracies would have been wrong."""
    neopentane = Chem.AddHs(Chem.MolFromSmiles("CC(C)(C)C"))
    atoms = np.arange(neopentane.GetNumAtoms())
    seen: list[int] = []
    over = threading.Event()

    def press() -> None:
        for _ in range(20):
            if over.wait(0.01):
                return
            os.kill(os.getpid(), signal.SIGINT)

    before = signal.signal(signal.SIGINT, lambda number, _: seen.append(number))
    keyboard = threading.Thread(target=press)
    try:
        keyboard.start()
        found = automorphisms(neopentane, atoms[1:2], atoms)
    finally:
        over.set()
        keyboard.join()
        signal.signal(signal.SIGINT, before)
    assert len(found) == 24 * 6**4 and seen


def test_arrays_have_their_shapes() -> None:
    topology = build(smiles="C1CCCCC1").topology
    assert topology.automorphisms.shape == (12, 18)
    assert topology.bonds.shape == (18, 2)
    assert topology.centres.shape == (0, 4)
    assert topology.stiff_bonds.shape == (0, 4)
    assert topology.masses_u.sum() == pytest.approx(84.162, abs=1e-3)  # C6H12, standard atomic weights
    assert topology.groups == ()


def test_bonds_and_symbols_agree_with_the_binary() -> None:
    molecule = build(smiles="CS(=O)(=O)N[C@H]1CC[C@@H](C)CC1")
    mol = open_molecule(molecule)
    assert mol.GetNumConformers() == 0
    assert tuple(atom.GetSymbol() for atom in mol.GetAtoms()) == molecule.topology.symbols
    assert not any(atom.GetAtomMapNum() or atom.GetNumImplicitHs() for atom in mol.GetAtoms())
    pairs = {frozenset((b.GetBeginAtomIdx(), b.GetEndAtomIdx())) for b in mol.GetBonds()}
    assert pairs == {frozenset(pair) for pair in molecule.topology.bonds.tolist()}
    assert Chem.MolToInchi(Chem.MolFromSmiles(Chem.MolToSmiles(Chem.RemoveHs(mol)))) == molecule.inchi


def test_resonance_twins() -> None:
    def twins(smiles: str) -> list[tuple[str, ...]]:
        mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
        return [tuple(mol.GetAtomWithIdx(i).GetSymbol() for i in ends) for _, ends in resonance_twins(mol)]

    assert twins("C[N+](=O)[O-]") == [("O", "O")]
    assert twins("CO[N+](=O)[O-]") == [("O", "O")]
    assert twins("CP(=O)([O-])[O-]") == [("O", "O", "O")]
    assert twins("CP(=O)([O-])O") == [("O", "O")]
    assert twins("CC(=O)[S-]") == []
    assert twins("CS(C)(=O)=O") == []
    assert twins("CC(N)=O") == []


def test_centres_list_labelled_neighbours_only() -> None:
    topology = build(smiles="CC(C)C1CCCCC1").topology
    (centre,) = topology.centres
    assert set(centre.tolist()) <= set(topology.labelled.tolist())
    bonded = {frozenset(pair) for pair in topology.bonds.tolist()}
    assert all(frozenset((int(centre[0]), int(other))) in bonded for other in centre[1:])
    assert len(np.unique(centre)) == 4
