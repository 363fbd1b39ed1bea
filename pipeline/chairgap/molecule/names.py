"""The systematic name of a molecule: of one mirror image, or of both.

'rel-' before a name says that its descriptors give the relation of the centres only; the first of them is
then R (P-93.1.2 of the IUPAC recommendations 2013, from memory).
"""

import re

from chairgap.molecule import fragments
from chairgap.molecule.named import NamedRing, named_ring
from chairgap.molecule.numbering import HYDROGEN, RingFaces, mirrored
from chairgap.records import MoleculeName

_LETTER = re.compile(r"[(,]\d*([RS])(?=[,)])")
_DESCRIPTORS = re.compile(r"\((?:\d*[RSrsEZ],?)+\)-")


def molecule_name(faces: RingFaces, *, relative: bool) -> MoleculeName:
    """The name of a ring in the writing of its molecule; relative: its mirror image is meant as well."""
    found = named_ring(faces)
    if relative and begins_with_s(found):
        found = named_ring(mirrored(faces, fragments.mirror))
    text = found.name.name
    return MoleculeName(
        name=_relative(text) if text and relative else text,
        systematic=found.name,
        relative=relative,
        carbons=_carbons(found, faces),
    )


def begins_with_s(found: NamedRing) -> bool:
    """Whether S is the first of the descriptors R and S in the name."""
    letter = _LETTER.search(found.name.name)
    return letter is not None and letter[1] == "S"


def _relative(text: str) -> str:
    """'rel-' before the descriptors, or before the whole name where they stand in several places."""
    places = [match.start() for match in _DESCRIPTORS.finditer(text)]
    first = places[0] if len(places) == 1 and text[places[0] - 1 : places[0]] in ("", " ") else 0
    return f"{text[:first]}rel-{text[first:]}"


def _carbons(found: NamedRing, faces: RingFaces) -> tuple[int, ...]:
    """Of the numberings that symmetry offers, the one that gives most groups the locants of the writing."""
    sources = [tuple(one.source(locant) + 1 for locant in range(1, 7)) for one in found.alike]
    with_groups = {place for place, pair in enumerate(faces, start=1) if pair != (HYDROGEN, HYDROGEN)}
    return max(
        sources,
        key=lambda source: sum(
            carbon == locant and carbon in with_groups for locant, carbon in enumerate(source, start=1)
        ),
    )
