"""The molecules of a study, from its [[molecule]] blocks, CSV files and SDF files.

Each becomes a MoleculeRequest, or a Refusal when it cannot be read; one refused molecule stops no other.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from chairgap.errors import InputError, MoleculeError, Place
from chairgap.files.reading import TextTable, read_header, read_text, split_table
from chairgap.molecule.sdf import StructureRecord, read_sdf_blocks
from chairgap.molecule.substituents import parse_groups_by_face
from chairgap.naming.reading import ParsedName, parse_name
from chairgap.naming.recognise import looks_like_a_name
from chairgap.records import GroupOnCarbon, MoleculeRequest, Refusal
from chairgap.study.schema import LONGEST_NAME, MoleculeTable, checked
from chairgap.study.toml_text import KeyPath, Source
from chairgap.text import as_written, holds_control_character, printable, tidy

Item = MoleculeRequest | Refusal
Names = dict[str, Place]  # the names given so far, and where

COLUMNS = ("name", "smiles", "substituents", "stereo")
_GROUP = re.compile(r"\d+ (up|down) ", re.IGNORECASE)
MOST_MOLECULES = 200_000  # in one file
_SHOWN_OF_A_NAME = 80  # where it is too long
_MOST_CSV_MB, _MOST_SDF_MB = 100, 300


# --- [[molecule]] blocks ---------------------------------------------------------------------------------


def from_block(entry: object, position: int, names: Names, source: Source) -> Item:
    """The [[molecule]] block at `position` (counted from 0) of a study file."""
    path: KeyPath = ("molecule", position)

    def at(field: str) -> Place:
        return source.place((*path, field) if field else path)

    name = entry.get("name") if isinstance(entry, dict) else None
    fallback = (tidy(name) if isinstance(name, str) else "") or f"molecule {position + 1}"
    if not isinstance(entry, dict):
        problem = InputError(
            f"It cannot be {as_written(entry)}. Write one [[molecule]] block per molecule.", place=at("")
        )
        return _refused(fallback, [problem], at(""))
    table = checked(MoleculeTable, entry, source, path)
    if isinstance(table, list):
        names.setdefault(fallback, at("name"))
        return _refused(fallback, table, at(""))
    given = {
        "name": table.name,
        "smiles": table.smiles or "",
        "substituents": ", ".join(table.substituents or ()),
        "stereo": table.stereo or "",
    }
    return _item(given, names, at, fallback)


# --- CSV files -------------------------------------------------------------------------------------------


def from_csv(path: Path, names: Names) -> list[Item]:
    """The molecules of a CSV file with the columns of COLUMNS; rows are numbered as a spreadsheet does.

    Rows without content are passed over. Raises InputError or StudyError when the header or the quoting is
    wrong, as no row can then be trusted.
    """
    text = read_text(path, at_most_mb=_MOST_CSV_MB)
    table = split_table(text, str(path), columns=COLUMNS, most_rows=MOST_MOLECULES)
    (header_row, header), *rows = table.filled(COLUMNS)
    columns = _columns(header, Place(file=str(path), row=header_row))
    if not rows:
        raise InputError(
            "There is no molecule below the header. Write one per row, or remove the file from the study.",
            place=Place(file=str(path)),
        )
    return [_from_row(table, columns, list(map(tidy, cells)), names, (path, row)) for row, cells in rows]


def _columns(header: Sequence[str], place: Place) -> list[str]:
    columns = read_header(header, place, known=COLUMNS, needed={"name": "a name of its own per molecule"})
    if not {"smiles", "substituents"} & set(columns):
        message = "Neither of the columns 'smiles' and 'substituents' is there. Add one of the two."
        raise InputError(message, place=place)
    return columns


def _from_row(
    table: TextTable, columns: Sequence[str], cells: Sequence[str], names: Names, origin: tuple[Path, int]
) -> Item:
    path, row = origin

    def at(field: str) -> Place:
        return Place(file=str(path), row=row, field=field)

    fallback = f"{path.name} row {row}"
    given = dict.fromkeys(COLUMNS, "") | dict(zip(columns, cells, strict=False))
    if any(cells[len(columns) :]):
        return _refused(given["name"] or fallback, [table.ragged(cells, columns, at(""))], at(""))
    return _item(given, names, at, fallback)


# --- SDF and MOL files -----------------------------------------------------------------------------------


def from_sdf(path: Path, names: Names) -> list[Item]:
    """The records of an SDF or MOL file, named by title line, else by a data tag `name`, else by number.

    Whether a record is a molecule that can be treated is found out when it is built. Raises InputError for a
    file that cannot be read as text or holds no record.
    """
    text = read_text(path, at_most_mb=_MOST_SDF_MB)
    records = read_sdf_blocks(text)
    if not records:
        raise InputError(
            "The file has no structure record. Write one, or remove the file from the study.",
            place=Place(file=str(path)),
        )
    if len(records) > MOST_MOLECULES:
        message = f"The file has more than {MOST_MOLECULES:,} records. Split it into several."
        raise InputError(message, place=Place(file=str(path)))
    return [_from_record(record, names, path) for record in records]


def _from_record(record: StructureRecord, names: Names, path: Path) -> Item:
    place = Place(file=str(path), line=record.line, record=record.number)
    name = tidy(record.title) or tidy(record.name_tag) or f"{path.stem} {record.number}"
    if message := _wrong_name(name, names):
        return _refused(name, [InputError(message, place=place, value=name)], place)
    names[name] = place
    return MoleculeRequest(name=name, place=place, molblock=record.molblock)


# --- one molecule ----------------------------------------------------------------------------------------


def _item(given: Mapping[str, str], names: Names, at: Callable[[str], Place], fallback: str) -> Item:
    """A request, or a refusal with every problem of this molecule; `fallback` names one without a name.

    `given` holds a text for each of COLUMNS, empty when not given; `at` is the place of such a field, or of
    the molecule as a whole.
    """
    name, smiles, substituents, stereo = (given[column] for column in COLUMNS)
    problems: list[InputError] = []
    groups: tuple[GroupOnCarbon, ...] | None = None
    if message := _wrong_name(name, names):
        problems.append(InputError(message, place=at("name"), value=name))
    names.setdefault(name, at("name"))
    parsed, said = _parsed(name, smiles, substituents)
    problems += [InputError(message, place=at(field), value=smiles or None) for field, message in said]
    if stereo not in ("", "all"):
        message = (
            f"It cannot be {as_written(stereo)}. Write 'all' to take every stereoisomer, or leave it out."
        )
        if _GROUP.match(stereo):
            message += " Put double quotes around a list of groups, so that it stays in one cell."
        problems.append(InputError(message, place=at("stereo"), value=stereo))
    if substituents:
        try:
            groups = parse_groups_by_face(substituents)
        except InputError as error:
            problems.append(InputError(error.message, place=at("substituents"), value=substituents))
    if problems:
        return _refused(name or fallback, problems, at(""))
    return MoleculeRequest(
        name=name,
        place=at("substituents" if substituents else "smiles" if smiles else "name"),
        # The locants of a name go along as atom-map numbers.
        smiles=(parsed.numbered_smiles if parsed else smiles) or None,
        substituents=groups,
        every_stereoisomer=stereo == "all",
        mirror_too=parsed is not None and parsed.relative,
    )


def _parsed(name: str, smiles: str, substituents: str) -> tuple[ParsedName | None, list[tuple[str, str]]]:
    """The structure where it is given as a name, in its field or as what the molecule is called; and what is
    wrong with how it is given, by field."""
    if smiles and substituents:
        message = "The molecule has both 'smiles' and 'substituents'. Give one of the two."
        return None, [("", message)]
    if looks_like_a_name(smiles):
        try:
            return parse_name(smiles), []
        except MoleculeError as error:
            return None, [("smiles", error.message)]
    if len(smiles.split()) > 1:
        message = "A SMILES has no blank in it. Write the SMILES alone, and the name in its own field."
        return None, [("smiles", message)]
    if smiles or substituents:
        return None, []
    parsed, hint = _named(name)
    message = f"The molecule has neither 'smiles' nor 'substituents'. Give one of the two.{hint}"
    return parsed, [] if parsed else [("", message)]


def _named(name: str) -> tuple[ParsedName | None, str]:
    """What the name of a molecule says where nothing else does, or a hint why it says nothing."""
    if not looks_like_a_name(name):
        return None, ""
    try:
        return parse_name(name), ""
    except MoleculeError as error:
        meant_as_one = "cyclohex" in name.casefold() or error.expected
        return None, f" {error.message}" if meant_as_one else ""


def _wrong_name(name: str, names: Names) -> str:
    if not name:
        return "The molecule has no name. Give each molecule a name of its own."
    if holds_control_character(name):
        return "The name has a control character in it. Write it in letters, figures and signs alone."
    if len(name) > LONGEST_NAME:
        return f"The name has {len(name)} characters. Use at most {LONGEST_NAME}."
    if name in names:
        return f"The name '{name}' is taken already ({names[name]}). Give each molecule a name of its own."
    return ""


def _refused(name: str, problems: Sequence[InputError], place: Place) -> Refusal:
    """One refusal for one molecule, however many problems it has."""
    name = printable(name) if len(name) <= LONGEST_NAME else f"{printable(name)[:_SHOWN_OF_A_NAME]}..."
    if len(problems) == 1:
        return Refusal(name=name, message=problems[0].message, place=problems[0].place)
    message = " ".join(
        f"({number}) {problem.place.field}: {problem.message}" if problem.place.field else problem.message
        for number, problem in enumerate(problems, start=1)
    )
    return Refusal(name=name, message=message, place=place)
