"""The study at a glance, in words: counts of all molecules, and, of a study that is small enough, a row for
each. What a terminal shows, and what is kept so that it can be shown again without its results."""

from dataclasses import dataclass, field

from chairgap.records import Outcome, Result, Verdict
from chairgap.report.answer import headline_sentence
from chairgap.report.digest import unfinished_search
from chairgap.report.headline import (
    anchored_words,
    headline_chair,
    headline_verdict,
    main_reason,
    percent_words,
    short_standing,
)
from chairgap.report.tally import Tally, merged
from chairgap.units import signed


@dataclass(frozen=True, kw_only=True)
class OverviewRow:
    """A molecule at a glance. gap: the anchored one; hand_sum and completed ('' where it is not asked for)
    have a star where a value is missing, and complete says whether the hand sum has all; sentence: its
    headline; unfinished: what its search says, or ''."""

    name: str
    chair: str
    gap: str
    percent: str
    hand_sum: str
    complete: bool
    completed: str
    model_gap: str
    standing: str
    verdict: Verdict
    reason: str
    sentence: str
    unfinished: str


@dataclass(frozen=True, kw_only=True)
class Overview:
    """Molecules in counts, and each of them (none for a large study)."""

    tally: Tally = field(default_factory=Tally)
    rows: tuple[OverviewRow, ...] = ()

    def __add__(self, other: "Overview") -> "Overview":
        return Overview(tally=merged((self.tally, other.tally)), rows=self.rows + other.rows)


def overview_rows(outcome: Outcome) -> tuple[OverviewRow, ...]:
    """The results of an outcome."""
    return tuple(_row(outcome, result) for result in outcome.results)


def _row(outcome: Outcome, result: Result) -> OverviewRow:
    estimate, completed = result.estimate, result.completed
    return OverviewRow(
        name=result.molecule.name,
        chair=headline_chair(result),
        gap=anchored_words(result.anchored).replace("0 by symmetry", "exactly 0"),
        percent=percent_words(result).replace(" to ", "\u2013"),
        hand_sum=_marked(estimate.shown_kcal_mol[0], complete=estimate.complete),
        complete=estimate.complete,
        completed=_marked(completed.gap_kcal_mol, complete=completed.complete) if completed else "",
        model_gap=signed(result.gaps.gibbs_kcal_mol),
        standing=short_standing(result, outcome.study.settings),
        verdict=headline_verdict(result),
        reason=main_reason(outcome, result),
        sentence=headline_sentence(outcome, result),
        unfinished=unfinished_search(result),
    )


def _marked(gap_kcal_mol: float | None, *, complete: bool) -> str:
    """A sum without its range, which stands with the ledger; an incomplete one has a star."""
    return signed(gap_kcal_mol) if complete else f"{signed(gap_kcal_mol)}*"
