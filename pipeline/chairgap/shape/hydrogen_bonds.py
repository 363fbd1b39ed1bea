"""Hydrogen bonds between two groups of the ring, by geometry."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.contacts import ligand_atoms

# Geometric criterion of our own, looser in angle than the IUPAC recommendation (E. Arunan et al., Pure Appl.
# Chem. 2011, 83, 1637: preferably above 110 degrees), so that vicinal diols are seen.
H_BOND_ANGSTROM = 2.5
H_BOND_DEG = 100.0
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
