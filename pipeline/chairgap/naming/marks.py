"""Marks of centres and double bonds of RDKit's molecules: what could have one, turning them, mirror images.
An adapter."""

from collections.abc import Sequence

from rdkit import Chem, rdBase

from chairgap.naming.structure import Placed, RingGroup

CLOCKWISE, ANTICLOCKWISE = Chem.ChiralType.CHI_TETRAHEDRAL_CW, Chem.ChiralType.CHI_TETRAHEDRAL_CCW
_OTHER = {CLOCKWISE: ANTICLOCKWISE, ANTICLOCKWISE: CLOCKWISE}
_SIDES = {Chem.BondStereo.STEREOCIS: Chem.BondStereo.STEREOTRANS}
_SIDES |= {new: old for old, new in _SIDES.items()}
# Atoms and bonds whose marks are turned together.
Turn = tuple[list[int], list[int]]


def possible_centres(mol: Chem.Mol) -> list[Chem.StereoInfo]:
    """Stereocentres and double bonds with two sides, marked or not; nitrogen inverts and is none, and neither
    is a double bond that another one follows (isocyanates)."""
    found = []
    for info in Chem.FindPotentialStereo(mol):
        if info.type == Chem.StereoType.Atom_Tetrahedral:
            atom = mol.GetAtomWithIdx(info.centeredOn)
            if atom.GetAtomicNum() != 7 and atom.GetTotalNumHs(includeNeighbors=True) < 2:  # RDKit takes SiH3
                found.append(info)
        elif info.type == Chem.StereoType.Bond_Double:
            bond = mol.GetBondWithIdx(info.centeredOn)
            ends = (bond.GetBeginAtom(), bond.GetEndAtom())
            if all(end.GetHybridization() != Chem.HybridizationType.SP for end in ends):
                found.append(info)
    return found


def turns_left(atom: Chem.Atom, order: Sequence[int]) -> bool:
    """Whether the last three of `order`, its four neighbours, run anticlockwise seen from the first, by the
    atom's mark.

    Walk round a ring clockwise, upper side up: from the previous carbon one sees the upper ligand at the top
    left, the lower one at the bottom left and the next carbon on the right. Previous, upper, lower, next
    therefore turn to the left; SMILES writes this '@'.
    """
    bonded = [bond.GetOtherAtomIdx(atom.GetIdx()) for bond in atom.GetBonds()]
    places = [bonded.index(index) for index in order]
    swaps = sum(places[i] > places[j] for i in range(4) for j in range(i + 1, 4))
    return bool((atom.GetChiralTag() == ANTICLOCKWISE) == (swaps % 2 == 0))


def from_behind(ring: Placed, group: RingGroup, atom: Chem.Atom) -> tuple[int, int, int, int]:
    """The neighbours of the ring carbon of a group: previous carbon, group, other ligand, next carbon. They
    turn left where the group is up, carbons running clockwise seen from above. All four are atoms."""
    before, after = (ring.atoms[str(locant % 6 + 1)] for locant in (group.locant - 2, group.locant))
    bonded = [bond.GetOtherAtomIdx(atom.GetIdx()) for bond in atom.GetBonds()]
    other = next(index for index in bonded if index not in (before, after, group.atom))
    return before, group.atom, other, after


def turned(mol: Chem.Mol, turns: Sequence[Turn]) -> Chem.Mol:
    other = Chem.Mol(mol)
    for atoms, bonds in turns:
        for atom in map(other.GetAtomWithIdx, atoms):
            atom.SetChiralTag(_OTHER.get(atom.GetChiralTag(), atom.GetChiralTag()))
        for bond in map(other.GetBondWithIdx, bonds):
            bond.SetStereo(_SIDES[bond.GetStereo()])
    return other


def everything(mol: Chem.Mol) -> Turn:
    """The turn that makes the mirror image."""
    return [atom.GetIdx() for atom in mol.GetAtoms()], []


def is_open(mol: Chem.Mol) -> bool:
    return any(info.specified == Chem.StereoSpecified.Unspecified for info in possible_centres(mol))


def inchi_of(mol: Chem.Mol) -> str:
    with rdBase.BlockLogs():
        return str(Chem.MolToInchi(mol))  # type: ignore[no-untyped-call]
