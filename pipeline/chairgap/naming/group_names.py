"""The name of a group, from its structure: the grammar turned round.

A group is a word of the vocabulary (`words`) with other groups at its locants. Of the words that fit, that is
taken which covers most of what is no carbon (acyl groups before oxo groups on chains), then most carbons (the
principal chain, P-44.3 and P-46.1), then the one with the lowest locant of the free valence, the most groups
and their lowest locants (P-46.1.3 to P-46.1.11), then R before S (P-31.1.4.3.4); IUPAC recommendations 2013,
numbers of rules from memory. Retained prefixes that the recommendations do not let be substituted (benzyl,
acetamido) are taken alone only.
"""

import re
from collections.abc import Iterable
from functools import cache

from chairgap.naming.cited import GroupName, descriptors, in_order, locants_cited, written
from chairgap.naming.skeleton import Match, NoNameError, Pattern, Skeleton, matches, pattern_of
from chairgap.naming.words import ESTER_ACIDS, GROUPS, Word

_ALONE = ("carboxy", "sulfo", "formyl", "acetamido", "formamido", "benzamido", "benzyl", "hydroxy", "oxo")
# P-63.2.2.2: what becomes of a group in front of 'oxy'.
_BEFORE_OXY = {
    **{"methyl": "methoxy", "ethyl": "ethoxy", "propyl": "propoxy", "butyl": "butoxy"},
    **{"phenyl": "phenoxy", "tert-butyl": "tert-butoxy"},
}
_Words = dict[tuple[str, int, bool], list[Word]]
_Ranked = tuple[tuple[object, ...], GroupName]


class GroupNamer:
    """Names of the groups of one molecule."""

    def __init__(self, skeleton: Skeleton):
        self.skeleton = skeleton
        self._known: dict[tuple[int, int], GroupName] = {}

    def group(self, first: int, parent: int) -> GroupName:
        """The name of the group `first` on `parent` as a prefix. Raises NoNameError."""
        if (first, parent) not in self._known:
            self._known[first, parent] = self._best(first, parent, _prefixes())
        return self._known[first, parent]

    def acid(self, first: int, parent: int) -> GroupName | None:
        """The acid part of an ester whose oxygen is `first` ('acetate'); None where there is no word."""
        try:
            return self._best(first, parent, _acids())
        except NoNameError:
            return None

    def _best(self, first: int, parent: int, words: _Words) -> GroupName:
        node = self.skeleton.nodes[first]
        size = len(self.skeleton.beyond(first, parent))
        fitting: dict[tuple[int, int], list[tuple[Word, Pattern, Match]]] = {}
        for word in words.get(node.kind, ()):
            pattern = pattern_of(word.smiles)
            if len(pattern.nodes) > size or (word.name in _ALONE and len(pattern.nodes) < size):
                continue
            for match in matches(self.skeleton, first, parent, pattern):
                if len(match.extra) >= word.needs and self._is_allowed(match):
                    covers = (-pattern.others, -pattern.carbons)
                    fitting.setdefault(covers, []).append((word, pattern, match))
        problem = ""
        for _, candidates in sorted(fitting.items(), key=lambda pair: pair[0]):
            ranked: list[_Ranked] = []
            for word, pattern, match in candidates:
                try:
                    ranked.append(self._with_word(word, pattern, match))
                except NoNameError as error:
                    problem = str(error)
            if ranked:
                return min(ranked, key=lambda pair: pair[0])[1]
        raise NoNameError(problem)

    def _is_allowed(self, match: Match) -> bool:
        """No chain that could be longer or that runs through the carbon of an acid, no N on N or O on O
        outside the words for these."""
        nodes = self.skeleton.nodes
        if any(self._lengthens(match, locant, other) for locant, other in match.extra):
            return False
        double: set[str] = set()
        acid: set[str] = set()
        for locant, other in match.extra:
            atom = match.atoms[locant]
            if nodes[other].kind[0] == nodes[atom].kind[0] and nodes[other].kind[0] in "NO":
                return False
            if nodes[other].kind[0] == "O" and len(nodes[other].bonds) == 1:
                (double if nodes[atom].bonds[other] == 2.0 else acid).add(locant)
        return not double & acid

    def _lengthens(self, match: Match, locant: str, other: int) -> bool:
        """Whether a group at an end of a chain makes the chain longer."""
        nodes, atom = self.skeleton.nodes, match.atoms[locant]
        inside = [
            index for index in nodes[atom].bonds if index in match.covered and nodes[index].kind[0] == "C"
        ]
        is_end = len(inside) < 2 and nodes[atom].kind == ("C", 0, False)
        return is_end and self.skeleton.is_chain_carbon(other, atom)

    # --- a word with its groups --------------------------------------------------------------------------

    def _with_word(self, word: Word, pattern: Pattern, match: Match) -> _Ranked:
        extra = [(locant, self.group(first, match.atoms[locant])) for locant, first in match.extra]
        cited = in_order(extra)
        letters = self._letters(pattern, match)
        by_itself = len(match.atoms) < 2
        front = written(cited, with_locants=not by_itself)
        plain_front = written(
            in_order([(at, _unmarked(group)) for at, group in extra]), with_locants=not by_itself
        )
        if by_itself:
            letters = [("", letter) for _, letter in letters]
        descriptor = descriptors(letters)
        name = GroupName(
            text=f"{descriptor}{front}{word.name}",
            plain=f"{plain_front}{word.name}",
            word=word.name,
            is_compound=bool(extra),
        )
        if word.name == "oxy" and (contracted := _contracted(extra[0][1])):
            name = contracted
        end = next(
            (int(at) for atom, at in pattern.locants.items() if atom == pattern.root and at.isdigit()), 0
        )
        rank = (
            end,
            [int(number) for number in re.findall(r"\d+", word.name)],
            -len(extra),
            sorted(int(locant) for locant, _ in extra if locant.isdigit()),
            locants_cited(cited),
            descriptors(letters),
            name.text,
        )
        return rank, name

    def _letters(self, pattern: Pattern, match: Match) -> list[tuple[str, str]]:
        """CIP letters of the word's own centres and double bonds. Raises NoNameError."""
        letters = []
        locants = {atom: locant for locant, atom in match.atoms.items()}
        for atom in match.covered:
            letter = self.skeleton.nodes[atom].letter
            if letter and self.skeleton.nodes[atom].kind[0] == "N":
                raise NoNameError("the configuration of a nitrogen has no place in names here")
            if letter:
                letters.append((_located(locants, atom), letter))
        for bond, letter in self.skeleton.sides.items():
            if bond <= match.covered:
                near = min((_located(locants, atom) for atom in bond), key=int)
                letters.append((near, letter))
        return letters


def _located(locants: dict[int, str], atom: int) -> str:
    if atom not in locants:
        raise NoNameError("a word of its name has a stereocentre without a locant")
    return locants[atom]


def _unmarked(group: GroupName) -> GroupName:
    return GroupName(text=group.plain, plain=group.plain, word=group.word, is_compound=group.is_compound)


def _contracted(inner: GroupName) -> GroupName | None:
    """'methoxy' for 'methyloxy', '2-methoxyethoxy' for '(2-methoxyethyl)oxy'."""
    if inner.word not in _BEFORE_OXY or not inner.text.endswith(inner.word):
        return None
    ending = _BEFORE_OXY[inner.word]
    return GroupName(
        text=inner.text.removesuffix(inner.word) + ending,
        plain=inner.plain.removesuffix(inner.word) + ending,
        word=ending,
        is_compound=inner.is_compound,
    )


@cache
def _prefixes() -> _Words:
    made_from_oxy = set(_BEFORE_OXY.values())
    return _by_first_atom(word for word in GROUPS if word.preferred and word.name not in made_from_oxy)


@cache
def _acids() -> _Words:
    return _by_first_atom(word for word in ESTER_ACIDS if word.preferred)


def _by_first_atom(words: Iterable[Word]) -> _Words:
    found: _Words = {}
    for word in words:
        pattern = pattern_of(word.smiles)
        found.setdefault(pattern.nodes[pattern.root].kind, []).append(word)
    return found
