"""A claim with what it is about: which chair, which ligand, which table and estimate."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import Any, Literal, Self, TypeVar

from chairgap.answer_key.rules.sources import KeyTables, declared_table
from chairgap.answer_key.rules.words import by_group, labels, pattern, plain, problem, stated, unit_of
from chairgap.estimate.groups import match_name
from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Chair, Claim, Conventions, Estimate, EstimateTable, Facts, Ligand

_SUMS_KEPT = 4096
Found = TypeVar("Found")
# Below this two estimated energies are the same number for a key.
SAME_KCAL_MOL = 0.005


@dataclass(frozen=True, kw_only=True)
class Case:
    """A claim with the facts of its molecules (one, but for a ranking) and the tables it may name. What it is
    about is looked up when it is asked for."""

    claim: Claim
    molecules: tuple[Facts, ...]
    tables: KeyTables

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
        """The table that the claim is checked against, with what the key declares put in.

        Raises InputError when the key declares a value of a group that the table does not have.
        """
        conventions = self.conventions
        table = self.tables.table(conventions.table, in_kj=unit_of(self.claim.unit) == "kJ/mol")
        if not conventions.own and conventions.gauche_kcal_mol is None:
            return table
        for _, *names, _ in conventions.own:
            for name in filter(None, names):
                if match_name(table.a_values, name) is None:
                    raise problem(
                        self.claim,
                        f"The key declares a value of '{name}', which table '{table.name}' does not have; "
                        "write a group as 'chairgap tables' lists it.",
                    )
        return _declared(table, conventions.own, conventions.gauche_kcal_mol)

    @cached_property
    def estimate(self) -> Estimate:
        return estimated(self.facts.chairs, self.table)

    @cached_property
    def asked(self) -> tuple[object, ...]:
        """What is asked for, whatever is claimed: two cases alike in it have the same answer and slips."""
        claim = self.claim
        # '5 % axial' asks for another percent.
        behind = said.rest if claim.quantity == "percent" and (said := stated(claim.claimed)) else ""
        about = tuple((facts.text, facts.numbered, facts.groups_by_face) for facts in self.molecules)
        carbons = (claim.carbons, claim.group, plain(claim.chair))
        return (
            about,
            claim.quantity,
            carbons,
            unit_of(claim.unit),
            claim.unit == "",
            behind,
            claim.conventions,
        )

    def remembered(self, what: str, make: Callable[[], Found]) -> Found:
        """Something that depends on what is asked alone, worked out once for a key."""
        key = (what, *self.asked)
        if key not in self.tables.memo:
            self.tables.memo[key] = make()
        found: Found = self.tables.memo[key]
        return found

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
        found = self.chair_called(self.claim.chair)
        if found is None or isinstance(found, str):
            raise problem(
                self.claim,
                f"'{self.claim.chair}' names no single chair of {self.facts.groups_by_face}; "
                f"write A, B, stable, other, {chair_a.name} or {chair_b.name}.",
            )
        return found

    def chair_called(self, text: str) -> Chair | Literal["no chair"] | None:
        """The chair that a text names by letter, by who is axial ('1a 2e', 'ae', 'diaxial', 'CH3 axial');
        'no chair' where it reads as one but is none, or not one alone, of the molecule; None where it does
        not read as a chair."""
        chairs = self.facts.chairs
        letter = plain(text).lower().removeprefix("chair ").removesuffix(" chair").strip()
        if letter in {"a", "b"}:
            return chairs[letter == "b"]
        tests = self.reads_as(text)
        if tests is None:
            return None
        fitting = [chair for chair in chairs if tests(chair)]
        return fitting[0] if len({chair.name for chair in fitting}) == 1 else "no chair"

    def reads_as(self, text: str) -> Callable[[Chair], bool] | None:
        """Whether a chair is what the text states; None where it states none."""
        named, given, groups = pattern(text), labels(text), by_group(text)
        if named:
            return lambda chair: fits(named, chair, self.table)
        if given and given[0].startswith("all "):
            return lambda chair: {g.position[0] for g in chair.groups} == {given[0][-1]}
        if given:
            return lambda chair: tuple(g.position[0] for g in chair.groups) == given
        if groups:
            known = {placed.group for placed in self.facts.chairs[0].groups}
            called = tuple((group_of(self.table, name), label) for name, label in groups)
            if all(name in known for name, _ in called):
                return lambda chair: all(
                    {g.position[0] for g in chair.groups if g.group == name} == {label}
                    for name, label in called
                )
        return None

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
            raise problem(self.claim, self._no_single_ligand(carbon, group))
        return here[0]

    def _no_single_ligand(self, carbon: int, group: str) -> str:
        """Why a claim about a carbon is about none of its ligands, and what to write."""
        where = f"C{carbon} of {self.facts.groups_by_face}"
        one, other = (ligand.group for ligand in self.facts.topology.carbons[carbon - 1].ligands)
        if one == other and group in (one, "") and (group or one != "H"):
            return f"{where} has two {one}, which no claim can part; ask for another carbon."
        if not group and "H" not in (one, other):
            return f"{where} has {one} and {other}; say which is meant, for example {carbon}({one})."
        groups = (f"C{locant} has {ligand.group}" for locant, ligand in self.facts.topology.groups)
        known, lacking = ", ".join(groups) or "no carbon has one", group or "group"
        return f"{where} has no {lacking} ({known}); correct the carbon or the molecule."


@lru_cache(_SUMS_KEPT)
def _declared(
    table: EstimateTable, own: tuple[tuple[str, str, str, float], ...], gauche_kcal_mol: float | None
) -> EstimateTable:
    return declared_table(table, own, gauche_kcal_mol)


@lru_cache(_SUMS_KEPT)
def estimated(chairs: tuple[Chair, Chair], table: EstimateTable) -> Estimate:
    """`estimate_gap`, kept: a key asks for the sums of one molecule many times over."""
    return estimate_gap(chairs, table)


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
        # Two groups of one name on a carbon stand both ways in either chair.
        if len({placed.group for placed in here}) != 1 or (len(here) > 1 and not group):
            return False
        if all(placed.position[0] != letter for placed in here):
            return False
    return True
