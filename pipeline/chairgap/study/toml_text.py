"""Places in the TOML text of a study: the line of each key, and how messages call it."""

import re
from dataclasses import dataclass

from chairgap.errors import Place
from chairgap.text import printable

# A key path as the parser and the validator give it: names, and positions in arrays counted from 0.
KeyPath = tuple[str | int, ...]

_NAME = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_DOTTED = rf"{_NAME}(?:\s*\.\s*{_NAME})*"
_HEADER = re.compile(rf"^\s*(\[\[?)\s*({_DOTTED})\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(rf"^\s*({_DOTTED})\s*=")
_LONGEST_PATH = 100
_DEEPEST_KEY = 20  # a study has two levels


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


@dataclass(frozen=True, kw_only=True)
class Source:
    """A TOML text: what messages call it, and the line of each of its keys."""

    file: str
    lines: dict[KeyPath, int]

    def place(self, path: KeyPath) -> Place:
        """Where a key stands."""
        return Place(file=self.file, line=line_of(self.lines, path), field=shown_path(path))


def _parts(dotted: str) -> KeyPath:
    return tuple(part.strip("\"'") for part in re.findall(_NAME, dotted))


def line_of(lines: dict[KeyPath, int], path: KeyPath) -> int | None:
    """Line of a key, else of the nearest section or key that holds it, else None."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None
