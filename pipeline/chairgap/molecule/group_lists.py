"""A typed list of groups, `1 up CH3, 2 down OH`, in any of the ways people write one.

A face is said with each carbon, or by the relation of all groups:

* `1 up CH3`, `C1 up methyl`, `1-up-Me`, `1 u Me`, `Me(1,up)`: up faces the onlooker of a ring whose carbons 1
  to 6 run clockwise, down is the side turned away; `u` and `d` are short for them.
* `1 wedge CH3, 2 dash OH`: a wedged bond is up and a dashed (or hashed) one down, in a ring drawn flat with
  its carbons clockwise, as everywhere here. (Drawn anticlockwise, the same wedges mean the mirror image,
  which has the same gap.)
* `1 beta CH3, 2α OH`: beta is up and alpha down, as in a steroid drawn flat, where alpha groups point away
  from the onlooker (common practice, no source); the carbons again run clockwise. The other reading, by which
  alpha is the side of the senior group at the lowest locant (index names of Chemical Abstracts, from memory),
  turns at most all faces at once: the mirror image.
* `cis-1,3: CH3, Br`, `trans-1,2: Cl, Cl`, `all-cis-1,3,5: OH, OH, OH`, `r-1,c-2,t-4: OH, CH3, Br`: carbons, a
  colon, and the groups in the same order. They say the relation of the groups alone, so the molecule stands
  for its mirror image as well; here the first group is put up, and `isomers` chooses which of the two is
  drawn. The rules are those of names (`chairgap.naming.faces`): 'trans' with three groups is refused.

Two of these ways in one list are refused, as each was probably copied from another drawing. A list is printed
back in one way only, with up and down; what was read into another way is a note of the molecule.
"""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from chairgap.errors import InputError
from chairgap.naming.faces import ADVICE, faces_of
from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.recognise import looks_like_a_name
from chairgap.naming.tree import Stereo
from chairgap.records import Face, GroupOnCarbon
from chairgap.text import excerpt, tidy_typed

FORM = "'carbon face group', for example '1 up CH3, 2 down OH'"
_RELATION_FORM = "'cis-1,3: CH3, Br': cis, trans or all-cis, the carbons, a colon, a group for each carbon"

_UP_DOWN, _WEDGE_DASH, _ALPHA_BETA = "up and down", "wedge and dash", "alpha and beta"
_WORDS: dict[str, tuple[Face, str]] = {
    **{"up": ("up", _UP_DOWN), "u": ("up", _UP_DOWN), "down": ("down", _UP_DOWN), "d": ("down", _UP_DOWN)},
    **dict.fromkeys(("wedge", "wedged"), ("up", _WEDGE_DASH)),
    **dict.fromkeys(("dash", "dashed", "hash", "hashed"), ("down", _WEDGE_DASH)),
    **dict.fromkeys(("beta", "β"), ("up", _ALPHA_BETA)),
    **dict.fromkeys(("alpha", "α"), ("down", _ALPHA_BETA)),
}
_NOTES = {
    _WEDGE_DASH: "wedge was read as up and dash as down, the ring drawn flat with carbons 1 to 6 clockwise",
    _ALPHA_BETA: "beta was read as up and alpha as down (common practice), with carbons 1 to 6 clockwise "
    "seen from above",
}
_PREFIX = r"(?:carbon\s{0,9}|C-?)?"
_FACE = f"(?:{'|'.join(sorted(_WORDS, key=len, reverse=True))})"
_BETWEEN, _ENDS = r"[-\s]{0,9}", r"(?:[-\s]+|(?<=[αβ]))"
_NEW_PIECE = rf"{_PREFIX}\d{{1,9}}{_BETWEEN}{_FACE}{_ENDS}"
_BEHIND = rf"\({_PREFIX}\d{{1,9}},{_FACE}\)"
_PIECE = re.compile(rf"{_PREFIX}(\d{{1,9}}){_BETWEEN}({_FACE}){_ENDS}(\S.*)", re.IGNORECASE)
_PIECE_BEHIND = re.compile(rf"(\S.*?)\({_PREFIX}(\d{{1,9}}),({_FACE})\)", re.IGNORECASE)
_LOOSE_BEHIND = re.compile(
    rf"\s{{0,9}}\(\s{{0,9}}({_PREFIX}\d{{1,9}})\s{{0,9}}[-,\s]?\s{{0,9}}({_FACE})\s{{0,9}}\)", re.IGNORECASE
)
_END_BEHIND = re.compile(rf"({_BEHIND}\s{{0,9}}[;,])", re.IGNORECASE)
_FACE_FIRST = re.compile(rf"({_FACE}){_ENDS}", re.IGNORECASE)
_SECOND_PIECE = re.compile(rf"\s{_NEW_PIECE}|{_BEHIND}", re.IGNORECASE)
# A comma without a blank behind it may belong to a name (2,2-dimethylpropyl, N,N-dimethylamino), unless a new
# piece follows.
_SEPARATOR = re.compile(
    rf"\s*[;,](?=[\s;,]|$|{_NEW_PIECE}|(?!\d|N-)[^\s;,]{{1,80}}?{_BEHIND})\s*", re.IGNORECASE
)
_AXIAL = re.compile(rf"{_PREFIX}\d{{1,9}}{_BETWEEN}(?:ax|axial|eq|equatorial)[-\s]", re.IGNORECASE)
_RELATION = re.compile(r"(all[-\s]?cis|cis|trans)\b", re.IGNORECASE)
_HEAD = re.compile(
    rf"(?:{_RELATION.pattern}[-\s]{{0,9}})?\(?((?:[rct]-)?\d{{1,9}}(?:\s?,\s?(?:[rct]-)?\d{{1,9}})*)\)?-?\s?:",
    re.IGNORECASE,
)
# Between two digits, or two N, a comma belongs to the name of a group.
_GROUP_SEPARATOR = re.compile(r"\s*(?:;|,(?=\s|$)|,(?!(?<=\d,)\d)(?!(?<=\bN,)N\b))\s*")
_SURE_WORD = re.compile(r"\b(?:up|down|wedged?|dash(?:ed)?|hash(?:ed)?)\b", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class GroupList:
    """What a list says. relative: only the relation of the groups is given, the mirror image is meant too;
    notes: what was read into up and down."""

    groups: tuple[GroupOnCarbon, ...]
    relative: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class _Piece:
    text: str
    word: str
    group: GroupOnCarbon


@dataclass(frozen=True, kw_only=True)
class _Named:
    """A group of a list with one relation, as the rules of names see it."""

    locant: int
    mark: str
    said: str


def looks_like_groups(text: str) -> bool:
    """Whether a typed molecule is a list of groups, and neither a SMILES nor a name."""
    text = tidy_typed(text)
    if " |" in text:  # the extension of a SMILES
        return False
    if _SURE_WORD.search(text) or _HEAD.match(text):
        return True
    faced = _PIECE.match(text) or _AXIAL.match(text) or _PIECE_BEHIND.match(_tight(text))
    if faced and "cyclohexan" not in text.casefold():
        return True
    starts_like_one = text[:1].isdigit() or _RELATION.match(text)
    return bool(starts_like_one) and not looks_like_a_name(text)


def read_group_list(text: str) -> GroupList:
    """The groups of a list; pieces are parted by commas or semicolons.

    Raises InputError with the piece that fails. Carbon numbers and group names are checked later, when the
    molecule is built.
    """
    text = tidy_typed(text)
    if not text:
        raise InputError(f"The list of groups is empty; write {FORM}.", value=text, expected=FORM)
    if head := _HEAD.match(text):
        return _by_relation(text, head)
    if found := _RELATION.match(text):
        message = (
            f"'{excerpt(text)}' begins with '{found[0]}' and does not read {_RELATION_FORM}; correct it."
        )
        raise InputError(message, value=text, expected=_RELATION_FORM)
    pieces = [_piece(piece) for piece in _SEPARATOR.split(_tight(text))]
    ways = dict.fromkeys(_way(piece) for piece in pieces)
    if len(ways) > 1:
        raise _mixed(pieces, text)
    notes = tuple(_NOTES[way] for way in ways if way in _NOTES)
    return GroupList(groups=tuple(piece.group for piece in pieces), notes=notes)


def _tight(text: str) -> str:
    """The text with every ' ( 1 , up )' as '(1,up)', and a blank behind the comma that follows it."""
    return _END_BEHIND.sub(r"\1 ", _LOOSE_BEHIND.sub(r"(\1,\2)", text))


# --- a face for each carbon ------------------------------------------------------------------------------


def _piece(text: str) -> _Piece:
    before, behind = _PIECE.fullmatch(text), _PIECE_BEHIND.fullmatch(text)
    if before:
        carbon, word, group = before.groups()
    elif behind:
        group, carbon, word = behind.groups()
    else:
        raise _unreadable(text)
    if before and (again := _FACE_FIRST.match(group) or _PIECE_BEHIND.fullmatch(group)):
        twice = f"'{word}' and '{again.groups()[-1]}'"
        message = f"'{excerpt(text)}' says the face twice, {twice}; keep one of the two."
        raise InputError(message, value=text, expected=FORM)
    if _SECOND_PIECE.search(group):
        message = f"'{excerpt(text)}' holds two groups without a comma; write {FORM}."
        raise InputError(message, value=text, expected=FORM)
    face = _WORDS[word.casefold()][0]
    return _Piece(text=text, word=word, group=GroupOnCarbon(carbon=int(carbon), face=face, group=group))


def _unreadable(text: str) -> InputError:
    if head := _HEAD.match(text) or _RELATION.match(text):
        message = (
            f"The list says faces twice, by a face for each carbon and by '{excerpt(head[0])}'; keep one of "
            "the two ways."
        )
        return InputError(message, value=text, expected=FORM)
    if _AXIAL.match(text):
        message = (
            f"'{excerpt(text)}' says axial or equatorial, which a ring flip exchanges, and no face; write up "
            f"or down: {FORM}."
        )
        return InputError(message, value=text, expected=FORM)
    what = (
        f"'{excerpt(text)}' does not read"
        if text
        else "There is nothing between two commas; each piece reads"
    )
    return InputError(f"{what} {FORM}; correct this piece.", value=text, expected=FORM)


def _way(piece: _Piece) -> str:
    return _WORDS[piece.word.casefold()][1]


def _mixed(pieces: Sequence[_Piece], text: str) -> InputError:
    first = {_way(piece): piece for piece in reversed(pieces)}
    shown = " and ".join(f"by {way} ('{excerpt(first[way].text)}')" for way in sorted(first, reverse=True))
    groups = [piece.group for piece in pieces]
    understood = excerpt(", ".join(f"{group.carbon} {group.face} {group.group}" for group in groups))
    message = (
        f"The list says faces in {len(first)} ways, {shown}; understood as '{understood}', with carbons "
        "1 to 6 clockwise. If that is right, write it so."
    )
    return InputError(message, value=text, expected=FORM)


# --- one relation for all --------------------------------------------------------------------------------


def _by_relation(text: str, head: re.Match[str]) -> GroupList:
    relation = re.sub(r"\s", "-", (head[1] or "").casefold()).replace("allcis", "all-cis")
    names = _GROUP_SEPARATOR.split(text[head.end() :].strip())
    said = head[0].rstrip(": ")
    places = [place.strip().rpartition("-") for place in head[2].split(",")]
    problem = ""
    if faced := next((name for name in names if _is_faced(name)), ""):
        problem = (
            f"The list says faces twice, by '{said}' and by '{excerpt(faced)}'; keep one of the two ways."
        )
    elif len(names) != len(places) or not all(names):
        count = len([name for name in names if name])
        problem = (
            f"'{excerpt(said)}' has {len(places)} carbons, and the number of groups behind it is {count}; "
            "write a group for each carbon, and a carbon twice where it has two."
        )
    elif not relation and not any(mark for mark, *_ in places):
        problem = f"'{excerpt(text)}' says no face; write {_RELATION_FORM}, or {FORM}."
    if problem:
        raise InputError(problem, value=text, expected=_RELATION_FORM)
    groups = [
        _Named(locant=int(number), mark=mark.casefold(), said=name)
        for (mark, _, number), name in zip(places, names, strict=True)
    ]
    try:
        up = faces_of(Stereo(relation=relation), groups, _centres(groups))
    except UnreadableNameError as error:
        why = error.why.replace(ADVICE, f"write r-1,c-2,t-3: with the groups behind, or {FORM}")
        advice = "" if ";" in why else "; correct it"
        raise InputError(f"'{excerpt(text)}' cannot be used: {why}{advice}.", value=text) from None
    return GroupList(groups=_placed(groups, up), relative=True)


def _is_faced(name: str) -> bool:
    return bool(_PIECE.fullmatch(name) or _PIECE_BEHIND.fullmatch(_tight(name)))


def _centres(groups: Sequence[_Named]) -> tuple[int, ...]:
    """Carbons whose two ligands differ, as far as their names say."""
    on: dict[int, list[str]] = {}
    for group in groups:
        if group.said.casefold() != "h":
            on.setdefault(group.locant, []).append(group.said.casefold())
    return tuple(sorted(locant for locant, said in on.items() if len(said) == 1 or len(set(said)) > 1))


def _placed(groups: Sequence[_Named], up: dict[int, bool]) -> tuple[GroupOnCarbon, ...]:
    """Each group on its face; one of which nothing is said on the face that its carbon has left."""
    faces: dict[int, Face] = {place: "up" if is_up else "down" for place, is_up in up.items()}
    taken = Counter((groups[place].locant, face) for place, face in faces.items())
    for place, group in enumerate(groups):
        if place not in faces:
            faces[place] = "down" if taken[group.locant, "up"] else "up"
            taken[group.locant, faces[place]] += 1
    return tuple(
        GroupOnCarbon(carbon=group.locant, face=faces[place], group=group.said)
        for place, group in enumerate(groups)
    )
