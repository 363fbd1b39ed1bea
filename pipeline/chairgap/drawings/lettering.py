"""Names of groups as they are set in print: lowered digits, raised charges, turned round on the left."""

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Literal, NamedTuple

from chairgap.drawings.plane import Box, Point
from chairgap.drawings.svg import Element, element
from chairgap.text import lowered, raised

Anchor = Literal["start", "middle", "end"]

# Advance widths in 1/1000 em, rounded up: the wider of DejaVu Sans 2.35 and Liberation Sans 1.07 (which has
# the widths of Helvetica and Arial), measured from the font files. A box from them holds the text in any font
# of the style sheet.
_WIDTHS = {
    letter: width
    for width, letters in {
        275: "'", 278: "ijl", 295: "I", 318: " ,.·", 337: "/:;\\|", 353: "f", 361: "-", 391: "()[]",
        393: "t", 401: "!", 412: "r", 460: '"', 500: "*J`", 521: "s", 525: "z", 550: "c", 557: "?_",
        558: "L", 580: "k", 592: "vxy", 611: "FT", 612: "o", 613: "a", 616: "e", 634: "hnu", 635: "bdgpq",
        637: "$0123456789{}", 667: "EKPSY", 685: "AV", 686: "XZ", 687: "B", 723: "CR", 732: "U", 749: "N",
        752: "H", 771: "D", 778: "G", 780: "&", 788: "OQ", 818: "w", 838: "#+<=>^~≡−", 863: "M", 951: "%",
        975: "m", 989: "W", 1016: "@",
    }.items()
    for letter in letters
}  # fmt: skip
_WIDEST = 1030  # of a letter that is not listed
_SMALL = 0.72
_LOWERED_EM = 0.18
_RAISED_EM = 0.36
CAP_EM = 0.73
_HANGING = re.compile(r"[^A-Za-z0-9 +=−≡·.\-]|[gjpqyQJ]")

# Left of its bond a group is written from the other end, so that the bonded atom stands at the bond (common
# practice, no source). A group that is not listed keeps its order.
_TURNED = {
    "CH3": "H3C", "CH(CH3)2": "(CH3)2CH", "C(CH3)3": "(CH3)3C", "CH2C(CH3)3": "(CH3)3CCH2",
    "CH2OSO2C6H4CH3": "CH3C6H4SO2OCH2", "CH=CH2": "H2C=CH", "C#CH": "HC#C", "CF3": "F3C", "CN": "NC",
    "CHO": "OHC", "COCH3": "CH3(O)C", "COCl": "ClOC", "CO2H": "HO2C", "CO2-": "-O2C", "CO2CH3": "CH3O2C",
    "CO2C2H5": "C2H5O2C", "CO2CH(CH3)2": "(CH3)2CHO2C", "NH2": "H2N", "NHCH3": "CH3NH",
    "N(CH3)2": "(CH3)2N", "NH3+": "+H3N", "NO2": "O2N", "N3": "N3", "NC": "CN", "NCO": "OCN",
    "NCS": "SCN", "OH": "HO", "OCH3": "CH3O", "OC2H5": "C2H5O", "OCOCH3": "CH3COO", "OCHO": "HCOO",
    "OCOCF3": "CF3COO", "OSO2C6H4CH3": "CH3C6H4SO2O", "OSO2CH3": "CH3SO2O", "ONO2": "O2NO",
    "OSi(CH3)3": "(CH3)3SiO", "OSi(CH3)2C(CH3)3": "(CH3)3C(CH3)2SiO",
    "OSi(CH(CH3)2)3": "((CH3)2CH)3SiO", "OSi(C6H5)2C(CH3)3": "(CH3)3C(C6H5)2SiO", "SH": "HS",
    "SCH3": "CH3S", "SC6H5": "C6H5S", "SCN": "NCS", "S-": "-S", "S(O)CH3": "CH3(O)S",
    "S(O)C6H5": "C6H5(O)S", "SO2CH3": "CH3O2S", "SO2C6H5": "C6H5O2S", "SeC6H5": "C6H5Se",
    "TeC6H5": "C6H5Te", "PH2": "H2P", "P(CH3)2": "(CH3)2P", "P(OCH3)2": "(CH3O)2P", "PCl2": "Cl2P",
    "P(C6H5)2": "(C6H5)2P", "P(O)(C6H5)2": "(C6H5)2(O)P", "SiH3": "H3Si", "Si(CH3)3": "(CH3)3Si",
    "SiCl3": "Cl3Si", "Ge(CH3)3": "(CH3)3Ge", "Ge(C6H5)3": "(C6H5)3Ge", "Sn(CH3)3": "(CH3)3Sn",
    "Sn(C6H5)3": "(C6H5)3Sn", "Pb(CH3)3": "(CH3)3Pb", "MgBr": "BrMg", "HgBr": "BrHg",
    "HgOCOCH3": "CH3COOHg",
}  # fmt: skip
_FORM = re.compile(r"([\d,]*)([A-Z])([\d,]*)")
_ONE_ATOM = frozenset({"F", "Cl", "Br", "I", "H"})
_ATOM = re.compile(r"[A-Z][a-z]?|.")
_PIECES = re.compile(
    r"(?P<low>(?<=[A-Za-z)\]])\d+)"
    r"|(?P<high>\^\d+|(?<=[A-Za-z0-9)\]])[+-](?=\)|$)|^[+-](?=[A-Z]))"
    r"|(?P<on>.)",
    re.DOTALL,
)


class Run(NamedTuple):
    """Letters of one size; level -1 lowered, 1 raised, 0 on the line."""

    text: str
    level: int


class Lettering(NamedTuple):
    """A way to write a group at the end of its bond: the anchored end of the text is the bonded atom, of this
    width in em, and beyond it what follows (the H of CH in (CH3)2CH)."""

    runs: tuple[Run, ...]
    anchor: Anchor
    atom_em: float
    beyond_em: float = 0.0


def runs_of(text: str) -> tuple[Run, ...]:
    """'CO2-' as CO, lowered 2, raised minus; 'R^1' as R, raised 1; '#' of a triple bond is set as ≡."""
    runs: list[Run] = []
    for match in _PIECES.finditer(text):
        level = {"low": -1, "high": 1, "on": 0}[match.lastgroup or "on"]
        letters = match[0].lstrip("^").replace("-", "−") if level else match[0].replace("#", "≡")
        if runs and runs[-1].level == level:
            letters = runs.pop().text + letters
        runs.append(Run(letters, level))
    return tuple(runs)


def form_runs(label: str) -> tuple[Run, ...]:
    """A ring form as IUPAC sets it: '1C4' with raised 1 and lowered 4; '3,6B'; 'B2,5'."""
    match = _FORM.fullmatch(label)
    before, letter, after = match.groups() if match else ("", label, "")
    return tuple(Run(text, level) for text, level in ((before, 1), (letter, 0), (after, -1)) if text)


def as_text(runs: tuple[Run, ...]) -> str:
    """Runs as plain text with the raised and lowered digits of Unicode, for where there is no other way."""
    letters: dict[int, Callable[[str], str]] = {-1: lowered, 0: str, 1: raised}
    return "".join(letters[run.level](run.text) for run in runs)


def symbol(number: int) -> str:
    """R with a raised number, which stands for a group written out below the drawing."""
    return f"R^{number}"


@lru_cache(maxsize=4096)
def width_em(runs: tuple[Run, ...]) -> float:
    """Width of a line of text in em, not less than it will be."""
    return sum(
        _WIDTHS.get(letter, _WIDEST) / 1000 * (_SMALL if run.level else 1.0)
        for run in runs
        for letter in run.text
    )


def letterings(group: str) -> tuple[Lettering, ...]:
    """The ways to write a group: from its bonded atom rightwards, and leftwards or, where nothing better is
    known, in the same order with its right end at the bond."""
    runs = runs_of(group)
    atom = _ATOM.match(group)
    symbol = atom[0] if atom else group
    atom_em = width_em((Run(symbol, 0),))
    forward = Lettering(runs, "start", atom_em)
    if group in _ONE_ATOM:
        return (Lettering(runs, "middle", atom_em),)
    if group in _TURNED:
        turned = _TURNED[group]
        beyond_em = width_em(runs_of(turned[turned.rindex(symbol) + len(symbol) :]))
        return (forward, Lettering(runs_of(turned), "end", atom_em, beyond_em))
    return (forward, *_kept(runs))


def symbol_letterings(number: int) -> tuple[Lettering, ...]:
    runs = runs_of(symbol(number))
    return (Lettering(runs, "start", width_em(runs[:1])), *_kept(runs))


def _kept(runs: tuple[Run, ...]) -> tuple[Lettering, Lettering]:
    last = width_em((Run(runs[-1].text[-1:], runs[-1].level),))
    return Lettering(runs, "end", last), Lettering(runs, "middle", width_em(runs))


def box_of(runs: tuple[Run, ...], anchor: Anchor, at: Point, size_px: float) -> Box:
    """The box of a line of text whose anchor is at this point of its base line."""
    width, (rise, fall) = width_em(runs) * size_px, _rise_fall_em(runs)
    left = at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * width
    return Box(left, at[1] - rise * size_px, left + width, at[1] + fall * size_px)


@lru_cache(maxsize=4096)
def _rise_fall_em(runs: tuple[Run, ...]) -> tuple[float, float]:
    """How far a line of text reaches above and below its base line."""
    rise, fall = CAP_EM + 0.02, 0.02
    for text, level in runs:
        if level > 0:
            rise = max(rise, _RAISED_EM + _SMALL * CAP_EM + 0.02)
        elif level < 0:
            fall = max(fall, _LOWERED_EM + 0.02)
        elif _HANGING.search(text):
            rise, fall = max(rise, 0.78), max(fall, 0.24)
    return rise, fall


def text_element(
    runs: tuple[Run, ...], at: Point, size_px: float, anchor: Anchor, fill: str, **attributes: str
) -> Element:
    """A line of text in the words of the style sheet; each change of level is one tspan."""
    spans, level_px = [], 0.0
    plain = runs[0].text if len(runs) == 1 and not runs[0].level else ""
    for text, level in () if plain else runs:
        level_now_px = {-1: _LOWERED_EM, 0: 0.0, 1: -_RAISED_EM}[level] * size_px
        size = size_px * (_SMALL if level else 1.0)
        spans.append(element("tspan", text=text, dy=level_now_px - level_px, font_size=size))
        level_px = level_now_px
    return element(
        "text",
        *spans,
        text=plain,
        x=at[0],
        y=at[1],
        font_size=size_px,
        text_anchor=anchor,
        class_=f"words fill-{fill}",
        **attributes,
    )
