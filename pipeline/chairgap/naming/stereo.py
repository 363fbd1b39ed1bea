"""Stereodescriptors in front of a name or of a part of it. Pure.

P-91.2.1 (CIP letters), P-91.2.1.1 (rac, rel, R*, RS), P-31.1.4.3.4 and P-93.5.1 (cis, trans; r, c, t), and
alpha/beta of Chemical Abstracts (index names up to 1999); numbers of rules from memory.
"""

import re
from dataclasses import dataclass, field

from chairgap.naming.tree import Letter, Stereo

_LETTER = r"(?:\d*(?:RS|SR|[RSrsEZ])\*?)"
_LETTERS = re.compile(rf"[(\[]\s*({_LETTER}(?:,\s*{_LETTER})*)\s*[)\]]-?")
_ONE_LETTER = re.compile(r"(\d*)(RS|SR|[RSrsEZ])(\*?)")
_FACE = r"(?:\d+\.?(?:α|β|alpha|beta)\.?)"
_FACES = re.compile(rf"\(?({_FACE}(?:,\s*{_FACE})*)\)?-", re.IGNORECASE)
_ONE_FACE = re.compile(r"(\d+)\.?(α|β|alpha|beta)", re.IGNORECASE)
_ALL_CIS = re.compile(r"(?:all-cis|cis(?:,\s*cis)+)-|\(all-cis\)-?", re.IGNORECASE)
_RELATION = re.compile(r"(cis|trans)-(?=\S)|\((cis|trans)\)-?", re.IGNORECASE)
_RACEMIC = re.compile(r"(?:rac|racemic|dl)-|\((?:±|\+-|\+/-|-/\+|\+,\s?-|rac|racemic)\)-?", re.IGNORECASE)
_RELATIVE = re.compile(r"rel-|\(rel\)-?", re.IGNORECASE)
_SIGN = re.compile(r"\(([+-])\)-?|1?([DLdl])-(?=[A-Za-z(])|\(([DL])\)-")
_SEVERAL = re.compile(r"(?:cis|trans)(?:,\s*(?:cis|trans))+-|all-trans-", re.IGNORECASE)


class StereoError(ValueError):
    """Descriptors that contradict each other; the message says how."""


@dataclass(kw_only=True)
class _Said:
    """What the descriptors so far say."""

    relation: str = ""
    letters: list[Letter] = field(default_factory=list)
    faces: list[tuple[str, bool]] = field(default_factory=list)
    relative: bool = False
    racemic: bool = False
    sign: str = ""

    def all_cis(self, _: re.Match[str]) -> None:
        self.relation = _only(self.relation, "all-cis")

    def several(self, found: re.Match[str]) -> None:
        raise StereoError(
            f"'{found[0].rstrip('-')}' does not say which group is meant by which word; write "
            "r-1,c-2,t-3 or R and S with their locants"
        )

    def cis_or_trans(self, found: re.Match[str]) -> None:
        self.relation = _only(self.relation, (found[1] or found[2]).lower())

    def is_racemic(self, _: re.Match[str]) -> None:
        self.relative = self.racemic = True

    def is_relative(self, _: re.Match[str]) -> None:
        self.relative = True

    def signed(self, found: re.Match[str]) -> None:
        self.sign += found[1] or found[2] or found[3]

    def lettered(self, found: re.Match[str]) -> None:
        if self.letters:
            raise StereoError(f"there are two sets of letters, the second is '{found[0].rstrip('-')}'")
        self.letters, relative, racemic = _letters(found[1])
        self.relative, self.racemic = self.relative or relative, self.racemic or racemic

    def faced(self, found: re.Match[str]) -> None:
        self.faces += [(one[1], one[2].lower() in ("α", "alpha")) for one in _ONE_FACE.finditer(found[1])]
        locants = [locant for locant, _ in self.faces]
        if len(set(locants)) < len(locants):
            raise StereoError(f"'{found[0].rstrip('-')}' has a locant twice")


_KINDS = (
    (_ALL_CIS, _Said.all_cis),
    (_SEVERAL, _Said.several),
    (_RELATION, _Said.cis_or_trans),
    (_RACEMIC, _Said.is_racemic),
    (_RELATIVE, _Said.is_relative),
    (_SIGN, _Said.signed),
    (_LETTERS, _Said.lettered),
    (_FACES, _Said.faced),
)


def read_stereo(text: str, start: int, end: int) -> Stereo:
    """All descriptors from `start` on. Raises StereoError."""
    said, place = _Said(), start
    while True:
        for pattern, note in _KINDS:
            if found := pattern.match(text, place, end):
                note(said, found)
                place = found.end()
                break
        else:
            break
    return Stereo(
        relation=said.relation,
        letters=tuple(said.letters),
        faces=tuple(said.faces),
        relative=said.relative,
        racemic=said.racemic,
        sign=said.sign,
        start=start,
        end=place,
    )


def _only(before: str, now: str) -> str:
    if before and before != now:
        raise StereoError(f"it has both '{before}' and '{now}'")
    return now


def _letters(text: str) -> tuple[list[Letter], bool, bool]:
    """The letters of '1R*,2S*', whether they are relative, and whether racemic ('1RS,2SR': the first of each
    pair is one mirror image)."""
    found = [_ONE_LETTER.fullmatch(piece.strip()) for piece in text.split(",")]
    pieces = [piece for piece in found if piece]
    pairs = [len(piece[2]) == 2 for piece in pieces]
    stars = [bool(piece[3]) for piece in pieces if piece[2] in ("R", "S")]
    if any(pairs) and not all(pairs):
        raise StereoError(f"'({text})' mixes RS with single letters")
    if any(stars) and not all(stars):
        raise StereoError(f"'({text})' has stars on some letters only")
    locants = [piece[1] for piece in pieces]
    if "" in locants and set(locants) != {""}:
        raise StereoError(f"'({text})' has locants on some letters only")
    if locants[0] and len(set(locants)) < len(locants):
        raise StereoError(f"'({text})' has a locant twice")
    letters = [Letter(locant=piece[1], letter=piece[2][0]) for piece in pieces]
    return letters, any(stars) or any(pairs), any(pairs)
