"""Partial charges of a molecule, for dipole moments."""

import numpy as np
from rdkit import Chem
from rdkit.Chem.rdForceFieldHelpers import MMFFGetMoleculeProperties
from rdkit.Chem.rdPartialCharges import ComputeGasteigerCharges

from chairgap.records import Floats


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
