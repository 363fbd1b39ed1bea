"""Groups by face, `1 up CH3, 2 down OH`: to a ring and back; the words for groups."""

import re
from functools import lru_cache

from rdkit import Chem, rdBase

from chairgap.errors import InputError, MoleculeError, Place, StudyError
from chairgap.estimate.groups import find_row, suggest
from chairgap.molecule import fragments
from chairgap.molecule.cut import Cut
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.molecule.reading import chemistry_problems, parse_smiles, read_smiles
from chairgap.naming.reading import parse_name
from chairgap.records import EstimateTable, Face, GroupOnCarbon
from chairgap.text import excerpt

_FACES: tuple[Face, Face] = ("up", "down")
_CIP_LETTER = re.compile(r"\b\d{0,2}[RSEZ]\b|\b\d{1,2}[rs]\b")


def groups_by_face_text(faces: RingFaces, table: EstimateTable) -> str:
    """A ring as groups by face; it builds the same molecule again. Cyclohexane itself is '1 up H'.

    A group goes by its name in the table where the name says all, else by its fragment.
    """
    names = row_names(table)
    pieces = [
        f"{locant} {face} {names.get(fragment, fragment)}"
        for locant, pair in enumerate(faces, start=1)
        for face, fragment in zip(_FACES, pair, strict=True)
        if fragment != HYDROGEN
    ]
    return ", ".join(pieces) or "1 up H"


def group_name(fragment: str, table: EstimateTable) -> str:
    """'H', the table's name of a group, or the fragment itself.

    A row without stereo marks also names the configurations of its group: the A-value of a sulfoxide or a
    sec-butyl group is that of either hand.
    """
    if fragment == HYDROGEN:
        return "H"
    names = row_names(table)
    return names.get(fragment) or names.get(fragments.flat(fragment)) or fragment


def sort_name(fragment: str, table: EstimateTable) -> str:
    """Name for alphabetical order: the group's name, or its fragment without stereo marks."""
    name = group_name(fragment, table)
    return fragments.flat(fragment) if name == fragment else name


@lru_cache(8)
def row_names(table: EstimateTable) -> dict[str, str]:
    """Canonical fragment to group name, for each row of the table.

    Raises StudyError with every row whose fragment is no group, or the same group as that of another row.
    """
    names: dict[str, str] = {}
    problems: list[InputError] = []
    place = Place(file=table.name, field="fragment")
    for row in table.a_values:
        try:
            other = names.setdefault(read_fragment(row.fragment), row.group)
        except MoleculeError as error:
            problems.append(InputError(f"Group '{row.group}': {error.message}", place=place))
            continue
        if other != row.group:
            message = (
                f"The fragments of '{other}' and '{row.group}' are the same group; keep one of the two rows."
            )
            problems.append(InputError(message, place=place))
    if problems:
        raise StudyError(problems)
    return names


@lru_cache(1024)
def read_fragment(text: str) -> str:
    """Canonical form of a group written as SMILES with one `*`. Raises MoleculeError."""
    with rdBase.BlockLogs():
        mol = parse_smiles(text)
        if mol is None or chemistry_problems(mol):
            raise _wrong_fragment(text, "cannot be read as SMILES")
        Chem.SanitizeMol(mol)
        Chem.SetBondStereoFromDirections(mol)
    stars = [atom for atom in mol.GetAtoms() if atom.GetAtomicNum() == 0]
    if len(stars) != 1 or stars[0].GetDegree() != 1:
        raise _wrong_fragment(text, "does not have one end at the ring")
    if stars[0].GetBonds()[0].GetBondType() != Chem.BondType.SINGLE:
        raise _wrong_fragment(text, "is not joined by a single bond")
    if len(Chem.GetMolFrags(mol)) > 1:
        raise _wrong_fragment(text, "is in several pieces")
    for atom in mol.GetAtoms():
        atom.SetAtomMapNum(0)
    return fragments.canonical(mol)


def _wrong_fragment(text: str, why: str) -> MoleculeError:
    return MoleculeError(
        f"The fragment '{excerpt(text)}' {why}; write a SMILES with one * in place of the ring carbon, "
        "joined by one single bond, for example *CCO.",
        value=text,
    )


def cut_from_list(groups: tuple[GroupOnCarbon, ...], table: EstimateTable) -> Cut:
    """The ring that groups by face mean, its numbering kept. Raises MoleculeError with every problem."""
    problems: list[MoleculeError] = []
    placed: dict[tuple[int, str], str] = {}
    for group in groups:
        said = excerpt(f"{group.carbon} {group.face} {group.group}")
        if not 1 <= group.carbon <= 6:
            message = f"'{said}': ring carbons are numbered 1 to 6; correct the number."
            problems.append(MoleculeError(message, value=group.carbon, expected="1 to 6"))
        elif (group.carbon, group.face) in placed:
            message = (
                f"'{said}': carbon {group.carbon} already has a group {group.face}; each face holds one."
            )
            problems.append(MoleculeError(message, value=said))
        try:
            placed[(group.carbon, group.face)] = resolve_group(group.group, table)
        except MoleculeError as error:
            problems.append(error)
    if problems:
        raise together(problems)
    faces = tuple(
        (placed.get((carbon, "up"), HYDROGEN), placed.get((carbon, "down"), HYDROGEN))
        for carbon in range(1, 7)
    )
    return Cut(faces=faces, locants=(1, 2, 3, 4, 5, 6))


def resolve_group(name: str, table: EstimateTable) -> str:
    """Canonical fragment of a group of the table, of 'H', of a fragment SMILES, or of a word for a group as
    names of molecules have it (`1-hydroxyethyl`). Raises MoleculeError."""
    if name.strip().casefold() in ("h", "hydrogen"):
        return HYDROGEN
    if "*" in name:
        return read_fragment(name.strip())
    row = find_row(table, name)
    if row is not None:
        return read_fragment(row.fragment)
    if fragment := _fragment_of_word(name.strip()):
        return fragment
    near = suggest(table, name)
    *others, last = near or ("",)
    hint = f" Did you mean {', '.join(others)}{' or ' if others else ''}{last}?" if near else ""
    raise MoleculeError(
        f"Group '{excerpt(name)}' is not in table '{table.name}'.{hint} Write a group of the table, or a "
        "fragment SMILES with * for the ring carbon, for example *CCO.",
        value=name,
        expected=", ".join(near),
    )


@lru_cache(1024)
def _fragment_of_word(word: str) -> str:
    """The group of a word as names of molecules have it, or nothing: read as the one group of a ring. Raises
    MoleculeError for CIP letters, which need not be those that the group has on another ring."""
    if " " in word:
        return ""
    try:
        named = parse_name(f"({word})cyclohexane")
    except MoleculeError:
        return ""
    if len(named.groups) != 1 or named.relative or named.notes:
        return ""
    if _CIP_LETTER.search(word):
        raise MoleculeError(
            f"The letters R, S, E and Z of the group '{excerpt(word)}' depend on the rest of the molecule; "
            "write the group as a fragment SMILES with its marks, for example *[C@@H](C)O.",
            value=word,
        )
    mol = read_smiles(named.numbered_smiles).mol
    carbon = next(atom for atom in mol.GetAtoms() if atom.GetAtomMapNum() == 1)
    ligands = [atom for atom in carbon.GetNeighbors() if not atom.GetAtomMapNum()]
    first = next(atom.GetIdx() for atom in ligands if atom.GetAtomicNum() != 1)
    if mol.GetBondBetweenAtoms(carbon.GetIdx(), first).GetBondType() != Chem.BondType.SINGLE:
        return ""  # 'oxo' takes both places of a carbon
    return fragments.cut_off(mol, carbon.GetIdx(), first)


def together(problems: list[MoleculeError]) -> MoleculeError:
    """One error for one molecule, however many problems it has."""
    if len(problems) == 1:
        return problems[0]
    listed = " ".join(f"({number}) {problem.message}" for number, problem in enumerate(problems, start=1))
    return MoleculeError(f"{len(problems)} problems: {listed}")
