"""Counting 1,3-diaxial contacts and gauche interactions under a declared rule."""

from dataclasses import replace
from itertools import combinations

from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import in_words
from chairgap.records import Answer, Chair, DiaxialRule, Facts, PlacedLigand
from chairgap.shape.chairs import position_in_chair


def axial_pairs(facts: Facts, chair: Chair, rule: DiaxialRule) -> tuple[tuple[int, int, str, str], ...]:
    """(carbon, carbon, group, group) of the 1,3-diaxial pairs that the rule counts.

    'group-any' and 'per-group': two axial ligands on one face with at least one group (a group and a hydrogen
    count); 'group-group': both must be groups.
    """
    axial = [
        (carbon.locant, ligand)
        for carbon in facts.topology.carbons
        for ligand in carbon.ligands
        if position_in_chair(carbon.locant, ligand.face, chair.odd_up_axial) == "axial"
    ]
    needed = 2 if rule == "group-group" else 1
    return tuple(
        (one, two, first.group, second.group)
        for (one, first), (two, second) in combinations(axial, 2)
        if first.face == second.face and (first.group != "H") + (second.group != "H") >= needed
    )


def diaxial_pairs(case: Case) -> Answer:
    """The carbons of each 1,3-diaxial contact of a chair."""
    rule = case.conventions.diaxial
    found = axial_pairs(case.facts, case.chair, rule)
    counted = "a group with a group" if rule == "group-group" else "a group with a hydrogen or a group"
    pairs = ", ".join(f"C{one} {a} / C{two} {b}" for one, two, a, b in found) or "no such pair"
    return in_words(
        ", ".join(f"{one}-{two}" for one, two, _, _ in found) or "none",
        f"Counting rule diaxial={rule}: axial ligands on one face at 1,3-related carbons, {counted}.",
        f"Chair {case.chair.name}: {pairs}.",
    )


def diaxial_count(case: Case) -> Answer:
    """Number of 1,3-diaxial contacts of a chair. Under 'per-group' each axial group has two, so that a
    contact of two groups counts for both."""
    if case.conventions.diaxial == "per-group":
        axial = sum(group.position == "axial" for group in case.chair.groups)
        words = f"Counting rule diaxial=per-group: two for each axial group, {axial} axial."
        return Answer(text=str(2 * axial), value=2.0 * axial, unit="", steps=(words,))
    count = len(axial_pairs(case.facts, case.chair, case.conventions.diaxial))
    return replace(diaxial_pairs(case), text=str(count), value=float(count))


def vicinal_gauche(groups: tuple[PlacedLigand, ...]) -> tuple[tuple[PlacedLigand, PlacedLigand], ...]:
    """Pairs of groups on neighbouring carbons that are gauche: all but those with both axial, which are
    anti, and those on the same carbon.
    """
    return tuple(
        (one, two)
        for one, two in combinations(groups, 2)
        if (one.carbon - two.carbon) % 6 in (1, 5) and not one.position == two.position == "axial"
    )


def gauche_count(case: Case) -> Answer:
    """Number of gauche interactions of a chair under the rule 'butane' or 'vicinal'."""
    rule, groups = case.conventions.gauche_count, case.chair.groups
    vicinal, axial = len(vicinal_gauche(groups)), sum(group.position == "axial" for group in groups)
    count = vicinal + (2 * axial if rule == "butane" else 0)
    steps = [f"Counting rule gauche_count={rule}."]
    if rule == "butane":
        steps.append(f"Each axial group is gauche to two ring bonds: {axial} axial, {2 * axial} in all.")
    steps.append(
        f"Groups on neighbouring carbons are gauche unless both are axial (anti): {vicinal} such "
        f"{'pair' if vicinal == 1 else 'pairs'}."
    )
    return Answer(text=str(count), value=float(count), unit="", steps=tuple(steps))
