"""Stereodescriptors in front of a name or of a part of it. Pure.

P-91.2.1 (CIP letters), P-91.2.1.1 (rac, rel, R*, RS), P-31.1.4.3.4 and P-93.5.1 (cis, trans; r, c, t), and the
alpha/beta of Chemical Abstracts (index names up to 1999); numbers of rules from memory.
"""

import re

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


class StereoProblem(ValueError):
    """Descriptors that contradict each other; the message says how."""


def read_stereo(text: str, start: int, end: int) -> Stereo:
    """All descriptors from `start` on. Raises StereoProblem."""
    relation, sign = "", ""
    letters: list[Letter] = []
    faces: list[tuple[str, bool]] = []
    relative = racemic = False
    place = start
    while True:
        if found := _ALL_CIS.match(text, place, end):
            relation = _only(relation, "all-cis")
        elif found := _SEVERAL.match(text, place, end):
            raise StereoProblem(
                f"'{found[0].rstrip('-')}' does not say which group is meant by which word; write r-1,c-2,t-3 "
                "or R and S with their locants"
            )
        elif found := _RELATION.match(text, place, end):
            relation = _only(relation, (found[1] or found[2]).lower())
        elif found := _RACEMIC.match(text, place, end):
            relative = racemic = True
        elif found := _RELATIVE.match(text, place, end):
            relative = True
        elif found := _SIGN.match(text, place, end):
            sign += found[1] or found[2] or found[3]
        elif found := _LETTERS.match(text, place, end):
            if letters:
                raise StereoProblem(f"there are two sets of letters, the second is '{found[0].rstrip('-')}'")
            letters, rel, rac = _letters(found[1])
            relative, racemic = relative or rel, racemic or rac
        elif found := _FACES.match(text, place, end):
            faces += [(one[1], one[2].lower() in ("α", "alpha")) for one in _ONE_FACE.finditer(found[1])]
            twice = [locant for locant, _ in faces]
            if len(set(twice)) < len(twice):
                raise StereoProblem(f"'{found[0].rstrip('-')}' has a locant twice")
        else:
            break
        place = found.end()
    return Stereo(
        relation=relation,
        letters=tuple(letters),
        faces=tuple(faces),
        relative=relative,
        racemic=racemic,
        sign=sign,
        start=start,
        end=place,
    )


def _only(before: str, now: str) -> str:
    if before and before != now:
        raise StereoProblem(f"it has both '{before}' and '{now}'")
    return now


def _letters(text: str) -> tuple[list[Letter], bool, bool]:
    """The letters of '1R*,2S*', whether they are relative, and whether racemic ('1RS,2SR': the first of each
    pair is one mirror image)."""
    found = [_ONE_LETTER.fullmatch(piece.strip()) for piece in text.split(",")]
    pieces = [piece for piece in found if piece]
    pairs = [len(piece[2]) == 2 for piece in pieces]
    stars = [bool(piece[3]) for piece in pieces if piece[2] in ("R", "S")]
    if any(pairs) and not all(pairs):
        raise StereoProblem(f"'({text})' mixes RS with single letters")
    if any(stars) and not all(stars):
        raise StereoProblem(f"'({text})' has stars on some letters only")
    locants = [piece[1] for piece in pieces]
    if "" in locants and set(locants) != {""}:
        raise StereoProblem(f"'({text})' has locants on some letters only")
    if locants[0] and len(set(locants)) < len(locants):
        raise StereoProblem(f"'({text})' has a locant twice")
    letters = [Letter(locant=piece[1], letter=piece[2][0]) for piece in pieces]
    return letters, any(stars) or any(pairs), any(pairs)
