"""A molecule under IUPAC numbering beside its own numbers. Pure.

Claims with carbons are judged by the molecule's own numbers; where some are wrong by them and all claims of
the molecule are right by IUPAC's, the key uses those. IUPAC numbering (Recommendations 2013, P-31.1.4; from
memory): lowest locants for the principal characteristic groups (those written as a suffix), then for all
groups together, then for the group that is cited first in the alphabet.
"""

from dataclasses import replace

from chairgap.answer_key.rules.choosing import Case
from chairgap.records import EstimateTable, Facts, RingCarbon
from chairgap.shape.chairs import two_chairs

NUMBERED = frozenset(
    ("position", "face", "relation", "flip", "diaxial pairs", "term", "stable chair", "R/S", "newman")
)
# Suffixes, senior first (P-41, from memory): acid, ester, acyl halide, nitrile, aldehyde, alcohol, thiol,
# amine.
_SUFFIXES = (
    ("CO2H", "CO2-"),
    ("CO2CH3", "CO2C2H5", "CO2CH(CH3)2"),
    ("COCl",),
    ("CN",),
    ("CHO",),
    ("OH",),
    ("SH",),
    ("NH2", "NHCH3", "N(CH3)2"),
)


def numbers_used(case: Case) -> str:
    """Which numbers were used, where the molecule's own and IUPAC's differ and the claim names carbons."""
    if case.claim.quantity not in NUMBERED or len(case.molecules) != 1:
        return ""
    if not case.claim.carbons and case.claim.quantity != "stable chair":
        return ""
    other = by_iupac(case.facts, case.table)
    if other is None:
        return ""
    return f"by the numbers of the molecule as given, {first_group(case.facts)}; not right by IUPAC's either"


def first_group(facts: Facts) -> str:
    """'C1 has CH3'."""
    locant, ligand = facts.topology.groups[0]
    return f"C{locant} has {ligand.group}"


def by_iupac(facts: Facts, table: EstimateTable) -> Facts | None:
    """The molecule with IUPAC's numbers; None where they are its own."""
    if not facts.topology.groups or facts.numbered == "Numbered by IUPAC":
        return None
    ways = [(start, sense) for sense in (1, -1) for start in range(6)]
    best = min(ways, key=lambda way: _preference(_renumbered(facts.topology.carbons, *way), facts, table))
    carbons = _renumbered(facts.topology.carbons, *best)
    own = _preference(facts.topology.carbons, facts, table)
    if own[:3] == _preference(carbons, facts, table)[:3]:
        return None
    return _written(facts, carbons)


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


def _preference(carbons: tuple[RingCarbon, ...], facts: Facts, table: EstimateTable) -> tuple[object, ...]:
    """What IUPAC's rules compare; smaller is better."""
    groups = [
        (carbon.locant, ligand.group)
        for carbon in carbons
        for ligand in carbon.ligands
        if ligand.group != "H"
    ]
    senior = next((names for names in _SUFFIXES if any(group in names for _, group in groups)), ())
    cited = sorted((_cited(group, table), locant) for locant, group in groups if group not in senior)
    return (
        tuple(locant for locant, group in groups if group in senior),
        tuple(locant for locant, _ in groups),
        tuple(locant for _, locant in cited),
        tuple(carbon.up.group == "H" for carbon in carbons),
    )


def _cited(group: str, table: EstimateTable) -> str:
    """The name under which a group is cited: the longest of the table's that is one word of letters."""
    row = next((row for row in table.a_values if row.group == group), None)
    words = [
        name for name in (row.names if row else ()) if name.replace("-", "").isalpha() and name.islower()
    ]
    return (words[0] if words else group).removeprefix("tert-").casefold()


def _written(facts: Facts, carbons: tuple[RingCarbon, ...]) -> Facts:
    """The facts in the new writing."""
    locants = {carbon.atom: carbon.locant for carbon in carbons}
    old = {carbon.locant: carbon.atom for carbon in facts.topology.carbons}
    first, second = facts.topology.carbons[0].atom, facts.topology.carbons[1].atom
    turned = (locants[second] - locants[first]) % 6 == 5
    leading = facts.topology.leading
    if leading is not None:
        face = leading[1] if not turned else ("down" if leading[1] == "up" else "up")
        leading = (locants[old[leading[0]]], face)
    topology = replace(facts.topology, carbons=carbons, leading=leading)
    at_atom = {carbon.atom: index for index, carbon in enumerate(facts.topology.carbons)}
    order = [at_atom[carbon.atom] for carbon in carbons]
    fragments = [facts.fragments[index] for index in order]
    return replace(
        facts,
        numbered="Numbered by IUPAC",
        groups_by_face=", ".join(
            f"{locant} {ligand.face} {ligand.group}" for locant, ligand in topology.groups
        ),
        topology=topology,
        chairs=two_chairs(topology),
        fragments=tuple((down, up) if turned else (up, down) for up, down in fragments),
        cip=tuple(facts.cip[index] for index in order),
    )
