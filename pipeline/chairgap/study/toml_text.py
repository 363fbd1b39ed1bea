"""Reading a user's text file and speaking about places in it: shared by the two study modules."""

import re
from pathlib import Path

from chairgap.errors import InputError, Place
from chairgap.text import did_you_mean, printable

# A key path as the parser and the validator give it: names, and positions in arrays counted from 0.
KeyPath = tuple[str | int, ...]

_SAVE_AS_UTF8 = "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again."
_NAME = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_DOTTED = rf"{_NAME}(?:\s*\.\s*{_NAME})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(rf"^\s*({_DOTTED})\s*=")
_LONGEST_SHOWN = 60
_LONGEST_PATH = 100
_LARGEST_SHOWN = 10**20
_DEEPEST_KEY = 20  # a study has two levels


def read_text(path: Path, *, instead_of_folder: str, at_most_mb: int = 10) -> str:
    """The text of a UTF-8 file (a byte order mark is dropped, line ends are kept).

    `instead_of_folder` ends the message for a folder. Raises InputError for a file that is missing, a folder,
    unreadable, empty, not UTF-8 or larger than `at_most_mb` (10^6 bytes).
    """
    place = Place(file=str(path))
    try:
        with path.open("rb") as file:  # no question for its size first: a device has none
            raw = file.read(at_most_mb * 1_000_000 + 1)
    except FileNotFoundError:
        message = f"There is no such file.{_near_files(path)} Check the name and the folder."
        raise InputError(message, place=place) from None
    except IsADirectoryError:
        raise InputError(f"This is a folder, not a file. {instead_of_folder}", place=place) from None
    except (OSError, ValueError):
        message = "The file cannot be opened. Check the path and that you may read the file."
        raise InputError(message, place=place) from None
    if len(raw) > at_most_mb * 1_000_000:
        raise InputError(f"The file is larger than {at_most_mb} MB. Split it into several.", place=place)
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise InputError(f"The file is UTF-16 text. {_SAVE_AS_UTF8}", place=place)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        message = f"Byte 0x{raw[error.start]:02x} is not UTF-8 text. {_SAVE_AS_UTF8}"
        raise InputError(message, place=Place(file=str(path), line=line)) from None
    if not text.strip():
        raise InputError("The file is empty. Write its content first.", place=place)
    return text


def _near_files(path: Path) -> str:
    try:
        names = sorted(entry.name for entry in path.parent.iterdir() if entry.suffix == path.suffix)
    except OSError:
        return ""
    return did_you_mean(path.name, names)


def shown(value: object) -> str:
    """A value as the user would have written it, short enough for a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        dots = "..." if len(value) > _LONGEST_SHOWN else ""
        return f'"{printable(value[:_LONGEST_SHOWN])}{dots}"'
    if isinstance(value, int):
        return str(value) if abs(value) < _LARGEST_SHOWN else "a whole number of more than 20 digits"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return "a date or time"


def shown_path(path: KeyPath) -> str:
    """`('molecule', 2, 'smiles')` as `molecule[3].smiles`: positions are counted from 1."""
    words = ""
    for part in path:
        words += f"[{part + 1}]" if isinstance(part, int) else f".{part}"
    words = words.removeprefix(".")
    return printable(words if len(words) <= _LONGEST_PATH else f"{words[:_LONGEST_PATH]}...")


def key_lines(text: str) -> dict[KeyPath, int]:
    """Line number (from 1) of every section header and key of a TOML text, by a plain scan of its lines.

    Text inside multi-line strings is passed over. Keys of inline tables are not found; `line_of` then falls
    back on the key that holds them.
    """
    lines: dict[KeyPath, int] = {}
    section: KeyPath = ()
    counts: dict[KeyPath, int] = {}
    inside = ""
    for number, line in enumerate(text.split("\n"), start=1):
        if inside:
            inside = "" if inside in line else inside
            continue
        if header := _HEADER.match(line):
            section = _parts(header[2])
            lines.setdefault(section, number)
            if header[1] == "[[":
                counts[section] = counts.get(section, -1) + 1
                section = (*section, counts[section])
                lines.setdefault(section, number)
        elif key := _KEY.match(line):
            dotted = _parts(key[1])
            for depth in range(1, min(len(dotted), _DEEPEST_KEY) + 1):
                lines.setdefault((*section, *dotted[:depth]), number)
        inside = next((mark for mark in ('"""', "'''") if line.count(mark) == 1), "")
    return lines


def _parts(dotted: str) -> KeyPath:
    return tuple(part.strip("\"'") for part in re.findall(_NAME, dotted))


def line_of(lines: dict[KeyPath, int], path: KeyPath) -> int | None:
    """Line of a key, else of the nearest section or key that holds it, else None."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None
