"""Text for people: on one line, printable, escaped, with the nearest known word."""

import difflib
import re
import unicodedata
from collections.abc import Iterable

_LONGEST_MESSAGE = 12_000
_LONGEST_EXCERPT = 80
_LARGEST_WHOLE = 10**20
_HOURS_FROM_MIN = 90.0
_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
_SPECIAL = re.compile(r"[\\`*_\[\]{}|#~$!]")
_LIST_START = re.compile(r"^(\d+(?=[.)](?:\s|$))|)([-+=.)])")


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """' Did you mean ...?' for the nearest known word, with a leading blank, or ''."""
    near = nearest(word, known)
    return f" Did you mean '{near}'?" if near else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like `word`, capitals not told apart, or ''."""
    return next(iter(near_words(word, known, most=1)), "")


def near_words(word: str, known: Iterable[str], *, most: int) -> list[str]:
    """Up to `most` known words like `word`, the most like it first, capitals not told apart."""
    by_small_letters = {name.casefold(): name for name in known}
    near = difflib.get_close_matches(word.strip().casefold(), by_small_letters, n=most, cutoff=0.6)
    return [by_small_letters[name] for name in near]


def one_line(text: str) -> str:
    """Text on one line: line breaks and control characters become one blank each."""
    return "".join(letter if letter.isprintable() else " " for letter in text).strip()


def lines_of(text: str) -> list[str]:
    """The lines of a longer message, each as `one_line`; empty ones left out."""
    return [line for line in map(one_line, text.splitlines()) if line]


def escaped(text: str) -> str:
    """Text of a user or a table such that Markdown shows exactly these characters, also in a pipe table."""
    marked = _SPECIAL.sub(lambda found: "\\" + found.group(), one_line(text))
    marked = _LIST_START.sub(lambda found: f"{found[1]}\\{found[2]}", marked)
    return re.sub("[&<>]", lambda found: _ENTITIES[found.group()], marked)


def duration(seconds: float) -> str:
    """'5 min', '1.6 hours', in whole minutes below an hour and a half, at least one."""
    minutes = seconds / 60.0
    return f"{minutes / 60.0:,.1f} hours" if minutes >= _HOURS_FROM_MIN else f"{max(1.0, minutes):.0f} min"


def tidy(text: str) -> str:
    """The text with every run of blanks, line breaks and no-break spaces as one blank, none at the ends."""
    return " ".join(text.split())


def holds_control_character(text: str) -> bool:
    return not text.isprintable() and any(unicodedata.category(character) == "Cc" for character in text)


def printable(text: str) -> str:
    """The text with every character that does not print as its code point."""
    return text if text.isprintable() else "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text)


def excerpt(text: str) -> str:
    """The beginning of a text that a message quotes, printable."""
    return printable(text[:_LONGEST_EXCERPT]) + ("..." if len(text) > _LONGEST_EXCERPT else "")


def as_written(value: object) -> str:
    """A value as the user would have written it, short enough for a message."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{excerpt(value)}"'
    if isinstance(value, int):
        return str(value) if abs(value) < _LARGEST_WHOLE else "a whole number of more than 20 digits"
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return "a date or time"


def readable(text: str, *, longest_line: int = 3000) -> str:
    """The text as a terminal may show it: a character that does not print (line feeds stay) is shown as its
    code point, and a part is left out from the middle of a line, or of a text, that is far too long.

    Messages quote what users wrote: it may hold control sequences of a terminal, or a whole file in a cell.
    """
    if len(text) > longest_line:
        lines = "\n".join(_shortened(line, longest_line) for line in text.split("\n"))
        text = _shortened(lines, _LONGEST_MESSAGE)
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() or c == "\n" else f"\\u{ord(c):04x}" for c in text)


def _shortened(text: str, longest: int) -> str:
    return text if len(text) <= longest else f"{text[: longest * 2 // 3]} [...] {text[-longest // 3 :]}"
