"""Hydrogen bonds between two groups of the ring, by geometry."""

import numpy as np

from chairgap.records import Floats, Topology
from chairgap.shape.contacts import ligand_atoms

# Geometric criterion of our own, looser in angle than the IUPAC recommendation (E. Arunan et al., Pure Appl.
# Chem. 2011, 83, 1637: preferably above 110 degrees), so that vicinal diols are seen.
H_BOND_ANGSTROM = 2.5
H_BOND_DEG = 100.0
_DONORS_ACCEPTORS = {"N", "O", "F", "Cl", "S"}


def hydrogen_bonds(topology: Topology, positions: Floats) -> tuple[tuple[float, float], ...]:
    """(H...Y angstrom, X-H...Y degrees) of each hydrogen bond between two different groups of the ring."""
    owner = np.full(len(topology.symbols), -1)
    for first, atoms in ligand_atoms(topology).items():
        owner[atoms] = first
    symbols = topology.symbols
    bonds = []
    for one, two in topology.bonds.tolist():
        for donor, hydrogen in ((one, two), (two, one)):
            if symbols[hydrogen] != "H" or symbols[donor] not in {"N", "O"}:
                continue
            for acceptor in range(len(symbols)):
                if symbols[acceptor] in _DONORS_ACCEPTORS and owner[acceptor] != owner[donor]:
                    bonds.append(_contact(positions, donor, hydrogen, acceptor))
    return tuple(
        (length, angle) for length, angle in bonds if length <= H_BOND_ANGSTROM and angle >= H_BOND_DEG
    )


def _contact(positions: Floats, donor: int, hydrogen: int, acceptor: int) -> tuple[float, float]:
    back = positions[donor] - positions[hydrogen]
    ahead = positions[acceptor] - positions[hydrogen]
    length = float(np.linalg.norm(ahead))
    cosine = float(back @ ahead) / (float(np.linalg.norm(back)) * length)
    return length, float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))
