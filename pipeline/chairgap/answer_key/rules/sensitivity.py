"""Would another common A-value change the answer? And how wide should a tolerance be?"""

import math

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.energies import chair_name
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant
from chairgap.answer_key.rules.choosing import Case, stable_letter
from chairgap.answer_key.rules.reading import tolerance_of
from chairgap.answer_key.rules.sources import IN_KJ
from chairgap.errors import InputError
from chairgap.records import Claim
from chairgap.units import KJ_PER_KCAL, signed

ON_GAP = ("gap", "stable chair", "K", "percent")
_NEAR_TIE_KCAL_MOL = 0.3
_SMALLEST_TOLERANCE = 0.05


def sensitivity(case: Case) -> tuple[tuple[str, ...], float | None]:
    """(remarks, suggested tolerance in the claim's unit) for claims that rest on the gap; else nothing."""
    if case.claim.quantity not in ON_GAP or len(case.molecules) != 1:
        return (), None
    try:
        remarks = [*_ties(case), *_other_tables(case)]
        suggested = _suggested(case)
    except InputError:
        return (), None
    low, high = case.estimate.low_kcal_mol, case.estimate.high_kcal_mol
    if low is not None and high is not None and low < 0.0 < high:
        remarks.append(
            f"G(B) - G(A) over the range of the tabulated values, {signed(low)} to {signed(high)} kcal/mol, "
            "reaches across zero."
        )
    return tuple(remarks), suggested


def _ties(case: Case) -> list[str]:
    gap = case.estimate.gap_kcal_mol
    if gap is None or case.claim.quantity == "K":
        return []
    if stable_letter(case.estimate) == "equal":
        return ["The chairs tie: a poor question where one chair must be chosen."]
    if abs(gap) < _NEAR_TIE_KCAL_MOL:
        size = f"G(B) - G(A) = {signed(gap)} kcal/mol"
        return [f"A near tie ({size}): a poor question where one chair must be chosen."]
    return []


def _other_tables(case: Case) -> list[str]:
    """What the other shipped tables change: the stable chair, or the number by more than the tolerance."""
    remarks = []
    own = answer(case)
    for name in case.tables.named:
        if name == case.conventions.table or name.endswith(IN_KJ):
            continue
        moved = case.under(table=name)
        letter = stable_letter(moved.estimate)
        if not moved.estimate.complete or not letter:
            continue
        if letter != stable_letter(case.estimate):
            remarks.append(f"Table '{name}' makes another chair stable ({chair_name(case, letter)}).")
        elif own.value is not None:
            value = answer(moved).value
            if value is not None and abs(value - own.value) > tolerance_of(case.claim):
                remarks.append(f"Table '{name}' gives {value:.4g} {own.unit}".rstrip() + ".")
    return remarks


def _suggested(case: Case) -> float | None:
    """Half the spread of the answer over the tabulated range, rounded up; never below the smallest."""
    own, low, high = answer(case), case.estimate.low_kcal_mol, case.estimate.high_kcal_mol
    if own.value is None or low is None or high is None:
        return None
    factor = KJ_PER_KCAL if own.unit == "kJ/mol" else 1.0
    half = 0.5 * factor * abs(_at_gap(case.claim, high) - _at_gap(case.claim, low))
    steps = math.ceil(half / _SMALLEST_TOLERANCE - 1e-9)
    return round(max(1, steps) * _SMALLEST_TOLERANCE, 2)


def _at_gap(claim: Claim, gap_kcal_mol: float) -> float:
    """The number claimed if the gap were this: the gap itself, K or percent of the stable chair."""
    ratio = equilibrium_constant(abs(gap_kcal_mol), claim.conventions.temperature_k)
    values = {"gap": gap_kcal_mol, "K": ratio, "percent": 100.0 * ratio / (1.0 + ratio)}
    return values[claim.quantity]
