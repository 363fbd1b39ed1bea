"""Which molecules stand in which kinds of questions.

Each kind in turn gets one question more, as long as there is a molecule for it that stands in no other
question of the sheet; those in the way are moved to other molecules where that helps (augmenting paths, as in
bipartite matching). Sets of isomers are taken first, since they are rarest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from random import Random

from chairgap.errors import InputError, Place
from chairgap.handout.choosing import (
    EQUAL_ONE_IN,
    USUAL_QUESTIONS,
    Chosen,
    Match,
    framed,
    matched,
    nothing_to_ask,
)
from chairgap.handout.kinds.kind import Kind
from chairgap.handout.levels import LEVELS, Level, level_of
from chairgap.handout.matching import cost
from chairgap.handout.pool import Candidate, Pool
from chairgap.records import Outcome

# Slips and isomers are looked for among so many molecules.
_MOST_LOOKED_AT = 60
# Twelve molecules with the same groups are 220 sets of three.
_MOST_OF_A_SET = 12
Head = tuple[Candidate, ...]


@dataclass(frozen=True, kw_only=True)
class Asking:
    """How many questions, on how many versions, how hard; equal: any number with equal chairs."""

    level: Level | None
    questions: int | None
    versions: int
    equal: bool


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The questions, and why kinds were left out or have fewer of them than they might."""

    chosen: Chosen
    left_out: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class _Served:
    """What serves a kind: heads, and why there is none."""

    kind: Kind
    heads: tuple[Head, ...]
    why_none: str


def plan(
    pool: Pool,
    outcome: Outcome,
    kinds: Sequence[Kind],
    asking: Asking,
    rng: Random,
) -> Plan:
    """So many questions of these kinds in turn by the seed, for each version.

    Raises InputError when the study serves none of the kinds.
    """
    everything = (*pool.candidates, *pool.without_sum)
    if not everything:
        raise nothing_to_ask(pool, Place(file=outcome.study.file))
    candidates = rng.sample(everything, len(everything))[:_MOST_LOOKED_AT]
    asked_for = max(USUAL_QUESTIONS, len(kinds)) if asking.questions is None else asking.questions
    candidates.sort(key=lambda candidate: candidate.difficulty.warned)
    equal = {id(one) for one in candidates if one.result.gaps.equal_by_symmetry}
    most_equal = len(equal) if asking.equal else asked_for // EQUAL_ONE_IN
    served = [_served(kind, candidates, outcome, asking.level) for kind in kinds]
    found = _Filling(equal=frozenset(equal), most_equal=most_equal)
    found.fill(served, asked_for)
    if not found.slots:
        reasons = "; ".join(_left_out(one) for one in served)
        message = f"The study serves none of these kinds ({reasons}). Ask for others, or add molecules."
        raise InputError(message, place=Place(file=outcome.study.file))
    partners = found.partners(asking.versions, candidates, rng)
    matches = []
    for (kind, head), partner in zip(found.slots, partners, strict=True):
        heads = (head, partner) if partner else (head,)
        made = matched(heads, asking.versions, outcome, rng)
        matches.append(framed(Match(kind=kind.name, seed=rng.getrandbits(32), asked=made.asked), rng))
    count = len(matches)
    whole = [kind.whole_page for kind, _ in found.slots]
    orders = tuple(_paged(rng.sample(range(count), count), whole) for _ in range(asking.versions))
    return Plan(
        chosen=Chosen(matches=tuple(matches), orders=orders),
        left_out=_remarks(served, found, asked_for, asking.questions),
    )


def _paged(order: Sequence[int], whole: Sequence[bool]) -> tuple[int, ...]:
    """The order with every two questions of half a page side by side: one that would be alone on its page is
    followed by the next of its size."""
    left, made = list(order), []
    while left:
        made.append(left.pop(0))
        if not whole[made[-1]]:
            half = next((one for one in left if not whole[one]), None)
            if half is not None:
                left.remove(half)
                made.append(half)
    return tuple(made)


def _served(kind: Kind, candidates: Sequence[Candidate], outcome: Outcome, level: Level | None) -> _Served:
    """The heads of a kind that have the level."""
    whys = [_lack(kind, candidate, outcome) for candidate in candidates]
    fitting = [one for one, why in zip(candidates, whys, strict=True) if not why]
    heads: list[Head] = [(one,) for one in fitting]
    why_none = next(
        (f"{one.result.molecule.name}: {why}" for one, why in zip(candidates, whys, strict=True) if why),
        "",
    )
    if kind.molecules > 1:
        sets = _isomers(fitting, kind.molecules)
        together = [kind.lacks_together(one, outcome) for one in sets]
        heads = [one for one, why in zip(sets, together, strict=True) if not why]
        why_none = next(filter(None, together), f"it has no {kind.molecules} isomers with the same groups")
    if level and heads:
        by_level = [level_of(kind, [one.difficulty for one in head]) for head in heads]
        counts = ", ".join(f"{by_level.count(each)} {each}" for each in LEVELS if each in by_level)
        why_none = f"none of its questions is {level} ({counts})"
        heads = [head for head, each in zip(heads, by_level, strict=True) if each == level]
    return _Served(kind=kind, heads=tuple(heads), why_none=why_none)


def _lack(kind: Kind, candidate: Candidate, outcome: Outcome) -> str:
    """Why a molecule does not serve a kind, or ''."""
    estimate = candidate.result.estimate
    if kind.needs_sum and not estimate.complete:
        return f"the table has no value for {'; '.join(estimate.missing)}"
    return kind.lacks(candidate, outcome)


def _isomers(candidates: Sequence[Candidate], size: int) -> list[Head]:
    """Sets of molecules with the same groups."""
    alike: dict[tuple[str, ...], list[Candidate]] = {}
    for one in candidates:
        groups = tuple(sorted(ligand.group for _, ligand in one.result.molecule.topology.groups))
        alike.setdefault(groups, []).append(one)
    some = (members[:_MOST_OF_A_SET] for members in alike.values())
    return [head for members in some for head in combinations(members, size)]


def _left_out(served: _Served) -> str:
    return f"{served.kind.name}: {served.why_none or 'no molecule of the study serves it'}"


class _Filling:
    """Slots as they are filled: (kind, head), no molecule twice."""

    def __init__(self, *, equal: frozenset[int], most_equal: int):
        self._equal, self._most_equal = equal, most_equal
        self.slots: list[tuple[Kind, Head]] = []
        self._options: list[tuple[Head, ...]] = []

    def fill(self, served: Sequence[_Served], count: int) -> None:
        """One question for each kind in turn, sets of isomers first, until there are so many or no more."""
        waiting = sorted((one for one in served if one.heads), key=lambda one: -one.kind.molecules)
        while waiting and len(self.slots) < count:
            for one in tuple(waiting):
                if len(self.slots) == count:
                    break
                if not self._add(one):
                    waiting.remove(one)

    def _add(self, one: _Served) -> bool:
        """Whether there is a place for one question more of this kind."""
        self.slots.append((one.kind, ()))
        self._options.append(one.heads)
        if self._placed(len(self.slots) - 1, set()):
            return True
        self.slots.pop()
        self._options.pop()
        return False

    def _placed(self, slot: int, tried: set[int]) -> bool:
        """A head for a slot, others moved on where that is needed."""
        kind, _ = self.slots[slot]
        for head in self._options[slot]:
            names = {id(one) for one in head}
            if names & tried or not self._equal_allowed(kind, names, slot):
                continue
            holders = [
                place for place, (_, other) in enumerate(self.slots) if names & {id(one) for one in other}
            ]
            if len(holders) > 1 or (holders and (len(head) > 1 or self.slots[holders[0]][0].molecules > 1)):
                continue
            tried |= names
            if not holders or self._placed(holders[0], tried):
                self.slots[slot] = (kind, head)
                return True
        return False

    def _equal_allowed(self, kind: Kind, names: set[int], slot: int) -> bool:
        """At most one question in six of energies has equal chairs."""
        if not kind.of_energies or not names & self._equal:
            return True
        others = (head for place, (one, head) in enumerate(self.slots) if place != slot and one.of_energies)
        return sum(any(id(one) in self._equal for one in head) for head in others) < self._most_equal

    def partners(self, versions: int, candidates: Sequence[Candidate], rng: Random) -> list[Head | None]:
        """For each slot another molecule of equal difficulty that is left, for the second version."""
        used = {id(one) for _, head in self.slots for one in head}
        found: list[Head | None] = [None] * len(self.slots)
        for slot in rng.sample(range(len(self.slots)), len(self.slots)) if versions > 1 else ():
            kind, head = self.slots[slot]
            if kind.molecules > 1:
                continue
            fitting = {id(one) for (one,) in self._options[slot]}
            free = [
                (apart, place)
                for place, one in enumerate(candidates)
                if id(one) in fitting - used
                and id(one) not in self._equal
                and (apart := cost(head[0].difficulty, one.difficulty)) is not None
            ]
            if free:
                chosen = candidates[min(free)[1]]
                used.add(id(chosen))
                found[slot] = (chosen,)
        return found


def _remarks(
    served: Sequence[_Served], found: _Filling, asked_for: int, questions: int | None
) -> tuple[str, ...]:
    """Which kinds were left out, and why; and when there are fewer questions than the user asked for."""
    asked, count = {kind.name for kind, _ in found.slots}, len(found.slots)
    words = []
    for one in served:
        if not one.heads:
            words.append(f"Kind left out: {_left_out(one)}.")
        elif one.kind.name not in asked and count == asked_for:
            words.append(
                f"Kind left out: {one.kind.name}: there are fewer questions than kinds; ask for more."
            )
        elif one.kind.name not in asked:
            words.append(
                f"Kind left out: {one.kind.name}: every molecule that serves it stands in another question "
                "of the sheet; ask for fewer kinds, or add molecules."
            )
    if questions is not None and count < questions:
        made = "1 question was" if count == 1 else f"{count} questions were"
        words.append(f"{made} made, not {questions}: each molecule stands in one question of a sheet.")
    return tuple(words)
