"""The molecule as someone reads it who takes a wedge for a dash: one group on the wrong face. Pure."""

from dataclasses import dataclass, replace

from chairgap.records import Chair, Facts, RingCarbon
from chairgap.shape.chairs import two_chairs


@dataclass(frozen=True, kw_only=True)
class Misread:
    """The chairs of an isomer, and in words which group was put on the wrong face."""

    words: str
    chairs: tuple[Chair, Chair]


def misreadings(facts: Facts) -> tuple[Misread, ...]:
    """One for each carbon with one group, where the ring has two groups or more."""
    topology = facts.topology
    single = [carbon for carbon in topology.carbons if _group(carbon)]
    if len(topology.groups) < 2:
        return ()
    found = []
    for carbon in single:
        up, down = carbon.up, carbon.down
        turned = replace(carbon, up=replace(down, face="up"), down=replace(up, face="down"))
        carbons = tuple(turned if other is carbon else other for other in topology.carbons)
        words = (
            f"The flat drawing was misread: {_group(carbon)} on C{carbon.locant} was taken on the other face "
            "(wedge is up, dash is down)."
        )
        found.append(Misread(words=words, chairs=two_chairs(replace(topology, carbons=carbons))))
    return tuple(found)


def _group(carbon: RingCarbon) -> str:
    """The only group of a carbon, '' where it has none or two."""
    groups = [ligand.group for ligand in carbon.ligands if ligand.group != "H"]
    return groups[0] if len(groups) == 1 else ""
