"""The molecules of a study, from its [[molecule]] blocks, tables (CSV, tab-separated, .xlsx) and SDF files.

Each becomes a MoleculeRequest, or a Refusal when it cannot be read; one refused molecule stops no other.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from chairgap.errors import InputError, MoleculeError, Place
from chairgap.files.reading import read_header, read_text
from chairgap.molecule.extensions import has_extension
from chairgap.molecule.group_lists import looks_like_groups, read_group_list
from chairgap.molecule.sdf import StructureRecord, read_sdf_blocks
from chairgap.naming.reading import parse_name
from chairgap.naming.recognise import looks_like_a_name
from chairgap.records import MoleculeRequest, Refusal
from chairgap.study.schema import LONGEST_NAME, MoleculeTable, checked
from chairgap.study.sheets import Row, Sheet, is_date, read_sheets
from chairgap.study.toml_text import KeyPath, Source
from chairgap.text import as_written, holds_control_character, printable, tidy

Item = MoleculeRequest | Refusal
Names = dict[str, Place]  # the names given so far, and where

COLUMNS = ("name", "smiles", "substituents", "stereo")
MOST_MOLECULES = 200_000  # in one file
_SHOWN_OF_A_NAME = 80  # where it is too long
_MOST_SDF_MB = 300


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


# --- CSV files, tab-separated files and workbooks --------------------------------------------------------


def from_table(path: Path, names: Names, notes: list[str]) -> list[Item]:
    """The molecules of a table with the columns of COLUMNS, text or workbook; rows are numbered as a
    spreadsheet does. What was passed over is added to notes.

    Rows without content are passed over. Raises InputError or StudyError when the header or the quoting is
    wrong, as no row can then be trusted.
    """
    sheets, remarks = read_sheets(path, columns=COLUMNS, most_rows=MOST_MOLECULES)
    notes += remarks
    if not any(sheet.rows for sheet in sheets):
        _columns(sheets[0])
        raise InputError(
            "There is no molecule below the header. Write one per row, or remove the file from the study.",
            place=Place(file=sheets[0].called),
        )
    columns = [_columns(sheet) for sheet in sheets]
    return [
        _from_row(sheet, names_of, row, names)
        for sheet, names_of in zip(sheets, columns, strict=True)
        for row in sheet.rows
    ]


def _columns(sheet: Sheet) -> list[str]:
    row, cells = sheet.header
    place = Place(file=sheet.called, row=row)
    return read_header(cells, place, known=COLUMNS, needed={"name": "a name of its own per molecule"})


def _from_row(sheet: Sheet, columns: Sequence[str], row: Row, names: Names) -> Item:
    number, written = row
    cells = list(map(tidy, written))

    def at(field: str) -> Place:
        return Place(file=sheet.called, row=number, field=field)

    fallback = f"{sheet.short} row {number}"
    given = dict.fromkeys(COLUMNS, "") | dict(zip(columns, cells, strict=False))
    name = fallback if is_date(given["name"]) else given["name"] or fallback
    if any(cells[len(columns) :]):
        return _refused(name, [sheet.too_long(cells, columns, at(""))], at(""))
    if dates := [column for column in columns if is_date(given[column])]:
        message = "The spreadsheet made a date of this cell. Format it as text and write its content anew."
        return _refused(name, [InputError(message, place=at(column)) for column in dates], at(""))
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
    if message := _wrong_name(name, names):
        problems.append(InputError(message, place=at("name"), value=name))
    names.setdefault(name, at("name"))
    structure, said = _structure(name, smiles, substituents)
    problems += [InputError(message, place=at(field), value=given.get(field)) for field, message in said]
    if stereo not in ("", "all"):
        message = (
            f"It cannot be {as_written(stereo)}. Write 'all' to take every stereoisomer, or leave it out."
        )
        if looks_like_groups(stereo):
            message += " Put double quotes around a list of groups, so that it stays in one cell."
        problems.append(InputError(message, place=at("stereo"), value=stereo))
    if problems:
        return _refused(name or fallback, problems, at(""))
    field = "substituents" if substituents else "smiles" if smiles else "name"
    return MoleculeRequest(name=name, place=at(field), every_stereoisomer=stereo == "all", **structure)


def _structure(name: str, smiles: str, substituents: str) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """What a request holds of the structure, and what is wrong with how that is given, by field.

    In the field of the SMILES may stand a name or groups by face too; without these fields the name says what
    the molecule is.
    """
    if smiles and substituents:
        message = "The molecule has both 'smiles' and 'substituents'. Give one of the two."
        return {}, [("", message)]
    if not smiles and not substituents:
        return _by_its_name(name)
    field = "substituents" if substituents else "smiles"
    try:
        if substituents or looks_like_groups(smiles):
            return _of_list(substituents or smiles), []
        if looks_like_a_name(smiles):
            return _of_name(smiles), []
    except (InputError, MoleculeError) as error:
        return {}, [(field, error.message)]
    if len(smiles.split()) > 1 and not has_extension(smiles):
        message = "A SMILES has no blank in it. Write the SMILES alone, and the name in its own field."
        return {}, [(field, message)]
    return {"smiles": smiles}, []


def _by_its_name(name: str) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    hint = ""
    try:
        if looks_like_groups(name):
            return _of_list(name), []
    except InputError:
        pass  # a molecule may be called '2a'
    try:
        if looks_like_a_name(name):
            return _of_name(name), []
    except MoleculeError as error:
        hint = f" {error.message}" if "cyclohex" in name.casefold() or error.expected else ""
    message = f"The molecule has neither 'smiles' nor 'substituents'. Give one of the two.{hint}"
    return {}, [("", message)]


def _of_list(text: str) -> dict[str, Any]:
    listed = read_group_list(text)
    return {"substituents": listed.groups, "mirror_too": listed.relative, "notes": listed.notes}


def _of_name(text: str) -> dict[str, Any]:
    parsed = parse_name(text)
    # The locants of a name go along as atom-map numbers.
    return {"smiles": parsed.numbered_smiles, "mirror_too": parsed.relative, "notes": parsed.notes}


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
