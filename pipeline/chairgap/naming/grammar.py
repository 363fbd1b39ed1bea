"""The grammar of names: text to a tree of units. Pure, with the words of `words` and `parents`.

Recursive descent from left to right with a memory of what was tried at each place (packrat, B. Ford, ICFP
2002, 36, from memory), so that time grows with the length of the name and never exponentially. A general
parser generator (lark) was weighed and left: its grammar would be the tables of `words` written once more,
and what is hard here, saying at which word a wrong name goes wrong and what was probably meant, it leaves to
its user.

A unit is [descriptors] items final: items are '1,2-dimethyl', '4-(1-methylethyl)', the final is a parent
with its ending or, for a group, the word of a group. The whole of a text must be used. Ordered choice takes
longer words first; what a choice could hide is refused by the checks on locants in `structure`: apart from
locants in front of the name's parts nothing places a group.
"""

import re
from collections.abc import Iterator
from functools import cache

from chairgap.naming.multipliers import COMPOUND_MULTIPLIERS, ENDINGS_WITH_BIS, MULTIPLIERS
from chairgap.naming.parents import all_parents, stems
from chairgap.naming.stereo import StereoError, read_stereo
from chairgap.naming.tree import Ending, Item, Locant, Unit
from chairgap.naming.words import (
    ALWAYS_TOGETHER,
    ESTER_ACIDS,
    PARENTS,
    SUFFIXES,
    WITHOUT_BRACKETS,
    Suffix,
    Word,
    groups_by_name,
)

_LOCANT = r"(?:(?:[rct]|cis|trans)-)?\d{1,2}|N(?:\d{0,2}'*|'+\d{1,2})|n(?=,n-)|(?<=n,)n(?=-)"
_LOCANTS = re.compile(rf"(?:{_LOCANT})(?:,(?:{_LOCANT}))*-")
_ONE_LOCANT = re.compile(r"(?:(r|c|t|cis|trans)-)?(\d+|[Nn](?:\d*'*|'+\d+))")
_HYPHENED = re.compile("-(?:tert|sec)-")
_BRACKETS = {"(": ")", "[": "]", "{": "}"}
_DEEPEST = 8
_Found = tuple[tuple[Item, ...], Word, Ending | None]


class UnreadableNameError(ValueError):
    """A text that is no name: where it stops making sense, and why if that is known."""

    def __init__(self, place: int, why: str = ""):
        super().__init__(why)
        self.place, self.why = place, why


def locants_of(text: str) -> tuple[Locant, ...]:
    """Of '1,c-2-', the end of which is a hyphen."""
    found = [_ONE_LOCANT.fullmatch(piece) for piece in text[:-1].split(",")]
    return tuple(
        Locant(text=piece[2].upper(), mark=(piece[1] or "")[:1]) for piece in found if piece is not None
    )


class Grammar:
    """One text, with what was found at each of its places."""

    def __init__(self, text: str):
        self.text, self.low = text, text.lower()
        self.closing = _matched(text)
        self.furthest = 0
        self._memory: dict[tuple[int, int, str], _Found | None] = {}
        self._items: dict[tuple[int, int], tuple[tuple[Item, int], ...]] = {}

    def unit(self, start: int, end: int, kind: str) -> Unit | None:
        """The text from start to end as a unit of a kind ('parent', 'group', 'acid'), or None."""
        try:
            stereo = read_stereo(self.text, start, end)
        except StereoError as problem:
            raise UnreadableNameError(start, str(problem)) from None
        if (found := self._rest(stereo.end, end, kind)) is None:
            return None
        items, word, ending = found
        return Unit(word=word, items=items, ending=ending, stereo=stereo, start=start, end=end)

    def _rest(self, place: int, end: int, kind: str) -> _Found | None:
        at = (place, end, kind)
        if at not in self._memory:
            self._memory[at] = self._read_rest(place, end, kind)
        return self._memory[at]

    def _read_rest(self, place: int, end: int, kind: str) -> _Found | None:
        if final := self._final(place, end, kind):
            return ((), *final)
        for item, after in self._items_at(place, end):
            if after < end and (rest := self._rest(after, end, kind)):
                return ((item, *rest[0]), *rest[1:])
        self.furthest = max(self.furthest, place)
        return None

    # --- items -------------------------------------------------------------------------------------------

    def _items_at(self, place: int, end: int) -> tuple[tuple[Item, int], ...]:
        at = (place, end)
        if at not in self._items:
            found = list(self._read_items(place, end))
            # What has as many locants as groups goes first; the others are kept for their error.
            found.sort(key=lambda pair: bool(pair[0].locants) and len(pair[0].locants) != pair[0].count)
            self._items[at] = tuple(found)
        return self._items[at]

    def _read_items(self, start: int, end: int) -> Iterator[tuple[Item, int]]:
        locants, place = self._locants(start, end)
        self.furthest = max(self.furthest, place)
        for multiplier, count in (("", 1), *_multipliers(self.low, place)):
            after = place + len(multiplier)
            after += bool(multiplier) and _HYPHENED.match(self.low, after) is not None  # di-tert-butyl
            for unit, stop in self._groups_at(after, end, len(locants), multiplier):
                item = Item(locants=locants, count=count, unit=unit, start=start, end=stop)
                hyphen = stop < end and self.text[stop] == "-"
                if not hyphen and stop < end and self.text[stop].isdigit():
                    continue
                self.furthest = max(self.furthest, stop)
                yield item, stop + hyphen

    def _locants(self, place: int, end: int) -> tuple[tuple[Locant, ...], int]:
        if found := _LOCANTS.match(self.text, place, end):
            return locants_of(found[0]), found.end()
        return (), place

    def _groups_at(self, place: int, end: int, locants: int, multiplier: str) -> Iterator[tuple[Unit, int]]:
        if place >= end:
            return
        if self.text[place] in _BRACKETS:
            close = self.closing[place]
            if close < end and (unit := self.unit(place + 1, close, "group")):
                yield unit, close + 1
            return
        alone = not multiplier and locants == 1
        for length in range(min(_longest_word(), end - place), 1, -1):
            name = self.low[place : place + length]
            stop = place + length
            together = alone or (not multiplier and name in ALWAYS_TOGETHER)
            if together and name in WITHOUT_BRACKETS and stop < end:
                if unit := self.unit(place, stop, "group"):
                    yield unit, stop
            elif (word := groups_by_name().get(name)) and multiplier not in COMPOUND_MULTIPLIERS:
                yield Unit(word=word, start=place, end=stop), stop

    # --- finals ------------------------------------------------------------------------------------------

    def _final(self, place: int, end: int, kind: str) -> tuple[Word, Ending | None] | None:
        if kind == "group":
            word = groups_by_name().get(self.low[place:end])
            return (word, None) if word else self._with_ending(place, end, only_diyl=True)
        if kind == "acid":
            acid = _acids().get(self.low[place:end])
            return (acid, None) if acid else None
        if word := _whole_parents().get(self.low[place:end]):
            return word, None
        return self._with_ending(place, end, only_diyl=False)

    def _with_ending(self, place: int, end: int, *, only_diyl: bool) -> tuple[Word, Ending | None] | None:
        """A parent with its ending: 'cyclohexane', 'cyclohexan-1-ol', '1,2-cyclohexanediol'."""
        before, start = self._locants(place, end)
        if self.low[start:end] == "cyclohexylamine" and not only_diyl:
            amine = next(suffix for suffix in SUFFIXES if suffix.name == "amine")
            ending = Ending(suffix=amine, locants=before, count=1, start=end - 5, end=end)
            return all_parents()["cyclohexan"], ending
        for stem in stems():
            if not self.low.startswith(stem, start) or start + len(stem) > end:
                continue
            word, after = all_parents()[stem], start + len(stem)
            has_e = after < end and self.low[after] == "e"
            after += has_e
            if after == end:
                return (word, None) if has_e and not before and not only_diyl else None
            self.furthest = max(self.furthest, after)
            found = self._ending(after, end, word, before, only_diyl)
            return (word, found) if found else None
        return None

    def _ending(
        self, start: int, end: int, parent: Word, before: tuple[Locant, ...], only_diyl: bool
    ) -> Ending | None:
        locants, place = before, start
        if self.text[place] == "-":
            locants, place = self._locants(place + 1, end)
            if before or not locants:
                return None
        self.furthest = max(self.furthest, place)
        on_ring = parent.has_ring or parent.name in ("cyclohexan", "benzen")
        said = self.low[place:end]
        if only_diyl:
            single = 1 if parent.has_ring and said == "yl" else None
            count = MULTIPLIERS.get(said.removesuffix("yl"), single) if said.endswith("yl") else None
            if count and len(locants) == count:
                return Ending(suffix=None, locants=locants, count=count, start=start, end=end)
            return None
        for suffix in SUFFIXES:
            if suffix.carbon != "both" and (suffix.carbon == "ring") != on_ring:
                continue
            if (count := _times(said, suffix)) is not None:
                return Ending(suffix=suffix, locants=locants, count=count, start=start, end=end)
        return None


def _times(said: str, suffix: Suffix) -> int | None:
    """How many of the suffix 'diol' or 'tetrol' means; None when it is another."""
    if said == suffix.name:
        return 1
    multiplier = said.partition("carbonyl")[0]
    if suffix.name == "carbonyl chloride":
        return MULTIPLIERS.get(multiplier) if said == f"{multiplier}carbonyl {multiplier}chloride" else None
    if suffix.name in ENDINGS_WITH_BIS and said.endswith(f"({suffix.name})"):
        return COMPOUND_MULTIPLIERS.get(said.removesuffix(f"({suffix.name})"))
    if not said.endswith(suffix.name):
        return None
    multiplier = said.removesuffix(suffix.name)
    if suffix.name[0] in "ao" and f"{multiplier}a" in MULTIPLIERS:
        return MULTIPLIERS[f"{multiplier}a"]
    return MULTIPLIERS.get(multiplier)


def _multipliers(low: str, place: int) -> Iterator[tuple[str, int]]:
    for name, count in MULTIPLIERS.items():
        if low.startswith(name, place):
            yield name, count


def _matched(text: str) -> dict[int, int]:
    """The closing bracket of each opening one. Raises UnreadableNameError."""
    pairs: dict[int, int] = {}
    opened: list[int] = []
    for place, letter in enumerate(text):
        if letter in _BRACKETS:
            opened.append(place)
            if len(opened) > _DEEPEST:
                raise UnreadableNameError(place, f"its brackets are nested more than {_DEEPEST} deep")
        elif letter in _BRACKETS.values():
            if not opened:
                raise UnreadableNameError(place, f"the bracket '{letter}' is never opened")
            begun = opened.pop()
            if _BRACKETS[text[begun]] != letter:
                raise UnreadableNameError(place, f"'{text[begun]}' is closed by '{letter}'")
            pairs[begun] = place
    if opened:
        raise UnreadableNameError(opened[-1], f"the bracket '{text[opened[-1]]}' is never closed")
    return pairs


@cache
def _longest_word() -> int:
    return max(len(name) for name in (*groups_by_name(), *WITHOUT_BRACKETS))


@cache
def _acids() -> dict[str, Word]:
    return {word.name: word for word in ESTER_ACIDS}


@cache
def _whole_parents() -> dict[str, Word]:
    return {word.name: word for word in PARENTS}
