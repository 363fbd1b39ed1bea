"""Which molecules stand on which version: matches of equal difficulty, in an order of each version's own."""

from dataclasses import dataclass, replace
from random import Random

from chairgap.errors import InputError, Place
from chairgap.handout.matching import best_pairs, costs_of
from chairgap.handout.pool import Candidate, Pool
from chairgap.handout.posed import Posed, as_written, twin
from chairgap.records import Outcome

USUAL_QUESTIONS = 5
VERSIONS = "1234"
# Of so many questions at most one has chairs that symmetry makes equal.
EQUAL_ONE_IN = 6
# Matching takes time by the cube of their number, so a larger pool is drawn from, kind by kind.
_MOST_MATCHED = 60
_MOST_OF_A_KIND = 20


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A molecule on a version: the candidate it comes from, and how it is put there. beside: the other
    molecules of a question on several."""

    candidate: Candidate
    posed: Posed
    beside: tuple["Asked", ...] = ()

    @property
    def everything(self) -> tuple["Asked", ...]:
        """It and those beside it."""
        return (self, *self.beside)


@dataclass(frozen=True, kw_only=True)
class Match:
    """Questions of equal difficulty, one for each version in the order of VERSIONS. kind: what is asked
    (`chairgap.handout.kinds`); seed: for what is chosen in writing them."""

    asked: tuple[Asked, ...]
    kind: str = "four-part"
    seed: int = 0

    @property
    def same_molecule(self) -> bool:
        return len({id(item.candidate) for item in self.asked[:2]}) < len(self.asked[:2])


@dataclass(frozen=True, kw_only=True)
class Chosen:
    """The matches, and for each version the order in which it asks them (positions in `matches`)."""

    matches: tuple[Match, ...]
    orders: tuple[tuple[int, ...], ...]


def choose(
    pool: Pool,
    outcome: Outcome,
    *,
    questions: int | None,
    versions: int,
    rng: Random,
    any_equal: bool = False,
) -> Chosen:
    """So many matches by the seed; without a number USUAL_QUESTIONS, or as many as the pool holds.

    Two versions take different molecules of equal difficulty as far as the pool has them, then the same
    molecule in another writing; a third and fourth version take those of the first two in other writings.
    Molecules whose chairs are equal by symmetry are at most one question in six, unless any_equal.
    Raises InputError when the pool is empty or too small.
    """
    place = Place(file=outcome.study.file)
    candidates = list(pool.candidates)
    rng.shuffle(candidates)
    equal = [item for item in candidates if item.result.gaps.equal_by_symmetry]
    heads_needed = _heads_needed(pool, questions, place, equal=0 if any_equal else len(equal))
    if not any_equal:
        most = max(heads_needed // EQUAL_ONE_IN, heads_needed - len(candidates) + len(equal))
        for item in equal[most:]:
            candidates.remove(item)
    if versions == 1:
        candidates.sort(key=lambda candidate: candidate.difficulty.warned)
        heads: list[tuple[Candidate, ...]] = [(candidate,) for candidate in candidates[:heads_needed]]
    else:
        heads = _pairs_and_twins(_drawn(candidates, heads_needed), heads_needed, rng)
    matches = tuple(
        framed(matched(tuple((one,) for one in head), versions, outcome, rng), rng) for head in heads
    )
    orders = tuple(tuple(rng.sample(range(heads_needed), heads_needed)) for _ in range(versions))
    return Chosen(matches=matches, orders=orders)


def framed(match: Match, rng: Random) -> Match:
    """For each version a coin decides in which frame the preferred chair stands."""
    asked = []
    for item in match.asked:
        asked.append(_together([_in_frames(one, rng) for one in item.everything]))
    return replace(match, asked=tuple(asked))


def _in_frames(item: Asked, rng: Random) -> Asked:
    gap = item.posed.estimate.gap_kcal_mol or 0.0
    preferred = item.posed.chairs[gap < 0.0]
    left = preferred.odd_up_axial == (rng.random() < 0.5)
    return replace(item, posed=replace(item.posed, left_odd_up_axial=left))


def _heads_needed(pool: Pool, questions: int | None, place: Place, *, equal: int) -> int:
    """How many questions there are; equal: of how many candidates only one in EQUAL_ONE_IN may be asked."""
    everything = len(pool.candidates)
    if everything == 0:
        raise nothing_to_ask(pool, place)
    decided = everything - equal
    # (1) n questions may have n // 6 of the equal ones, the others are decided; one alone may be equal
    least = (n for n in range(1, everything + 1) if n <= decided + min(equal, n // EQUAL_ONE_IN))
    count = max(least, default=1)
    if questions is not None and questions > count:
        few = f", since at most one in {EQUAL_ONE_IN} has equal chairs (--equal allows more)" if equal else ""
        message = (
            f"{questions} questions are more than the molecules that can be asked about, which are "
            f"{count}{few}. Ask for at most {count} with --questions, or add molecules to the study."
        )
        raise InputError(message, place=place, value=questions, expected=f"1 to {count}")
    return min(USUAL_QUESTIONS, count) if questions is None else questions


def nothing_to_ask(pool: Pool, place: Place) -> InputError:
    """The error for a study without a molecule that can be asked about."""
    reasons = "; ".join(f"{name}: {why}" for name, why in pool.left_out[:5])
    message = (
        f"No molecule of the study can be asked about ({reasons}). Add molecules with one or more groups "
        "of the table."
    )
    return InputError(message, place=place)


def _drawn(candidates: list[Candidate], heads_needed: int) -> list[Candidate]:
    """All candidates of a small pool; of a larger one some kinds, each with several of its members."""
    most = max(_MOST_MATCHED, 3 * heads_needed)
    if len(candidates) <= most:
        return candidates
    kinds: dict[tuple[int, frozenset[str]], list[Candidate]] = {}
    for candidate in candidates:
        kind = candidate.difficulty.groups, candidate.difficulty.pitfalls
        kinds.setdefault(kind, []).append(candidate)
    first = [candidate for members in kinds.values() for candidate in members[:_MOST_OF_A_KIND]]
    rest = [candidate for members in kinds.values() for candidate in members[_MOST_OF_A_KIND:]]
    return [*first, *rest][:most]


def _pairs_and_twins(
    candidates: list[Candidate], heads_needed: int, rng: Random
) -> list[tuple[Candidate, ...]]:
    """Heads of matches: pairs of different candidates as many as there can be, then single ones."""
    costs = costs_of([candidate.difficulty for candidate in candidates])
    count = len(candidates)
    pairs = best_pairs(costs, items=count, most=min(heads_needed, count - heads_needed), rng=rng)
    used = {item for pair in pairs for item in pair}
    alone = sorted(set(range(count)) - used, key=lambda item: candidates[item].difficulty.warned)
    heads = [
        *(rng.sample(pair, 2) for pair in pairs),
        *([item] for item in alone[: heads_needed - len(pairs)]),
    ]
    return [tuple(candidates[item] for item in head) for head in heads]


def matched(heads: tuple[tuple[Candidate, ...], ...], versions: int, outcome: Outcome, rng: Random) -> Match:
    """One question for each version: the heads as the study writes them, then twins of the heads in turn. A
    head is the molecules of one question."""
    positive = rng.random() < 0.5  # the sign of dG, the same for the whole match
    asked = [
        _together([Asked(candidate=one, posed=as_written(one.result, positive=positive)) for one in head])
        for head in heads[:versions]
    ]
    while len(asked) < versions:
        source = asked[len(asked) % len(heads)]
        taken = [item.posed for others in asked for item in others.everything]
        asked.append(_together([_twin_of(one, taken, outcome, rng) for one in source.everything]))
    return Match(asked=tuple(asked))


def _twin_of(one: Asked, taken: list[Posed], outcome: Outcome, rng: Random) -> Asked:
    made = twin(one.posed, taken, outcome.study.settings, outcome.table, rng)
    return Asked(candidate=one.candidate, posed=made)


def _together(items: list[Asked]) -> Asked:
    return replace(items[0], beside=tuple(items[1:]))
