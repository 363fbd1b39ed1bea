"""A molecule under IUPAC numbering, and its mirror image, beside what was written. Pure.

Which of them a key goes by: `chairgap.answer_key.rules.whole_key`.
"""

from dataclasses import replace

from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import pattern
from chairgap.records import Claim, Face, Facts, NumberedBy, RingCarbon, Topology
from chairgap.shape.chairs import two_chairs

BY_IUPAC: NumberedBy = "Numbered by IUPAC"
_OF_CARBONS = frozenset(
    ("position", "face", "relation", "flip", "diaxial pairs", "term", "stable chair", "R/S", "newman")
)
_AS_NUMBERED = (1, 2, 3, 4, 5, 6)
_OTHER_LETTER = {"R": "S", "S": "R"}


def goes_by_numbers(claim: Claim) -> bool:
    """Whether a claim may be another one by other numbers of the ring: it is about carbons, or names its
    chair by them."""
    about_carbons = claim.quantity in _OF_CARBONS or pattern(claim.chair) is not None
    return about_carbons and len(claim.molecules) == 1


def numbers_used(case: Case) -> str:
    """Which numbers were used, where the molecule's own and IUPAC's differ and the claim names carbons."""
    claim = case.claim
    if not goes_by_numbers(claim) or not (claim.carbons or claim.quantity == "stable chair"):
        return ""
    if case.facts.numbered == BY_IUPAC or by_iupac(case.facts) is None:
        return ""
    return f"by the numbers of the molecule as given, {first_group(case.facts)}"


def first_group(facts: Facts) -> str:
    """'C1 has CH3'."""
    locant, ligand = facts.topology.groups[0]
    return f"C{locant} has {ligand.group}"


def other_readings(facts: Facts) -> tuple[Facts, ...]:
    """What else a key may count by: IUPAC's numbers, the mirror image where it is meant too, or both."""
    numbered = by_iupac(facts)
    found = [] if numbered is None else [numbered]
    images = [_mirrored(one) for one in (facts, *found)] if facts.mirror_smiles else []
    return (*found, *images)


def by_iupac(facts: Facts) -> Facts | None:
    """The molecule with the numbers of its systematic name; None where they are its own or it has none.
    Where all groups have the same numbers in both, faces and chairs stay and the letters alone change."""
    if facts.carbons_of_name in ((), _AS_NUMBERED):
        return None
    groups = [sorted(ligand.fragment for ligand in carbon.ligands) for carbon in facts.topology.carbons]
    if all(groups[place - 1] == here for place, here in zip(facts.carbons_of_name, groups, strict=True)):
        letters = tuple(facts.cip[place - 1] for place in facts.carbons_of_name)
        return (
            None
            if letters == facts.cip
            else replace(facts, numbered=BY_IUPAC, carbons_of_name=_AS_NUMBERED, cip=letters)
        )
    first, second = facts.carbons_of_name[:2]
    return _renumbered(facts, first - 1, 1 if (second - first) % 6 == 1 else -1)


def _mirrored(facts: Facts) -> Facts:
    """The mirror image in the plane of the ring: the same numbers, every face exchanged."""
    carbons = tuple(map(_turned_over, facts.topology.carbons))
    leading = facts.topology.leading
    if leading is not None:
        leading = (leading[0], _other(leading[1]))
    topology = replace(facts.topology, carbons=carbons, leading=leading)
    return replace(
        facts,
        is_mirrored=True,
        smiles=facts.mirror_smiles,
        groups_by_face=_groups_by_face(topology),
        topology=topology,
        chairs=two_chairs(topology),
        fragments=tuple((facts.mirror[down], facts.mirror[up]) for up, down in facts.fragments),
        cip=tuple(_OTHER_LETTER.get(letter, letter) for letter in facts.cip),
    )


def _other(face: Face) -> Face:
    return "down" if face == "up" else "up"


def _groups_by_face(topology: Topology) -> str:
    return ", ".join(f"{locant} {ligand.face} {ligand.group}" for locant, ligand in topology.groups)


def _turned_over(carbon: RingCarbon) -> RingCarbon:
    """With its faces exchanged."""
    return replace(carbon, up=replace(carbon.down, face="up"), down=replace(carbon.up, face="down"))


def _renumbered(facts: Facts, start: int, sense: int) -> Facts:
    """The ring from another carbon on; with sense -1 the other way round: seen from below, unless the text
    says the faces, which then stay what they are while the numbers run anticlockwise."""
    anticlockwise = sense == -1 and facts.faces_given
    turned = sense == -1 and not facts.faces_given
    order = [(start + sense * step) % 6 for step in range(6)]
    ring = [facts.topology.carbons[index] for index in order]
    carbons = tuple(
        replace(_turned_over(carbon) if turned else carbon, locant=locant)
        for locant, carbon in enumerate(ring, start=1)
    )
    leading = facts.topology.leading
    if leading is not None:
        leading = (order.index(leading[0] - 1) + 1, _other(leading[1]) if turned else leading[1])
    topology = replace(facts.topology, carbons=carbons, leading=leading)
    fragments = [facts.fragments[index] for index in order]
    return replace(
        facts,
        numbered=BY_IUPAC,
        carbons_of_name=_AS_NUMBERED,
        anticlockwise=anticlockwise,
        groups_by_face=f"{_groups_by_face(topology)}{', anticlockwise' if anticlockwise else ''}",
        topology=topology,
        chairs=two_chairs(topology),
        fragments=tuple((down, up) if sense == -1 else (up, down) for up, down in fragments),
        cip=tuple(facts.cip[index] for index in order),
    )
