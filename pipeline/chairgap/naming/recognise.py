"""Telling a name from a SMILES and from a list of groups by face. Pure.

Outside of bracket atoms a SMILES has the letters of B, C, N, O, P, S, F, Cl, Br, I and of the aromatic b, c,
n, o, p, s; no element in brackets has more than three letters. A run of four letters with one that is none of
these is in no SMILES, and it is in every name of a cyclohexane ('hex', 'menthol'). So 'I', 'CO' and 'CN' stay
SMILES, and a SMILES with a slip in it is read as a SMILES and refused as one.
"""

import re

# Each of these takes time in proportion to the text, whatever it is.
_RUN = re.compile(r"[a-z]{4,}", re.IGNORECASE)
_NOT_IN_SMILES = frozenset("adeghjkmqtuvwxyz")
_BY_FACE = re.compile(r"\b(up|down)\b|(?:^|,)\s*\d\s*(?:wedge|dash|alpha|beta|α|β)\s|\d\s*:", re.IGNORECASE)
_DESCRIPTOR = re.compile(r"(?:cis|trans|all-cis|rel|rac|[dl\dRSrs]|\W)+", re.IGNORECASE)


def looks_like_a_name(text: str) -> bool:
    """Whether a text is to be read as a name: it has letters that no SMILES has, from its first word on (a
    descriptor apart), and is no list of groups by face."""
    if _BY_FACE.search(text):
        return False
    *front, last = text.split() or [""]
    first = next((word for word in front if not _DESCRIPTOR.fullmatch(word)), last)
    runs = _RUN.finditer(first.lower())
    return any(not _NOT_IN_SMILES.isdisjoint(run[0]) for run in runs)
