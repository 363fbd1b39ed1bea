"""Which molecules of a study can be asked about, and what an instructor is warned of."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from chairgap.compare.reasons import CHARGED
from chairgap.handout.matching import Difficulty
from chairgap.handout.pitfalls import pitfalls_of
from chairgap.molecule.build import writing_of
from chairgap.molecule.fragments import mirror
from chairgap.molecule.numbering import RingFaces, identity, mirrored
from chairgap.records import Outcome, Result

# Of a larger study the seed draws so many molecules: each is assessed when it is read from the store.
MOST_LOOKED_AT = 400


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """A molecule that can be asked about. doubts: why it is doubtful which chair is preferred; remarks: why
    the numbers are rough. An instructor reads both before marking."""

    result: Result
    difficulty: Difficulty
    doubts: tuple[str, ...]
    remarks: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Pool:
    """Candidates in the order of the study; without_sum: those with chairs but no complete estimate, for
    questions that need none. left_out: (name, why) of molecules that are no candidates. drawn and
    treated: how many molecules were looked at, of how many."""

    candidates: tuple[Candidate, ...]
    without_sum: tuple[Candidate, ...]
    left_out: tuple[tuple[str, str], ...]
    drawn: int
    treated: int


def pool_of(outcome: Outcome, rng: Random) -> Pool:
    """The molecules of a study that can be asked about, each structure (or its mirror image) once."""
    results: Sequence[Result] = outcome.results
    places: Sequence[int] = range(len(results))
    if len(results) > MOST_LOOKED_AT:
        places = sorted(rng.sample(places, MOST_LOOKED_AT))
    candidates: list[Candidate] = []
    without_sum: list[Candidate] = []
    left_out: list[tuple[str, str]] = []
    seen: dict[RingFaces, str] = {}
    for place in places:
        result = results[place]
        no_chairs = _no_chairs(result)
        why = no_chairs or _no_sum(result) or _seen_before(result, seen)
        if not why:
            candidates.append(_candidate(result, outcome))
            continue
        left_out.append((result.molecule.name, why))
        if not no_chairs and not _seen_before(result, seen):
            without_sum.append(_candidate(result, outcome))
    return Pool(
        candidates=tuple(candidates),
        without_sum=tuple(without_sum),
        left_out=tuple(left_out),
        drawn=len(places),
        treated=len(results),
    )


def _no_sum(result: Result) -> str:
    """Why a molecule has no estimate, or ''."""
    estimate = result.estimate
    if not estimate.complete:
        return f"the table has no value for {'; '.join(estimate.missing)}, so the estimate lacks a term"
    return "there is no estimate" if estimate.gap_kcal_mol is None else ""


def _no_chairs(result: Result) -> str:
    """Why a molecule has no two chairs with groups to ask about, or ''."""
    comparison = result.comparison
    if not result.molecule.topology.groups:
        return "it has no group, so there is nothing to place"
    if comparison.preferred == "non-chair":
        return "by the computation its best form is a twist-boat, a non-chair, which the hand rules leave out"
    absent = [reason.evidence for reason in comparison.reasons if reason.code == "chair-missing"]
    return absent[0] if absent else ""


def _seen_before(result: Result, seen: dict[RingFaces, str]) -> str:
    faces = writing_of(result.molecule.topology)
    one = min(identity(faces), identity(mirrored(faces, mirror)))
    if one in seen:
        return f"it is the same molecule as {seen[one]}, or its mirror image"
    seen[one] = result.molecule.name
    return ""


def _candidate(result: Result, outcome: Outcome) -> Candidate:
    doubts = _doubts(result, outcome.study.settings.undecided_below_kcal_mol)
    difficulty = Difficulty(
        groups=len(result.molecule.topology.groups),
        size_kcal_mol=abs(result.estimate.gap_kcal_mol or 0.0),
        pitfalls=pitfalls_of(result, outcome.table, outcome.study.settings),
        warned=bool(doubts),
    )
    return Candidate(result=result, difficulty=difficulty, doubts=doubts, remarks=_remarks(result))


def _doubts(result: Result, undecided_below_kcal_mol: float) -> tuple[str, ...]:
    """What makes it doubtful which chair is preferred."""
    estimate, comparison = result.estimate, result.comparison
    low, gap, high = estimate.low_kcal_mol, estimate.gap_kcal_mol, estimate.high_kcal_mol
    if result.gaps.equal_by_symmetry:
        return ()
    phrases = []
    if low is not None and high is not None and low < 0.0 < high:
        phrases.append(
            "The range of the estimate includes zero: with other published values the other chair is "
            "preferred."
        )
    elif gap is not None and abs(gap) < undecided_below_kcal_mol:
        phrases.append(
            f"The estimate is below {undecided_below_kcal_mol:.2f} kcal/mol: neither chair is clearly "
            "preferred."
        )
    if comparison.sign == "disagrees":
        phrases.append("The computation prefers the other chair, beyond its uncertainty.")
    elif comparison.preferred == "undecided":
        phrases.append(
            "The computation does not decide: its Gibbs gap is too small or within its uncertainty."
        )
    return tuple(phrases)


def _remarks(result: Result) -> tuple[str, ...]:
    """What makes the numbers doubtful, though not which chair is preferred."""
    comparison, codes = result.comparison, {reason.code for reason in result.comparison.reasons}
    phrases = []
    if comparison.size == "disagrees" and comparison.sign == "agrees":
        phrases.append(
            f"The computed gap differs from the estimate by {abs(comparison.difference_kcal_mol or 0.0):.2f} "
            "kcal/mol, beyond its range: gap, K and percent here are those of the hand rules only."
        )
    if "twist-boat-intrudes" in codes:
        phrases.append(
            "By the computation a part of this molecule is a twist-boat, which the hand rules leave out."
        )
    if CHARGED in codes:
        phrases.append("It has a charge: A-values are of solutions, the computation is of the bare ion.")
    return tuple(phrases)
