"""Errors carried forward: does a wrong claim follow from the student's own earlier numbers? Pure.

Known steps, for the same molecule: terms -> gap; gap (or terms) -> stable chair, K and percent; K -> percent.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.energies import in_unit, oriented
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant
from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, chair_of, estimate_of, table_of
from chairgap.answer_key.rules.reading import claimed_number, close, same
from chairgap.answer_key.rules.words import number
from chairgap.errors import ChairgapError
from chairgap.records import Answer, Claim, EstimateTable, Facts, LedgerTerm
from chairgap.units import KJ_PER_KCAL

_LARGEST_GAP_KCAL_MOL = 100.0


@dataclass(frozen=True, kw_only=True)
class OwnGap:
    """G(B) - G(A) that follows from a student's numbers; where the key asks for its size only, with the sign
    of the table's."""

    words: str
    gap_kcal_mol: float


def carried(claim: Claim, facts: Facts, tables: Mapping[str, EstimateTable], own: Sequence[Claim]) -> str:
    """Words when the claim follows from one of the student's own numbers, else ''.

    own: the student's claims, each with the conventions of the key; those of other molecules are passed over.
    """
    mine = [item for item in own if item.molecules == claim.molecules and _finite(item)]
    mine.sort(key=lambda item: item.item != claim.item)
    if claim.quantity == "gap":
        for found in _from_terms(facts, tables, mine):
            value = in_unit(claim, oriented(claim, found.gap_kcal_mol, facts)[0])[0]
            if close(claim, answer(claim, (facts,), tables), value):
                return f"Follows from {found.words}."
        return ""
    gaps = [*_from_gaps(claim, facts, tables, mine), *_from_terms(facts, tables, mine)]
    if claim.quantity == "stable chair":
        return next((_follows(gap) for gap in gaps if _chair_fits(claim, facts, tables, gap)), "")
    if claim.quantity in ("K", "percent"):
        right = answer(claim, (facts,), tables)
        for words, value in _shares(claim, facts, tables, mine, gaps):
            if close(claim, right, value):
                return f"Follows from {words}."
    return ""


def _follows(gap: OwnGap) -> str:
    return f"Follows from {gap.words}."


def _finite(claim: Claim) -> bool:
    found = number(claim.claimed)
    return found is not None and math.isfinite(found[0])


def _kcal(claim: Claim) -> float:
    return claimed_number(claim) / (KJ_PER_KCAL if in_unit(claim, 1.0)[1] == "kJ/mol" else 1.0)


def _from_gaps(
    claim: Claim, facts: Facts, tables: Mapping[str, EstimateTable], mine: Sequence[Claim]
) -> Iterator[OwnGap]:
    for item in mine:
        if item.quantity != "gap":
            continue
        try:
            value = _kcal(item)
        except ChairgapError:
            continue
        direction = item.conventions.direction
        if direction == "other-stable":
            value = math.copysign(value, estimate_of(item, facts, tables).gap_kcal_mol or 0.0)
        elif direction == "A-B":
            value = -value
        where = "" if item.item == claim.item else f" in item {item.item}"
        yield OwnGap(
            words=f"the own gap of {item.claimed} {in_unit(item, 1.0)[1]}{where}",
            gap_kcal_mol=value,
        )


def _from_terms(facts: Facts, tables: Mapping[str, EstimateTable], mine: Sequence[Claim]) -> Iterator[OwnGap]:
    """Gaps from the ledger with the student's own terms in it: only those stated, and used wherever the same
    groups make the same kind of term."""
    stated: dict[int, float] = {}
    alike: dict[tuple[str, tuple[str, ...]], float] = {}
    terms: tuple[LedgerTerm, ...] = ()
    names = []
    for item in mine:
        if item.quantity != "term":
            continue
        try:
            chair, terms = chair_of(item, facts, tables), estimate_of(item, facts, tables).terms
            wrong_by = _kcal(item) - _kcal_right(item, facts, tables)
        except ChairgapError:
            continue
        here = [
            index
            for index, term in enumerate(terms)
            if term.chair == chair.letter
            and set(term.carbons) == set(item.carbons)
            and term.kind != "geminal"
        ]
        if len(here) != 1:
            continue
        stated[here[0]] = wrong_by
        alike[terms[here[0]].kind, tuple(sorted(terms[here[0]].groups))] = wrong_by
        names.append(f"{item.claimed} for C{'-C'.join(map(str, item.carbons))}")
    if not any(abs(change) > SAME_KCAL_MOL for change in stated.values()):
        return
    if any(term.value_kcal_mol is None for term in terms):
        return
    spread = {
        index: alike[key]
        for index, term in enumerate(terms)
        if (key := (term.kind, tuple(sorted(term.groups)))) in alike
    }
    for changes in (stated, {**spread, **stated}):
        gap = sum(
            (1.0 if term.chair == "B" else -1.0) * ((term.value_kcal_mol or 0.0) + changes.get(index, 0.0))
            for index, term in enumerate(terms)
        )
        yield OwnGap(words=f"the own terms ({'; '.join(names)})", gap_kcal_mol=gap)


def _kcal_right(item: Claim, facts: Facts, tables: Mapping[str, EstimateTable]) -> float:
    value = answer(item, (facts,), tables).value or 0.0
    return value / (KJ_PER_KCAL if in_unit(item, 1.0)[1] == "kJ/mol" else 1.0)


def _chair_fits(claim: Claim, facts: Facts, tables: Mapping[str, EstimateTable], gap: OwnGap) -> bool:
    equal = abs(gap.gap_kcal_mol) < SAME_KCAL_MOL
    name = "equal" if equal else facts.chairs[0 if gap.gap_kcal_mol > 0.0 else 1].name
    expected = Answer(text=name, value=None, unit="", steps=())
    return same(claim, expected, (facts,), table_of(claim, tables))


def _shares(
    claim: Claim,
    facts: Facts,
    tables: Mapping[str, EstimateTable],
    mine: Sequence[Claim],
    gaps: Sequence[OwnGap],
) -> Iterator[tuple[str, float]]:
    """(source in words, K or percent as the claim asks for it)."""
    kelvin = claim.conventions.temperature_k
    for gap in gaps:
        if abs(gap.gap_kcal_mol) > _LARGEST_GAP_KCAL_MOL:
            continue
        larger = equilibrium_constant(abs(gap.gap_kcal_mol), kelvin)
        share = larger / (1.0 + larger)
        value = larger if claim.quantity == "K" else _percent(claim, share, gap.gap_kcal_mol >= 0.0)
        yield gap.words, value
    if claim.quantity == "K":
        return
    a_stable = (
        gaps[0].gap_kcal_mol if gaps else estimate_of(claim, facts, tables).gap_kcal_mol or 0.0
    ) >= 0.0
    for item in mine:
        if item.quantity == "K" and item.conventions.temperature_k == kelvin and claimed_number(item) > 0.0:
            k = claimed_number(item)
            yield f"the own K of {item.claimed}", _percent(claim, k / (1.0 + k), a_stable)


def _percent(claim: Claim, share_stable: float, a_stable: bool) -> float:
    """Percent of the chair asked for; chair A is the one with fewer axial groups."""
    of = claim.conventions.percent_of
    as_stable = of == "stable" or (of in ("A", "equatorial")) == a_stable
    return 100.0 * (share_stable if as_stable else 1.0 - share_stable)
