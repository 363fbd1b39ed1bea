"""The extension behind a SMILES, `CC1CCCCC1 |$Me;;;;;;$|` (CXSMILES, as ChemAxon describes it; from memory).

RDKit reads extensions, but leaves out without a word what it does not know, groups of atoms that are not
there, and marks that a wedge contradicts. So each part is looked at here first: what changes no molecule is
left out, what this program has a meaning for goes on to RDKit, and everything else is refused by its name.

* Left out: coordinates, labels, values and properties of atoms, data groups, lone pairs, fragment grouping,
  the absolute stereo group (that is how a SMILES is read anyway), and the geometry of double bonds in small
  rings, which have no choice.
* Read: the stereo groups `&1` (both mirror images are there) and `o1` (one of the two, not known which) where
  a single one holds every centre, as does the flag `r`: the molecule then stands for its mirror image as
  well, which has the same gap. Wedges that give a configuration with coordinates of a drawing. Radicals, for
  which molecules are then refused as any other radical.
* Refused: several stereo groups, or one beside other centres (several diastereomers are meant), wavy bonds at
  a centre that the SMILES gives, link nodes, repeating units, variable attachment, coordinate and hydrogen
  bonds, R groups, pseudoatoms and queries.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rdkit import Chem, rdBase

from chairgap.errors import MoleculeError
from chairgap.text import excerpt

_REFUSED = {
    "LN": "link nodes",
    "m": "variable attachment",
    "Sg": "repeating units",
    "C": "coordinate bonds",
    "D": "coordinate bonds",
    "H": "hydrogen bonds",
    "Z": "bonds of order zero",
    "RG": "R groups",
    "LO": "the order of R groups' ligands",
    **dict.fromkeys(("rb", "s", "u"), "queries"),
}
_LEFT_OUT = frozenset(("atomProp", "SgD", "SgH", "lp", "f"))
_RING_GEOMETRY = frozenset(("c", "t", "ctu"))
_SMALL_RING = 8  # in fewer atoms a double bond has one geometry
_BEHIND = re.compile(r"\s+\|")
_NEW_PART = re.compile(r",(?=[($]|r(?:,|$)|\^\d:|[A-Za-z&@]\w{0,20}:)")
_PART = re.compile(r"(?P<key>\^\d|&\d{0,9}|o\d{0,9}|[A-Za-z]{1,20})(?::(?P<data>.*))?", re.DOTALL)
# Labels that make another atom of an atom: R group, attachment point, pseudoatom, query.
_TELLING_LABEL = re.compile(r"_R\d*|_AP\d*|.*_[pe]|star_e")
_UNMARKED = Chem.ChiralType.CHI_UNSPECIFIED


@dataclass(frozen=True, kw_only=True)
class _Part:
    key: str
    data: str


@dataclass(frozen=True, kw_only=True)
class Extension:
    """What is read of an extension. relative: sets of atoms (indices) of which only the relation is given,
    None for all atoms; called: how the extension names them."""

    relative: tuple[frozenset[int] | None, ...] = ()
    called: str = ""


def has_extension(text: str) -> bool:
    """Whether an extension stands behind the SMILES."""
    return bool(_BEHIND.search(text))


def split_off(text: str) -> tuple[str, str]:
    """The SMILES, and the text between the bars behind it. Raises MoleculeError for bars that do not close,
    and for a text behind them."""
    found = _BEHIND.search(text)
    if not found:
        return text, ""
    inside, bar, rest = text[found.end() :].partition("|")
    if not bar:
        raise MoleculeError("The extension behind the SMILES has no second bar |; write it.", value=text)
    if rest.strip():
        raise MoleculeError(
            f"'{excerpt(rest.strip())}' stands behind the extension of the SMILES; write the name in its own "
            "field.",
            value=text,
        )
    return text[: found.start()], inside


def read_extension(mol: Chem.Mol, smiles: str, text: str) -> Extension:
    """What an extension says; configurations that its wedges give are set in mol (the sanitised molecule of
    the SMILES). Raises MoleculeError for what is refused."""
    parts = _parts(text)
    relative: dict[str, set[int]] = {}
    for part in parts:
        _check(part, mol)
        if part.key.startswith(("&", "o")):
            relative.setdefault(part.key, set()).update(_atoms(part, mol))
    _wedges(mol, smiles, parts)
    flag = any(part.key == "r" for part in parts) and not relative
    sets = tuple(frozenset(atoms) for atoms in relative.values())
    return Extension(relative=(None,) if flag else sets, called=", ".join(relative) or "r" * flag)


def _parts(text: str) -> list[_Part]:
    parts, place = [], 0
    while place < len(text):
        opening = text[place]
        if opening in "($":
            end = text.find(")" if opening == "(" else "$", place + 1)
            if end < 0:
                what = "coordinates" if opening == "(" else "labels"
                raise MoleculeError(f"The {what} behind the SMILES do not end; close them.", value=text)
            parts.append(_Part(key=opening, data=text[place + 1 : end]))
            place = end + 1
            if text[place : place + 1] not in ("", ","):
                raise _unknown(text[place:])
            place += 1
            continue
        following = _NEW_PART.search(text, place)
        end = following.start() if following else len(text)
        found = _PART.fullmatch(text, place, end)
        if not found:
            raise _unknown(text[place:end])
        parts.append(_Part(key=found["key"], data=found["data"] or ""))
        place = end + 1
    return parts


def _unknown(part: str) -> MoleculeError:
    return MoleculeError(
        f"The extension of the SMILES has '{excerpt(part)}', which is not known here; remove it if it "
        "changes nothing of the molecule.",
        value=part,
    )


def _refused(part: _Part, what: str, advice: str = "write the molecule without them") -> MoleculeError:
    shown = excerpt(f"{part.key}:{part.data}")
    return MoleculeError(f"'{shown}' behind the SMILES stands for {what}, which are not read; {advice}.")


def _check(part: _Part, mol: Chem.Mol) -> None:
    """Refuses a part that could change the molecule and is not read."""
    key = part.key
    if key == "$":
        _check_labels(part, mol)
    elif key.startswith("^"):
        raise _refused(part, "unpaired electrons", "write a molecule without them")
    elif key in _REFUSED:
        raise _refused(part, _REFUSED[key])
    elif key == "w":
        if wavy := [atom for atom in _atoms(part, mol) if _is_marked(mol, atom)]:
            raise MoleculeError(
                f"'{excerpt(f'w:{part.data}')}' behind the SMILES leaves the configuration of atom "
                f"{wavy[0] + 1} open, and the SMILES gives it; keep one of the two."
            )
    elif key in _RING_GEOMETRY:
        if _has_open_geometry(mol):
            raise _refused(part, "the geometry of double bonds", "write it with / and \\ in the SMILES")
    elif key in ("a", "wU", "wD") or key.startswith(("&", "o")):
        _atoms(part, mol)
    elif key not in _LEFT_OUT and key not in ("(", "r"):
        raise _unknown(f"{key}:{part.data}" if part.data else key)


def _check_labels(part: _Part, mol: Chem.Mol) -> None:
    if part.data.startswith("_AV:"):
        return
    for number, label in enumerate(part.data.split(";"), start=1):
        if _TELLING_LABEL.fullmatch(label):
            raise MoleculeError(
                f"The label '{excerpt(label)}' behind the SMILES makes atom {number} an R group, a "
                "pseudoatom or a query; write the atom that is meant."
            )


def _atoms(part: _Part, mol: Chem.Mol) -> list[int]:
    """The atoms of '1,6' or, of bonds, '1.0,6.7' (atom and bond). Raises MoleculeError."""
    atoms = []
    for number in part.data.split(","):
        found = re.fullmatch(r"\s*(\d{1,9})(?:\.\d{1,9})?\s*", number)
        if not found or int(found[1]) >= mol.GetNumAtoms():
            raise MoleculeError(
                f"'{excerpt(f'{part.key}:{part.data}')}' behind the SMILES names an atom "
                f"'{excerpt(number)}', and atoms are counted from 0 to {mol.GetNumAtoms() - 1}; correct it."
            )
        atoms.append(int(found[1]))
    return atoms


def _is_marked(mol: Chem.Mol, atom: int) -> bool:
    return bool(mol.GetAtomWithIdx(atom).GetChiralTag() != _UNMARKED)


def _has_open_geometry(mol: Chem.Mol) -> bool:
    """Whether a double bond between C and N stands in no small ring."""
    rings = mol.GetRingInfo()
    return any(
        bond.GetBondType() == Chem.BondType.DOUBLE
        and {bond.GetBeginAtom().GetSymbol(), bond.GetEndAtom().GetSymbol()} <= {"C", "N"}
        and not any(rings.IsBondInRingOfSize(bond.GetIdx(), size) for size in range(3, _SMALL_RING))
        for bond in mol.GetBonds()
    )


def _wedges(mol: Chem.Mol, smiles: str, parts: Sequence[_Part]) -> None:
    """Sets configurations that a drawing gives, by its coordinates and wedges. Without coordinates a wedge
    says nothing, and the configuration stays as the SMILES has it."""
    drawn = [part for part in parts if part.key in ("wU", "wD")]
    coordinates = [part for part in parts if part.key == "("]
    if not drawn or not coordinates:
        return
    written = [f"({coordinates[0].data})", *(f"{part.key}:{part.data}" for part in drawn)]
    parameters: Any = Chem.SmilesParserParams()  # RDKit's stubs give its fields the wrong type
    parameters.sanitize = False
    parameters.removeHs = False
    with rdBase.BlockLogs():
        seen = Chem.MolFromSmiles(f"{smiles} |{','.join(written)}|", parameters)
    if seen is None:
        raise MoleculeError("The coordinates and wedges behind the SMILES cannot be read; leave them out.")
    for atom, drawn_atom in zip(mol.GetAtoms(), seen.GetAtoms(), strict=True):
        tag = drawn_atom.GetChiralTag()
        if tag == _UNMARKED or tag == atom.GetChiralTag():
            continue
        if atom.GetChiralTag() != _UNMARKED:
            raise MoleculeError(
                f"The wedge behind the SMILES contradicts the mark of atom {atom.GetIdx() + 1} "
                f"({atom.GetSymbol()}) in it; keep one of the two."
            )
        atom.SetChiralTag(tag)
