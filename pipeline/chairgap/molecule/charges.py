"""Charges of a molecule: the whole, and partial ones for dipole moments."""

import numpy as np
from rdkit import Chem
from rdkit.Chem.rdForceFieldHelpers import MMFFGetMoleculeProperties
from rdkit.Chem.rdPartialCharges import ComputeGasteigerCharges

from chairgap.records import Floats


def formal_charge(mol: Chem.Mol) -> int:
    """The total charge, in elementary charges."""
    return int(Chem.GetFormalCharge(mol))


def partial_charges(mol: Chem.Mol) -> tuple[Floats | None, str]:
    """Charges (n,) in elementary charges and where they come from; (None, '') when neither model knows all.

    Those of MMFF94 (Halgren 1996), which were fitted to dipole moments among other things; where it has no
    parameters, electronegativity equalisation (Gasteiger & Marsili, Tetrahedron 1980, 36, 3219, doi
    10.1016/0040-4020(80)80168-2, from memory).
    """
    own = Chem.Mol(mol)  # typing and charging leave marks on the molecule
    mmff = MMFFGetMoleculeProperties(own)
    if mmff is not None:
        return np.array([mmff.GetMMFFPartialCharge(atom) for atom in range(own.GetNumAtoms())]), "MMFF94"
    ComputeGasteigerCharges(own)
    charges = np.array([float(atom.GetProp("_GasteigerCharge")) for atom in own.GetAtoms()])
    return (charges, "Gasteiger") if np.isfinite(charges).all() else (None, "")
