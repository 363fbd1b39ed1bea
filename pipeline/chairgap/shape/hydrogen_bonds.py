"""Hydrogen bonds between two groups of the ring, by geometry."""

from itertools import combinations

import numpy as np

from chairgap.records import Face, Floats, Integers, Topology
from chairgap.shape.contacts import ligand_atoms

# Geometric criterion of our own, looser in angle than the IUPAC recommendation (E. Arunan et al., Pure Appl.
# Chem. 2011, 83, 1637: preferably above 110 degrees), so that vicinal diols are seen.
H_BOND_ANGSTROM = 2.5
H_BOND_DEG = 100.0
Site = tuple[int, Face]
_DONORS = {"N", "O"}
_ACCEPTORS = {"N", "O", "F", "Cl", "S"}


def hydrogen_bonds(topology: Topology, positions: Floats) -> tuple[tuple[float, float], ...]:
    """(H...Y angstrom, X-H...Y degrees) of each hydrogen bond between two different groups of the ring."""
    owner = np.full(len(topology.symbols), -1)
    for first, atoms in ligand_atoms(topology).items():
        owner[atoms] = first
    symbols = topology.symbols
    acceptors = [atom for atom, symbol in enumerate(symbols) if symbol in _ACCEPTORS]
    acceptors = [atom for atom in acceptors if _has_lone_pair(topology, atom)]
    bonds = []
    for one, two in topology.bonds.tolist():
        for donor, hydrogen in ((one, two), (two, one)):
            if symbols[hydrogen] != "H" or symbols[donor] not in _DONORS:
                continue
            bonds += [
                _contact(positions, donor, hydrogen, acceptor)
                for acceptor in acceptors
                if owner[acceptor] != owner[donor]
            ]
    return tuple(
        (length, angle) for length, angle in bonds if length <= H_BOND_ANGSTROM and angle >= H_BOND_DEG
    )


def bonding_pairs(topology: Topology) -> tuple[tuple[Site, Site], ...]:
    """The pairs of groups between which a hydrogen bond can form in a chair, by (carbon, face), in the order
    of the groups: one has H on N or O, the other a lone pair, and they are geminal, 1,2 or cis-1,3 to each
    other. By groups alone, whatever the conformers show."""
    atoms, groups = ligand_atoms(topology), topology.groups
    gives = {ligand.atom for _, ligand in groups if _gives(topology, atoms[ligand.atom])}
    takes = {ligand.atom for _, ligand in groups if _takes(topology, atoms[ligand.atom])}
    return tuple(
        ((carbon, one.face), (other_carbon, other.face))
        for (carbon, one), (other_carbon, other) in combinations(groups, 2)
        if _near(other_carbon - carbon, same_face=one.face == other.face)
        and ((one.atom in gives and other.atom in takes) or (one.atom in takes and other.atom in gives))
    )


def _near(apart: int, *, same_face: bool) -> bool:
    return apart in (0, 1, 5) or (apart in (2, 4) and same_face)


def _gives(topology: Topology, atoms: Integers) -> bool:
    members = set(atoms.tolist())
    return any(
        {topology.symbols[one], topology.symbols[two]} & _DONORS
        and "H" in (topology.symbols[one], topology.symbols[two])
        for one, two in topology.bonds.tolist()
        if one in members and two in members
    )


def _takes(topology: Topology, atoms: Integers) -> bool:
    return any(
        topology.symbols[atom] in _ACCEPTORS and _has_lone_pair(topology, atom) for atom in atoms.tolist()
    )


def _has_lone_pair(topology: Topology, atom: int) -> bool:
    """False for nitrogen that has none: with four neighbours (ammonium), with three of which one is a bare O
    (nitro, N-oxide), with two of which one is a bare C or N (isocyano, the middle of azido). Neighbours alone
    do not distinguish pyridinium from an amine."""
    if topology.symbols[atom] != "N":
        return True
    around = _neighbours(topology, atom)
    bare = {topology.symbols[near] for near in around if len(_neighbours(topology, near)) == 1}
    forbidden = {2: {"C", "N"}, 3: {"O"}}.get(len(around), set())
    return len(around) < 4 and not bare & forbidden


def _neighbours(topology: Topology, atom: int) -> list[int]:
    return [b if a == atom else a for a, b in topology.bonds.tolist() if atom in (a, b)]


def _contact(positions: Floats, donor: int, hydrogen: int, acceptor: int) -> tuple[float, float]:
    back = positions[donor] - positions[hydrogen]
    ahead = positions[acceptor] - positions[hydrogen]
    length = float(np.linalg.norm(ahead))
    cosine = float(back @ ahead) / (float(np.linalg.norm(back)) * length)
    return length, float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))
