"""SMILES and molblocks to RDKit molecules with explicit hydrogens and stereo marks as written.

RDKit normally wipes stereo marks it believes to mean nothing. Here they are kept, since the faces of ring
carbons are read from them; `chairgap.molecule.isomers` decides what is a stereocentre.
"""

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from rdkit import Chem, rdBase

from chairgap.errors import MoleculeError
from chairgap.molecule.extensions import read_extension, split_off
from chairgap.molecule.rdkit_log import rdkit_log
from chairgap.molecule.symmetry import resonance_twins
from chairgap.text import excerpt

_FLAT_WITHIN_ANGSTROM = 1e-3
_UNMARKED = Chem.ChiralType.CHI_UNSPECIFIED
_ABSOLUTE = Chem.StereoGroupType.STEREO_ABSOLUTE
# The largest atom_limit, and more text than so many atoms need; far more keeps RDKit busy for minutes.
MOST_ATOMS = 400
_MOST_BONDS = 12
_MOST_CHARGE, _MOST_ISOTOPE = 15, 999
# An isotope of four digits, three digits of hydrogens or charge, or an element above 118, in a bracket atom.
_TOO_LARGE = re.compile(
    r"\[(?:\d{4,}|[^\[\]:]*?(?:[H+-]\d{3,}|#(?:\d{4,}|119|1[2-9]\d|[2-9]\d\d)))[^\[\]]*\]?"
)
# Of a V3000 line: a whole number for which the library would make room before it reads on.
_TOO_MANY = re.compile(
    r"^M  V30 (?:(?=\s*COUNTS\b).*?[\s(]0*([1-9]\d{4,})|.*?[\s(=]0*([1-9]\d{6,})(?![\d.]))",
    re.MULTILINE | re.IGNORECASE,
)
_FRAME = re.compile(r"\*+|(?:Pre-condition|Post-condition|Invariant) Violation|Range Error")
_NO_SUCH_ATOM = "a line names an atom that is not there"
_PLAIN_REASONS = {
    "atom bookmark not found": _NO_SUCH_ATOM,
    "idx": _NO_SUCH_ATOM,
    "bond_pin->getBeginAtomIdx()": _NO_SUCH_ATOM,
    "bond_pin->getEndAtomIdx()": _NO_SUCH_ATOM,
    "bond already exists": "two bond lines join the same two atoms",
}
_LONGEST_SMILES = 10_000


@dataclass(frozen=True, kw_only=True)
class Reading:
    """A parsed molecule: explicit hydrogens, heavy atoms in input order, and remarks for the user. relative:
    only the relation of its centres is given, it stands for its mirror image too."""

    mol: Chem.Mol
    relative: bool = False
    notes: tuple[str, ...] = ()


def parse_smiles(text: str) -> Chem.Mol | None:
    """RDKit's bare parse: nothing sanitised, hydrogens and chiral marks as written; None when it fails.

    Raises MoleculeError for a molecule that is too large for any setting, and for numbers that RDKit would
    cut to their last bits: it takes [CH259] for [CH3] and [C+256] for [C].
    """
    if len(text) > _LONGEST_SMILES:
        raise MoleculeError(
            f"The SMILES has {len(text):,} characters, and at most {_LONGEST_SMILES:,} are read; "
            "take a smaller molecule."
        )
    if found := _TOO_LARGE.search(text):
        raise MoleculeError(
            f"'{excerpt(found[0])}' has a number that no atom can have; correct it.", value=text
        )
    parameters: Any = Chem.SmilesParserParams()  # RDKit's stubs give its fields the wrong type
    parameters.sanitize = False
    parameters.removeHs = False
    parameters.allowCXSMILES = False
    mol: Chem.Mol | None = Chem.MolFromSmiles(_ascii(text), parameters)
    if mol is not None:
        check_size(mol)
    return mol


def _ascii(text: str) -> str:
    """The text with '?' for what is not ASCII. RDKit reads bytes: it counts positions in them and may cut a
    character in two when it quotes a line, which then comes out as a SystemError."""
    return text.encode("ascii", "replace").decode()


def check_size(mol: Chem.Mol) -> None:
    """Raises MoleculeError for a molecule that is too large for any setting."""
    count = mol.GetNumAtoms()
    if count > MOST_ATOMS:
        raise MoleculeError(
            f"The molecule has {count:,} atoms as it is written, and at most {MOST_ATOMS} can be treated; "
            "take a smaller one."
        )


def read_smiles(text: str) -> Reading:
    """The molecule of a SMILES, with an extension behind it or without (`extensions`). Raises MoleculeError
    with RDKit's own reason and position."""
    smiles, extension = split_off(text.strip())
    if not smiles:
        raise MoleculeError("The SMILES is empty; write one, for example CC1CCCCC1.", value=text)
    if len(smiles.split()) > 1:
        raise MoleculeError(
            f"SMILES '{excerpt(smiles)}' has a blank in it; write the SMILES alone and the name in its own "
            "field.",
            value=text,
        )
    with rdkit_log() as log:
        mol = parse_smiles(smiles)
    if mol is None:
        raise MoleculeError(
            f"SMILES '{excerpt(smiles)}' cannot be read: {_reason(log)}; correct it there.", value=text
        )
    _sanitise(mol)
    said = read_extension(mol, smiles, extension)
    Chem.SetBondStereoFromDirections(mol)
    relative = _is_relative(mol, said.relative, f" {said.called} behind the SMILES")
    return Reading(mol=_with_hydrogens(mol), relative=relative)


def _reason(log: list[str]) -> str:
    """'syntax error near character 6' from the lines RDKit printed."""
    text = " ".join(log)
    found = re.search(r"SMILES Parse Error: (.+?)(?: while parsing| for input|:|$)", text)
    reason = found.group(1) if found else _first_line(log)
    where = re.search(r"around position (\d+)", text)
    return f"{reason} near character {where.group(1)}" if where else reason


def _first_line(log: list[str]) -> str:
    """The first line that says something; above a broken invariant RDKit prints a frame."""
    phrase = next((line for line in log if line and not _FRAME.fullmatch(line)), "no reason was given")
    return _PLAIN_REASONS.get(phrase, phrase).rstrip(".")


def _sanitise(mol: Chem.Mol) -> None:
    """RDKit's clean-up and valence model, in place; every problem is reported at once."""
    aromatic = [atom.GetIdx() for atom in mol.GetAtoms() if atom.GetIsAromatic()]
    with rdBase.BlockLogs():
        problems = chemistry_problems(mol)
        if not problems:
            Chem.SanitizeMol(mol)
            _no_saturated_aromatic(mol, aromatic)
            return
    found = dict.fromkeys(_chemistry_problem(mol, problem) for problem in problems)
    raise MoleculeError(" ".join(found))


def chemistry_problems(mol: Chem.Mol) -> tuple[Exception, ...]:
    """What RDKit finds wrong with a molecule that is not sanitised.

    Raises MoleculeError for atoms with so many bonds that RDKit loses count of them.
    """
    for atom in mol.GetAtoms():
        count = atom.GetDegree() + atom.GetNumExplicitHs()
        if count > _MOST_BONDS:
            raise MoleculeError(
                f"A{atom_label(atom)[1:]} has {count} neighbours, more than any atom can have; "
                "correct its bonds."
            )
    return tuple(Chem.DetectChemistryProblems(mol))


def _no_saturated_aromatic(mol: Chem.Mol, aromatic: list[int]) -> None:
    """RDKit takes c1(C)CCCCC1 for methylcyclohexane without a word."""
    for atom in map(mol.GetAtomWithIdx, aromatic):
        if atom.GetAtomicNum() == 6 and atom.GetHybridization() == Chem.HybridizationType.SP3:
            raise MoleculeError(
                f"Atom {atom.GetIdx() + 1} ({atom.GetSymbol()}) is marked aromatic but has single "
                "bonds only; write it with a capital letter."
            )


def _chemistry_problem(mol: Chem.Mol, problem: Exception) -> str:
    kind = problem.GetType()  # type: ignore[attr-defined]
    if kind == "AtomValenceException":
        atom = mol.GetAtomWithIdx(problem.GetAtomIdx())  # type: ignore[attr-defined]
        valence = atom.GetNumExplicitHs() + sum(bond.GetBondTypeAsDouble() for bond in atom.GetBonds())
        return (
            f"Atom {atom.GetIdx() + 1} ({atom.GetSymbol()}) has {valence:g} bonds, more than its valence "
            "allows; correct the bonds or write its charge."
        )
    if kind == "KekulizeException":
        atoms = ", ".join(str(index + 1) for index in problem.GetAtomIndices())  # type: ignore[attr-defined]
        return (
            f"The aromatic atoms {atoms} cannot be given alternating double bonds; "
            "write the hydrogen of an [nH], or write the double bonds out."
        )
    if kind == "AtomKekulizeException":
        atom = mol.GetAtomWithIdx(problem.GetAtomIdx())  # type: ignore[attr-defined]
        return (
            f"Atom {atom.GetIdx() + 1} ({atom.GetSymbol()}) is marked aromatic but is in no ring; "
            "write it with a capital letter."
        )
    return f"The structure cannot be used: {problem.Message()}; correct it."  # type: ignore[attr-defined]


def mol_from_binary(rdkit_binary: bytes) -> Chem.Mol:
    """RDKit's molecule from its serial form."""
    mol: Chem.Mol = Chem.Mol(rdkit_binary)  # type: ignore[call-overload]
    return mol


def atom_label(atom: Chem.Atom) -> str:
    """'atom 7 (C)', counted from 1 in the order of the input."""
    return f"atom {atom.GetIdx() + 1} ({atom.GetSymbol()})"


def library_problem(error: RuntimeError) -> MoleculeError:
    """What RDKit throws where a structure breaks one of its invariants, as an error of that molecule."""
    reason = _first_line([line.strip() for line in str(error).splitlines()])
    return MoleculeError(
        f"RDKit cannot work with this structure ({reason}); correct it, or leave the molecule out."
    )


def read_molblock(text: str) -> Reading:
    """The molecule of a V2000 or V3000 molblock; stereo comes from 3D coordinates, else from wedges.

    Raises MoleculeError. Missing hydrogens are added and noted.
    """
    if not text.strip():
        raise MoleculeError("The structure record is empty; give an atom and bond block.")
    _no_overflow(text)
    with rdkit_log() as log:
        try:
            mol = Chem.MolFromMolBlock(_ascii(text), sanitize=False, removeHs=False)
        except (RuntimeError, ValueError) as error:
            log.append(str(error))
            mol = None
        except SystemError:  # RDKit quotes memory beyond the record, which is no text
            mol = None
    if mol is None:
        raise MoleculeError(
            f"The structure record cannot be read: {_first_line(log)}; write a V2000 or V3000 molblock."
        )
    if not mol.GetNumAtoms():
        raise MoleculeError("The structure record has no atoms; give an atom and bond block.")
    check_size(mol)
    with rdBase.BlockLogs():
        _sanitise(mol)
        _stereo_from_coordinates(mol)
        Chem.SetBondStereoFromDirections(mol)
        groups = [group for group in mol.GetStereoGroups() if group.GetGroupType() != _ABSOLUTE]
        relative = _is_relative(
            mol,
            [{atom.GetIdx() for atom in group.GetAtoms()} for group in groups],
            " of the record",
        )
        complete = _with_hydrogens(mol)
    added = complete.GetNumAtoms() - mol.GetNumAtoms()
    note = f"{added} missing hydrogen{'s' if added > 1 else ''} added to the structure record"
    return Reading(mol=complete, relative=relative, notes=(note,) if added else ())


def _no_overflow(text: str) -> None:
    """Refuses charges and isotopes of a molblock that RDKit would cut to their last bits, and counts for
    which it would ask for gigabytes."""
    numbers = [(_MOST_CHARGE, word) for word in re.findall(r"\bCHG=([-+]?\d+)", text)]
    numbers += [(_MOST_ISOTOPE, word) for word in re.findall(r"\bMASS=([-+]?\d+)", text)]
    for line in re.findall(r"^M  CHG...(.*)$", text, re.MULTILINE):
        numbers += [(_MOST_CHARGE, word) for word in re.findall(r"[-+]?\d+", line)[1::2]]
    if found := _TOO_MANY.search(re.sub(r"-[ \t]*\r?\n(?:M  V30 ?)?", "", text)):
        raise MoleculeError(
            f"A V3000 line counts to {excerpt(found[1] or found[2])}, and a molecule that can be treated has "
            f"at most {MOST_ATOMS} atoms; take a smaller one, or correct the line."
        )
    for most, word in numbers:
        if len(word) > 6 or abs(int(word)) > most:
            raise MoleculeError(
                f"The structure record has the charge or isotope {excerpt(word)}, which no atom can have; "
                "correct it."
            )


def _stereo_from_coordinates(mol: Chem.Mol) -> None:
    positions = np.array(mol.GetConformer().GetPositions())
    if np.ptp(positions[:, 2]) > _FLAT_WITHIN_ANGSTROM:
        Chem.AssignAtomChiralTagsFromStructure(mol)
    else:
        Chem.AssignChiralTypesFromBondDirs(mol)
    Chem.DetectBondStereochemistry(mol, -1)


def _is_relative(mol: Chem.Mol, groups: Sequence[Collection[int] | None], which: str) -> bool:
    """Whether a set of atoms (None: all) has its relation given alone. That is fine when it means a structure
    and its mirror image, and nothing else. Raises MoleculeError."""
    if not groups:
        return False
    marked = {atom.GetIdx() for atom in mol.GetAtoms() if atom.GetChiralTag() != _UNMARKED}
    if len(groups) > 1 or (groups[0] is not None and marked - set(groups[0])):
        subject = f"The relative stereo groups{which} mean"
        if len(groups) == 1:
            subject = f"The relative stereo group{which}, with other centres beside it, means"
        raise MoleculeError(
            f"{subject} several diastereomers; give one molecule with absolute stereo for each."
        )
    return True


def _with_hydrogens(mol: Chem.Mol) -> Chem.Mol:
    """Explicit hydrogens; marks on atoms that are no stereocentre by their kind are taken off."""
    complete = Chem.AddHs(mol)
    twin_centres = {centre for centre, _ in resonance_twins(complete)}
    for atom in complete.GetAtoms():
        inverts = atom.GetAtomicNum() == 7 and atom.GetDegree() < 4
        if inverts or atom.GetIdx() in twin_centres:
            atom.SetChiralTag(_UNMARKED)
    return complete
