"""Taking a molecule apart: six ring carbons with the two fragments on each."""

from dataclasses import dataclass

from rdkit import Chem

from chairgap.molecule.fragments import cut_off
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.molecule.ring import ChosenRing
from chairgap.naming.marks import turns_left


@dataclass(frozen=True, kw_only=True)
class Cut:
    """A ring in one writing. open_carbons: positions (0..5) whose two fragments may be exchanged, as no
    configuration was given; locants: the user's number of each position, or None; notes: remarks."""

    faces: RingFaces
    open_carbons: tuple[int, ...] = ()
    locants: tuple[int | None, ...] = (None,) * 6
    notes: tuple[str, ...] = ()


def cut_apart(mol: Chem.Mol, ring: ChosenRing) -> Cut:
    """Ring and fragments of mol (explicit hydrogens, stereo marks as written)."""
    faces, open_carbons = [], []
    for position, atom in enumerate(ring.atoms):
        previous, following = ring.atoms[position - 1], ring.atoms[(position + 1) % 6]
        first, second = (
            bond.GetOtherAtomIdx(atom)
            for bond in mol.GetAtomWithIdx(atom).GetBonds()
            if bond.GetOtherAtomIdx(atom) not in ring.atoms
        )
        order = (previous, first, second, following)
        tag = mol.GetAtomWithIdx(atom).GetChiralTag()
        if tag == Chem.ChiralType.CHI_UNSPECIFIED:
            open_carbons.append(position)
        elif not turns_left(mol.GetAtomWithIdx(atom), order):
            first, second = second, first
        faces.append((cut_off(mol, atom, first), cut_off(mol, atom, second)))
    return Cut(
        faces=tuple(faces),
        # Equal fragments can still differ in what they leave open, so only a pair of hydrogens is decided.
        open_carbons=tuple(position for position in open_carbons if faces[position] != (HYDROGEN, HYDROGEN)),
        locants=ring.locants,
        notes=ring.notes,
    )
