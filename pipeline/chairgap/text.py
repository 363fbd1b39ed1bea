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

_MINUS = "\u2212"
_RAISED = str.maketrans(
    "0123456789+-\u2212",
    "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207a\u207b\u207b",
)
_LOWERED = str.maketrans("0123456789", "\u2080\u2081\u2082\u2083\u2084\u2085\u2086\u2087\u2088\u2089")
_FROM_TYPE = {lowered: digit for digit, lowered in _LOWERED.items()} | {ord(_MINUS): ord("-")}
_POWERS = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207b"
_PLAIN = {
    _MINUS: "-",
    "\u207b": "-",
    "\u00b1": "+-",
    "\u0394": "d",
    "\u00d7": "x",
    "\u00b0": " deg",
    "\u2020": "(m)",
    "\u2500": "-",
    "\u2013": "-",
    "\u2026": "...",
}
# What is set in type, the first that fits: a DOI is left as it is; a carbon has a number of its own only
# before hydrogen, or it is a ring carbon or part of a SMILES. N1,N2- are locants of a name.
_TYPED = re.compile(
    r"""(?P<doi>\b10\.\d{4,9}/\S+)
    |(?<!\S)(?P<both>\+-)(?=\s|\d|$)
    |(?<![\w.])(?P<power>(?P<of>[-+]?\d+(?:\.\d+)?)e(?P<to>[-+]\d+))(?!\w)
    |(?<![^\s(/=,;|])(?P<minus>-)(?=\d|T\b)
    |(?<=[^\s,;:|])(?P<less>[ ]-[ ])(?=\S)(?!not[ ]comparable)
    |\b(?P<isotope>(?P<mass>1|13|15|19|31)(?P<element>[CHNFP]))(?=[ ]NMR\b)
    |\b(?P<per>cm-1)\b
    |\b(?P<delta>d[GHSE])\b
    |(?<![\w\[\]@\\\#=.*-])(?!N\d+'*(?:,N|-[a-z(\[])|[EGH]\()(?P<formula>[A-Z][A-Za-z0-9()\#=]*(?:[+-](?![\w+-]))?)""",
    re.VERBOSE,
)
_FORMULA = re.compile(
    r"(?:C(?:\d{1,2}(?=H))?(?![a-z])|(?:Cl|Br|Si|Se|Te|Sn|Ge|Pb|Hg|Mg|[DHNOFIPS])\d{0,2}|[()](?<=\))\d{0,2}|[(]|[\#=])+"
)


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
    """Text of a user or a table such that Markdown shows exactly these characters, wherever it stands."""
    return _LIST_START.sub(lambda found: f"{found[1]}\\{found[2]}", escaped_within(text))


def escaped_within(text: str) -> str:
    """As `escaped`, for a cell of a pipe table, where nothing begins a list."""
    marked = _SPECIAL.sub(lambda found: "\\" + found.group(), one_line(text))
    return re.sub("[&<>]", lambda found: _ENTITIES[found.group()], marked)


def duration(seconds: float) -> str:
    """'5 min', '1.6 hours', in whole minutes below an hour and a half, at least one."""
    minutes = seconds / 60.0
    return f"{minutes / 60.0:,.1f} hours" if minutes >= _HOURS_FROM_MIN else f"{max(1.0, minutes):.0f} min"


def typeset(text: str) -> str:
    """Words of ours as they are printed for people.

    Signs (-0.83 +- 0.49), differences (G(B) - G(A)), dG, powers of ten (7.9e-05), formulas (CH3, CO2-), 13C
    NMR and cm-1 get their true letters; DOIs, hyphens and ring carbons such as C1 stay. What a person may
    type again (names, SMILES, lists of groups) is not handed in. Typeset text is left as it is.
    """
    return _TYPED.sub(_typed, text)


def in_ascii(text: str, before: str = "") -> str:
    """Typeset text in plain letters, for a terminal that has no others; `before` is what stands before it.
    What has no plain letter becomes '?'."""
    power = "^" if before.endswith("10") and text[:1] in _POWERS else ""
    return power + "".join(
        letter if letter.isascii() else _PLAIN.get(letter) or _undecorated(letter) for letter in text
    )


def _undecorated(letter: str) -> str:
    plain = unicodedata.normalize("NFKD", letter).encode("ascii", "ignore").decode()
    return plain or "?"


def _typed(found: re.Match[str]) -> str:
    kind, words = str(found.lastgroup), found.group()
    if kind == "power":
        return f"{found['of'].replace('-', _MINUS)} \u00d7 10{raised(str(int(found['to'])))}"
    if kind == "formula":
        return _formula(words)
    if kind == "isotope":
        return raised(found["mass"]) + found["element"]
    return {
        "doi": words,
        "both": "\u00b1",
        "minus": _MINUS,
        "less": f" {_MINUS} ",
        "per": "cm\u207b\u00b9",
    }.get(kind, f"\u0394{words[1:]}")


def raised(text: str) -> str:
    """Digits and signs as superscripts."""
    return text.translate(_RAISED)


def lowered(text: str) -> str:
    """Digits as subscripts."""
    return text.translate(_LOWERED)


def _formula(word: str) -> str:
    """A formula with its numbers lowered and its charge raised; another word as it is."""
    core, rest = word, ""
    while core.endswith(")") and core.count(")") > core.count("("):
        core, rest = core[:-1], f"){rest}"
    charge = core[-1:] if core.endswith(("+", "-")) else ""
    plain = core.removesuffix(charge)
    if not (_FORMULA.fullmatch(plain) and plain.count("(") == plain.count(")")) or not (
        charge or any(letter.isdigit() for letter in plain)
    ):
        return word
    return lowered(plain) + raised(charge) + rest


def tidy(text: str) -> str:
    """The text with every run of blanks, line breaks and no-break spaces as one blank, none at the ends."""
    return " ".join(text.split())


def tidy_typed(text: str) -> str:
    """The text as `tidy` gives it, lowered digits and true minus signs as they are typed: words copied from
    a book or a page."""
    return tidy(text).translate(_FROM_TYPE)


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
