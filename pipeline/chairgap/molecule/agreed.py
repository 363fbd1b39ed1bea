"""A molecule in its agreed writing, and the way back from there to the user's.

The search runs there, so that no numbering and no mirror image of a molecule finds more than another.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from rdkit import Chem, rdBase

from chairgap.errors import EngineError
from chairgap.molecule import fragments
from chairgap.molecule.build import topology_of, writing_of
from chairgap.molecule.glue import glued
from chairgap.molecule.numbering import Writing, agreed_writings
from chairgap.records import Face, Floats, Integers, Molecule, Topology
from chairgap.shape.contacts import ligand_atoms

_SIDES: tuple[Face, Face] = ("up", "down")


@dataclass(frozen=True, kw_only=True)
class Agreed:
    """`molecule` in the agreed writing (its texts are still the user's); the user's atom i is its atom
    atoms[i], in the mirror image where `mirrored`."""

    molecule: Molecule
    atoms: Integers
    mirrored: bool

    def back(self, positions: Floats) -> Floats:
        """Positions (n, 3) of the agreed writing as positions of the user's."""
        result = positions[self.atoms]
        if self.mirrored:
            result[:, 0] *= -1.0
        return result


def agreed(molecule: Molecule) -> Agreed:
    """A built molecule in the agreed writing."""
    own = molecule.topology
    writing = agreed_writings(writing_of(own), fragments.mirror)[0]
    if writing.faces == writing_of(own):
        atoms = np.arange(len(own.symbols))
        return Agreed(molecule=molecule, atoms=atoms, mirrored=False)
    mol = glued(writing.faces)
    topology = topology_of(mol, writing.faces, _names(own, writing))
    return Agreed(
        molecule=replace(molecule, topology=topology, rdkit_binary=mol.ToBinary()),
        atoms=_atoms(own, topology, writing),
        mirrored=writing.mirrored,
    )


def _names(own: Topology, writing: Writing) -> dict[str, str]:
    """The name of each fragment of the agreed writing."""
    names = {ligand.fragment: ligand.group for carbon in own.carbons for ligand in carbon.ligands}
    return {
        fragment: names[fragments.mirror(fragment) if writing.mirrored else fragment]
        for pair in writing.faces
        for fragment in pair
    }


def _atoms(own: Topology, agreed_one: Topology, writing: Writing) -> Integers:
    """(n,) the atom of the agreed writing for each atom of the user's."""
    result = np.full(len(own.symbols), -1)
    mine, theirs = ligand_atoms(own), ligand_atoms(agreed_one)
    for carbon in agreed_one.carbons:
        for there in carbon.ligands:
            locant, face = writing.site(carbon.locant, there.face)
            here = own.carbons[locant - 1].ligands[_SIDES.index(face)]
            result[own.carbons[locant - 1].atom] = carbon.atom
            # The atoms of a ligand stand in the order of its text, heavy ones before hydrogens.
            places = theirs[there.atom]
            if here.fragment != there.fragment or (writing.mirrored and "@" in here.fragment):
                places = places[list(_order(here.fragment, there.fragment))]
            result[mine[here.atom]] = places
    return result


@lru_cache(1024)
def _order(one: str, other: str) -> tuple[int, ...]:
    """The places in fragment `other` of the atoms of fragment `one`, whose mirror image it is."""
    with rdBase.BlockLogs():
        texts = ("*" + fragments.rooted(fragment) for fragment in (one, other))
        first, second = (Chem.AddHs(Chem.MolFromSmiles(text)) for text in texts)
    for atom in first.GetAtoms():
        atom.InvertChirality()
    found = second.GetSubstructMatch(first, useChirality=True)
    if not found:
        raise EngineError(f"the group {one} could not be mirrored; report this molecule.")
    rows = [sorted(range(1, mol.GetNumAtoms()), key=lambda i: _rank(mol, i)) for mol in (first, second)]
    return tuple(rows[1].index(found[atom]) for atom in rows[0])


def _rank(mol: Chem.Mol, index: int) -> tuple[bool, int]:
    return mol.GetAtomWithIdx(index).GetAtomicNum() == 1, index
