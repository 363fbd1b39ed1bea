"""The molecules of a study, from its [[molecule]] blocks, CSV files and SDF files.

Each becomes a MoleculeRequest, or a Refusal when it cannot be read; one refused molecule stops no other.
"""

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from itertools import islice
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.molecule.sdf import StructureRecord, read_sdf_blocks
from chairgap.molecule.substituents import parse_groups_by_face
from chairgap.records import GroupOnCarbon, MoleculeRequest, Refusal
from chairgap.study.schema import LONGEST_NAME, MoleculeTable, checked
from chairgap.study.toml_text import KeyPath, line_of, read_text, shown, shown_path
from chairgap.text import did_you_mean, holds_control_character, printable, tidy

Item = MoleculeRequest | Refusal
Names = dict[str, Place]  # the names given so far, and where

COLUMNS = ("name", "smiles", "substituents", "stereo")
_GROUP = re.compile(r"\d+ (up|down) ", re.IGNORECASE)
_INSTEAD_OF_FOLDER = "Name the file itself."
MOST_MOLECULES = 200_000  # in one file
_MOST_CSV_MB, _MOST_SDF_MB = 100, 300
_TOO_MANY = f"The file has more than {MOST_MOLECULES:,} {{}}. Split it into several."


# --- [[molecule]] blocks ---------------------------------------------------------------------------------


def from_block(entry: object, position: int, names: Names, *, file: str, lines: dict[KeyPath, int]) -> Item:
    """The [[molecule]] block at `position` (counted from 0) of a study file."""
    path: KeyPath = ("molecule", position)

    def at(field: str) -> Place:
        here = (*path, field) if field else path
        return Place(file=file, line=line_of(lines, here), field=shown_path(here))

    name = entry.get("name") if isinstance(entry, dict) else None
    fallback = (tidy(name) if isinstance(name, str) else "") or f"molecule {position + 1}"
    if not isinstance(entry, dict):
        problem = InputError(
            f"It cannot be {shown(entry)}. Write one [[molecule]] block per molecule.", place=at("")
        )
        return _refused(fallback, [problem], at(""))
    table = checked(MoleculeTable, entry, file=file, lines=lines, prefix=path)
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

    Commas separate the cells; where the header has none, semicolons or tabs do. Rows without content are
    passed over. Raises InputError or StudyError when the header or the quoting is wrong, as no row can then
    be trusted.
    """
    rows = _csv_rows(path)
    columns = _columns(rows[0], path)
    items = [
        _from_row(columns, [tidy(cell) for cell in cells], names=names, path=path, row=row)
        for row, cells in enumerate(rows[1:], start=2)
        if any(tidy(cell) for cell in cells)
    ]
    if not items:
        raise InputError(
            "There is no molecule below the header. Write one per row, or remove the file from the study.",
            place=Place(file=str(path)),
        )
    return items


def _csv_rows(path: Path) -> list[list[str]]:
    text = read_text(path, instead_of_folder=_INSTEAD_OF_FOLDER, at_most_mb=_MOST_CSV_MB)
    header = text.splitlines()[0]
    delimiter = next((mark for mark in ",;\t" if mark in header), ",")
    rows: list[list[str]] = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
        rows.extend(islice(reader, MOST_MOLECULES + 2))
    except csv.Error:
        message = (
            "The quoting of cells breaks in this row, so the rest cannot be read. "
            'Close every double quote, and write a double quote inside a cell as "".'
        )
        raise InputError(message, place=Place(file=str(path), row=len(rows) + 1)) from None
    if len(rows) > MOST_MOLECULES + 1:
        raise InputError(_TOO_MANY.format("rows"), place=Place(file=str(path)))
    return rows


def _columns(header: Sequence[str], path: Path) -> list[str]:
    """Names of the columns in small letters; blank ones at the end (a spreadsheet's habit) are dropped."""
    columns = [tidy(cell).casefold() for cell in header]
    while columns and not columns[-1]:
        columns.pop()
    known = f"Write a header of: {', '.join(COLUMNS)}."
    problems: list[ChairgapError] = []

    def add(message: str, field: str = "") -> None:
        problems.append(InputError(f"{message} {known}", place=Place(file=str(path), row=1, field=field)))

    for number, column in enumerate(columns):
        if not column:
            add(f"Column {number + 1} has no name.")
        elif column not in COLUMNS:
            add(f"Unknown column.{did_you_mean(column, COLUMNS)}", printable(tidy(header[number])))
        elif column in columns[:number]:
            add("This column is there twice.", column)
    if not problems and "name" not in columns:
        add("The column is missing.", "name")
    if not problems and not {"smiles", "substituents"} & set(columns):
        add("Neither of the columns 'smiles' and 'substituents' is there.")
    if problems:
        raise StudyError(problems)
    return columns


def _from_row(columns: Sequence[str], cells: Sequence[str], *, names: Names, path: Path, row: int) -> Item:
    def at(field: str) -> Place:
        return Place(file=str(path), row=row, field=field)

    fallback = f"{path.name} row {row}"
    given = dict.fromkeys(COLUMNS, "") | dict(zip(columns, cells, strict=False))
    if any(cells[len(columns) :]):
        message = (
            f"The row has more cells than the header has columns ({len(columns)}). "
            "Put double quotes around a cell that holds a comma or semicolon."
        )
        return _refused(given["name"] or fallback, [InputError(message, place=at(""))], at(""))
    return _item(given, names, at, fallback)


# --- SDF and MOL files -----------------------------------------------------------------------------------


def from_sdf(path: Path, names: Names) -> list[Item]:
    """The records of an SDF or MOL file, named by title line, else by a data tag `name`, else by number.

    Whether a record is a molecule that can be treated is found out when it is built. Raises InputError for a
    file that cannot be read as text or holds no record.
    """
    text = read_text(path, instead_of_folder=_INSTEAD_OF_FOLDER, at_most_mb=_MOST_SDF_MB)
    records = read_sdf_blocks(text)
    if not records:
        raise InputError(
            "The file has no structure record. Write one, or remove the file from the study.",
            place=Place(file=str(path)),
        )
    if len(records) > MOST_MOLECULES:
        raise InputError(_TOO_MANY.format("records"), place=Place(file=str(path)))
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
    if bool(smiles) == bool(substituents):
        which = "both 'smiles' and 'substituents'" if smiles else "neither 'smiles' nor 'substituents'"
        problems.append(InputError(f"The molecule has {which}. Give one of the two.", place=at("")))
    if len(smiles.split()) > 1:
        message = "A SMILES has no blank in it. Write the SMILES alone, and the name in its own field."
        problems.append(InputError(message, place=at("smiles"), value=smiles))
    if stereo not in ("", "all"):
        message = f"It cannot be {shown(stereo)}. Write 'all' to take every stereoisomer, or leave it out."
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
        place=at("smiles" if smiles else "substituents"),
        smiles=smiles or None,
        substituents=groups,
        every_stereoisomer=stereo == "all",
    )


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
    name = printable(name)[:LONGEST_NAME]
    if len(problems) == 1:
        return Refusal(name=name, message=problems[0].message, place=problems[0].place)
    message = " ".join(
        f"({number}) {problem.place.field}: {problem.message}" if problem.place.field else problem.message
        for number, problem in enumerate(problems, start=1)
    )
    return Refusal(name=name, message=message, place=place)
