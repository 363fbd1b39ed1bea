"""Reading what a key states: numbers, positions, faces, patterns, pairs; lenient in spelling only."""

import math
import re
import unicodedata

from chairgap.errors import InputError, Place
from chairgap.records import Answer, Claim

SYNONYMS: dict[str, dict[str, tuple[str, ...]]] = {
    "position": {"axial": ("a", "ax", "axial"), "equatorial": ("e", "eq", "equat", "equatorial")},
    "face": {"up": ("up", "u", "top", "above"), "down": ("down", "d", "bottom", "below")},
    "relation": {"cis": ("cis", "same face"), "trans": ("trans", "opposite faces")},
    "twist-boat": {"yes": ("yes", "y", "true", "1"), "no": ("no", "n", "false", "0")},
}
_NUMBER = re.compile(r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?")
_TOKEN = re.compile(r"([1-6])\s*([ae])(?![a-z])(?:\(([^()]*(?:\([^()]*\)[^()]*)*)\))?", re.IGNORECASE)


def plain(text: str) -> str:
    """Text with compatible Unicode forms folded, minus signs and dashes made '-', blanks made one blank."""
    folded = unicodedata.normalize("NFKC", text)
    for dash in "\u2010\u2011\u2012\u2013\u2014\u2212":
        folded = folded.replace(dash, "-")
    return " ".join(folded.split())


def problem(claim: Claim, message: str) -> InputError:
    """An error that names the claim's cell."""
    return InputError(message, place=Place(file=str(claim.cell)), value=claim.claimed)


def in_words(text: str, *steps: str) -> Answer:
    """An answer that is no number."""
    return Answer(text=text, value=None, unit="", steps=steps)


def number(text: str) -> tuple[float, str] | None:
    """(number, what stands behind it) of '5,4 kJ/mol'; None when the text is no number.

    A comma is a decimal comma; thousands separators are not read.
    """
    cleaned = plain(text)
    match = _NUMBER.match(cleaned)
    if match is None:
        return None
    rest = cleaned[match.end() :].strip()
    if rest[:1].isdigit() or rest[:1] in {",", "."}:
        return None
    value = float(match.group().replace(",", "."))
    return (value, rest) if math.isfinite(value) else None


def decimals(text: str) -> int:
    """Digits behind the decimal sign of the number in text: '5,40' -> 2."""
    match = _NUMBER.match(plain(text))
    found = re.search(r"[.,](\d+)", match.group()) if match else None
    return len(found.group(1)) if found else 0


def word(quantity: str, text: str) -> str | None:
    """The closed word meant by text for a quantity with synonyms, or None."""
    written = plain(text).lower().rstrip(".")
    return next((meaning for meaning, all_ in SYNONYMS[quantity].items() if written in all_), None)


def stages(text: str) -> tuple[str, ...]:
    """The ring shapes of a path: 'chair -> half-chair, boat' or with ; between them."""
    return tuple(filter(None, map(str.strip, re.split("->|[>;,]", plain(text).lower()))))


def pattern(text: str) -> tuple[tuple[int, str, str], ...] | None:
    """((carbon, 'a' or 'e', group or ''), ...) of '1a 2e' or '1a(CH3), 1e(OH)'; None when it is none."""
    cleaned = plain(text)
    tokens = tuple(
        (int(match.group(1)), match.group(2).lower(), (match.group(3) or "").strip())
        for match in _TOKEN.finditer(cleaned)
    )
    rest = re.sub(r"[\s,;]+", "", _TOKEN.sub("", cleaned))
    return tuple(sorted(tokens)) if tokens and not rest else None


def pairs(text: str) -> frozenset[frozenset[int]] | None:
    """{{1, 3}, {1, 5}} of '1-3, 1-5'; an empty set of 'none' or '0'; None when it reads as neither."""
    cleaned = plain(text).lower()
    if cleaned in {"none", "0", "-", "no"}:
        return frozenset()
    pieces = [piece for piece in re.split(r"[;,]|\band\b", cleaned) if piece.strip()]
    found = [re.fullmatch(r"\s*c?([1-6])\s*[-/.: ]\s*c?([1-6])\s*", piece) for piece in pieces]
    if not pieces or any(match is None for match in found):
        return None
    return frozenset(frozenset((int(m.group(1)), int(m.group(2)))) for m in found if m is not None)
