"""Which structures a ring with open stereochemistry can mean, and how each is numbered.

Two structures are the same when one of the twelve writings of their rings agrees (`numbering.identity`), and
mirror images when the writing of the one agrees with the mirrored writing of the other. Nothing else is
needed to see that a carbon with an open configuration is no stereocentre after all, that an isomer is meso,
or that everything meant is one structure and its mirror image.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import product
from math import prod

from chairgap.errors import MoleculeError
from chairgap.molecule import fragments
from chairgap.molecule.cut import Cut
from chairgap.molecule.named import has_numbers_of_its_name, named_as_written, named_ring
from chairgap.molecule.names import begins_with_s
from chairgap.molecule.numbering import (
    Numbering,
    RingFaces,
    allowed,
    identity,
    key,
    mirrored,
    renumbered,
)
from chairgap.records import NumberedBy

MOST_WRITINGS = 1024
Family = tuple[RingFaces, ...]


@dataclass(frozen=True, kw_only=True)
class Isomer:
    """A structure in its final writing. open_sites: what was left open, in words ('at C2', 'in the group at
    C1'); mirror_too: its mirror image is meant as well."""

    faces: RingFaces
    numbered: NumberedBy
    open_sites: tuple[str, ...]
    mirror_too: bool


def families_of(cut: Cut) -> tuple[Family, ...]:
    """The diastereomers a cut molecule can mean, each as the writings that mean it or its mirror image, in
    an order by rules (a) to (d) of `numbering`, which costs less than to number them all by name.

    Raises MoleculeError when more than MOST_WRITINGS would have to be looked at.
    """
    families: dict[frozenset[RingFaces], list[RingFaces]] = {}
    for faces in _writings(cut):
        same = identity(faces)
        family = frozenset((same, identity(mirrored(same, fragments.mirror))))
        families.setdefault(family, []).append(faces)
    numberings = allowed(cut.locants)

    def first(members: Family) -> tuple[object, ...]:
        return min(
            key(renumbered(faces, numbering), fragments.flat) for faces in members for numbering in numberings
        )

    return tuple(sorted(map(tuple, families.values()), key=first))


def isomers_of(cut: Cut, families: Iterable[Family]) -> tuple[Isomer, ...]:
    """The structures of some families, each in its final writing, in the order of rules (a) to (d)."""
    found = (isomer_of(cut, family) for family in families)
    return tuple(sorted(found, key=lambda isomer: key(isomer.faces, fragments.flat)))


def isomer_of(cut: Cut, members: Family) -> Isomer:
    """A diastereomer in its final writing: of two mirror images that are meant the one whose name begins with
    R, as the name for both does (`names`); of writings that are left then the first by rules (a) to (d)."""
    mirror_too = len({identity(faces) for faces in members}) > 1
    if mirror_too:
        members = tuple(faces for faces in members if not begins_with_s(named_ring(faces))) or members
    meant = {identity(faces) for faces in members}
    numberings = allowed(cut.locants)
    if not any(cut.locants):
        named = [named_ring(faces) for faces in sorted(meant)]
        written = [one.faces for one in named]
        numbered: NumberedBy = "Numbered by IUPAC" if named[0].name.name else "Numbered by lowest locants"
    elif locants_are_given(cut):
        written = [renumbered(faces, numbering) for faces in members for numbering in numberings]
        numbered = "Numbers as given"
    else:
        written = [named_as_written(faces, numberings).faces for faces in sorted(set(members))]
        numbered = "Numbers partly as given"
    best = min(written, key=lambda faces: key(faces, fragments.flat))
    if numbered == "Numbers as given" and has_numbers_of_its_name(best):
        numbered = "Numbered by IUPAC"
    ways = [
        numbering for faces in members for numbering in numberings if renumbered(faces, numbering) == best
    ]
    return Isomer(
        faces=best,
        numbered=numbered,
        open_sites=min(tuple(_open_sites(cut, members, numbering)) for numbering in ways),
        mirror_too=mirror_too,
    )


def locants_are_given(cut: Cut) -> bool:
    """Whether the numbers that the user gave leave each group one locant."""
    pairs = [sorted(pair) for pair in cut.faces]
    left = [[pairs[one.source(locant)] for locant in range(1, 7)] for one in allowed(cut.locants)]
    return all(one == left[0] for one in left)


def _writings(cut: Cut) -> list[RingFaces]:
    choices = []
    for position, (upper, lower) in enumerate(cut.faces):
        pairs = list(product(fragments.isomers(upper), fragments.isomers(lower)))
        if position in cut.open_carbons:
            pairs += [(second, first) for first, second in pairs]
        choices.append(sorted(set(pairs)))
    count = prod(len(pairs) for pairs in choices)
    if count > MOST_WRITINGS:
        raise MoleculeError(
            f"The configuration is open at so many centres that there are {count:,} ways to write it, more "
            f"than {MOST_WRITINGS:,}; write the configuration of some."
        )
    return [tuple(faces) for faces in product(*choices)]


def _open_sites(cut: Cut, members: Family, numbering: Numbering) -> list[str]:
    """Words for each open site that makes a difference, in order of locant."""
    words = []
    for locant in range(1, 7):
        position = numbering.source(locant)
        pair = cut.faces[position]
        if position in cut.open_carbons and any(
            identity(faces) != identity(_exchanged(faces, position)) for faces in members
        ):
            words.append(f"at C{locant}")
        if any(len(fragments.isomers(fragment)) > 1 for fragment in pair):
            words.append(f"in the group at C{locant}")
    return words


def _exchanged(faces: RingFaces, position: int) -> RingFaces:
    upper, lower = faces[position]
    return (*faces[:position], (lower, upper), *faces[position + 1 :])
