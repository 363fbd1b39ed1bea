"""Which face a group stands on, from cis and trans, r/c/t and alpha/beta. Pure: numbers and words only.

Only what the words say beyond doubt is taken: cis and trans name the relation of two groups on two carbons
with one group each; r/c/t that of each group to the reference r; alpha and beta the lower and the upper side
of the ring (P-31.1.4.3.4, P-93.5.1; index names of Chemical Abstracts up to 1999; from memory). Everything
else is refused with the reason.
"""

from collections import Counter
from collections.abc import Collection, Sequence
from typing import Protocol

from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.tree import Stereo


class OnRing(Protocol):
    """What is known of a group on the ring."""

    @property
    def locant(self) -> int: ...
    @property
    def mark(self) -> str: ...
    @property
    def said(self) -> str: ...


ADVICE = "write r-1,c-2,t-3 or R and S with their locants"


def faces_of(stereo: Stereo, groups: Sequence[OnRing], centres: Collection[int]) -> dict[int, bool]:
    """Place of a group in `groups` to True for up; empty when the name says nothing of faces.

    centres: locants of the ring carbons whose two ligands differ. Raises UnreadableNameError.
    """
    marked = any(group.mark for group in groups)
    if sum((bool(stereo.relation), marked, bool(stereo.faces))) > 1:
        raise UnreadableNameError(
            stereo.start, "it says twice on which faces the groups stand; keep one of the two"
        )
    if stereo.relation:
        return _by_relation(stereo, groups, centres)
    if marked:
        return _by_marks(stereo, groups, centres)
    if stereo.faces:
        return _by_letters(stereo, groups, centres)
    return {}


def _single(stereo: Stereo, groups: Sequence[OnRing], centres: Collection[int], word: str) -> list[int]:
    """The group of each centre, in order of locant. Raises UnreadableNameError where a centre has two."""
    per_carbon = Counter(group.locant for group in groups)
    crowded = [locant for locant in sorted(centres) if per_carbon[locant] > 1]
    if crowded:
        raise UnreadableNameError(
            stereo.start,
            f"carbon {crowded[0]} has two groups, and '{word}' does not say which it means; {ADVICE}",
        )
    return [place for place, group in enumerate(groups) if group.locant in centres]


def _by_relation(stereo: Stereo, groups: Sequence[OnRing], centres: Collection[int]) -> dict[int, bool]:
    word, count = stereo.relation, len(centres)
    if count < 2:
        what = "no carbon has" if not count else "only one carbon has"
        raise UnreadableNameError(
            stereo.start, f"'{word}' compares two groups, and {what} two different faces; leave it out"
        )
    if word != "all-cis" and count > 2:
        listed = ", ".join(map(str, sorted(centres)))
        raise UnreadableNameError(
            stereo.start,
            f"'{word}' compares two groups, and there are {count} (at carbons {listed}); {ADVICE}",
        )
    places = _single(stereo, groups, centres, word)
    return {place: number == 0 or word != "trans" for number, place in enumerate(places)}


def _by_marks(stereo: Stereo, groups: Sequence[OnRing], centres: Collection[int]) -> dict[int, bool]:
    marks = {place: group.mark for place, group in enumerate(groups) if group.mark}
    references = [place for place, mark in marks.items() if mark == "r"]
    if not references:
        references = [p for p, group in enumerate(groups) if not group.mark and group.locant in centres]
    if len(references) != 1:
        count = len(references) or "no"
        raise UnreadableNameError(
            stereo.start, f"c and t need one reference r, and there are {count}; write r-1,c-2,t-3"
        )
    (reference,) = references
    up = {reference: True, **{place: mark == "c" for place, mark in marks.items() if mark != "r"}}
    for place in up:
        if groups[place].locant not in centres:
            raise UnreadableNameError(
                stereo.start,
                f"'{groups[place].said}' at carbon {groups[place].locant} has no face of its own",
            )
    seen: dict[int, bool] = {}
    for place, face in up.items():
        if (
            seen.setdefault(groups[place].locant, face) is face
            and Counter(groups[other].locant for other in up)[groups[place].locant] > 1
        ):
            raise UnreadableNameError(
                stereo.start, f"both groups of carbon {groups[place].locant} have one face"
            )
    if missing := sorted(set(centres) - set(seen)):
        raise UnreadableNameError(
            stereo.start, f"r, c and t are given, but not for carbon {missing[0]}; write one there"
        )
    return up


def _by_letters(stereo: Stereo, groups: Sequence[OnRing], centres: Collection[int]) -> dict[int, bool]:
    up = {int(locant): not alpha for locant, alpha in stereo.faces}
    for locant in up:
        if locant not in centres:
            raise UnreadableNameError(stereo.start, f"carbon {locant} has no two faces to be alpha or beta")
    if missing := sorted(set(centres) - set(up)):
        raise UnreadableNameError(stereo.start, f"alpha and beta are given, but not for carbon {missing[0]}")
    places = _single(stereo, groups, centres, "alpha and beta")
    return {place: up[groups[place].locant] for place in places}
