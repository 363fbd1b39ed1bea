"""Every arrangement of given groups on the ring, each distinct one once, and how many there are. Pure.

An arrangement has one group on each of k carbons, on either face; every other ligand is hydrogen. Two
arrangements are the same when one of the twelve writings of their rings agrees (see `numbering`); with mirror
images once, also when one of the twelve writings of the mirror image does. No set of what has been seen is
kept: an arrangement is listed only in the smallest of its writings by the rules (a) to (d) of `numbering`, so
memory does not grow. Molecules get the numbers of their systematic names when they are built.

A mirror image counts only where every group of it is among the choices: with one hand of a chiral group
alone there is nothing to list once.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from typing import Literal

from chairgap.molecule.numbering import ALL_NUMBERINGS, AS_WRITTEN, Numbering
from chairgap.records import Face, GroupOnCarbon

MirrorImages = Literal["once", "both"]
CARBONS = (1, 2, 3, 4, 5, 6)
_FACES: tuple[Face, Face] = ("up", "down")
_OUTSIDE = -1  # stands for a group that is not among the choices


@dataclass(frozen=True, kw_only=True)
class Choice:
    """A group that may stand on a carbon, one stereoisomer: what to call it, its canonical fragment, that of
    its mirror image, and its name for alphabetical order (without stereo)."""

    name: str
    fragment: str
    mirror: str
    sort_name: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Arrangement:
    """Groups by rising locant. mirror_too: it stands for its mirror image as well, another molecule."""

    groups: tuple[GroupOnCarbon, ...]
    mirror_too: bool


@dataclass(frozen=True, kw_only=True)
class _Move:
    """A rewriting that keeps the locants: slot i takes what stood in slots[i], faces exchanged when `turns`,
    each group mirrored when `mirrors`."""

    slots: tuple[int, ...]
    turns: bool
    mirrors: bool


# --- listing ---------------------------------------------------------------------------------------------


def arrangements(
    choices: Sequence[Choice], carbons: Collection[int], *, mirror_images: MirrorImages
) -> Iterator[Arrangement]:
    """Every distinct arrangement of the choices (fragments all different) on as many carbons as each of
    `carbons` says (1 to 6), lazily.

    In order of: number of carbons; locants; groups in order of locant, alphabetically (letter case ignored,
    isomers of one group by their fragments); faces in order of locant, up before down.
    """
    ordered = sorted(choices, key=lambda choice: (*_alphabetical(choice), choice.fragment))
    for count in sorted(set(carbons)):
        for locants in combinations(CARBONS, count):
            if locants == min(_renumbered(locants, numbering) for numbering in ALL_NUMBERINGS):
                yield from _on_locants(ordered, locants, mirror_images)


def _alphabetical(choice: Choice) -> tuple[str, str]:
    return choice.sort_name.casefold(), choice.sort_name


def _renumbered(locants: tuple[int, ...], numbering: Numbering) -> tuple[int, ...]:
    return tuple(locant for locant in CARBONS if numbering.source(locant) + 1 in locants)


def _moves(locants: tuple[int, ...], mirror_images: MirrorImages) -> tuple[_Move, ...]:
    """All rewritings that keep the locants, but for the one that changes nothing."""
    found = []
    for numbering in ALL_NUMBERINGS:
        if _renumbered(locants, numbering) != locants:
            continue
        slots = tuple(locants.index(numbering.source(locant) + 1) for locant in locants)
        # The mirror image in the plane of the ring exchanges all faces, as looking from the other side does.
        if numbering != AS_WRITTEN:
            found.append(_Move(slots=slots, turns=numbering.flipped, mirrors=False))
        if mirror_images == "once":
            found.append(_Move(slots=slots, turns=not numbering.flipped, mirrors=True))
    return tuple(found)


def _on_locants(
    choices: Sequence[Choice], locants: tuple[int, ...], mirror_images: MirrorImages
) -> Iterator[Arrangement]:
    """Groups are small numbers here, places in `choices`; a filling gives one for each locant."""
    moves = _moves(locants, mirror_images)
    names = sorted({_alphabetical(choice) for choice in choices})
    rank_of = {name: rank for rank, name in enumerate(names)}
    ranks = [rank_of[_alphabetical(choice)] for choice in choices]
    texts = [choice.fragment for choice in choices]
    number_of = {fragment: number for number, fragment in enumerate(texts)}
    images = [number_of.get(choice.mirror, _OUTSIDE) for choice in choices]
    placed = [
        [
            [GroupOnCarbon(carbon=locant, face=face, group=choice.name) for face in _FACES]
            for choice in choices
        ]
        for locant in locants
    ]
    known: dict[tuple[object, ...], tuple[tuple[tuple[int, ...], bool], ...]] = {}
    for filling in product(range(len(choices)), repeat=len(locants)):
        ties = _ties(filling, moves, ranks, texts, images)
        if ties is None:
            continue
        mirrored = mirror_images == "once" and all(images[group] != _OUTSIDE for group in filling)
        if (ties, mirrored) not in known:
            known[ties, mirrored] = _smallest_faces(len(locants), moves, ties, mirrored)
        for faces, mirror_too in known[ties, mirrored]:
            groups = zip(placed, filling, faces, strict=True)
            yield Arrangement(
                groups=tuple([place[group][face] for place, group, face in groups]), mirror_too=mirror_too
            )


def _ties(
    filling: tuple[int, ...],
    moves: tuple[_Move, ...],
    ranks: Sequence[int],
    texts: Sequence[str],
    images: Sequence[int],
) -> tuple[tuple[int, int], ...] | None:
    """None when rule (b) prefers another writing of this filling whatever the faces; else the moves it does
    not decide, each by its place in `moves` and by how its fragments compare (rule (d): -1, 0 or 1)."""
    order = _by_name(filling, ranks)
    ties = []
    for number, move in enumerate(moves):
        moved = tuple([filling[slot] for slot in move.slots])
        if move.mirrors:
            moved = tuple([images[group] for group in moved])
            if _OUTSIDE in moved:
                continue
        if moved == filling:
            ties.append((number, 0))
            continue
        other = _by_name(moved, ranks)
        if other < order:
            return None
        if other == order:
            smaller = [texts[group] for group in moved] < [texts[group] for group in filling]
            ties.append((number, -1 if smaller else 1))
    return tuple(ties)


def _by_name(filling: tuple[int, ...], ranks: Sequence[int]) -> list[int]:
    """Rule (b): the slots of the groups in alphabetical order."""
    return sorted(range(len(filling)), key=lambda slot: ranks[filling[slot]])


def _smallest_faces(
    count: int, moves: tuple[_Move, ...], ties: tuple[tuple[int, int], ...], mirrored: bool
) -> tuple[tuple[tuple[int, ...], bool], ...]:
    """The faces (0 up, 1 down) for which no move left over gives a smaller writing by rules (c) and (d), each
    with whether it stands for a mirror image too. `mirrored`: the mirror image is made of the choices."""
    found = []
    for faces in product((0, 1), repeat=count):
        compared = [
            (tuple([faces[slot] ^ moves[number].turns for slot in moves[number].slots]), fragments, number)
            for number, fragments in ties
        ]
        if any((moved, fragments) < (faces, 0) for moved, fragments, _ in compared):
            continue
        own_image = any(
            moves[number].mirrors and (moved, fragments) == (faces, 0)
            for moved, fragments, number in compared
        )
        found.append((faces, mirrored and not own_image))
    return tuple(found)


# --- counting --------------------------------------------------------------------------------------------


def counts_by_carbons(choices: Sequence[Choice], *, mirror_images: MirrorImages) -> tuple[int, ...]:
    """How many distinct arrangements have groups on 0, 1, ... 6 carbons, without listing any.

    Burnside's lemma with generating functions, as G. Polya, Acta Math. 1937, 68, 145, doi 10.1007/BF02546665,
    counts the isomers of ring compounds.
    """
    fragments = {choice.fragment for choice in choices}
    closed = [choice for choice in choices if choice.mirror in fragments]
    proper = _orbits(len(choices), 0, mirrors=(False,))
    if mirror_images == "both":
        return proper
    # Arrangements of groups whose mirror images are all among the choices fall together with their own mirror
    # images; every other one stands alone.
    own_images = sum(choice.mirror == choice.fragment for choice in closed)
    together = _orbits(len(closed), own_images, mirrors=(False, True))
    apart = _orbits(len(closed), 0, mirrors=(False,))
    return tuple(a - b + c for a, b, c in zip(proper, apart, together, strict=True))


def _orbits(groups: int, own_images: int, *, mirrors: tuple[bool, ...]) -> tuple[int, ...]:
    """Orbits of the arrangements of `groups` groups, `own_images` of them their own mirror images."""
    total = [0] * 7
    for numbering, mirrored in product(ALL_NUMBERINGS, mirrors):
        fixed = [1, 0, 0, 0, 0, 0, 0]
        for length in _cycles(numbering):
            # A writing fixes what comes back to itself after one round of each of its cycles of L carbons:
            # no group at all, or a group and a face on the first that bring the others with them. An odd
            # number of exchanged faces fixes no face, and an odd number of reflections fixes only groups that
            # are their own mirror images.
            odd = length % 2 == 1
            faces = 0 if odd and numbering.flipped != mirrored else 2
            choices = faces * (own_images if odd and mirrored else groups)
            # (1) fixed arrangements by number of carbons k: coefficients of prod over cycles (1 + c_L t^L)
            fixed = [
                fixed[k] + (choices * fixed[k - length] if k >= length else 0) for k in range(len(fixed))
            ]
        total = [a + b for a, b in zip(total, fixed, strict=True)]
    # (2) Burnside: number of orbits = (1 / |G|) * sum over g in G of the arrangements that g fixes
    return tuple(count // (len(ALL_NUMBERINGS) * len(mirrors)) for count in total)


def _cycles(numbering: Numbering) -> tuple[int, ...]:
    """Lengths of the cycles in which a numbering takes the six positions round."""
    lengths, left = [], set(range(6))
    while left:
        position = min(left)
        length = 0
        while position in left:
            left.remove(position)
            position = numbering.source(position + 1)
            length += 1
        lengths.append(length)
    return tuple(lengths)
