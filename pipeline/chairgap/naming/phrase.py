"""Names of several words, and names turned round as in an index. Pure.

Functional class names (P-51.2, P-63.2, P-65.6.3: 'cyclohexyl acetate', 'methyl ...carboxylate', 'cyclohexyl
methyl ether', 'cyclohexyl bromide') and index names of Chemical Abstracts ('Cyclohexanol, 2-methyl-, cis-'),
which are put into the common order before they are read.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

from chairgap.naming.grammar import Grammar, UnreadableNameError, locants_of
from chairgap.naming.multipliers import MULTIPLIERS
from chairgap.naming.stereo import StereoError, read_stereo
from chairgap.naming.tree import Ending, Item, Locant, Stereo, Unit
from chairgap.naming.words import CLASSES, ESTER, ESTER_ACIDS, PAIR_CLASSES, Word

_SAME = str.maketrans(
    {"−": "-", "–": "-", "‐": "-", "‑": "-", "—": "-", "’": "'", "′": "'", "ʹ": "'", "ᴅ": "D", "ʟ": "L"}
)
_DESCRIPTOR_AND_BLANK = re.compile(
    r"((?:^|(?<=[-) ]))(?:cis|trans|all-cis|rel|rac|\((?![^()]*yl\))[^() ]{1,40}\)-?)) ", re.IGNORECASE
)
# Groups of esters without a stereocentre: letters before them belong to the acid.
_NO_CENTRE = frozenset(
    (
        *("methyl", "ethyl", "propyl", "isopropyl", "propan-2-yl", "butyl", "isobutyl", "tert-butyl"),
        *("pentyl", "hexyl", "phenyl", "benzyl", "dimethyl", "diethyl", "diisopropyl", "dibenzyl"),
    )
)
_INDEX_ESTER = re.compile(r"(?:\d-)?([a-z-]+ate)|((?:di)?[a-z-]+) ester", re.IGNORECASE)


def tidied(text: str) -> str:
    """One sort of hyphen, minus, prime and blank; blanks between descriptors and name as hyphens."""
    plain = " ".join(text.translate(_SAME).split())
    return _DESCRIPTOR_AND_BLANK.sub(lambda found: found[1].rstrip("-") + "-", plain)


def in_common_order(text: str) -> str:
    """An index name ('Cyclohexanol, 2-methyl-, cis-') in the order of speech; any other text as it is.

    Raises UnreadableNameError for a part that is neither groups, nor descriptors, nor an ester.
    """
    heading, *parts = _split(text, ", ")
    if not parts:
        return text
    stereo, groups, esters = "", "", ""
    for part in parts:
        place = text.index(part, len(heading))
        try:
            bare = part.rstrip("-")
            found = read_stereo(f"{bare}-x", 0, len(bare) + 2)
        except StereoError as problem:
            raise UnreadableNameError(place, str(problem)) from None
        if ester := _INDEX_ESTER.fullmatch(part):
            esters = esters or ester[1] or ester[2] + " ester"
        elif found.end > len(bare):
            stereo += bare + "-"
        elif part.endswith("-") and not groups:
            groups = part[:-1]
        else:
            advice = "" if groups or part.endswith("-") else f", which ends with a hyphen; write '{part}-'"
            raise UnreadableNameError(place, f"'{part}' is no part of an index name{advice}")
    joint = "-" if groups and (heading[0].isdigit() or heading[1:2] == "-") else ""
    return _with_ester(f"{stereo}{groups}{joint}", heading, esters)


def _with_ester(front: str, heading: str, ester: str) -> str:
    lowered = heading.lower()
    if not ester:
        return front + heading
    if ester.endswith(" ester") and lowered.endswith("carboxylic acid"):
        return f"{ester[:-6]} {front}{lowered.removesuffix('ic acid')}ate"
    if lowered == "cyclohexanol" and not ester.endswith(" ester"):
        return f"{front}cyclohexyl {ester}"
    raise UnreadableNameError(0, f"'{ester}' does not go with '{heading}'")


def _split(text: str, separator: str) -> list[str]:
    """Split where no bracket is open."""
    pieces, depth, start, place = [], 0, 0, 0
    while place < len(text):
        depth += (text[place] in "([{") - (text[place] in ")]}")
        if depth <= 0 and text.startswith(separator, place):
            pieces.append(text[start:place])
            start = place = place + len(separator)
        else:
            place += 1
    return [*pieces, text[start:]]


# --- words -----------------------------------------------------------------------------------------------


def read_phrase(text: str) -> Unit:
    """The tree of a name in common order. Raises UnreadableNameError."""
    grammar = Grammar(text)
    spans = _spans(text)
    if found := _whole(grammar, spans):
        return found
    if len(spans) == 1 and grammar.unit(*spans[0], "group"):
        raise UnreadableNameError(
            0,
            f"'{text}' is the name of a group; write that of a molecule, such as 'cyclohexyl acetate'",
        )
    if grammar.furthest >= len(text):
        raise UnreadableNameError(
            len(text), "it ends too early; write its parent, such as cyclohexane, at the end"
        )
    raise UnreadableNameError(grammar.furthest)


def _spans(text: str) -> list[tuple[int, int]]:
    """Start and end of each word; 'carboxylic acid' and 'carbonyl chloride' are one."""
    spans: list[tuple[int, int]] = []
    place = 0
    for piece in _split(text, " "):
        end = place + len(piece)
        word = piece.lower()
        joins = word == "acid" or (word.endswith("chloride") and text[:place].lower().endswith("carbonyl "))
        if joins and spans:
            spans[-1] = (spans[-1][0], end)
        else:
            spans.append((place, end))
        place = end + 1
    return spans


def _whole(grammar: Grammar, spans: list[tuple[int, int]]) -> Unit | None:
    *front, last = spans
    if not front:
        return grammar.unit(*last, "parent")
    word = grammar.low[slice(*last)]
    if word in _pair_classes() and len(front) == 2:
        return _pair(grammar, front, Unit(word=_pair_classes()[word], start=last[0], end=last[1]))
    if len(front) == 1:
        count, name = _multiplied(word, _classes())
        if name:
            return _attached(
                grammar, front[0], Unit(word=_classes()[name], start=last[0], end=last[1]), count
            )
        for count, start, end in ((1, *last), *_multiplied_acid(grammar, last)):
            if acid := grammar.unit(start, end, "acid"):
                return _attached(grammar, front[0], acid, count)
    return _ring_ester(grammar, front, last)


def _multiplied(word: str, names: dict[str, Word]) -> tuple[int, str]:
    if word in names:
        return 1, word
    return (2, word[2:]) if word.startswith("di") and word[2:] in names else (0, "")


def _multiplied_acid(grammar: Grammar, span: tuple[int, int]) -> Iterator[tuple[int, int, int]]:
    """Of 'diacetate' and 'bis(4-nitrobenzoate)' how many acids, and where one stands."""
    for name, count in MULTIPLIERS.items():
        if grammar.low.startswith(name, span[0]):
            yield count, *_without_bracket(grammar, span[0] + len(name), span[1])


def _without_bracket(grammar: Grammar, start: int, end: int) -> tuple[int, int]:
    enclosed = start < end and grammar.closing.get(start) == end - 1
    return (start + 1, end - 1) if enclosed else (start, end)


def _attached(grammar: Grammar, span: tuple[int, int], other: Unit, count: int) -> Unit | None:
    """The group of a span with `other` on its free valence, or on each of several ('-diyl')."""
    if not (group := grammar.unit(*span, "group")):
        return None
    if group.ending is None:
        return replace(group, attached=other) if count == 1 else None
    if count != group.ending.count:
        return None
    return replace(group, ending=replace(group.ending, attached=(other,) * count))


def _pair(grammar: Grammar, front: list[tuple[int, int]], link: Unit) -> Unit | None:
    units = [unit for span in front if (unit := grammar.unit(*span, "group"))]
    if len(units) != 2 or any(unit.ending for unit in units):
        return None
    one, other = sorted(units, key=lambda unit: not _holds_ring(unit))
    item = Item(locants=(), count=1, unit=other, start=other.start, end=other.end)
    return replace(one, attached=replace(link, items=(item,)))


def _holds_ring(unit: Unit) -> bool:
    return unit.is_ring or any(_holds_ring(item.unit) for item in unit.items)


def _ring_ester(grammar: Grammar, front: list[tuple[int, int]], last: tuple[int, int]) -> Unit | None:
    """'dimethyl cyclohexane-1,2-dicarboxylate', '1-ethyl 2-methyl ...'."""
    before = _stereo(grammar, front[0])
    front = [(before.end, front[0][1]), *front[1:]]
    acid = grammar.unit(*last, "parent")
    if not acid or not acid.ending or not acid.ending.suffix or acid.ending.suffix.name != "carboxylate":
        grammar.furthest = max(grammar.furthest, last[0])
        return None
    groups: list[tuple[tuple[Locant, ...], Unit]] = []
    for span in front:
        found = _ester_groups(grammar, span, alone=len(front) == 1)
        if not found:
            return None
        groups += found
    ending = acid.ending
    if len(groups) != ending.count:
        said = f"{len(groups)} group{'s' * (len(groups) != 1)} for {ending.count} carboxylate"
        raise UnreadableNameError(last[0], f"it names {said}{'s' * (ending.count != 1)}")
    ordered = _in_order(groups, ending)
    if ordered is None:
        raise UnreadableNameError(
            front[0][0], "the locants of the groups in front are not those of the carboxylates"
        )
    stereo = _merged(before, acid.stereo)
    return replace(acid, stereo=stereo, ending=replace(ending, suffix=ESTER, attached=ordered))


def _stereo(grammar: Grammar, span: tuple[int, int]) -> Stereo:
    """Descriptors in front of the groups of an ester, which go to the acid, unless they have locants and the
    group behind them may have such a centre itself."""
    try:
        found = read_stereo(grammar.text, *span)
    except StereoError as problem:
        raise UnreadableNameError(span[0], str(problem)) from None
    group = grammar.low[found.end : span[1]]
    if (found.letters or found.faces) and group not in _NO_CENTRE:
        return Stereo(start=span[0], end=span[0])
    return found


def _merged(before: Stereo, own: Stereo) -> Stereo:
    if before.says_nothing:
        return own
    clash = (before.relation and own.relation) or (before.sign and own.sign)
    if clash:
        raise UnreadableNameError(own.start, f"it has '{clash}' twice")
    if (before.letters or before.faces) and (own.letters or own.faces):
        raise UnreadableNameError(own.start, "it has descriptors both before the ester group and after it")
    return replace(
        own,
        relation=before.relation or own.relation,
        sign=before.sign or own.sign,
        letters=before.letters or own.letters,
        faces=before.faces or own.faces,
        relative=before.relative or own.relative,
        racemic=before.racemic or own.racemic,
        end=max(own.end, own.start + 1),
    )


def _ester_groups(
    grammar: Grammar, span: tuple[int, int], *, alone: bool
) -> list[tuple[tuple[Locant, ...], Unit]] | None:
    """The groups of one word of an ester. alone: it is the only one, so its locants may be its own."""
    start, end = span
    if alone and (unit := grammar.unit(start, end, "group")):
        return None if unit.ending else [((), unit)]
    locants: tuple[Locant, ...] = ()
    if found := re.compile(r"\d(?:,\d)*-(?=[a-z(\[])").match(grammar.low, start, end):
        locants, rest = locants_of(found[0]), found.end()
        for name, count in (("", 1), *MULTIPLIERS.items()):
            if count != len(locants) or not grammar.low.startswith(name, rest):
                continue
            if unit := _ester_group(grammar, rest + len(name), end):
                return [((locant,), unit) for locant in locants]
    if unit := grammar.unit(start, end, "group"):
        return None if unit.ending else [((), unit)]
    for name, count in MULTIPLIERS.items():
        if grammar.low.startswith(name, start) and (unit := _ester_group(grammar, start + len(name), end)):
            return [((), unit)] * count
    return None


def _ester_group(grammar: Grammar, start: int, end: int) -> Unit | None:
    unit = grammar.unit(*_without_bracket(grammar, start, end), "group")
    return None if unit is None or unit.ending else unit


def _in_order(groups: list[tuple[tuple[Locant, ...], Unit]], ending: Ending) -> tuple[Unit, ...] | None:
    """The groups by the locants of the ending; without locants they must be alike."""
    if not any(locants for locants, _ in groups):
        units = [unit for _, unit in groups]
        plain = len({unit.word.name for unit in units}) == 1 and not any(unit.items for unit in units)
        same = plain or all(unit == units[0] for unit in units)
        return tuple(units) if same or len(units) == 1 else None
    wanted = [locant.text for locant in ending.locants]
    given = sorted(groups, key=lambda pair: pair[0][0].text if pair[0] else "")
    if [locants[0].text if locants else "" for locants, _ in given] != sorted(wanted):
        return None
    by_locant: dict[str, list[Unit]] = {}
    for locants, unit in given:
        by_locant.setdefault(locants[0].text, []).append(unit)
    return tuple(by_locant[locant].pop(0) for locant in wanted)


@cache
def _classes() -> dict[str, Word]:
    return {word.name: word for word in CLASSES}


@cache
def _pair_classes() -> dict[str, Word]:
    return {word.name: word for word in PAIR_CLASSES}


@cache
def last_words() -> frozenset[str]:
    """Words that may end a name of several."""
    return frozenset((*_classes(), *_pair_classes(), *(word.name for word in ESTER_ACIDS), "acid"))
