"""Which structures a ring with open stereochemistry can mean, and how each is numbered.

Two structures are the same when one of the twelve writings of their rings agrees (`numbering.identity`), and
mirror images when the writing of the one agrees with the mirrored writing of the other. Nothing else is
needed to see that a carbon with an open configuration is no stereocentre after all, that an isomer is meso,
or that everything meant is one structure and its mirror image.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product
from math import prod

from chairgap.errors import MoleculeError
from chairgap.molecule import fragments
from chairgap.molecule.cut import Cut
from chairgap.molecule.numbering import Numbering, RingFaces, allowed, identity, key, mirrored, renumbered

MOST_WRITINGS = 1024


@dataclass(frozen=True, kw_only=True)
class Isomer:
    """A structure in its final writing. open_sites: what was left open, in words ('at C2', 'in the group at
    C1'); mirror_too: its mirror image is meant as well."""

    faces: RingFaces
    open_sites: tuple[str, ...]
    mirror_too: bool


def isomers_of(cut: Cut, sort_name: Callable[[str], str]) -> tuple[Isomer, ...]:
    """The diastereomers a cut molecule can mean, mirror images once, in order of their writing.

    Raises MoleculeError when more than MOST_WRITINGS would have to be looked at.
    """
    families: dict[frozenset[RingFaces], list[RingFaces]] = {}
    for faces in _writings(cut):
        same = identity(faces)
        family = frozenset((same, identity(mirrored(same, fragments.mirror))))
        families.setdefault(family, []).append(faces)
    numberings = allowed(cut.locants)
    found = [_best(cut, members, numberings, sort_name) for members in families.values()]
    return tuple(sorted(found, key=lambda isomer: key(isomer.faces, sort_name)))


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


def _best(
    cut: Cut,
    members: list[RingFaces],
    numberings: tuple[Numbering, ...],
    sort_name: Callable[[str], str],
) -> Isomer:
    written = [(renumbered(faces, numbering), numbering) for faces in members for numbering in numberings]
    faces, numbering = min(written, key=lambda pair: key(pair[0], sort_name))
    meant = {identity(member) for member in members}
    return Isomer(
        faces=faces, open_sites=tuple(_open_sites(cut, members, numbering)), mirror_too=len(meant) > 1
    )


def _open_sites(cut: Cut, members: list[RingFaces], numbering: Numbering) -> list[str]:
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
