"""Groups written in front of a parent: order, multiplying prefixes, brackets, locants. Pure.

P-14.5 (alphanumerical order: multiplying prefixes of a simple group, tert- and locants do not count), P-16.3
(di and bis), P-16.5 (brackets), P-31.1.4 (locants), of the IUPAC recommendations 2013; numbers of rules from
memory.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from chairgap.naming.multipliers import COMPOUND_MULTIPLIERS, ENDINGS_WITH_BIS, SIMPLE_MULTIPLIERS

_SIMPLE = {count: name for name, count in SIMPLE_MULTIPLIERS.items()}
_COMPOUND = {count: name for name, count in COMPOUND_MULTIPLIERS.items()}
# With di or tri in front these would be other groups (disulfanyl, tridecyl), or seem so.
_TAKE_BIS = (
    *("decyl", "sulfanyl", "selanyl", "tellanyl", "silyl", "germyl", "stannyl", "plumbyl", "nitrooxy"),
    *("phosphanyl", "boranyl", "azaniumyl", "hydrazinyl", "oxido", "sulfido"),
)


@dataclass(frozen=True, kw_only=True)
class GroupName:
    """A group's name. text: with its descriptors; plain: without them; word: its last word ('methyl' of
    'chloromethyl'); is_compound: groups stand on its word; atoms: how many it has, hydrogens left out."""

    text: str
    plain: str
    word: str
    is_compound: bool

    @property
    def alphabetical(self) -> tuple[str, str]:
        """What decides its place among others: its letters, then all of it."""
        return letters_of(self.plain), self.plain

    @property
    def enclosed(self) -> str:
        """As it stands behind a locant."""
        return bracketed(self.text) if self._needs_brackets else self.text

    def times(self, count: int) -> str:
        if count == 1:
            return self.enclosed
        if self.is_compound or self.text != self.plain or self.text in _TAKE_BIS:
            return f"{_COMPOUND[count]}{bracketed(self.text)}"
        joint = "-" if self.text.startswith("tert-") else ""
        return f"{_SIMPLE[count]}{joint}{self.enclosed}"

    @property
    def _needs_brackets(self) -> bool:
        return self.is_compound or self.text != self.plain or any(letter.isdigit() for letter in self.text)


def letters_of(plain: str) -> str:
    return re.sub(r"[^a-z]", "", plain.replace("tert-", "").lower())


def bracketed(text: str) -> str:
    """( ), around these [ ], around these { }, then from the start (P-16.5.4)."""
    depth = deepest = 0
    for letter in text:
        depth += (letter in "([{") - (letter in ")]}")
        deepest = max(deepest, depth)
    left, right = (("(", ")"), ("[", "]"), ("{", "}"))[deepest % 3]
    return f"{left}{text}{right}"


@dataclass(frozen=True, kw_only=True)
class Cited:
    """Like groups of one parent, with their locants in order."""

    locants: tuple[str, ...]
    group: GroupName


def in_order(groups: Sequence[tuple[str, GroupName]]) -> tuple[Cited, ...]:
    """(locant, group) put together by name, in the order of citation; R before S where names are alike."""
    by_text: dict[str, tuple[GroupName, list[str]]] = {}
    for locant, group in groups:
        by_text.setdefault(group.text, (group, []))[1].append(locant)
    found = [
        Cited(group=group, locants=tuple(sorted(locants, key=locant_order)))
        for group, locants in by_text.values()
    ]
    return tuple(sorted(found, key=lambda one: (*one.group.alphabetical, one.group.text)))


def locant_order(locant: str) -> tuple[bool, int, int]:
    """N before numbers (P-31.1.4.3.4); the r, c or t in front of a number does not count."""
    return not locant.startswith("N"), number_of(locant), locant.count("'")


def number_of(locant: str) -> int:
    """3 of '3', 'c-3', 'N3' and "N'3", 0 of 'N'."""
    return int(re.sub(r"\D", "", locant) or 0)


def locants_cited(cited: Sequence[Cited]) -> tuple[tuple[bool, int, int], ...]:
    """The locants of the groups in the order of citation, those of like plain names together."""
    by_name: dict[str, list[str]] = {}
    for one in cited:
        by_name.setdefault(one.group.plain, []).extend(one.locants)
    return tuple(place for locants in by_name.values() for place in sorted(map(locant_order, locants)))


def written(cited: Sequence[Cited], *, with_locants: bool) -> str:
    """'1-ethyl-2,4-dimethyl', or 'ethyl(methyl)' without locants."""
    if with_locants:
        return "-".join(f"{','.join(one.locants)}-{one.group.times(len(one.locants))}" for one in cited)
    text = ""
    for one in cited:
        alone = len(one.locants) == 1 and one.group.enclosed == one.group.text
        text += bracketed(one.group.text) if text and alone else one.group.times(len(one.locants))
    return text


def descriptors(letters: Sequence[tuple[str, str]]) -> str:
    """'(1R,2S)-' of (locant, letter); '' without letters."""
    if not letters:
        return ""
    ordered = sorted(letters, key=lambda pair: locant_order(pair[0]))
    return "(" + ",".join(locant + letter for locant, letter in ordered) + ")-"


def times_ending(ending: str, count: int) -> str:
    """'diol', 'tetrol', 'dicarboxylic acid', 'dicarbonyl dichloride', 'bis(olate)', 'diyl'."""
    if count == 1:
        return ending
    if ending in ENDINGS_WITH_BIS:
        return f"{_COMPOUND[count]}({ending})"
    multiplier = _SIMPLE[count]
    if ending == "carbonyl chloride":
        return f"{multiplier}carbonyl {multiplier}chloride"
    return f"{multiplier.removesuffix('a') if ending[0] in 'ao' else multiplier}{ending}"
