"""Reading files: their bytes, their text, and the rows of a table of text, whatever separates its cells."""

import csv
import io
import os
import stat
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.text import did_you_mean, nearest, printable, tidy
from chairgap.units import KJ_PER_KCAL

_SAVE_AS_UTF8 = "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again."
_SEPARATORS = {",": "comma", ";": "semicolon", "\t": "tab"}
_ONE_COLUMN = "\x1f"  # the unit separator, which no text has
_TITLE_LINES = 20  # the header of a table stands below at most so many


def is_file(path: Path) -> bool:
    """True for a file; a name that the file system cannot take is none."""
    try:
        return path.is_file()
    except OSError:
        return False


def is_plain(file: int | Path, path: Path) -> bool:
    """Whether an open file, or one of this path, is a plain one, and none that the system makes when it is
    read. Raises OSError when it cannot be looked at."""
    made_by_the_system = path.resolve().parts[1:2] in (("proc",), ("sys",))
    plain = stat.S_ISREG(os.stat(file).st_mode)  # noqa: PTH116 - a descriptor has no path
    return plain and not made_by_the_system


def _at_once(path: str, flags: int) -> int:
    """Open without waiting for whoever writes into a pipe."""
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def read_bytes(
    path: Path,
    *,
    at_most_mb: int,
    shown: str = "",
    instead_of_folder: str = "Name the file itself.",
    if_too_large: str = "Split it into several.",
) -> bytes:
    """The bytes of a file, called `shown` in messages.

    `instead_of_folder` and `if_too_large` end those messages. Raises InputError for a file that is missing, a
    folder, no plain file (a pipe, a device, what the system itself shows as a file), unreadable or larger
    than `at_most_mb` (10^6 bytes).
    """
    place = Place(file=shown or str(path))
    try:
        with open(path, "rb", opener=_at_once) as file:
            raw = file.read(at_most_mb * 1_000_000 + 1) if is_plain(file.fileno(), path) else None
    except FileNotFoundError:
        message = f"There is no such file.{_near_files(path)} Check the name and the folder."
        raise InputError(message, place=place) from None
    except IsADirectoryError:
        raise InputError(f"This is a folder, not a file. {instead_of_folder}", place=place) from None
    except (OSError, ValueError):
        message = "The file cannot be opened. Check the path and that you may read the file."
        raise InputError(message, place=place) from None
    if raw is None:
        message = (
            "This is no plain file, but a pipe, a device or a part of the system. Save it as a file first."
        )
        raise InputError(message, place=place)
    if len(raw) > at_most_mb * 1_000_000:
        raise InputError(f"The file is larger than {at_most_mb} MB. {if_too_large}", place=place)
    return raw


def decoded(raw: bytes, file: str) -> str:
    """UTF-8 text; a byte order mark is dropped, line ends are kept. Raises InputError for anything else."""
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError(f"The file is UTF-16 text. {_SAVE_AS_UTF8}", place=Place(file=file))
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        message = f"Byte 0x{raw[error.start]:02x} is not UTF-8 text. {_SAVE_AS_UTF8}"
        raise InputError(message, place=Place(file=file, line=line)) from None


def read_text(path: Path, *, instead_of_folder: str = "Name the file itself.", at_most_mb: int = 10) -> str:
    """The text of a UTF-8 file. Raises InputError as `read_bytes` and `decoded` do, and for an empty file."""
    raw = read_bytes(path, at_most_mb=at_most_mb, instead_of_folder=instead_of_folder)
    return filled_text(raw, str(path))


def filled_text(raw: bytes, file: str) -> str:
    """The text of these bytes of a file. Raises InputError as `decoded` does, and for an empty file."""
    text = decoded(raw, file)
    if not text.strip():
        raise InputError("The file is empty. Write its content first.", place=Place(file=file))
    return text


def _near_files(path: Path) -> str:
    try:
        names = sorted(entry.name for entry in path.parent.iterdir() if entry.suffix == path.suffix)
    except OSError:
        return ""
    return did_you_mean(path.name, names)


# --- tables of text --------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class TextTable:
    """The rows of a table of text as a spreadsheet counts them, the first being row 1, and what separates
    the cells: ',', ';', a tab, or nothing in a table of one column. Where it is no comma, a number may have a
    decimal comma."""

    file: str
    rows: list[list[str]]
    separator: str

    @property
    def decimal_comma(self) -> bool:
        return self.separator != ","

    def filled(self, needed: Collection[str]) -> list[tuple[int, list[str]]]:
        """Number and cells, stripped, of every row that has content. Raises InputError, which names the
        columns `needed`, where there is none."""
        rows = ((number, [cell.strip() for cell in row]) for number, row in enumerate(self.rows, start=1))
        filled = [(number, cells) for number, cells in rows if any(cells)]
        if not filled:
            message = f"The file is empty. Write the columns {', '.join(needed)}, and one row per entry."
            raise InputError(message, place=Place(file=self.file))
        return filled

    def ragged(self, cells: Sequence[str], columns: Sequence[str], place: Place) -> InputError:
        """What is wrong with a row that does not have a cell for each column."""
        mark = _SEPARATORS.get(self.separator, "control character")
        message = (
            f"The row has {len(cells)} cells, the header {len(columns)}. Put double quotes around a cell "
            f"that holds a {mark}, and give every column a cell."
        )
        value = self.separator.join(cells)
        return InputError(message, place=place, value=value, expected=f"{len(columns)} cells")


def split_table(text: str, file: str, *, columns: Collection[str], most_rows: int) -> TextTable:
    """A text in rows of cells. Commas, semicolons or tabs separate them, whichever finds most names of
    `columns` in one of the first lines; where such a line is the name of a single column, nothing does.

    Raises InputError where the quoting of cells breaks, as no row below can then be trusted, and for more
    rows than `most_rows` and a header.
    """
    separator = _separator(text, columns)
    rows: list[list[str]] = []
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
        rows.extend(islice(reader, most_rows + 2))
    except csv.Error as error:
        message = (
            f"The quoting of cells breaks in this row ({error}), so the rest cannot be read. "
            'Close every double quote, and write a double quote inside a cell as "".'
        )
        raise InputError(message, place=Place(file=file, row=len(rows) + 1)) from None
    if len(rows) > most_rows + 1:
        message = f"The file has more than {most_rows:,} rows. Split it into several."
        raise InputError(message, place=Place(file=file))
    return TextTable(file=file, rows=rows, separator=separator)


def _separator(text: str, columns: Collection[str]) -> str:
    lines = [line for line in islice(io.StringIO(text, newline=""), _TITLE_LINES) if line.strip()]

    def fitness(mark: str) -> tuple[int, int]:
        cells = [{column_name(cell.strip().strip('"')) for cell in line.split(mark)} for line in lines]
        known = max((len(found.intersection(columns)) for found in cells), default=0)
        return known, lines[0].count(mark) if lines else 0

    separator = max(_SEPARATORS, key=fitness)
    alone = any(column_name(line.strip().strip('"')) in columns for line in lines)
    return _ONE_COLUMN if alone and fitness(separator)[0] == 1 else separator


def column_name(cell: str) -> str:
    """The name of a column as a header has it: in small letters, words joined by an underscore."""
    return "_".join(cell.replace("_", " ").split()).casefold()


def read_header(
    cells: Sequence[str], place: Place, *, known: Sequence[str], needed: Mapping[str, str]
) -> list[str]:
    """Names of the columns in small letters; blank ones at the end (a spreadsheet's habit) are dropped.

    `needed` says what each column that must be there holds. Raises StudyError with everything wrong.
    """
    names = [column_name(cell) for cell in cells]
    while names and not names[-1]:
        names.pop()
    listed = ", ".join(known)
    problems: list[ChairgapError] = []
    meant = set()

    def tell(message: str, field: str = "", expected: str = listed) -> None:
        at = Place(file=place.file, row=place.row, field=printable(field))
        problems.append(InputError(message, place=at, value=field, expected=expected))

    for number, name in enumerate(names):
        written = tidy(cells[number])
        if not name:
            tell(f"Column {number + 1} has no name. Name it or remove it.")
        elif name in names[:number]:
            tell(f"Column '{written}' is there twice. Keep one.", written)
        elif name not in known:
            meant.add(nearest(name, known))
            tell(f"Column '{written}' is not known.{_column_advice(name, known)}", written)
    for name, what in needed.items():
        if name not in names and name not in meant:
            tell(f"Column '{name}' is missing. Add it ({what}).", name, what)
    if problems:
        raise StudyError(problems)
    return names


def _column_advice(name: str, known: Sequence[str]) -> str:
    near = nearest(name, known)
    if near.endswith("_kcal_mol") and "kj" in name:
        return f" Divide its numbers by {KJ_PER_KCAL:g} (energies are kcal/mol) and name it '{near}'."
    return f"{did_you_mean(name, known)} Rename or remove it; the columns are {', '.join(known)}."
