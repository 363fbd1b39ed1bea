"""From six pairs of fragments to a molecule."""

from rdkit import Chem, rdBase

from chairgap.molecule import fragments
from chairgap.molecule.numbering import RingFaces
from chairgap.molecule.reading import parse_smiles


def glued(faces: RingFaces) -> Chem.Mol:
    """The molecule of a ring: atoms 0 to 5 are C1 to C6, then heavy atoms by locant, upper side first, then
    hydrogens. Ring carbons have their upper ligand before their lower one, and all have a chiral mark."""
    # With the order previous, upper, lower, next the mark is '@' at every carbon (naming.marks.turns_left).
    carbons = [f"({fragments.rooted(up)})({fragments.rooted(down)})" for up, down in faces]
    text = "".join(
        f"[C@:{locant}]{'%99' if locant in (1, 6) else ''}{carbon}"
        for locant, carbon in enumerate(carbons, start=1)
    )
    with rdBase.BlockLogs():
        mol = parse_smiles(text)
        Chem.SanitizeMol(mol)
        Chem.SetBondStereoFromDirections(mol)
        mol = Chem.AddHs(mol)
    locants = {atom.GetIdx(): atom.GetAtomMapNum() or 7 for atom in mol.GetAtoms()}
    order = sorted(locants, key=lambda i: (mol.GetAtomWithIdx(i).GetAtomicNum() == 1, locants[i], i))
    for atom in mol.GetAtoms():
        atom.SetAtomMapNum(0)
    return Chem.RenumberAtoms(mol, order)
