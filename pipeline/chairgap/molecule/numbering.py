"""Numbering of the ring carbons. Pure: works on fragment texts, knows no molecule.

A ring is written as six pairs (upper fragment, lower fragment), C1 to C6 clockwise as seen from above. The
same ring can be written in twelve ways: six starts, and two sides to look from. Looking from the other side
turns the order round and makes every upper group a lower one.

Which of the twelve is used. Numbers given by the user (groups by face, atom-map numbers, the locants of a
name) are kept. What they leave open, or all of it, gets the numbers of the systematic name (`named`). Of two
mirror images that are both meant the one whose name begins with R is drawn. Where that leaves a choice
(symmetry, names without R and S), where a group has no name, in lists that a pattern makes, and in the agreed
writing the first of these rules decides that does:

(a) lowest set of locants for the ring carbons that have groups, a carbon with two groups counting twice;
(b) lowest locants for the groups in alphabetical order of their names (letter case and stereo ignored);
(c) 'up' for the groups in order of locant (on one carbon in alphabetical order);
(d) the fragments themselves, C1 to C6, compared as text.

Numberings that are still equal then write the same text, so nothing depends on the order of atoms in the
input. A mirror image is written with the same locants and either every face exchanged or, where symmetry
offers it, an equivalent writing.

The *agreed writing* of a ring leaves nothing to the user: the same for all twelve numberings and the mirror
image. In it a molecule is searched, parts of molecules are kept, and chair A is chosen where the groups do
not decide.
"""

from collections.abc import Callable
from dataclasses import dataclass

from chairgap.records import Face

HYDROGEN = "*[H]"
RingFaces = tuple[tuple[str, str], ...]
_OTHER: dict[Face, Face] = {"up": "down", "down": "up"}


@dataclass(frozen=True, kw_only=True)
class Numbering:
    """C1 is ring position `start` (0..5); `flipped` means looked at from the other side."""

    start: int
    flipped: bool

    def source(self, locant: int) -> int:
        """Position (0..5) in the old writing of the carbon that is now `locant` (1..6)."""
        return (self.start + (1 - locant if self.flipped else locant - 1)) % 6


ALL_NUMBERINGS = tuple(
    Numbering(start=start, flipped=flipped) for flipped in (False, True) for start in range(6)
)
AS_WRITTEN = ALL_NUMBERINGS[0]


def allowed(locants: tuple[int | None, ...]) -> tuple[Numbering, ...]:
    """Numberings that give each ring position the locant the user fixed for it, if any; may be empty."""
    return tuple(
        numbering
        for numbering in ALL_NUMBERINGS
        if all(locants[numbering.source(locant)] in (None, locant) for locant in range(1, 7))
    )


def renumbered(faces: RingFaces, numbering: Numbering) -> RingFaces:
    """The same ring in another writing."""
    pairs = [faces[numbering.source(locant)] for locant in range(1, 7)]
    return tuple((down, up) if numbering.flipped else (up, down) for up, down in pairs)


def identity(faces: RingFaces) -> RingFaces:
    """One writing for each structure: two rings are the same structure exactly when this agrees."""
    return min(renumbered(faces, numbering) for numbering in ALL_NUMBERINGS)


def mirrored(faces: RingFaces, mirror_fragment: Callable[[str], str]) -> RingFaces:
    """The mirror image in the plane of the ring: same locants, faces exchanged, each fragment mirrored."""
    return tuple((mirror_fragment(down), mirror_fragment(up)) for up, down in faces)


@dataclass(frozen=True, kw_only=True)
class Writing:
    """A ring in another writing: `mirrored` first, when it is, then by `numbering`."""

    faces: RingFaces
    numbering: Numbering
    mirrored: bool

    def site(self, locant: int, face: Face) -> tuple[int, Face]:
        """The (locant, face) in the old writing of what now stands at (locant, face)."""
        exchanged = self.numbering.flipped != self.mirrored
        return self.numbering.source(locant) + 1, _OTHER[face] if exchanged else face


def every_writing(faces: RingFaces, mirror_fragment: Callable[[str], str]) -> tuple[Writing, ...]:
    """The twelve writings of a ring and the twelve of its mirror image, as it is written now first."""
    return tuple(
        Writing(faces=renumbered(ring, numbering), numbering=numbering, mirrored=image)
        for image, ring in ((False, faces), (True, mirrored(faces, mirror_fragment)))
        for numbering in ALL_NUMBERINGS
    )


def agreed_writings(faces: RingFaces, mirror_fragment: Callable[[str], str]) -> tuple[Writing, ...]:
    """The agreed writing of a ring, by rules (a) to (d) with the fragments as names; all ways to it that
    symmetry offers, the present numbering first if it is one."""
    writings = every_writing(faces, mirror_fragment)
    best = min(key(writing.faces, str) for writing in writings)
    return tuple(writing for writing in writings if key(writing.faces, str) == best)


def key(faces: RingFaces, sort_name: Callable[[str], str]) -> tuple[object, ...]:
    """What rules (a) to (d) compare; smaller is better. sort_name gives a fragment's name without stereo."""
    groups = [
        (locant, sort_name(fragment).casefold(), sort_name(fragment), side)
        for locant, pair in enumerate(faces, start=1)
        for side, fragment in enumerate(pair)
        if fragment != HYDROGEN
    ]
    by_name = sorted((folded, name, locant) for locant, folded, name, _ in groups)
    return (
        tuple(locant for locant, *_ in groups),
        tuple(locant for _, _, locant in by_name),
        tuple(side for *_, side in sorted(groups)),
        faces,
    )
