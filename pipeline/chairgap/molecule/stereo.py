"""Whether coordinates still show the configuration a molecule was built with."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from rdkit import Chem

from chairgap.molecule.reading import mol_from_binary
from chairgap.records import Floats, Integers, Molecule
from chairgap.shape.torsions import torsion_directions

_LEFT = Chem.ChiralType.CHI_TETRAHEDRAL_CCW
_MARKED = (Chem.ChiralType.CHI_TETRAHEDRAL_CW, _LEFT)
_SAME_SIDE = (Chem.BondStereo.STEREOCIS, Chem.BondStereo.STEREOZ)
_STEREO = (*_SAME_SIDE, Chem.BondStereo.STEREOTRANS, Chem.BondStereo.STEREOE)


@dataclass(frozen=True, kw_only=True)
class _Reference:
    """corners (c, 4) span a tetrahedron whose volume has the sign hands (c,); bonds (b, 4) are dihedrals
    i-j=k-l whose ends stand on the same side where sides (b,) is +1 and on opposite sides where it is -1."""

    corners: Integers
    hands: NDArray[np.int64]
    bonds: Integers
    sides: NDArray[np.int64]


def stereo_survives(molecule: Molecule, positions: Floats) -> bool:
    """Whether positions (n, 3) keep the face of every ring ligand, the hand of every stereocentre and the
    sides of every double bond. Amine nitrogens are free to invert."""
    reference = _reference(molecule.rdkit_binary)
    corners = positions[reference.corners]
    arms = corners[:, :3] - corners[:, 3:]
    # (1) sign of a . (b x c) = det (a b c): + when b, c and the fourth corner turn left seen from a
    if not (np.sign(np.linalg.det(arms)) == reference.hands).all():
        return False
    # (2) the cosine of a dihedral i-j=k-l is positive when i and l stand on the same side
    same = torsion_directions(positions, reference.bonds).real
    return bool((np.sign(same) == reference.sides).all())


@lru_cache(1024)
def _reference(rdkit_binary: bytes) -> _Reference:
    mol = mol_from_binary(rdkit_binary)
    corners, hands = [], []
    for atom in mol.GetAtoms():
        if atom.GetChiralTag() not in _MARKED:
            continue
        bonded = [bond.GetOtherAtomIdx(atom.GetIdx()) for bond in atom.GetBonds()]
        # A lone pair stands last in the order; the atom itself marks its side.
        corners.append((*bonded, atom.GetIdx())[:4])
        hands.append(1 if atom.GetChiralTag() == _LEFT else -1)
    bonds, sides = [], []
    for bond in mol.GetBonds():
        if bond.GetStereo() in _STEREO:
            first, last = bond.GetStereoAtoms()
            bonds.append((first, bond.GetBeginAtomIdx(), bond.GetEndAtomIdx(), last))
            sides.append(1 if bond.GetStereo() in _SAME_SIDE else -1)
    return _Reference(
        corners=np.array(corners, dtype=np.int64).reshape(-1, 4),
        hands=np.array(hands, dtype=np.int64),
        bonds=np.array(bonds, dtype=np.int64).reshape(-1, 4),
        sides=np.array(sides, dtype=np.int64),
    )
