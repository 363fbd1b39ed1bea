"""Ledger terms, the gap, and the stable chair, by the hand rules of the declared table."""

from chairgap.answer_key.rules.answers.labels import Tables
from chairgap.answer_key.rules.choosing import chair_of, estimate_of, stable_letter, table_of
from chairgap.answer_key.rules.words import problem
from chairgap.records import Answer, Chair, Claim, Estimate, EstimateTable, Facts, LedgerTerm
from chairgap.units import KJ_PER_KCAL


def in_unit(claim: Claim, energy_kcal_mol: float) -> tuple[float, str]:
    """The energy in the claim's unit, kcal/mol when none is given. Raises InputError for another unit."""
    unit = claim.unit.replace(" ", "").lower()
    if unit in {"", "kcal/mol", "kcal", "kcalmol-1", "kcal*mol-1", "kcal·mol-1"}:
        return energy_kcal_mol, "kcal/mol"
    if unit in {"kj/mol", "kj", "kjmol-1", "kj*mol-1", "kj·mol-1"}:
        return energy_kcal_mol * KJ_PER_KCAL, "kJ/mol"
    raise problem(claim, f"The unit '{claim.unit}' is no energy unit known here; write kcal/mol or kJ/mol.")


def energy_answer(claim: Claim, energy_kcal_mol: float, steps: tuple[str, ...]) -> Answer:
    """An answer that is an energy, in the claim's unit."""
    value, unit = in_unit(claim, energy_kcal_mol)
    step = (
        ()
        if unit == "kcal/mol"
        else (f"1 kcal = 4.184 kJ: {energy_kcal_mol:.2f} kcal/mol = {value:.2f} kJ/mol.",)
    )
    return Answer(text=f"{value:.2f} {unit}", value=value, unit=unit, steps=(*steps, *step))


def ledger_steps(estimate: Estimate, facts: Facts) -> tuple[str, ...]:
    """The ledger of both chairs in words, and what is missing."""
    steps = [
        f"Chair {chair.letter} ({chair.name}): "
        + ("; ".join(term.words for term in estimate.terms if term.chair == chair.letter) or "no term")
        + "."
        for chair in facts.chairs
    ]
    if estimate.missing:
        steps.append(f"No published value in the table for: {'; '.join(estimate.missing)}; left out.")
    return tuple(steps)


def oriented(claim: Claim, gap_kcal_mol: float, facts: Facts) -> tuple[float, str]:
    """The gap E(B) - E(A) turned to the declared direction, and the direction in words."""
    chair_a, chair_b = facts.chairs
    direction = claim.conventions.direction
    if direction == "A-B":
        return -gap_kcal_mol, f"G({chair_a.name}) - G({chair_b.name})"
    if direction == "other-stable":
        return abs(gap_kcal_mol), "G(less stable chair) - G(stable chair)"
    if direction == "axial-equatorial" and _axial(chair_a) == _axial(chair_b):
        raise problem(
            claim,
            f"Both chairs have {_axial(chair_a)} axial groups, so direction=axial-equatorial has no meaning; "
            "use B-A or other-stable.",
        )
    name = "G(more axial groups) - G(fewer)" if direction == "axial-equatorial" else ""
    return gap_kcal_mol, name or f"G({chair_b.name}) - G({chair_a.name})"


def _axial(chair: Chair) -> int:
    return sum(group.position == "axial" for group in chair.groups)


def gap(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """The estimated Gibbs gap in the declared direction and unit."""
    estimate = estimate_of(claim, facts, tables)
    if estimate.gap_kcal_mol is None:
        raise problem(
            claim, f"The table has no value for {'; '.join(estimate.missing)}; no gap can be estimated."
        )
    value, words = oriented(claim, estimate.gap_kcal_mol, facts)
    steps = (*ledger_steps(estimate, facts), f"{words} = {value:.2f} kcal/mol.")
    return energy_answer(claim, value, steps)


def stable_chair(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """The chair of lower estimated energy by who is axial, or 'equal'."""
    estimate = estimate_of(claim, facts, tables)
    letter = stable_letter(estimate)
    if not letter:
        raise problem(claim, f"The table cannot rank the chairs: no value for {'; '.join(estimate.missing)}.")
    names = {"A": facts.chairs[0].name, "B": facts.chairs[1].name, "equal": "equal"}
    value = estimate.gap_kcal_mol or 0.0
    sense = {"A": "positive: chair A", "B": "negative: chair B", "equal": "zero: neither"}[letter]
    return Answer(
        text=names[letter],
        value=None,
        unit="",
        steps=(
            *ledger_steps(estimate, facts),
            f"G(B) - G(A) = {value:.2f} kcal/mol, {sense} is more stable.",
        ),
    )


def term(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """What one carbon (its A-value) or one pair of carbons (syn-diaxial or gauche) adds to a chair."""
    chair = chair_of(claim, facts, tables)
    estimate, table = estimate_of(claim, facts, tables), table_of(claim, tables)
    carbons = set(claim.carbons)
    if len(carbons) not in (1, 2):
        raise problem(claim, "'term' needs one ring carbon (its A-value) or two (their pair term).")
    found = [
        item
        for item in estimate.terms
        if item.chair == chair.letter and set(item.carbons) == carbons and item.kind != "geminal"
    ]
    if any(item.value_kcal_mol is None for item in found):
        raise problem(claim, f"The table has no value for this term: {found[0].words}.")
    total = sum(_stated(claim, item, table) for item in found)
    words = tuple(item.words + "." for item in found) or (
        f"In chair {chair.name} nothing is counted at {' and '.join(f'C{c}' for c in claim.carbons)}.",
    )
    return energy_answer(claim, total, words)


def _stated(claim: Claim, item: LedgerTerm, table: EstimateTable) -> float:
    """The term as the key's convention states it: a syn-diaxial pair whole ('replacing') or on top of the
    two half A-values it replaces ('excess').
    """
    if item.kind != "syn-diaxial" or claim.conventions.syn == "excess":
        return item.value_kcal_mol or 0.0
    return whole_pair_kcal_mol(item, table)


def whole_pair_kcal_mol(item: LedgerTerm, table: EstimateTable) -> float:
    """The whole energy of a syn-diaxial pair: the ledger's excess and the two half A-values it replaces."""
    half = {row.group: row.value_kcal_mol / 2.0 for row in table.a_values}
    return (item.value_kcal_mol or 0.0) + sum(half.get(group, 0.0) for group in item.groups)
