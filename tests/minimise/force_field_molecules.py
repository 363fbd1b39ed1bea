"""Molecules on which the engines of a force field are compared."""

import numpy as np
from rdkit import Chem
from rdkit.Chem import rdDistGeom

# The groups of the A-value table on cyclohexane, and polysubstituted, charged and strained relatives.
SMILES = {
    "cyclohexane": "C1CCCCC1",
    "methyl": "CC1CCCCC1",
    "isopropyl": "CC(C)C1CCCCC1",
    "tert-butyl": "CC(C)(C)C1CCCCC1",
    "fluoro": "FC1CCCCC1",
    "chloro": "ClC1CCCCC1",
    "bromo": "BrC1CCCCC1",
    "iodo": "IC1CCCCC1",
    "hydroxy": "OC1CCCCC1",
    "methoxy": "COC1CCCCC1",
    "acetoxy": "CC(=O)OC1CCCCC1",
    "thiol": "SC1CCCCC1",
    "methylthio": "CSC1CCCCC1",
    "sulfoxide": "C[S@](=O)C1CCCCC1",
    "sulfone": "CS(=O)(=O)C1CCCCC1",
    "tosylate": "Cc1ccc(cc1)S(=O)(=O)OC1CCCCC1",
    "amino": "NC1CCCCC1",
    "dimethylamino": "CN(C)C1CCCCC1",
    "ammonium": "[NH3+]C1CCCCC1",
    "anilino": "N(c1ccccc1)C1CCCCC1",
    "nitro": "[O-][N+](=O)C1CCCCC1",
    "azide": "[N-]=[N+]=NC1CCCCC1",
    "cyano": "N#CC1CCCCC1",
    "isocyano": "[C-]#[N+]C1CCCCC1",
    "isocyanate": "O=C=NC1CCCCC1",
    "isothiocyanate": "S=C=NC1CCCCC1",
    "ethynyl": "C#CC1CCCCC1",
    "vinyl": "C=CC1CCCCC1",
    "allenyl": "C=C=CC1CCCCC1",
    "formyl": "O=CC1CCCCC1",
    "acetyl": "CC(=O)C1CCCCC1",
    "carboxylic acid": "OC(=O)C1CCCCC1",
    "carboxylate": "[O-]C(=O)C1CCCCC1",
    "methyl ester": "COC(=O)C1CCCCC1",
    "acid chloride": "ClC(=O)C1CCCCC1",
    "amide": "NC(=O)C1CCCCC1",
    "dimethylamide": "CN(C)C(=O)C1CCCCC1",
    "phenyl": "c1ccccc1C1CCCCC1",
    "trifluoromethyl": "FC(F)(F)C1CCCCC1",
    "trimethylsilyl": "C[Si](C)(C)C1CCCCC1",
    "phosphine": "PC1CCCCC1",
    "dimethylphosphine": "CP(C)C1CCCCC1",
    "phosphine oxide": "O=P(c1ccccc1)(c1ccccc1)C1CCCCC1",
    "cyclopropyl": "C1CC1C1CCCCC1",
    "cyclobutyl": "C1CCC1C1CCCCC1",
    "epoxide": "C1CCC[C@@H]2[C@H]1O2",
    "oxiranyl": "C1O[C@@H]1C1CCCCC1",
    "furyl": "c1ccoc1C1CCCCC1",
    "pyridyl": "c1ccncc1C1CCCCC1",
    "zwitterion": "[NH3+][C@@H]1CCCC[C@@H]1C(=O)[O-]",
    "diol": "O[C@@H]1CCC[C@H](O)C1",
    "menthyl benzoate": "C[C@@H]1CC[C@@H](C(C)C)[C@H](C1)OC(=O)c1ccccc1",
}


def embedded(smiles: str) -> tuple[Chem.Mol, np.ndarray]:
    """The molecule with hydrogens and a geometry (n, 3)."""
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    assert rdDistGeom.EmbedMolecule(mol, randomSeed=20261125) == 0
    return mol, mol.GetConformer().GetPositions()
