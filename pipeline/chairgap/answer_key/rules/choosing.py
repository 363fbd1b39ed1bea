"""Which chair, which ligand and which table a claim is about."""

from collections.abc import Mapping
from dataclasses import replace

from chairgap.answer_key.rules.words import pattern, plain, problem
from chairgap.estimate.groups import match_name
from chairgap.estimate.ledger import estimate_gap
from chairgap.records import (
    Chair,
    Claim,
    Estimate,
    EstimateTable,
    Facts,
    Ligand,
)

# Below this two estimated energies are the same number for a key.
SAME_KCAL_MOL = 0.005


def table_of(claim: Claim, tables: Mapping[str, EstimateTable]) -> EstimateTable:
    """The table a claim is checked against, its CH3/CH3 vicinal gauche energy replaced where the key says
    so."""
    table = tables[claim.conventions.table]
    gauche = claim.conventions.gauche_kcal_mol
    if gauche is None:
        return table
    rows = tuple(
        replace(row, value_kcal_mol=gauche, low_kcal_mol=gauche, high_kcal_mol=gauche)
        if row.kind == "vicinal gauche" and {row.group_1, row.group_2} == {"CH3"}
        else row
        for row in table.interactions
    )
    return replace(table, interactions=rows)


def estimate_of(claim: Claim, facts: Facts, tables: Mapping[str, EstimateTable]) -> Estimate:
    return estimate_gap(facts.chairs, table_of(claim, tables))


def stable_letter(estimate: Estimate) -> str:
    """'A', 'B', 'equal', or '' when the table knows too little to say."""
    gap = estimate.gap_kcal_mol
    if gap is None:
        return ""
    if abs(gap) < SAME_KCAL_MOL:
        return "equal" if estimate.complete else ""
    return "A" if gap > 0.0 else "B"


def chair_of(claim: Claim, facts: Facts, tables: Mapping[str, EstimateTable]) -> Chair:
    """The chair named by claim.chair: a letter, 'stable', 'other', or a pattern of who is axial.

    Raises InputError when the text fits no chair, or 'stable' has no answer because the chairs are equal.
    """
    text = plain(claim.chair).lower()
    chair_a, chair_b = facts.chairs
    if text in {"a", "b"}:
        return chair_a if text == "a" else chair_b
    if text in {"", "stable", "other"}:
        letter = stable_letter(estimate_of(claim, facts, tables))
        if letter not in {"A", "B"}:
            why = "are equal by the estimate" if letter == "equal" else "cannot be ranked by the table"
            raise problem(
                claim,
                f"The chairs {chair_a.name} and {chair_b.name} {why}; "
                f"name the chair in column 'chair', for example {chair_a.name}.",
            )
        first, second = (chair_a, chair_b) if letter == "A" else (chair_b, chair_a)
        return second if text == "other" else first
    named = pattern(claim.chair)
    fitting = [
        chair for chair in facts.chairs if named and fits(named, chair, tables[claim.conventions.table])
    ]
    if len(fitting) != 1:
        raise problem(
            claim,
            f"'{claim.chair}' names no single chair of {facts.groups_by_face}; "
            f"write A, B, stable, other, {chair_a.name} or {chair_b.name}.",
        )
    return fitting[0]


def fits(named: tuple[tuple[int, str, str], ...], chair: Chair, table: EstimateTable) -> bool:
    """True when each stated (carbon, a/e, group) is true of the chair."""
    for carbon, letter, name in named:
        row = match_name(table.a_values, name) if name else None
        group = row.group if row else name
        here = [placed for placed in chair.groups if placed.carbon == carbon and group in {"", placed.group}]
        if len(here) != 1 or here[0].position[0] != letter:
            return False
    return True


def other_chair(chair: Chair, facts: Facts) -> Chair:
    """The chair that a ring flip makes of the given one."""
    return facts.chairs[1] if chair.letter == facts.chairs[0].letter else facts.chairs[0]


def ligand_of(claim: Claim, facts: Facts, carbon: int, table: EstimateTable) -> Ligand:
    """The ligand a claim is about at a carbon: its only group, or the one named in claim.group (or 'H').

    Raises InputError when that is none or more than one.
    """
    ring_carbon = facts.topology.carbons[carbon - 1]
    name = plain(claim.group)
    row = match_name(table.a_values, name) if name else None
    group = row.group if row else name
    here = [
        ligand for ligand in ring_carbon.ligands if (ligand.group == group if group else ligand.group != "H")
    ]
    if len(here) != 1:
        both = " and ".join(ligand.group for ligand in ring_carbon.ligands)
        raise problem(
            claim,
            f"Carbon {carbon} of {facts.groups_by_face} has {both}; say which one is meant, "
            f"for example {carbon}({ring_carbon.up.group}).",
        )
    return here[0]
