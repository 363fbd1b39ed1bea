"""Array types and the closed word lists that records share."""

from typing import Literal

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

Face = Literal["up", "down"]
Position = Literal["axial", "equatorial", "isoclinal"]
ChairLetter = Literal["A", "B"]
RingFamily = Literal["chair", "half-chair", "envelope", "boat", "twist-boat", "planar"]
# What a study asks for: the numbers of the systematic name, or the user's own.
AskedNumbering = Literal["iupac", "mine"]
# Where the numbers of a molecule's ring carbons are from, in words.
NumberedBy = Literal[
    "Numbered by IUPAC", "Numbers as given", "Numbers partly as given", "Numbered by lowest locants"
]
ForceField = Literal["MMFF94", "MMFF94s", "UFF"]
Engine = Literal["compiled", "rdkit", "openmm"]
QuantumMethod = Literal["none", "GFN2-xTB"]
# What computes the pairs of groups that the shipped table does not cover.
PairLevel = Literal["none", "MP2/def2-TZVP", "MP2/def2-SVP"]
Effort = Literal["quick", "standard", "thorough"]
PairTerms = Literal["published", "completed"]
Verdict = Literal["agrees", "disagrees", "undecided", "not comparable"]
CorrectionForm = Literal["replacing", "excess"]
# How a tabulated number is known; derived: our arithmetic from a published number that was seen.
Known = Literal["primary", "compilation", "derived", "from memory"]
MediumClass = Literal["gas", "apolar", "polar", "hydrogen bonding"]
