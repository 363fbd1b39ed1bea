"""Copies against symmetry numbers: two ways of counting that must come to the same.

A conformer's weight is its number of copies, or 2 / sigma when its mirror image is another conformer of the
compound, else 1 / sigma (sigma counts the rotations that bring it onto itself). The two may differ by one
factor for all conformers of a molecule, since a relabelling that no rotation undoes multiplies all alike.

Symmetry is also counted here from nothing but elements and positions (rigid rotations, with and without a
reflection, all hydrogens included), and RDKit says whether a compound is its own mirror image.
"""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdkit import Chem
from scipy.spatial.transform import Rotation

from chairgap.molecule.substituents import format_spoken
from chairgap.records import Conformer, Floats, Result
from pipeline_helpers import (
    CYCLOHEXANE,
    in_chair,
    molecule_from_smiles,
    non_chairs,
    treated,
    treated_molecule,
)
