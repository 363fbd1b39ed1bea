"""CIP labels of the ring carbons, and the mirror image."""

from rdkit import Chem
from rdkit.Chem import rdCIPLabeler

from chairgap.molecule.build import open_molecule, writing_of
from chairgap.molecule.fragments import canonical, mirror
from chairgap.molecule.glue import glued
from chairgap.molecule.numbering import mirrored
from chairgap.records import Molecule


def cip_labels(molecule: Molecule) -> tuple[str, ...]:
    """R, S, r, s or '' for ring carbons 1 to 6, by RDKit's implementation of the CIP rules (P. Hanson, S.
    Musacchio, J. W. Mayfield, M. J. Vainio, A. Yerin, D. Redkin, J. Chem. Inf. Model. 2018, 58, 1755, from
    memory).
    """
    mol = Chem.Mol(open_molecule(molecule))
    # The stored form has a mark on every ring carbon, also where it is no stereocentre.
    Chem.AssignStereochemistry(mol, cleanIt=True, force=True)
    rdCIPLabeler.AssignCIPLabels(mol)
    atoms = [mol.GetAtomWithIdx(carbon.atom) for carbon in molecule.topology.carbons]
    return tuple(atom.GetProp("_CIPCode") if atom.HasProp("_CIPCode") else "" for atom in atoms)


def mirrored_fragments(molecule: Molecule) -> dict[str, str]:
    """Each ligand's fragment SMILES and that of its mirror image."""
    ligands = (ligand for carbon in molecule.topology.carbons for ligand in carbon.ligands)
    return {ligand.fragment: mirror(ligand.fragment) for ligand in ligands}


def mirror_smiles(molecule: Molecule) -> str:
    """The SMILES of the mirror image."""
    return canonical(glued(mirrored(writing_of(molecule.topology), mirror)))
