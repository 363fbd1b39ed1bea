"""Which atoms may accept a hydrogen bond, against formal charges counted by RDKit."""

import numpy as np
import pytest
from rdkit import Chem

from chairgap.molecule.build import open_molecule
from chairgap.records import Molecule
from chairgap.shape.hydrogen_bonds import bonding_pairs, hydrogen_bonds
from pipeline_helpers import molecule, neighbours

ACCEPTING = {"N", "O", "F", "Cl", "S"}  # common practice, no source


def bonds_to(built: Molecule, acceptor: int) -> int:
    """Hydrogen bonds with the hydroxyl of C1 pointing at an atom, 2 angstrom off, all else far away."""
    topology = built.topology
    oxygen = topology.carbons[0].up.atom
    (hydrogen,) = [near for near in neighbours(topology, oxygen) if topology.symbols[near] == "H"]
    positions = 100.0 * np.arange(3 * len(topology.symbols), dtype=float).reshape(-1, 3) ** 1.1
    positions[oxygen], positions[hydrogen], positions[acceptor] = [-0.97, 0, 0], [0, 0, 0], [2.0, 0, 0]
    return len(hydrogen_bonds(topology, positions))


@pytest.mark.parametrize(
    "group",
    [
        "NH2", "NH3+", "NO2", "N3", "NC", "CN", "NCO", "SCN", "*N=O", "*[N+](C)(C)[O-]", "*[N+](C)(C)C",
        "*C(=O)N", "ONO2", "*c1ccccn1", "*/C=[N+](/C)[O-]", "SH", "F", "CH3", "OCH3",
    ],
)  # fmt: skip
def test_nitrogen_without_a_lone_pair_accepts_nothing(group: str) -> None:
    """Positive nitrogen of four bonds has no lone pair left; every other N, O, F, Cl and S has one."""
    built = molecule(f"1 up OH, 3 up {group}")
    mol: Chem.Mol = open_molecule(built)
    own = {built.topology.carbons[0].up.atom}
    for atom in mol.GetAtoms():
        if atom.GetIdx() in own or atom.GetIdx() in neighbours(built.topology, min(own)):
            continue
        expected = atom.GetSymbol() in ACCEPTING and not (
            atom.GetSymbol() == "N" and atom.GetFormalCharge() > 0
        )
        assert bonds_to(built, atom.GetIdx()) == expected, (group, atom.GetIdx(), atom.GetSymbol())


@pytest.mark.parametrize(
    ("groups_by_face", "pairs"),
    [
        ("1 up OH, 2 down Cl", [(1, 2)]),
        ("1 up OH, 3 up NH2", [(1, 3)]),
        ("1 up OH, 3 down NH2", []),
        ("1 up OH, 5 up OCH3", [(1, 5)]),
        ("1 up OH, 4 up OH", []),
        ("1 up OCH3, 2 up F", []),
        ("1 up CH3, 2 up OH", []),
        ("1 up NO2, 2 down OH, 6 up SH", [(1, 2)]),
        ("1 up OH, 1 down CN, 6 up NH3+", [(1, 1), (1, 6), (1, 6)]),
    ],
)
def test_pairs_that_may_form_a_hydrogen_bond(groups_by_face: str, pairs: list[tuple[int, int]]) -> None:
    """Donor H on N or O, a lone pair, and near enough in a chair (common practice, no source)."""
    found = bonding_pairs(molecule(groups_by_face).topology)
    assert [(one[0], other[0]) for one, other in found] == pairs
