"""Errors carried forward: does a wrong claim follow from the student's own earlier numbers? Pure.

Known steps, for the same molecule: terms -> gap; gap (or terms) -> stable chair, K and percent; K -> percent.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.energies import in_unit, oriented
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant, is_of_stable
from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, Case
from chairgap.answer_key.rules.reading import claimed_number, close, same
from chairgap.answer_key.rules.words import in_words, number
from chairgap.errors import ChairgapError
from chairgap.records import Claim, LedgerTerm

_LARGEST_GAP_KCAL_MOL = 100.0


@dataclass(frozen=True, kw_only=True)
class OwnGap:
    """G(B) - G(A) that follows from a student's numbers; where the key asks for its size only, with the sign
    of the table's."""

    words: str
    gap_kcal_mol: float


def carried(case: Case, own: Sequence[Claim]) -> str:
    """Words when the claim follows from one of the student's own numbers, else ''.

    own: the student's claims, each with the conventions of the key; those of other molecules are passed over.
    """
    claim = case.claim
    mine = [item for item in own if item.molecules == claim.molecules and number(item.claimed)]
    mine.sort(key=lambda item: item.item != claim.item)
    cases = [replace(case, claim=item) for item in mine]
    return next((f"Follows from {words}." for words in _sources(case, cases)), "")


def _sources(case: Case, mine: Sequence[Case]) -> Iterator[str]:
    """The numbers that the claim follows from, in words."""
    claim, from_terms = case.claim, list(_from_terms(mine))
    gaps = [*_from_gaps(claim, mine), *from_terms]
    if claim.quantity == "gap":
        for gap in from_terms:
            if close(claim, in_unit(claim, oriented(case, gap.gap_kcal_mol)[0])[0]):
                yield gap.words
    elif claim.quantity == "stable chair":
        yield from (gap.words for gap in gaps if _chair_fits(case, gap))
    elif claim.quantity in ("K", "percent"):
        yield from (words for words, value in _shares(case, mine, gaps) if close(claim, value))


def _kcal(claim: Claim, value: float) -> float:
    """A number in the unit of the claim."""
    return value / in_unit(claim, 1.0)[0]


def _from_gaps(claim: Claim, mine: Sequence[Case]) -> Iterator[OwnGap]:
    for case in mine:
        item = case.claim
        if item.quantity != "gap":
            continue
        try:
            value, unit = _kcal(item, claimed_number(item)), in_unit(item, 1.0)[1]
        except ChairgapError:
            continue
        if case.conventions.direction == "other-stable":
            value = math.copysign(value, case.gap_kcal_mol)
        elif case.conventions.direction == "A-B":
            value = -value
        where = "" if item.item == claim.item else f" in item {item.item}"
        yield OwnGap(words=f"the own gap of {item.claimed} {unit}{where}", gap_kcal_mol=value)


def _from_terms(mine: Sequence[Case]) -> Iterator[OwnGap]:
    """Gaps from the ledger with the student's own terms in it: only those stated, and used wherever the same
    groups make the same kind of term."""
    stated: dict[int, float] = {}
    alike: dict[tuple[str, tuple[str, ...]], float] = {}
    terms: tuple[LedgerTerm, ...] = ()
    names = []
    for case in mine:
        item = case.claim
        if item.quantity != "term":
            continue
        try:
            chair, terms = case.chair, case.estimate.terms
            wrong_by = _kcal(item, claimed_number(item)) - _kcal(item, answer(case).value or 0.0)
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
        alike[_kind(terms[here[0]])] = wrong_by
        names.append(f"{item.claimed} for C{'-C'.join(map(str, item.carbons))}")
    changed = any(abs(change) > SAME_KCAL_MOL for change in stated.values())
    if not changed or any(term.value_kcal_mol is None for term in terms):
        return
    spread = {index: alike[_kind(term)] for index, term in enumerate(terms) if _kind(term) in alike}
    for changes in (stated, {**spread, **stated}):
        gap = sum(
            (1.0 if term.chair == "B" else -1.0) * ((term.value_kcal_mol or 0.0) + changes.get(index, 0.0))
            for index, term in enumerate(terms)
        )
        yield OwnGap(words=f"the own terms ({'; '.join(names)})", gap_kcal_mol=gap)


def _kind(term: LedgerTerm) -> tuple[str, tuple[str, ...]]:
    return term.kind, tuple(sorted(term.groups))


def _chair_fits(case: Case, gap: OwnGap) -> bool:
    equal = abs(gap.gap_kcal_mol) < SAME_KCAL_MOL
    return same(case, in_words("equal" if equal else case.facts.chairs[gap.gap_kcal_mol <= 0.0].name))


def _shares(case: Case, mine: Sequence[Case], gaps: Sequence[OwnGap]) -> Iterator[tuple[str, float]]:
    """(source in words, K or percent as the claim asks for it)."""
    claim, kelvin = case.claim, case.conventions.temperature_k
    for gap in gaps:
        if abs(gap.gap_kcal_mol) > _LARGEST_GAP_KCAL_MOL:
            continue
        k = equilibrium_constant(abs(gap.gap_kcal_mol), kelvin)
        yield gap.words, k if claim.quantity == "K" else _percent(case, k, gap.gap_kcal_mol >= 0.0)
    if claim.quantity == "K":
        return
    a_stable = (gaps[0].gap_kcal_mol if gaps else case.gap_kcal_mol) >= 0.0
    for item in (other.claim for other in mine if other.claim.quantity == "K"):
        k = claimed_number(item)
        if item.conventions.temperature_k == kelvin and k > 0.0:
            yield f"the own K of {item.claimed}", _percent(case, k, a_stable)


def _percent(case: Case, k: float, a_stable: bool) -> float:
    """Percent of the chair asked for, where K = [stable]/[other]."""
    share = k / (1.0 + k)
    return 100.0 * (share if is_of_stable(case, a_stable=a_stable) else 1.0 - share)
