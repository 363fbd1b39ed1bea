"""Fragments: what hangs on a ring carbon, as canonical isomeric SMILES with `*` for that carbon."""

from functools import lru_cache
from itertools import product

from rdkit import Chem, rdBase
from rdkit.Chem import rdDistGeom, rdMolDescriptors

from chairgap.errors import MoleculeError
from chairgap.molecule.numbering import HYDROGEN
from chairgap.molecule.symmetry import resonance_twins, stereogenic_cumulenes

MOST_OPEN_CENTRES = 8
_CACHE = 4096
_MOST_READINGS = 5
_EMBEDDING_SEED = 1
_TETRAHEDRAL = Chem.StereoType.Atom_Tetrahedral
_UNSPECIFIED = Chem.StereoSpecified.Unspecified
_HANDS = (Chem.ChiralType.CHI_TETRAHEDRAL_CW, Chem.ChiralType.CHI_TETRAHEDRAL_CCW)
_SIDES = (Chem.BondStereo.STEREOCIS, Chem.BondStereo.STEREOTRANS)
_NO_ATOM = 2**32 - 1


def cut_off(mol: Chem.Mol, carbon: int, first: int) -> str:
    """Canonical fragment of the ligand whose first atom is `first` on ring atom `carbon`.

    mol has explicit hydrogens; the ligand must not lead back to the ring.
    """
    kept = {carbon, *atoms_beyond(mol, carbon, first)}
    if len(kept) == 2 and mol.GetAtomWithIdx(first).GetAtomicNum() == 1:
        return HYDROGEN
    editable = Chem.RWMol(mol)
    editable.ReplaceAtom(carbon, Chem.Atom(0))
    for atom in editable.GetAtoms():
        atom.SetAtomMapNum(0)
    # Highest first, so that the numbers still to come stay good. Bonds of kept atoms keep their order, which
    # is what their chiral marks refer to.
    for index in range(editable.GetNumAtoms() - 1, -1, -1):
        if index not in kept:
            editable.RemoveAtom(index)
    return canonical(editable.GetMol())


def atoms_beyond(mol: Chem.Mol, carbon: int, first: int) -> tuple[int, ...]:
    """Atoms of the ligand on `carbon` that starts with `first`, ascending."""
    seen, edge = {carbon, first}, [first]
    while edge:
        for neighbour in mol.GetAtomWithIdx(edge.pop()).GetNeighbors():
            if neighbour.GetIdx() not in seen:
                seen.add(neighbour.GetIdx())
                edge.append(neighbour.GetIdx())
    return tuple(sorted(seen - {carbon}))


def canonical(mol: Chem.Mol) -> str:
    """Canonical isomeric SMILES of a fragment or molecule.

    Reading its own text again makes RDKit wipe the stereo marks that mean nothing; this is repeated until the
    text stands still, as one mark may hang on another.
    """
    with rdBase.BlockLogs():
        before, text = "", str(Chem.MolToSmiles(Chem.RemoveHs(mol)))
        for _ in range(_MOST_READINGS):
            if text == before:
                break
            before, text = text, str(Chem.MolToSmiles(Chem.MolFromSmiles(text)))
    return text


@lru_cache(_CACHE)
def flat(fragment: str) -> str:
    """The fragment without stereo marks."""
    with rdBase.BlockLogs():
        mol = Chem.MolFromSmiles(fragment)
        Chem.RemoveStereochemistry(mol)
        return HYDROGEN if fragment == HYDROGEN else str(Chem.MolToSmiles(Chem.RemoveHs(mol)))


@lru_cache(_CACHE)
def mirror(fragment: str) -> str:
    """The mirror image of a fragment."""
    with rdBase.BlockLogs():
        mol = Chem.MolFromSmiles(fragment)
        for atom in mol.GetAtoms():
            atom.InvertChirality()
        return HYDROGEN if fragment == HYDROGEN else canonical(mol)


@lru_cache(_CACHE)
def mass_u(fragment: str) -> float:
    """Mass without the ring carbon, from standard atomic weights."""
    return float(sum(atom.GetMass() for atom in _with_hydrogens(fragment).GetAtoms()))


@lru_cache(_CACHE)
def atom_count(fragment: str) -> int:
    """Number of atoms without the ring carbon, hydrogens counted."""
    return int(_with_hydrogens(fragment).GetNumAtoms()) - 1


def _with_hydrogens(fragment: str) -> Chem.Mol:
    with rdBase.BlockLogs():
        return Chem.AddHs(Chem.MolFromSmiles(fragment))


@lru_cache(_CACHE)
def rooted(fragment: str) -> str:
    """SMILES that continues from the ring carbon: the fragment written from `*`, without it."""
    with rdBase.BlockLogs():
        mol = Chem.MolFromSmiles(fragment)
    star = next(atom.GetIdx() for atom in mol.GetAtoms() if atom.GetAtomicNum() == 0)
    text = str(Chem.MolToSmiles(mol, rootedAtAtom=star))
    return text.removeprefix("[*]").removeprefix("*")


@lru_cache(_CACHE)
def isomers(fragment: str) -> tuple[str, ...]:
    """The stereoisomers a fragment can mean, sorted; one when nothing is left open.

    Open are tetrahedral centres (three-coordinate nitrogen inverts and is none) and double bonds between C
    and N. Raises MoleculeError for more than MOST_OPEN_CENTRES of them and for chiral allenes.
    """
    if fragment == HYDROGEN:
        return (fragment,)
    mol = _with_hydrogens(fragment)
    with rdBase.BlockLogs():
        if stereogenic_cumulenes(mol):
            raise MoleculeError(
                f"The group {fragment} has an allene with two different ends; this kind of handedness is not "
                "treated, leave the molecule out."
            )
        open_sites = [info for info in Chem.FindPotentialStereo(mol) if _is_open(mol, info)]
        if not open_sites:
            return (fragment,)
        if len(open_sites) > MOST_OPEN_CENTRES:
            raise MoleculeError(
                f"The group {fragment} leaves {len(open_sites)} stereocentres open, more than "
                f"{MOST_OPEN_CENTRES}; write the configuration of some."
            )
        found = {_with_choice(mol, open_sites, choice) for choice in product((0, 1), repeat=len(open_sites))}
        if rdMolDescriptors.CalcNumBridgeheadAtoms(mol):
            found = {text for text in found if _can_exist(text)} or found
    return tuple(sorted(found))


def _is_open(mol: Chem.Mol, info: Chem.StereoInfo) -> bool:
    if info.specified != _UNSPECIFIED:
        return False
    if info.type == _TETRAHEDRAL:
        atom = mol.GetAtomWithIdx(info.centeredOn)
        inverts = atom.GetAtomicNum() == 7 and atom.GetDegree() < 4
        return not inverts and info.centeredOn not in {centre for centre, _ in resonance_twins(mol)}
    bond = mol.GetBondWithIdx(info.centeredOn)
    ends = bond.GetBeginAtom(), bond.GetEndAtom()
    return info.type == Chem.StereoType.Bond_Double and all(end.GetSymbol() in ("C", "N") for end in ends)


def _with_choice(mol: Chem.Mol, open_sites: list[Chem.StereoInfo], choice: tuple[int, ...]) -> str:
    chosen = Chem.Mol(mol)
    for info, which in zip(open_sites, choice, strict=True):
        if info.type == _TETRAHEDRAL:
            chosen.GetAtomWithIdx(info.centeredOn).SetChiralTag(_HANDS[which])
            continue
        bond = chosen.GetBondWithIdx(info.centeredOn)
        controlling = list(info.controllingAtoms)
        near, far = (next(a for a in side if a != _NO_ATOM) for side in (controlling[:2], controlling[2:]))
        bond.SetStereoAtoms(near, far)
        bond.SetStereo(_SIDES[which])
    Chem.SetDoubleBondNeighborDirections(chosen)  # without these, writing SMILES wipes the sides again
    return canonical(chosen)


def _can_exist(fragment: str) -> bool:
    """Whether a bridged group can be embedded with this configuration, CH3 standing for the ring carbon."""
    editable = Chem.RWMol(Chem.MolFromSmiles(fragment))
    star = next(atom.GetIdx() for atom in editable.GetAtoms() if atom.GetAtomicNum() == 0)
    editable.ReplaceAtom(star, Chem.Atom(6))
    capped = editable.GetMol()
    Chem.SanitizeMol(capped)
    return bool(rdDistGeom.EmbedMolecule(Chem.AddHs(capped), randomSeed=_EMBEDDING_SEED) == 0)
