"""The bonded structure in plain arrays: labelled atoms, automorphisms, fixed centres, stiff double bonds."""

import signal
from collections import defaultdict
from itertools import combinations

import numpy as np
from rdkit import Chem

from chairgap.errors import MoleculeError
from chairgap.molecule.rdkit_log import rdkit_log
from chairgap.records import Integers

MOST_AUTOMORPHISMS = 200_000
_SINGLE, _DOUBLE = Chem.BondType.SINGLE, Chem.BondType.DOUBLE
# Three-coordinate atoms of these elements keep their handedness at room temperature (barriers of inversion
# above about 30 kcal/mol; common practice, no source). Nitrogen and oxygen invert.
_KEEPS_HANDEDNESS_WITH_THREE = {"P", "S", "As", "Se", "Te"}


def resonance_twins(mol: Chem.Mol) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """(centre, its equal neighbours) where one Lewis structure draws equal ends unequally.

    Ends are equal when element, hydrogens and number of neighbours agree and they differ only in one bearing
    the double bond and another the charge: the O of NO2, CO2-, SO3-, the N of an amidinium. mol has
    explicit hydrogens.
    """
    found = []
    for centre in mol.GetAtoms():
        alike: dict[tuple[str, int, int], list[Chem.Atom]] = defaultdict(list)
        for end in centre.GetNeighbors():
            heavy = sum(other.GetAtomicNum() != 1 for other in end.GetNeighbors())
            if heavy == 1 and end.GetSymbol() in ("O", "S", "Se", "N"):
                alike[(end.GetSymbol(), end.GetDegree(), end.GetIsotope())].append(end)
        for ends in alike.values():
            bonds = {mol.GetBondBetweenAtoms(centre.GetIdx(), end.GetIdx()).GetBondType() for end in ends}
            charges = {end.GetFormalCharge() for end in ends}
            if bonds == {_SINGLE, _DOUBLE} and len(charges) == 2:
                found.append((centre.GetIdx(), tuple(sorted(end.GetIdx() for end in ends))))
    return tuple(found)


def labelled_atoms(mol: Chem.Mol) -> Integers:
    """(k,) heavy atoms and hydrogens on heteroatoms."""
    return np.array(
        [
            atom.GetIdx()
            for atom in mol.GetAtoms()
            if atom.GetAtomicNum() != 1 or any(other.GetAtomicNum() != 6 for other in atom.GetNeighbors())
        ],
        dtype=np.int64,
    )


def automorphisms(mol: Chem.Mol, ring: Integers, labelled: Integers) -> Integers:
    """(a, n) maps of the labelled atoms onto themselves that keep elements, charges, bonds and the ring.

    Stereo is ignored. Atoms that are not labelled map to themselves. Raises MoleculeError when there are more
    than MOST_AUTOMORPHISMS.
    """
    skeleton = _skeleton(mol, ring, labelled)
    found = _matches(skeleton)
    if len(found) > MOST_AUTOMORPHISMS:
        raise MoleculeError(
            f"The molecule has more than {MOST_AUTOMORPHISMS:,} permutations of equal atoms, too many to "
            "count the degeneracies of its conformers; take fewer tert-butyl-like groups."
        )
    maps = np.tile(np.arange(mol.GetNumAtoms(), dtype=np.int64), (len(found), 1))
    maps[:, labelled] = labelled[np.array(found, dtype=np.int64)]
    return maps[np.lexsort(maps.T[::-1])]


def _matches(skeleton: Chem.Mol) -> tuple[tuple[int, ...], ...]:
    """Every match of a molecule on itself, up to one more than MOST_AUTOMORPHISMS.

    While RDKit looks for them it keeps Ctrl-C to itself, also where the process ignores it, and gives those
    that it has found so far with no more than a line of its log. They are looked for again, after the program
    has had its signal.
    """
    while True:
        with rdkit_log() as log:
            found = skeleton.GetSubstructMatches(skeleton, uniquify=False, maxMatches=MOST_AUTOMORPHISMS + 1)
        if not any("interrupted" in line for line in log):
            return tuple(found)
        signal.raise_signal(signal.SIGINT)


def _skeleton(mol: Chem.Mol, ring: Integers, labelled: Integers) -> Chem.Mol:
    """The labelled atoms as a bare graph; what must agree is folded into each atom's isotope number."""
    twins = resonance_twins(mol)
    twin_bonds = {frozenset((centre, end)) for centre, ends in twins for end in ends}
    in_twin = {atom for centre, ends in twins for atom in (centre, *ends)}
    kinds: dict[tuple[object, ...], int] = {}
    skeleton, new_index = Chem.RWMol(), {}
    for index in labelled.tolist():
        atom = mol.GetAtomWithIdx(index)
        charge = "shared" if index in in_twin else atom.GetFormalCharge()
        kind = (atom.GetAtomicNum(), charge, atom.GetDegree(), index in ring)
        bare = Chem.Atom(atom.GetAtomicNum())
        bare.SetNoImplicit(True)
        bare.SetIsotope(kinds.setdefault(kind, len(kinds) + 1))
        new_index[index] = skeleton.AddAtom(bare)
    for bond in mol.GetBonds():
        ends = bond.GetBeginAtomIdx(), bond.GetEndAtomIdx()
        if all(end in new_index for end in ends):
            shared = frozenset(ends) in twin_bonds
            order = Chem.BondType.ONEANDAHALF if shared else bond.GetBondType()
            skeleton.AddBond(new_index[ends[0]], new_index[ends[1]], order)
    return skeleton.GetMol()


def fixed_centres(mol: Chem.Mol, ring: Integers, labelled: Integers) -> Integers:
    """(c, 4) tetrahedral or pyramidal atom outside the ring, three labelled neighbours.

    Taken are atoms whose handedness no rotation changes: four neighbours, or three at P, S and the like.
    """
    counted, ring_atoms = set(labelled.tolist()), set(ring.tolist())
    rows = []
    for atom in mol.GetAtoms():
        neighbours = sorted(other.GetIdx() for other in atom.GetNeighbors())
        named = [index for index in neighbours if index in counted]
        if atom.GetIdx() in ring_atoms or len(named) < 3:
            continue
        if len(neighbours) == 4 or (len(neighbours) == 3 and _is_stable_pyramid(atom)):
            rows.append([atom.GetIdx(), *named[:3]])
    return np.array(rows, dtype=np.int64).reshape(-1, 4)


def _is_stable_pyramid(atom: Chem.Atom) -> bool:
    return (
        atom.GetSymbol() in _KEEPS_HANDEDNESS_WITH_THREE
        and atom.GetHybridization() == Chem.HybridizationType.SP3
    )


def stiff_bonds(mol: Chem.Mol, labelled: Integers) -> Integers:
    """(s, 4) one dihedral i-j-k-l per double bond j=k of C and N outside rings with labelled i and l.

    One is enough to see the two ends of a bond change sides. Cumulated bonds have no such dihedral.
    """
    counted = set(labelled.tolist())
    shared = {frozenset((centre, end)) for centre, ends in resonance_twins(mol) for end in ends}
    rows = []
    for bond in mol.GetBonds():
        ends = bond.GetBeginAtom(), bond.GetEndAtom()
        pair = frozenset(end.GetIdx() for end in ends)
        stiff = bond.GetBondType() == _DOUBLE or pair in shared
        if not stiff or bond.IsInRing() or any(end.GetSymbol() not in ("C", "N") for end in ends):
            continue
        if any(end.GetHybridization() == Chem.HybridizationType.SP for end in ends):
            continue
        outer = [
            min((o.GetIdx() for o in end.GetNeighbors() if o.GetIdx() in counted - pair), default=None)
            for end in ends
        ]
        if None not in outer:
            rows.append([outer[0], ends[0].GetIdx(), ends[1].GetIdx(), outer[1]])
    return np.array(rows, dtype=np.int64).reshape(-1, 4)


def stereogenic_cumulenes(mol: Chem.Mol) -> tuple[int, ...]:
    """Middle atoms of C=C=C units whose two ends each have two different groups (axial chirality)."""
    ranks = list(Chem.CanonicalRankAtoms(mol, breakTies=False, includeChirality=False))
    found = []
    for middle in mol.GetAtoms():
        bonds = middle.GetBonds()
        if len(bonds) != 2 or any(bond.GetBondType() != _DOUBLE for bond in bonds):
            continue
        ends = [bond.GetOtherAtom(middle) for bond in bonds]
        arms = [
            [ranks[o.GetIdx()] for o in end.GetNeighbors() if o.GetIdx() != middle.GetIdx()] for end in ends
        ]
        if all(len(arm) == 2 and all(a != b for a, b in combinations(arm, 2)) for arm in arms):
            found.append(middle.GetIdx())
    return tuple(found)
