"""Reading what a key states: numbers, positions, faces, patterns, pairs; lenient in spelling only."""

import math
import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from chairgap.errors import InputError, Place
from chairgap.records import Answer, Claim

_TEXTS_KEPT = 4096  # of the cells of a class, which repeat
SYNONYMS: dict[str, dict[str, tuple[str, ...]]] = {
    "position": {"axial": ("a", "ax", "axial"), "equatorial": ("e", "eq", "equat", "equatorial")},
    "face": {"up": ("up", "u", "top", "above"), "down": ("down", "d", "bottom", "below")},
    "relation": {
        "cis": ("cis", "same face", "same side"),
        "trans": ("trans", "opposite faces", "opposite sides"),
    },
    "twist-boat": {"yes": ("yes", "y", "true", "1"), "no": ("no", "n", "false", "0")},
}
_NUMBER = re.compile(r"[-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:[eE][-+]?\d+)?")
EQUAL = frozenset(
    [
        "equal",
        "equals",
        "same",
        "the same",
        "same energy",
        "the same energy",
        "equal energy",
        "equal in energy",
        "equally stable",
        "neither",
        "neither chair",
        "both",
        "both equal",
        "both chairs",
        "both the same",
        "none",
        "no preference",
        "no difference",
        "identical",
        "degenerate",
        "50:50",
        "50/50",
        "50-50",
        "1:1",
        "tie",
        "a = b",
        "a=b",
    ]
)
_AXIAL_WORDS = {"a": "a", "ax": "a", "axial": "a", "e": "e", "eq": "e", "equat": "e", "equatorial": "e"}
_HOW_MANY = re.compile(r"(?:all|both|di|tri|tetra|penta|hexa|bis|tris)[- ]?")
_TOKEN = re.compile(r"([1-6])\s*([ae])(?![a-z])(?:\(([^()]*(?:\([^()]*\)[^()]*)*)\))?", re.IGNORECASE)


@lru_cache(_TEXTS_KEPT)
def plain(text: str) -> str:
    """Text with compatible Unicode forms folded, minus signs and dashes made '-', blanks made one blank."""
    folded = unicodedata.normalize("NFKC", text)
    for dash in "\u2010\u2011\u2012\u2013\u2014\u2212":
        folded = folded.replace(dash, "-")
    return " ".join(folded.split())


def problem(claim: Claim, message: str) -> InputError:
    """An error that names the claim's cell."""
    return InputError(message, place=Place(file=str(claim.cell)), value=claim.claimed)


@lru_cache(_TEXTS_KEPT)
def unit_of(text: str) -> str | None:
    """'kcal/mol' (also of an empty text) or 'kJ/mol', however it is spelled; None for another unit."""
    folded = re.sub(r"[\s*·.^()]", "", plain(text)).lower().replace("permol", "/mol").replace("mol-1", "/mol")
    return {
        "": "kcal/mol",
        "kcal/mol": "kcal/mol",
        "kcal": "kcal/mol",
        "kj/mol": "kJ/mol",
        "kj": "kJ/mol",
    }.get(folded)


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


@dataclass(frozen=True, kw_only=True)
class Stated:
    """What a cell states of a number: all from low to high. kind 'about' is a rounded number; 'ratio' is one
    part over the other, 17.2 to 21.2 of '95:5', whose parts are rounded; rest is what stands behind, such
    as a unit."""

    kind: Literal["number", "about", "range", "bound", "ratio"]
    low: float
    high: float
    rest: str


_ABOUT = re.compile(
    r"(?:~|\u2248|\u2243|ca\.?|circa|about|approx(?:\.|imately)?|roughly|around)\s*", re.IGNORECASE
)
_BOUND = re.compile(
    r"(>=?|<=?|\u2265|\u2264|more than|greater than|over|above|at least|less than|below|under|at most)\s*",
    re.IGNORECASE,
)
_MOST_PLACES = 300
_BELOW = ("<", "\u2264", "less", "below", "under", "at most")
_TO = re.compile(r"\s*(?:-|to|\.\.\.?|\u2026)\s*")
_PLUS_MINUS = re.compile(r"\s*(?:\u00b1|\+/-|\+-)\s*")
_POWER = re.compile(r"\s*[x*\u00b7\u00d7]\s*10\^?([-+]?\d+)")
_THOUSANDS = re.compile(r"\d{1,3}(?:,\d{3})+(?![\d,.])")
_RAISED = str.maketrans(
    "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079\u207b\u207a", "0123456789-+"
)


@lru_cache(_TEXTS_KEPT)
def stated(text: str) -> Stated | None:
    """The number, rounded number ('~80'), range ('80-85', '1.74 +/- 0.06'), bound ('>95', 'at least 95') or
    ratio ('95:5') of a cell; '1.9 x 10^3' is one number. None when it states none."""
    cleaned = plain(re.sub(r"(10)([\u2070\u00b9\u00b2\u00b3\u2074-\u207b]+)", _raised, text))
    bound, about = _BOUND.match(cleaned), _ABOUT.match(cleaned)
    first = _leading(cleaned[(bound or about).end() if bound or about else 0 :])  # type: ignore[union-attr]
    if first is None:
        return None
    value, rest = first
    if bound:
        below = bound.group(1).lower().startswith(_BELOW)
        return Stated(
            kind="bound", low=-math.inf if below else value, high=value if below else math.inf, rest=rest
        )
    if not about and (ratio := re.match(r"\s*(?::|/|to)\s*(?=\d)", rest)):
        other = _leading(rest[ratio.end() :])
        if other and other[0] > 0.0 and ("to" not in ratio.group() or not other[1]) and value >= 0.0:
            is_range = "to" in ratio.group() and value < other[0]
            if not is_range:
                half = 0.5 * 10.0 ** -decimals(cleaned)
                both = half if abs(value + other[0] - 100.0) < 1e-6 else 0.0
                low, high = (value - half) / (other[0] + both), (value + half) / max(other[0] - both, 1e-9)
                return Stated(kind="ratio", low=max(low, 0.0), high=high, rest=other[1])
    for sign, spread in ((_PLUS_MINUS, True), (_TO, False)):
        if between := sign.match(rest):
            other = _leading(rest[between.end() :])
            if other and (spread or other[0] > value):
                low, high = (value - other[0], value + other[0]) if spread else (value, other[0])
                return Stated(kind="range", low=low, high=high, rest=other[1])
    return Stated(kind="about" if about else "number", low=value, high=value, rest=rest)


def _raised(match: re.Match[str]) -> str:
    return f"{match.group(1)}^{match.group(2).translate(_RAISED)}"


def _leading(text: str) -> tuple[float, str] | None:
    """(number, what stands behind it) with powers of ten."""
    if power := re.match(r"10\^([-+]?\d+)", text):
        exponent, rest = float(power.group(1)), text[power.end() :]
        return (10.0**exponent, rest.strip()) if abs(exponent) < _MOST_PLACES else None
    found = number(text)
    if found is None:
        return None
    value, rest = found
    if power := _POWER.match(rest):
        exponent = float(power.group(1))
        return (value * 10.0**exponent, rest[power.end() :].strip()) if abs(exponent) < _MOST_PLACES else None
    return value, rest


@lru_cache(_TEXTS_KEPT)
def thousands(text: str) -> float | None:
    """The number of a cell whose commas may part thousands ('1,740'), or None."""
    match = _THOUSANDS.match(plain(text))
    return float(match.group().replace(",", "")) if match else None


@lru_cache(_TEXTS_KEPT)
def decimals(text: str) -> int:
    """Digits behind the decimal sign of the first number in text: '5,40' -> 2. A power of ten takes them
    away: '1.9 x 10^3' -> -2."""
    cleaned = plain(re.sub(r"(10)([\u2070\u00b9\u00b2\u00b3\u2074-\u207b]+)", _raised, text))
    match = _NUMBER.search(cleaned)
    if match is None:
        return 0
    found = re.search(r"[.,](\d+)", match.group())
    power = re.search(r"[eE]([-+]?\d+)", match.group()) or _POWER.match(cleaned[match.end() :])
    places = (len(found.group(1)) if found else 0) - (int(power.group(1)) if power else 0)
    return max(-_MOST_PLACES, min(places, _MOST_PLACES))


def about_slack(value: float, text: str) -> float:
    """How far 'about' reaches: half a unit of the last digit that is not 0, and at least 2 percent."""
    digits = re.search(r"\d[\d.,]*", plain(text))
    written = digits.group().rstrip(".,") if digits else "0"
    places = decimals(text)
    zeros = len(written) - len(written.rstrip("0")) if places == 0 and written.strip("0") else 0
    return max(0.5 * 10.0 ** (zeros - places), 0.02 * abs(value))


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


def says_equal(text: str) -> bool:
    """Whether a cell says that two chairs have the same energy."""
    return " ".join(re.split(r"[\s.]+", plain(text).lower().removesuffix("%"))).strip() in EQUAL


def labels(text: str) -> tuple[str, ...] | None:
    """('a', 'e') of 'ae', 'a,e', 'axial/equatorial' or 'ax eq': one label for each group, or ('all a',) of
    'axial', 'diaxial', 'both axial'. None when it reads as neither."""
    cleaned = re.sub(r"\b(?:chair|conformer|conformation|form)\b", " ", plain(text).lower()).strip(" .")
    bare = _HOW_MANY.sub("", cleaned, count=1)
    if bare in ("axial", "ax", "equatorial", "eq"):
        return (f"all {_AXIAL_WORDS[bare]}",)
    if re.fullmatch(r"[ae]{2,12}", cleaned):
        return tuple(cleaned)
    pieces = [piece for piece in re.split(r"[\s,;/+&-]+|\band\b", cleaned) if piece]
    if len(pieces) > 1 and all(piece in _AXIAL_WORDS for piece in pieces):
        return tuple(_AXIAL_WORDS[piece] for piece in pieces)
    return None


def by_group(text: str) -> tuple[tuple[str, str], ...] | None:
    """(group, 'a' or 'e') of 'CH3 equatorial', 'axial OH' or 'Me eq, OH ax'; None when it reads otherwise."""
    found = []
    for piece in re.split(r"[,;]|\band\b", plain(text)):
        words = re.fullmatch(
            r"(?:(?P<first>axial|equatorial|ax|eq)\s+(?P<g1>\S+)|(?P<g2>\S+)\s+(?:is\s+)?(?P<last>axial|equatorial|ax|eq))",
            piece.strip(" ."),
            re.IGNORECASE,
        )
        if words is None:
            return None
        label, group = words["first"] or words["last"], words["g1"] or words["g2"]
        found.append((group, _AXIAL_WORDS[label.lower()]))
    return tuple(found)


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
