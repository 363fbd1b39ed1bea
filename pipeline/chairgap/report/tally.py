"""A study in counts: what is shown of one too large to be read molecule by molecule."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from chairgap.records import Outcome, Result
from chairgap.report.digest import engine_agreement
from chairgap.report.words import code_words, estimate_words, preferred_words, short_verdict, signed

MOST_NAMED = 25


@dataclass(frozen=True, kw_only=True)
class Disagreement:
    """A molecule whose sizes or signs differ, in the words of the tables."""

    name: str
    prefers: str
    estimate: str
    gibbs: str
    difference_kcal_mol: float
    verdict: str
    reason: str


@dataclass(frozen=True, kw_only=True)
class Tally:
    """Counts over molecules, and the largest disagreements, largest first.

    verdicts: by short verdict; preferred: by what the computation prefers; reasons: by the first reason, of
    molecules whose verdicts do not both agree.
    """

    molecules: int = 0
    conformers: int = 0
    verdicts: tuple[tuple[str, int], ...] = ()
    preferred: tuple[tuple[str, int], ...] = ()
    reasons: tuple[tuple[str, int], ...] = ()
    engines_differ: int = 0
    sampled: int = 0
    largest: tuple[Disagreement, ...] = ()


def tally_of(outcome: Outcome) -> Tally:
    """The counts of an outcome."""
    return merged(_one(result) for result in outcome.results)


def merged(tallies: Iterable[Tally]) -> Tally:
    """Counts added up; the order of the parts decides between equal disagreements."""
    verdicts, preferred, reasons = Counter[str](), Counter[str](), Counter[str]()
    molecules = conformers = engines_differ = sampled = 0
    largest: tuple[Disagreement, ...] = ()
    for tally in tallies:
        molecules, conformers = molecules + tally.molecules, conformers + tally.conformers
        engines_differ, sampled = engines_differ + tally.engines_differ, sampled + tally.sampled
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
    return tuple(sorted(found, key=lambda item: -abs(item.difference_kcal_mol))[:MOST_NAMED])


def _one(result: Result) -> Tally:
    comparison = result.comparison
    agrees = comparison.sign == comparison.size == "agrees"
    reasons = [] if agrees else [code_words(reason) for reason in comparison.reasons[:1]]
    return Tally(
        molecules=1,
        conformers=len(result.conformers),
        verdicts=((short_verdict(comparison), 1),),
        preferred=((comparison.preferred, 1),),
        reasons=tuple((reason, 1) for reason in reasons),
        engines_differ=engine_agreement(result.conformers).agree == "no",
        sampled=not result.search.exhaustive,
        largest=_disagreement(result, reasons),
    )


def _disagreement(result: Result, reasons: list[str]) -> tuple[Disagreement, ...]:
    comparison = result.comparison
    if "disagrees" not in (comparison.sign, comparison.size) or comparison.difference_kcal_mol is None:
        return ()
    return (
        Disagreement(
            name=result.molecule.name,
            prefers=preferred_words(result),
            estimate=estimate_words(result),
            gibbs=signed(result.gaps.gibbs_kcal_mol),
            difference_kcal_mol=comparison.difference_kcal_mol,
            verdict=short_verdict(comparison),
            reason=", ".join(reasons),
        ),
    )
