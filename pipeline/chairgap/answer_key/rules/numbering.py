"""A molecule under IUPAC numbering, and its mirror image, beside what was written. Pure.

Claims with carbons are judged by the molecule's own numbers; where some are wrong by them and all claims of
the molecule are right by those of its systematic name, the key uses those. Where the text means a molecule
and its mirror image (a name with cis, trans or rel-), claims that are all right for the image that is not
drawn are right.
"""

from dataclasses import replace

from chairgap.answer_key.rules.choosing import Case
from chairgap.records import Face, Facts, RingCarbon, Topology
from chairgap.shape.chairs import two_chairs

NUMBERED = frozenset(
    ("position", "face", "relation", "flip", "diaxial pairs", "term", "stable chair", "R/S", "newman")
)
_OTHER_LETTER = {"R": "S", "S": "R"}


def numbers_used(case: Case) -> str:
    """Which numbers were used, where the molecule's own and IUPAC's differ and the claim names carbons."""
    if case.claim.quantity not in NUMBERED or len(case.molecules) != 1:
        return ""
    if not case.claim.carbons and case.claim.quantity != "stable chair":
        return ""
    other = by_iupac(case.facts)
    if other is None:
        return ""
    return f"by the numbers of the molecule as given, {first_group(case.facts)}; not right by IUPAC's either"


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
    if not facts.carbons_of_name or facts.carbons_of_name == (1, 2, 3, 4, 5, 6):
        return None
    groups = [sorted(ligand.fragment for ligand in carbon.ligands) for carbon in facts.topology.carbons]
    if all(groups[place - 1] == here for place, here in zip(facts.carbons_of_name, groups, strict=True)):
        letters = tuple(facts.cip[place - 1] for place in facts.carbons_of_name)
        return None if letters == facts.cip else replace(facts, numbered="Numbered by IUPAC", cip=letters)
    first, second = facts.carbons_of_name[:2]
    carbons = _renumbered(facts.topology.carbons, first - 1, 1 if (second - first) % 6 == 1 else -1)
    return _written(facts, carbons)


def _mirrored(facts: Facts) -> Facts:
    """The mirror image in the plane of the ring: the same numbers, every face exchanged."""
    carbons = tuple(
        replace(carbon, up=replace(carbon.down, face="up"), down=replace(carbon.up, face="down"))
        for carbon in facts.topology.carbons
    )
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


def _renumbered(carbons: tuple[RingCarbon, ...], start: int, sense: int) -> tuple[RingCarbon, ...]:
    """The ring from another carbon on; with sense -1 the other way round, so seen from below."""
    found = []
    for step in range(6):
        carbon = carbons[(start + sense * step) % 6]
        up, down = (carbon.up, carbon.down) if sense == 1 else (carbon.down, carbon.up)
        found.append(
            replace(carbon, locant=step + 1, up=replace(up, face="up"), down=replace(down, face="down"))
        )
    return tuple(found)


def _written(facts: Facts, carbons: tuple[RingCarbon, ...]) -> Facts:
    """The facts in the new writing."""
    locants = {carbon.atom: carbon.locant for carbon in carbons}
    old = {carbon.locant: carbon.atom for carbon in facts.topology.carbons}
    first, second = facts.topology.carbons[0].atom, facts.topology.carbons[1].atom
    turned = (locants[second] - locants[first]) % 6 == 5
    leading = facts.topology.leading
    if leading is not None:
        leading = (locants[old[leading[0]]], _other(leading[1]) if turned else leading[1])
    topology = replace(facts.topology, carbons=carbons, leading=leading)
    at_atom = {carbon.atom: index for index, carbon in enumerate(facts.topology.carbons)}
    order = [at_atom[carbon.atom] for carbon in carbons]
    fragments = [facts.fragments[index] for index in order]
    return replace(
        facts,
        numbered="Numbered by IUPAC",
        groups_by_face=_groups_by_face(topology),
        topology=topology,
        chairs=two_chairs(topology),
        fragments=tuple((down, up) if turned else (up, down) for up, down in fragments),
        cip=tuple(facts.cip[index] for index in order),
    )
