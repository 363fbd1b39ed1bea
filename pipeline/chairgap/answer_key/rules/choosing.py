"""A claim with what it is about: which chair, which ligand, which table and estimate."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Self

from chairgap.answer_key.rules.words import pattern, plain, problem
from chairgap.estimate.groups import match_name
from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Chair, Claim, Conventions, Estimate, EstimateTable, Facts, Ligand

Tables = Mapping[str, EstimateTable]
# Below this two estimated energies are the same number for a key.
SAME_KCAL_MOL = 0.005


@dataclass(frozen=True, kw_only=True)
class Case:
    """A claim with the facts of its molecules (one, but for a ranking) and the tables it may name. What it is
    about is looked up when it is asked for."""

    claim: Claim
    molecules: tuple[Facts, ...]
    tables: Tables

    def asking(self, **changes: Any) -> Self:
        """The same with other cells of the claim."""
        return replace(self, claim=replace(self.claim, **changes))

    def under(self, **changes: Any) -> Self:
        """The same under other conventions."""
        return self.asking(conventions=replace(self.conventions, **changes))

    @property
    def facts(self) -> Facts:
        """Those of the only molecule."""
        return self.molecules[0]

    @property
    def conventions(self) -> Conventions:
        return self.claim.conventions

    @cached_property
    def table(self) -> EstimateTable:
        """The table that the claim is checked against, its CH3/CH3 vicinal gauche energy replaced where the
        key says so."""
        table = self.tables[self.conventions.table]
        gauche = self.conventions.gauche_kcal_mol
        if gauche is None:
            return table
        rows = tuple(
            replace(row, value_kcal_mol=gauche, low_kcal_mol=gauche, high_kcal_mol=gauche)
            if row.kind == "vicinal gauche" and {row.group_1, row.group_2} == {"CH3"}
            else row
            for row in table.interactions
        )
        return replace(table, interactions=rows)

    @cached_property
    def estimate(self) -> Estimate:
        return estimate_gap(self.facts.chairs, self.table)

    @property
    def gap_kcal_mol(self) -> float:
        """G(B) - G(A) of the estimate; 0 where the table knows too little."""
        return self.estimate.gap_kcal_mol or 0.0

    @cached_property
    def chair(self) -> Chair:
        """The chair named by claim.chair: a letter, 'stable', 'other', or a pattern of who is axial.

        Raises InputError when the text fits no chair, or 'stable' has no answer because the chairs are equal.
        """
        text = plain(self.claim.chair).lower()
        chair_a, chair_b = self.facts.chairs
        if text in {"a", "b"}:
            return chair_a if text == "a" else chair_b
        if text in {"", "stable", "other"}:
            letter = stable_letter(self.estimate)
            if letter not in {"A", "B"}:
                why = "are equal by the estimate" if letter == "equal" else "cannot be ranked by the table"
                raise problem(
                    self.claim,
                    f"The chairs {chair_a.name} and {chair_b.name} {why}; "
                    f"name the chair in column 'chair', for example {chair_a.name}.",
                )
            return self.facts.chairs[(letter == "B") != (text == "other")]
        named = pattern(self.claim.chair)
        table = self.tables[self.conventions.table]
        fitting = [chair for chair in self.facts.chairs if named and fits(named, chair, table)]
        if len(fitting) != 1:
            raise problem(
                self.claim,
                f"'{self.claim.chair}' names no single chair of {self.facts.groups_by_face}; "
                f"write A, B, stable, other, {chair_a.name} or {chair_b.name}.",
            )
        return fitting[0]

    def flipped(self, chair: Chair) -> Chair:
        """The chair that a ring flip makes of the given one."""
        return self.facts.chairs[chair.letter == self.facts.chairs[0].letter]

    def ligand(self, carbon: int) -> Ligand:
        """The ligand a claim is about at a carbon: its only group, or the one named in claim.group (or 'H').

        Raises InputError when that is none or more than one.
        """
        ring_carbon = self.facts.topology.carbons[carbon - 1]
        group = group_of(self.table, plain(self.claim.group))
        here = [
            ligand
            for ligand in ring_carbon.ligands
            if (ligand.group == group if group else ligand.group != "H")
        ]
        if len(here) != 1:
            both = " and ".join(ligand.group for ligand in ring_carbon.ligands)
            raise problem(
                self.claim,
                f"Carbon {carbon} of {self.facts.groups_by_face} has {both}; say which one is meant, "
                f"for example {carbon}({ring_carbon.up.group}).",
            )
        return here[0]


def stable_letter(estimate: Estimate) -> str:
    """'A', 'B', 'equal', or '' when the table knows too little to say."""
    gap = estimate.shown_kcal_mol[0]
    if gap is None:
        return ""
    if abs(gap) < SAME_KCAL_MOL:
        return "equal" if estimate.complete else ""
    return "A" if gap > 0.0 else "B"


def chair_sums(estimate: Estimate) -> dict[str, float]:
    """The sum of the terms of each chair by its letter, in kcal/mol; a term without a value is 0."""
    sums = {"A": 0.0, "B": 0.0}
    for term in estimate.terms:
        sums[term.chair] += term.value_kcal_mol or 0.0
    return sums


def group_of(table: EstimateTable, name: str) -> str:
    """A group as the table calls it; as written where the table has none of that name."""
    row = match_name(table.a_values, name) if name else None
    return row.group if row else name


def fits(named: tuple[tuple[int, str, str], ...], chair: Chair, table: EstimateTable) -> bool:
    """True when each stated (carbon, a/e, group) is true of the chair."""
    for carbon, letter, name in named:
        group = group_of(table, name)
        here = [placed for placed in chair.groups if placed.carbon == carbon and group in {"", placed.group}]
        if len(here) != 1 or here[0].position[0] != letter:
            return False
    return True
