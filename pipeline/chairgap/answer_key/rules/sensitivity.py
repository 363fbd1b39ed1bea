"""Would another common A-value change the answer? And how wide should a tolerance be?"""

import math
from collections.abc import Mapping
from dataclasses import replace

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant
from chairgap.answer_key.rules.choosing import estimate_of, stable_letter
from chairgap.answer_key.rules.reading import tolerance_of
from chairgap.errors import InputError
from chairgap.records import Claim, Estimate, EstimateTable, Facts
from chairgap.units import KJ_PER_KCAL

_NEAR_TIE_KCAL_MOL = 0.3
_SMALLEST_TOLERANCE = 0.05


def sensitivity(
    claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]
) -> tuple[tuple[str, ...], float | None]:
    """(remarks, suggested tolerance in the claim's unit) for claims that rest on the gap; else nothing."""
    if claim.quantity not in ("gap", "stable chair", "K", "percent") or len(facts) != 1:
        return (), None
    try:
        estimate = estimate_of(claim, facts[0], tables)
        remarks = [*_ties(claim, estimate), *_other_tables(claim, facts, tables, estimate)]
        suggested = _suggested(claim, facts, tables)
    except InputError:
        return (), None
    low, high = estimate.low_kcal_mol, estimate.high_kcal_mol
    if low is not None and high is not None and low < 0.0 < high:
        remarks.append(f"The range of the tabulated values ({low:.2f} to {high:.2f}) reaches across zero.")
    return tuple(remarks), suggested


def _ties(claim: Claim, estimate: Estimate) -> list[str]:
    gap = estimate.gap_kcal_mol
    if gap is None or claim.quantity not in ("stable chair", "percent", "gap"):
        return []
    if stable_letter(estimate) == "equal":
        return ["The chairs tie: a poor question where one chair must be chosen."]
    if abs(gap) < _NEAR_TIE_KCAL_MOL:
        return [f"A near tie ({gap:+.2f} kcal/mol): a poor question where one chair must be chosen."]
    return []


def _other_tables(
    claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable], estimate: Estimate
) -> list[str]:
    """What the other shipped tables change: the stable chair, or the number by more than the tolerance."""
    remarks = []
    own = answer(claim, facts, tables)
    for name in tables:
        if name == claim.conventions.table:
            continue
        moved = replace(claim, conventions=replace(claim.conventions, table=name))
        other = estimate_of(moved, facts[0], tables)
        if not other.complete or not stable_letter(other):
            continue
        if stable_letter(other) != stable_letter(estimate):
            remarks.append(f"Table '{name}' makes another chair stable ({_words(other, facts[0])}).")
        elif own.value is not None:
            value = answer(moved, facts, tables).value
            if value is not None and abs(value - own.value) > tolerance_of(claim, own):
                remarks.append(f"Table '{name}' gives {value:.4g} {own.unit}".rstrip() + ".")
    return remarks


def _words(estimate: Estimate, facts: Facts) -> str:
    letter = stable_letter(estimate)
    return {"A": facts.chairs[0].name, "B": facts.chairs[1].name}.get(letter, letter)


def _suggested(claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]) -> float | None:
    """Half the spread of the answer over the tabulated range, rounded up; never below the smallest."""
    own = answer(claim, facts, tables)
    estimate = estimate_of(claim, facts[0], tables)
    if own.value is None or estimate.low_kcal_mol is None or estimate.high_kcal_mol is None:
        return None
    ends = [_at_gap(claim, gap) for gap in (estimate.low_kcal_mol, estimate.high_kcal_mol)]
    factor = KJ_PER_KCAL if own.unit == "kJ/mol" else 1.0
    half = 0.5 * factor * abs(ends[1] - ends[0])
    steps = math.ceil(half / _SMALLEST_TOLERANCE - 1e-9)
    return round(max(1, steps) * _SMALLEST_TOLERANCE, 2)


def _at_gap(claim: Claim, gap_kcal_mol: float) -> float:
    """The number claimed if the gap were this: the gap itself, K or percent of the stable chair."""
    ratio = equilibrium_constant(abs(gap_kcal_mol), claim.conventions.temperature_k)
    values = {"gap": gap_kcal_mol, "K": ratio, "percent": 100.0 * ratio / (1.0 + ratio)}
    return values[claim.quantity]
