"""Counting 1,3-diaxial contacts and gauche interactions under a declared rule."""

from itertools import combinations

from chairgap.answer_key.rules.answers.labels import Tables
from chairgap.answer_key.rules.choosing import chair_of
from chairgap.records import Answer, Chair, Claim, DiaxialRule, Facts, GaucheRule, PlacedLigand
from chairgap.shape.chairs import position_in_chair


def axial_pairs(facts: Facts, chair: Chair, rule: DiaxialRule) -> tuple[tuple[int, int, str, str], ...]:
    """(carbon, carbon, group, group) of the 1,3-diaxial pairs that the rule counts.

    'group-any': two axial ligands on one face with at least one group (a group and a hydrogen count);
    'group-group': both must be groups.
    """
    axial = [
        (carbon.locant, ligand)
        for carbon in facts.topology.carbons
        for ligand in carbon.ligands
        if position_in_chair(carbon.locant, ligand.face, chair.odd_up_axial) == "axial"
    ]
    needed = 1 if rule == "group-any" else 2
    return tuple(
        (one, two, first.group, second.group)
        for (one, first), (two, second) in combinations(axial, 2)
        if first.face == second.face and (first.group != "H") + (second.group != "H") >= needed
    )


def diaxial_count(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Number of 1,3-diaxial contacts of a chair."""
    return _diaxial(claim, facts, tables, as_pairs=False)


def diaxial_pairs(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """The carbons of each 1,3-diaxial contact of a chair."""
    return _diaxial(claim, facts, tables, as_pairs=True)


def _diaxial(claim: Claim, facts: Facts, tables: Tables, *, as_pairs: bool) -> Answer:
    chair = chair_of(claim, facts, tables)
    rule = claim.conventions.diaxial
    found = axial_pairs(facts, chair, rule)
    listed = ", ".join(f"{one}-{two}" for one, two, _, _ in found) or "none"
    counted = "a group with a hydrogen or a group" if rule == "group-any" else "a group with a group"
    return Answer(
        text=listed if as_pairs else str(len(found)),
        value=None if as_pairs else float(len(found)),
        unit="",
        steps=(
            f"Counting rule diaxial={rule}: axial ligands on one face at 1,3-related carbons, {counted}.",
            f"Chair {chair.name}: "
            + (", ".join(f"C{one} {a} / C{two} {b}" for one, two, a, b in found) or "no such pair")
            + ".",
        ),
    )


def vicinal_gauche(groups: tuple[PlacedLigand, ...]) -> tuple[tuple[PlacedLigand, PlacedLigand], ...]:
    """Pairs of groups on neighbouring carbons that are gauche: all but those with both axial, which are
    anti, and those on the same carbon.
    """
    return tuple(
        (one, two)
        for one, two in combinations(groups, 2)
        if (one.carbon - two.carbon) % 6 in (1, 5) and not one.position == two.position == "axial"
    )


def gauche_count(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Number of gauche interactions of a chair under the rule 'butane' or 'vicinal'."""
    chair = chair_of(claim, facts, tables)
    rule: GaucheRule = claim.conventions.gauche_count
    vicinal = vicinal_gauche(chair.groups)
    axial = [group for group in chair.groups if group.position == "axial"]
    count = len(vicinal) + (2 * len(axial) if rule == "butane" else 0)
    steps = [f"Counting rule gauche_count={rule}."]
    if rule == "butane":
        steps.append(
            f"Each axial group is gauche to two ring bonds: {len(axial)} axial, {2 * len(axial)} in all."
        )
    steps.append(
        f"Groups on neighbouring carbons are gauche unless both are axial (anti): {len(vicinal)} such "
        f"{'pair' if len(vicinal) == 1 else 'pairs'}."
    )
    return Answer(text=str(count), value=float(count), unit="", steps=tuple(steps))
