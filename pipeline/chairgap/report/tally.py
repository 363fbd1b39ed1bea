"""A study in counts: what is shown of one too large to be read molecule by molecule."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from chairgap.records import Outcome, Result, Verdict
from chairgap.report.digest import engine_agreement
from chairgap.report.headline import (
    anchored_words,
    farthest_kcal_mol,
    first_reason,
    headline_chair,
    headline_verdict,
    main_reason,
    short_standing,
)
from chairgap.report.words import VERDICTS, code_words, estimate_words
from chairgap.units import signed

MOST_NAMED = 25


@dataclass(frozen=True, kw_only=True)
class Disagreement:
    """A molecule whose hand sum or model differs from its anchored gap, in the words of the tables."""

    name: str
    prefers: str
    anchored: str
    estimate: str
    gibbs: str
    farthest_kcal_mol: float
    verdict: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Counts over molecules, and the largest disagreements, largest first.

    standing: by verdict; verdicts: by who agrees or differs, in words; preferred: by the chair of the
    headline; reasons: by the first reason, of molecules where the two do not both agree.
    """

    molecules: int = 0
    conformers: int = 0
    standing: tuple[tuple[Verdict, int], ...] = ()
    verdicts: tuple[tuple[str, int], ...] = ()
    preferred: tuple[tuple[str, int], ...] = ()
    reasons: tuple[tuple[str, int], ...] = ()
    engines_differ: int = 0
    sampled: int = 0
    largest: tuple[Disagreement, ...] = ()


def tally_of(outcome: Outcome) -> Tally:
    """The counts of an outcome."""
    return merged(_one(outcome, result) for result in outcome.results)


def merged(tallies: Iterable[Tally]) -> Tally:
    """Counts added up; the order of the parts decides between equal disagreements."""
    standing = Counter[Verdict]()
    verdicts, preferred, reasons = Counter[str](), Counter[str](), Counter[str]()
    molecules = conformers = engines_differ = sampled = 0
    largest: tuple[Disagreement, ...] = ()
    for tally in tallies:
        molecules, conformers = molecules + tally.molecules, conformers + tally.conformers
        engines_differ, sampled = engines_differ + tally.engines_differ, sampled + tally.sampled
        standing.update(dict(tally.standing))
        for counter, found in (
            (verdicts, tally.verdicts),
            (preferred, tally.preferred),
            (reasons, tally.reasons),
        ):
            counter.update(dict(found))
        largest = _largest(largest + tally.largest) if tally.largest else largest
    return Tally(
        molecules=molecules,
        conformers=conformers,
        standing=tuple((verdict, standing[verdict]) for verdict in VERDICTS if standing[verdict]),
        verdicts=_ordered(verdicts),
        preferred=_ordered(preferred),
        reasons=_ordered(reasons),
        engines_differ=engines_differ,
        sampled=sampled,
        largest=largest,
    )


def _ordered(counter: Counter[str]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(counter.items(), key=lambda pair: (-pair[1], pair[0])))


def _largest(found: tuple[Disagreement, ...]) -> tuple[Disagreement, ...]:
    return tuple(sorted(found, key=lambda item: -abs(item.farthest_kcal_mol))[:MOST_NAMED])


def _one(outcome: Outcome, result: Result) -> Tally:
    reason, first = main_reason(outcome, result), first_reason(result)
    return Tally(
        molecules=1,
        conformers=len(result.conformers),
        standing=((headline_verdict(result), 1),),
        verdicts=((short_standing(result, outcome.study.settings), 1),),
        preferred=((result.headline.chair, 1),),
        reasons=((code_words(first), 1),) if reason and first else (),
        engines_differ=engine_agreement(result.conformers).agree == "no",
        sampled=not result.search.exhaustive,
        largest=_disagreement(outcome, result, reason),
    )


def _disagreement(outcome: Outcome, result: Result, reason: str) -> tuple[Disagreement, ...]:
    farthest = farthest_kcal_mol(result)
    if headline_verdict(result) != "disagrees" or farthest is None:
        return ()
    return (
        Disagreement(
            name=result.molecule.name,
            prefers=headline_chair(result),
            anchored=anchored_words(result.anchored),
            estimate=estimate_words(result),
            gibbs=signed(result.gaps.gibbs_kcal_mol),
            farthest_kcal_mol=farthest,
            verdict=short_standing(result, outcome.study.settings),
            reason=reason,
        ),
    )
