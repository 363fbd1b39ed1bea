"""Ranking isomers by the hand energy of their better chair."""

from collections import Counter
from itertools import pairwise

from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, Case, chair_sums
from chairgap.answer_key.rules.words import in_words, problem
from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Answer, Facts


def _best_chair_kcal_mol(case: Case, facts: Facts) -> float:
    """Sum of the ledger terms of the better chair. Raises InputError when a term has no value."""
    estimate = estimate_gap(facts.chairs, case.table)
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
    energies = [_best_chair_kcal_mol(case, facts) for facts in isomers]
    order = sorted(range(len(energies)), key=lambda index: (round(energies[index], 6), index))
    text = str(order[0] + 1)
    for before, after in pairwise(order):
        sign = "=" if abs(energies[after] - energies[before]) < SAME_KCAL_MOL else "<"
        text += f" {sign} {after + 1}"
    steps = (
        f"{number}: {facts.groups_by_face}: {energy:.2f} kcal/mol in its more stable chair."
        for number, (facts, energy) in enumerate(zip(isomers, energies, strict=True), start=1)
    )
    return in_words(text, *steps, f"Most stable (lowest energy) first: {text}.")
