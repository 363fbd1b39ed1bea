"""Ledger terms, the gap, the stable chair and a ranking of isomers, by the hand rules of the table."""

from collections import Counter
from itertools import pairwise

from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, Case, chair_sums, estimated, stable_letter
from chairgap.answer_key.rules.words import in_words, problem, unit_of
from chairgap.records import Answer, Chair, Claim, EstimateTable, Facts, LedgerTerm
from chairgap.units import KJ_PER_KCAL, fixed, signed


def in_unit(claim: Claim, energy_kcal_mol: float) -> tuple[float, str]:
    """The energy in the claim's unit, kcal/mol when none is given. Raises InputError for another unit."""
    unit = unit_of(claim.unit)
    if unit == "kcal/mol":
        return energy_kcal_mol, unit
    if unit == "kJ/mol":
        return energy_kcal_mol * KJ_PER_KCAL, unit
    raise problem(claim, f"The unit '{claim.unit}' is no energy unit known here; write kcal/mol or kJ/mol.")


def energy_answer(claim: Claim, energy_kcal_mol: float, *steps: str) -> Answer:
    """An answer that is an energy, in the claim's unit."""
    value, unit = in_unit(claim, energy_kcal_mol)
    if unit != "kcal/mol":
        steps += (f"1 kcal = 4.184 kJ: {fixed(energy_kcal_mol, 2)} kcal/mol = {fixed(value, 2)} kJ/mol.",)
    return Answer(text=f"{fixed(value, 2)} {unit}", value=value, unit=unit, steps=steps)


def ledger_steps(case: Case) -> tuple[str, ...]:
    """The ledger of both chairs in words, and what is missing."""
    terms, missing = case.estimate.terms, "; ".join(case.estimate.missing)
    steps = [
        f"Chair {chair.letter} ({chair.name}): "
        f"{'; '.join(term.words for term in terms if term.chair == chair.letter) or 'no term'}."
        for chair in case.facts.chairs
    ]
    return (*steps, *([f"No published value in the table for: {missing}; left out."] if missing else []))


def oriented(case: Case, gap_kcal_mol: float) -> tuple[float, str]:
    """The gap E(B) - E(A) turned to the declared direction, and the direction in words."""
    chair_a, chair_b = case.facts.chairs
    direction = case.conventions.direction
    if direction == "A-B":
        return -gap_kcal_mol, f"G({chair_a.name}) - G({chair_b.name})"
    if direction == "other-stable":
        return abs(gap_kcal_mol), "G(less stable chair) - G(stable chair)"
    if direction == "axial-equatorial":
        if _axial(chair_a) == _axial(chair_b):
            raise problem(
                case.claim,
                f"Both chairs have {_axial(chair_a)} axial groups, so direction=axial-equatorial has no "
                "meaning; use B-A or other-stable.",
            )
        return gap_kcal_mol, "G(more axial groups) - G(fewer)"
    return gap_kcal_mol, f"G({chair_b.name}) - G({chair_a.name})"


def _axial(chair: Chair) -> int:
    return sum(group.position == "axial" for group in chair.groups)


def gap(case: Case) -> Answer:
    """The estimated Gibbs gap in the declared direction and unit."""
    value, words = oriented(case, known_gap_kcal_mol(case, "gap"))
    return energy_answer(case.claim, value, *ledger_steps(case), f"{words} = {signed(value)} kcal/mol.")


def known_gap_kcal_mol(case: Case, what: str) -> float:
    """The estimated gap. Raises InputError, which says what cannot be estimated, where there is none."""
    if case.estimate.shown_kcal_mol[0] is None:
        missing = "; ".join(case.estimate.missing)
        raise problem(case.claim, f"The table has no value for {missing}; no {what} can be estimated.")
    return case.estimate.shown_kcal_mol[0]


def stable_chair(case: Case) -> Answer:
    """The chair of lower estimated energy by who is axial, or 'equal'."""
    letter, missing = stable_letter(case.estimate), "; ".join(case.estimate.missing)
    if not letter:
        raise problem(case.claim, f"The table cannot rank the chairs: no value for {missing}.")
    sense = {"A": "positive: chair A", "B": "negative: chair B", "equal": "zero: neither"}[letter]
    return in_words(
        chair_name(case, letter),
        *ledger_steps(case),
        f"G(B) - G(A) = {signed(case.gap_kcal_mol)} kcal/mol, {sense} is more stable.",
    )


def chair_name(case: Case, letter: str) -> str:
    """Who is axial in chair A or B; other words ('equal') as they are."""
    return next((chair.name for chair in case.facts.chairs if chair.letter == letter), letter)


def term(case: Case) -> Answer:
    """What one carbon (its A-value) or one pair of carbons (syn-diaxial or gauche) adds to a chair."""
    claim, chair = case.claim, case.chair
    carbons = set(claim.carbons)
    if len(carbons) not in (1, 2):
        raise problem(claim, "'term' needs one ring carbon (its A-value) or two (their pair term).")
    found = [
        item
        for item in case.estimate.terms
        if item.chair == chair.letter and set(item.carbons) == carbons and item.kind != "geminal"
    ]
    if any(item.value_kcal_mol is None for item in found):
        raise problem(claim, f"The table has no value for this term: {found[0].words}.")
    words = [f"{item.words}." for item in found] or [
        f"In chair {chair.name} nothing is counted at {' and '.join(f'C{c}' for c in claim.carbons)}."
    ]
    return energy_answer(claim, sum(_stated(case, item) for item in found), *words)


def _stated(case: Case, item: LedgerTerm) -> float:
    """The term as the key's convention states it: a syn-diaxial pair whole ('replacing') or on top of the
    two half A-values it replaces ('excess').
    """
    if item.kind != "syn-diaxial" or case.conventions.syn == "excess":
        return item.value_kcal_mol or 0.0
    return whole_pair_kcal_mol(item, case.table)


def whole_pair_kcal_mol(item: LedgerTerm, table: EstimateTable) -> float:
    """The whole energy of a syn-diaxial pair: the ledger's excess and the two half A-values it replaces."""
    half = {row.group: row.value_kcal_mol / 2.0 for row in table.a_values}
    return (item.value_kcal_mol or 0.0) + sum(half.get(group, 0.0) for group in item.groups)


def _best_chair_kcal_mol(case: Case, facts: Facts) -> float:
    """Sum of the ledger terms of the better chair. Raises InputError when a term has no value."""
    estimate = estimated(facts.chairs, case.table)
    unknown = [item.words for item in estimate.terms if item.value_kcal_mol is None]
    if unknown:
        raise problem(case.claim, f"{facts.groups_by_face} cannot be ranked: {unknown[0]}.")
    return min(chair_sums(estimate).values())


def ranking(case: Case) -> Answer:
    """Molecules 1, 2, ... of the cell from most to least stable: '1 < 2 = 3'."""
    claim, isomers = case.claim, case.molecules
    if len(isomers) < 2:
        raise problem(claim, "A ranking needs several molecules in column 'molecule', separated by ' | '.")
    formulas = {tuple(sorted(Counter(facts.topology.symbols).items())) for facts in isomers}
    if len(formulas) > 1:
        raise problem(claim, "Only isomers (one molecular formula) can be ranked; correct the molecules.")
    groups = {tuple(sorted(ligand.group for _, ligand in facts.topology.groups)) for facts in isomers}
    if len(groups) > 1:
        raise problem(
            claim,
            "Sums of A-values compare isomers with the same groups alone, on other carbons or faces; correct "
            "the molecules.",
        )
    energies = [_best_chair_kcal_mol(case, facts) for facts in isomers]
    order = sorted(range(len(energies)), key=lambda index: (round(energies[index], 6), index))
    text = str(order[0] + 1)
    for before, after in pairwise(order):
        sign = "=" if abs(energies[after] - energies[before]) < SAME_KCAL_MOL else "<"
        text += f" {sign} {after + 1}"
    steps = (
        f"{number}: {facts.groups_by_face}: {fixed(energy, 2)} kcal/mol in its more stable chair."
        for number, (facts, energy) in enumerate(zip(isomers, energies, strict=True), start=1)
    )
    return in_words(text, *steps, f"Most stable (lowest energy) first: {text}.")
