"""A molecule as a sheet puts it: as the study writes it, or as its twin.

A twin is the same molecule in another writing: mirrored in the plane of the ring, its carbons numbered from
another start or seen from the other side. It is exactly as hard, since nothing that a chemist can measure of
one chair against the other changes; the ledger is added up anew to see that it does not either.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from random import Random

from chairgap.errors import ChairgapError
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.molecule.build import build_written, writing_of
from chairgap.molecule.fragments import mirror
from chairgap.molecule.named import has_numbers_of_its_name
from chairgap.molecule.names import molecule_name
from chairgap.molecule.numbering import ALL_NUMBERINGS, Numbering, RingFaces, mirrored, renumbered
from chairgap.records import Chair, Estimate, EstimateTable, Face, Molecule, Result, Settings, Topology
from chairgap.shape.chairs import two_chairs

Site = tuple[int, Face]

_SAME_KCAL_MOL = 1e-9


@dataclass(frozen=True, kw_only=True)
class Posed:
    """A molecule with its chairs and ledger as a sheet puts it. Chairs A and B are those of the result, so
    its gaps hold as they are. writing: '' for the study's own, else how it was changed. reference: carbon and
    face of the group that gives the gap of the sheet its direction (`chairgap.handout.wording`).
    left_odd_up_axial: whether the chair with carbons 1, 3 and 5 raised stands in the left frame."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    estimate: Estimate
    result: Result
    writing: str
    reference: Site
    left_odd_up_axial: bool = True


def as_written(result: Result, *, positive: bool = True) -> Posed:
    """The molecule as the study writes it. The reference is its first group for which G(chair with it axial)
    - G(chair with it equatorial) of the estimate is positive, or negative; the first of all when none is."""
    requested = "axial" if positive == ((result.estimate.gap_kcal_mol or 0.0) >= 0.0) else "equatorial"
    groups = result.chairs[1].groups
    reference = next((group for group in groups if group.position == requested), groups[0])
    return Posed(
        reference=(reference.carbon, reference.face),
        molecule=result.molecule,
        chairs=result.chairs,
        estimate=result.estimate,
        result=result,
        writing="",
    )


def twin(
    posed: Posed, taken: Sequence[Posed], settings: Settings, table: EstimateTable, rng: Random
) -> Posed:
    """The same molecule in another writing that the seed chooses, unlike those taken where there is one left.

    Raises ChairgapError when the ledger of the twin is another, which would be a defect.
    """
    result = posed.result
    faces = writing_of(result.molecule.topology)
    numbering, is_mirror = _another_writing(
        faces, {writing_of(other.molecule.topology) for other in taken}, rng
    )
    written = _rewritten(faces, numbering, is_mirror=is_mirror)
    built = build_written(written, table, force_field=settings.force_field)
    naming = result.molecule.naming
    molecule = replace(
        built,
        naming=naming and molecule_name(written, relative=naming.relative),
        numbered="Numbered by IUPAC" if has_numbers_of_its_name(written) else "Numbers as given",
    )
    sites = _sites(molecule.topology, numbering, is_mirror=is_mirror)
    chairs = _same_chairs(result.chairs, molecule.topology, sites)
    estimate = estimate_gap(chairs, table)
    if result.gaps.equal_by_symmetry:
        estimate = zero_by_symmetry(estimate)
    if abs((estimate.gap_kcal_mol or 0.0) - (result.estimate.gap_kcal_mol or 0.0)) > _SAME_KCAL_MOL:
        message = (
            f"The twin '{molecule.groups_by_face}' of '{result.molecule.name}' has another "
            "estimate; please report this."
        )
        raise ChairgapError(message)
    return Posed(
        molecule=molecule,
        chairs=chairs,
        estimate=estimate,
        result=result,
        writing="mirror image, renumbered" if is_mirror else "renumbered",
        reference=next(site for site, source in sites.items() if source == posed.reference),
    )


def _another_writing(faces: RingFaces, taken: set[RingFaces], rng: Random) -> tuple[Numbering, bool]:
    """A writing by chance: one that is not taken, if there is one; mirror images first, since they look least
    like the molecule of a neighbour. A ring with all its carbons alike may have no second writing."""
    choices = list(product(ALL_NUMBERINGS, (True, False)))
    free = [way for way in choices if _rewritten(faces, way[0], is_mirror=way[1]) not in taken]
    mirrors = [way for way in free if way[1]]
    return rng.choice(mirrors or free or choices)


def _rewritten(faces: RingFaces, numbering: Numbering, *, is_mirror: bool) -> RingFaces:
    return renumbered(mirrored(faces, mirror) if is_mirror else faces, numbering)


def _sites(topology: Topology, numbering: Numbering, *, is_mirror: bool) -> dict[Site, Site]:
    """Where each group of the twin (carbon, face) stands in the molecule it was made of."""
    turned = numbering.flipped != is_mirror
    other: dict[Face, Face] = {"up": "down", "down": "up"}
    return {
        (locant, ligand.face): (
            numbering.source(locant) + 1,
            other[ligand.face] if turned else ligand.face,
        )
        for locant, ligand in topology.groups
    }


def _same_chairs(
    chairs: tuple[Chair, Chair], topology: Topology, sites: dict[Site, Site]
) -> tuple[Chair, Chair]:
    """The chairs of the twin under the letters of the chairs they are copies of."""
    stands = {(group.carbon, group.face): group.position for group in chairs[0].groups}
    one, other = two_chairs(topology)
    first = one.groups[0]
    if first.position == stands[sites[first.carbon, first.face]]:
        return one, other
    return replace(other, letter="A"), replace(one, letter="B")
