"""A name to a structure: the one entrance for all who read names."""

from dataclasses import dataclass
from functools import lru_cache

from rdkit import Chem, rdBase

from chairgap.errors import MoleculeError
from chairgap.naming.configuration import Configured, configured
from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.marks import (
    ANTICLOCKWISE,
    from_behind,
    inchi_of,
    possible_centres,
    turned,
    turns_left,
)
from chairgap.naming.phrase import in_common_order, read_phrase, tidied
from chairgap.naming.problems import problem
from chairgap.naming.retained import expanded, retained_by_name
from chairgap.naming.structure import Placed, RingGroup, Structure
from chairgap.naming.usage import check_form, written_otherwise
from chairgap.records import Face
from chairgap.text import excerpt

LONGEST_NAME_READ = 400
_KNOWN_SIGNS = "αβγδ±*·"


@dataclass(frozen=True, kw_only=True)
class NamedGroup:
    """A group on the ring: locant 1 to 6, face where the name gives it (seen with the carbons running
    clockwise), and the part of the name it is from."""

    locant: int
    face: Face | None
    text: str


@dataclass(frozen=True, kw_only=True)
class ParsedName:
    """What a name says.

    smiles: canonical isomeric SMILES. numbered_smiles: the same with atom-map numbers, the locants of the
    ring carbons, which every reader of molecules here keeps. numbering: six indices, the place in `smiles` of
    the atom that carries locant 1, 2, ... 6. relative: only the relation of the centres is given (cis, trans,
    rel-, R*, rac-), `smiles` is one of two mirror images. groups: what stands on the ring. open_sites: what
    the name leaves open ('at C2', 'in a group'). notes: remarks for the user.
    """

    name: str
    smiles: str
    numbered_smiles: str
    numbering: tuple[int, ...]
    relative: bool
    groups: tuple[NamedGroup, ...]
    open_sites: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class _Refused:
    error: MoleculeError
    has_reason: bool


def parse_name(text: str) -> ParsedName:
    """The structure of a substituted cyclohexane's name, systematic, of functional class, of an index, or
    retained.

    Raises MoleculeError, with the word and its place, for whatever is no such name, contradicts itself or
    could mean two things. All characters of a name are used, or it is refused.
    """
    parsed = _parsed(text)
    if isinstance(parsed, MoleculeError):
        raise MoleculeError(parsed.message, value=parsed.value, expected=parsed.expected)
    return parsed


@lru_cache(4096)
def _parsed(text: str) -> ParsedName | MoleculeError:
    name = tidied(text)
    try:
        _check_characters(name)
        check_form(name)
    except UnreadableNameError as unreadable:
        return problem(text, text, unreadable, retained_by_name())
    refusals: list[_Refused] = []
    for form in written_otherwise(name):
        found = _read(text, form, name)
        if isinstance(found, ParsedName):
            return found
        refusals.append(found)
    explained = [refusal for refusal in refusals if refusal.has_reason]
    return (explained[-1:] or refusals[1:2] or refusals)[0].error


def _read(text: str, form: str, name: str) -> "ParsedName | _Refused":
    """A name in one of its forms."""
    read_as = form
    try:
        read_as = in_common_order(form)
        found = expanded(read_as)
        read_as = found.text
        structure, done = _built(read_as)
        if found.must_agree:
            _must_agree(done, found.must_agree, is_signed=found.is_signed)
        return _result(text, structure, done)
    except UnreadableNameError as unreadable:
        error = problem(text, read_as if read_as != name else text, unreadable, retained_by_name())
        return _Refused(error=error, has_reason=bool(unreadable.why))


def _check_characters(name: str) -> None:
    if not name:
        raise UnreadableNameError(0, "it is empty")
    if len(name) > LONGEST_NAME_READ:
        raise UnreadableNameError(
            0, f"it has {len(name)} characters, and at most {LONGEST_NAME_READ} are read; give a SMILES"
        )
    for place, letter in enumerate(name):
        if not (letter.isascii() and letter.isprintable()) and letter not in _KNOWN_SIGNS:
            raise UnreadableNameError(place, f"character {place + 1}, '{excerpt(letter)}', is in no name")


def _built(text: str) -> tuple[Structure, Configured]:
    with rdBase.BlockLogs():
        structure = Structure(read_phrase(text), text)
        rings = [placed for placed in structure.placed if placed.unit.is_ring]
        if not rings:
            parent = structure.placed[0].unit
            raise UnreadableNameError(
                parent.start, f"there is no cyclohexane ring in it, its parent is '{parent.called}'; give one"
            )
        return structure, configured(structure)


def _must_agree(done: Configured, name: str, *, is_signed: bool) -> None:
    """Letters written in front of a retained name must be its own or those of its mirror image, and with a
    sign of rotation those of this one."""
    _, known = _built(name)
    if is_signed and inchi_of(done.mol) == inchi_of(known.mirror) != inchi_of(known.mol):
        raise UnreadableNameError(
            0, "its letters are those of the mirror image of the one that its sign names; correct one of them"
        )
    if inchi_of(done.mol) not in (inchi_of(known.mol), inchi_of(known.mirror)):
        raise UnreadableNameError(
            0, "its letters or faces are not those of the compound it names; correct one of them"
        )


def _ring(structure: Structure) -> Placed | None:
    """The ring nearest to the parent; None where two are as near."""
    rings = sorted((placed for placed in structure.placed if placed.unit.is_ring), key=lambda one: one.depth)
    return None if len(rings) > 1 and rings[1].depth == rings[0].depth else rings[0]


def _result(text: str, structure: Structure, done: Configured) -> ParsedName:
    ring = _ring(structure)
    plain = Chem.Mol(done.mol)
    Chem.AssignStereochemistry(plain, cleanIt=True, force=True)
    smiles = str(Chem.MolToSmiles(plain))
    order = [int(index) for index in plain.GetPropsAsDict(True, True)["_smilesAtomOutputOrder"]]
    atoms = [ring.atoms[str(locant)] for locant in range(1, 7)] if ring else []
    numbered = Chem.Mol(done.mol)
    for locant, atom in enumerate(atoms, start=1):
        numbered.GetAtomWithIdx(atom).SetAtomMapNum(locant)
    notes = []
    if done.sign_open:
        notes.append(f"the sign ({done.sign_open}) does not say which mirror image is meant; one is taken")
    return ParsedName(
        name=text,
        smiles=smiles,
        numbered_smiles=str(Chem.MolToSmiles(numbered)),
        numbering=tuple(order.index(atom) for atom in atoms),
        relative=done.relative,
        groups=_groups(ring, done.mol) if ring else (),
        open_sites=_open_sites(done.mol, atoms),
        notes=tuple(notes),
    )


def _groups(ring: Placed, mol: Chem.Mol) -> tuple[NamedGroup, ...]:
    complete = Chem.AddHs(mol)
    found = [
        NamedGroup(locant=group.locant, face=_face(complete, ring, group), text=group.said)
        for group in ring.groups
    ]
    return tuple(sorted(found, key=lambda group: group.locant))


def _face(mol: Chem.Mol, ring: Placed, group: RingGroup) -> Face | None:
    """Face of a ligand by the mark of its carbon."""
    atom = mol.GetAtomWithIdx(ring.atoms[str(group.locant)])
    if atom.GetChiralTag() == Chem.ChiralType.CHI_UNSPECIFIED:
        return None
    return "up" if turns_left(atom, from_behind(ring, group, atom)) else "down"


def _open_sites(mol: Chem.Mol, atoms: list[int]) -> tuple[str, ...]:
    words = []
    unmarked = [info for info in possible_centres(mol) if info.specified == Chem.StereoSpecified.Unspecified]
    if len(unmarked) == 1 and _means_nothing(mol, unmarked[0]):
        return ()
    for info in unmarked:
        index = info.centeredOn
        if info.type == Chem.StereoType.Atom_Tetrahedral:
            words.append(f"at C{atoms.index(index) + 1}" if index in atoms else "in a group")
        else:
            words.append("at a double bond")
    return tuple(dict.fromkeys(sorted(words)))


def _means_nothing(mol: Chem.Mol, info: Chem.StereoInfo) -> bool:
    """Whether both marks of the only unmarked centre are one structure: that between two alike groups of one
    configuration (C2 of trans-1,2,3-trimethylcyclohexane whose C1 and C3 are both R) is no centre."""
    if info.type != Chem.StereoType.Atom_Tetrahedral:
        return False
    marked = Chem.Mol(mol)
    marked.GetAtomWithIdx(info.centeredOn).SetChiralTag(ANTICLOCKWISE)
    return inchi_of(marked) == inchi_of(turned(marked, [([info.centeredOn], [])]))
