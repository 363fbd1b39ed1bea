"""The published equilibria of a molecule, found by its groups: in any numbering, and for the mirror image."""

from collections.abc import Iterable, Mapping
from functools import lru_cache

from chairgap.compare.equilibria import published_gap
from chairgap.compare.split import Site
from chairgap.molecule.build import writing_of
from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import HYDROGEN, RingFaces, every_writing
from chairgap.molecule.substituents import read_fragment
from chairgap.records import Equilibrium, Face, PublishedGap, Topology
from chairgap.shape.chairs import position_in_chair, two_chairs

_RINGS_KEPT = 512


def published_for(topology: Topology, equilibria: Iterable[Equilibrium]) -> tuple[PublishedGap, ...]:
    """What is published of this molecule, in the order of the table, as G(B) - G(A) of its own chairs,
    kcal/mol at the published temperature; empty when nothing is."""
    own = writing_of(topology)
    chair_a, _ = two_chairs(topology)
    found = []
    for equilibrium in equilibria:
        site = _writings(equilibrium.groups).get(own)
        if site is None:
            continue
        carbon, face, _ = equilibrium.groups[0]
        stands = position_in_chair(carbon, face, equilibrium.odd_up_axial)
        in_a = position_in_chair(*site, chair_a.odd_up_axial)
        found.append(published_gap(equilibrium, "A" if in_a == stands else "B"))
    return tuple(found)


@lru_cache(_RINGS_KEPT)
def _writings(groups: tuple[tuple[int, Face, str], ...]) -> Mapping[RingFaces, Site]:
    """Every writing of the ring and of its mirror image, with the place of the first group in it."""
    ring = [[HYDROGEN, HYDROGEN] for _ in range(6)]
    for carbon, face, fragment in groups:
        ring[carbon - 1][face == "down"] = read_fragment(fragment)
    plain: RingFaces = tuple((up, down) for up, down in ring)
    first, face, _ = groups[0]
    sites: list[Site] = [(locant, side) for locant in range(1, 7) for side in ("down", "up")]
    found: dict[RingFaces, Site] = {}
    for writing in every_writing(plain, mirror):
        found.setdefault(writing.faces, next(site for site in sites if writing.site(*site) == (first, face)))
    return found
