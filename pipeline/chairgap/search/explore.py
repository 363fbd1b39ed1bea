"""The conformer search: a lattice of starting geometries, and what it minimises to.

A lattice small enough for the budget is searched completely; a larger one is sampled, equally for each ring
start. Rounds follow in which every low minimum has each of its rotors turned *in its own relaxed geometry*,
which reaches rotamers and ring shapes that no start had (and, when sampling, fresh random points are added),
until a round brings nothing new within the energy window.

Low means low for its kind: each chair has its own floor, since the gap needs the best of either, and ring
forms between them are measured from the lowest minimum of all. The lowest of these heights is always turned
next, so that a new lowest minimum never waits behind the many above it, and the last tenth of the budget is
kept for minima just above the floors. Starts that are recognised as leading to a known minimum, or as an
earlier start by symmetry, are not minimised, but count as tried.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from chairgap.minimise.compiled.engine import minimise_unless_known
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Floats, LateMinima, SearchReport, SearchSettings
from chairgap.search.lattice import Lattice, Start
from chairgap.search.recognise import Recogniser, recogniser
from chairgap.search.rotamers import (
    Rotor,
    inward_angles_deg,
    rotor_angle_deg,
    turn_by,
    turns_to_other_states,
)
from chairgap.shape.canonical import ring_shape
from chairgap.shape.duplicates import find_same
from chairgap.shape.torsions import turn_deg

# A lattice of at most this share of the budget is searched completely; the rest is for turning rotors.
_WALK_SHARE = 8
_SAMPLE = 200
_FRESH_PER_ROUND = 40
_MOST_ROUNDS = 20
# The first sample takes at most this share of the budget; the last share of it is kept for the rotors of
# minima so far above the floor of their kind.
_SAMPLE_SHARE = 2
_RESERVE_SHARE = 0.1
_RESERVED_BELOW_KCAL_MOL = 1.0
# Minima met in this last share of the starts are late.
_LATE_SHARE = 0.25
CHAIRS = ("1C4", "4C1")
# Starts whose rotors fall into the same cells of this width count as the same start. Cells meet at the rotor
# states, so that a state reached from the left and from the right is tried twice: a crowded one, such as an
# axial ethyl group turned inward over the ring, has a minimum on either side of it.
_SAME_ANGLE_DEG = 30.0
_BESIDE_INWARD_DEG = 25.0
# Of each ring form at least this many minima are followed up, however high they lie.
_FOLLOWED_PER_FORM = 2


@dataclass(frozen=True, kw_only=True)
class Found:
    """A distinct minimum as the search left it, not yet verified; form is its nearest canonical ring form,
    met_after the number of starts after which it was met."""

    energy_kcal_mol: float
    positions: Floats
    start: str
    form: str
    variants: tuple[int, ...]
    met_after: int


@dataclass(kw_only=True)
class _Catch:
    """Working memory of one search. `followed` and `turned` remember what rotors have been turned from: each
    minimum once, and of starts with the same ring form, group variants and rotor angles only the first."""

    lattice: Lattice
    model: EnergyModel
    recogniser: Recogniser
    minima: list[Found] = field(default_factory=list)
    known: list[tuple[float, Floats]] = field(default_factory=list)
    followed: set[int] = field(default_factory=set)
    turned: set[tuple[object, ...]] = field(default_factory=set)
    tried: int = 0
    converged: int = 0
    left_early: int = 0
    unconverged: int = 0
    stereo_changed: int = 0

    def add_placed(self, start: Start) -> None:
        """Add a lattice start, unless symmetry makes it an earlier one."""
        if self.recogniser.is_repeat(start.positions):
            self.tried += 1
        else:
            self.add(start)

    def add(self, start: Start) -> None:
        """Minimise one start, unless it is seen to lead to a known minimum, and keep what it gives when it is
        a conformer not known before."""
        self.tried += 1
        if self.recogniser.is_near_minimum(start.positions):
            return
        molecule = self.lattice.molecule
        relaxed = minimise_unless_known(self.model, start.positions, self.recogniser.basins)
        if isinstance(relaxed, str):
            self.left_early += relaxed == "known"
            self.unconverged += relaxed == "unconverged"
            return
        self.converged += 1
        if not stereo_survives(molecule, relaxed):
            self.stereo_changed += 1
            return
        energy, _ = self.model.energy_and_gradient(relaxed)
        if find_same(molecule.topology, self.lattice.relabellings, self.known, energy, relaxed) is None:
            self.known.append((energy, relaxed))
            self.recogniser.keep_minimum(relaxed, energy)
            self.minima.append(
                Found(
                    energy_kcal_mol=energy,
                    positions=relaxed,
                    start=start.name,
                    form=ring_shape(relaxed[molecule.topology.ring]).form,
                    variants=start.variants,
                    met_after=self.tried,
                )
            )

    def heights(self) -> list[float]:
        """Of each minimum the energy above the floor of its kind, kcal/mol."""
        lowest = min((found.energy_kcal_mol for found in self.minima), default=0.0)
        floors: dict[str, float] = {}
        for found in self.minima:
            if found.form in CHAIRS:
                floors[found.form] = min(floors.get(found.form, math.inf), found.energy_kcal_mol)
        return [found.energy_kcal_mol - floors.get(found.form, lowest) for found in self.minima]

    def worth_following(self, window_kcal_mol: float) -> list[int]:
        """Minima not yet followed, lowest above their floor first: all in the window, and the lowest of each
        ring form."""
        heights = self.heights()
        seen: Counter[str] = Counter()
        chosen = []
        for index in sorted(range(len(self.minima)), key=heights.__getitem__):
            form = self.minima[index].form
            seen[form] += 1
            requested = heights[index] <= window_kcal_mol or seen[form] <= _FOLLOWED_PER_FORM
            if requested and index not in self.followed:
                chosen.append(index)
        return chosen


def explore(
    lattice: Lattice, model: EnergyModel, settings: SearchSettings
) -> tuple[tuple[Found, ...], SearchReport]:
    """Distinct minima, lowest first, and the account of the search."""
    catch = _Catch(lattice=lattice, model=model, recogniser=recogniser(lattice))
    rng = np.random.default_rng(settings.seed)
    exhaustive = is_walked(lattice.size, settings)
    sampled = min(_SAMPLE, math.ceil(settings.most_starts / _SAMPLE_SHARE))
    for point in np.ndindex(*lattice.shape) if exhaustive else _sample(lattice, rng, sampled):
        catch.add_placed(lattice.start(point))
    unreserved = settings.most_starts * (1.0 - _RESERVE_SHARE)
    rounds, new = 1, len(catch.minima)
    while new and rounds < _MOST_ROUNDS and catch.tried < settings.most_starts:
        rounds, known = rounds + 1, len(catch.minima)
        fresh = min(_FRESH_PER_ROUND, max(0, int(unreserved) - catch.tried))
        for point in () if exhaustive else _sample(lattice, rng, fresh):
            catch.add_placed(lattice.start(point))
        _follow_lowest_first(catch, settings)
        new = sum(height <= settings.window_kcal_mol for height in catch.heights()[known:])
    minima = tuple(sorted(catch.minima, key=lambda found: found.energy_kcal_mol))
    return minima, SearchReport(
        ring_starts=len(lattice.rings),
        lattice_states=lattice.size,
        starts_minimised=catch.converged + catch.unconverged,
        starts_left_early=catch.left_early,
        minima_found=len(minima),
        exhaustive=exhaustive,
        rounds=rounds,
        new_in_last_round=new,
        late=_late(minima, catch.tried) if new else (),
        dropped_stereo_changed=catch.stereo_changed,
        dropped_unconverged=catch.unconverged,
        saddles_left=0,
    )


def is_walked(lattice_size: int, settings: SearchSettings) -> bool:
    """Whether a lattice is searched completely; a larger one is sampled."""
    return lattice_size * _WALK_SHARE <= settings.most_starts


def _follow_lowest_first(catch: _Catch, settings: SearchSettings) -> None:
    """Turn the rotors of as many minima as wait now, the lowest above its floor always next."""
    for _ in range(len(catch.worth_following(settings.window_kcal_mol))):
        waiting = catch.worth_following(settings.window_kcal_mol)
        if not waiting:
            return
        low = catch.heights()[waiting[0]] <= _RESERVED_BELOW_KCAL_MOL
        most = settings.most_starts * (1.0 if low else 1.0 - _RESERVE_SHARE)
        if catch.tried >= most:
            return
        catch.followed.add(waiting[0])
        for start in _turned_rotors(catch, waiting[0]):
            if catch.tried >= settings.most_starts:
                return
            catch.add(start)


def _late(minima: Sequence[Found], tried: int) -> tuple[LateMinima, ...]:
    """The minima of each chair, those of the last quarter of the starts apart."""
    parts: dict[tuple[str, bool], list[float]] = defaultdict(list)
    for found in minima:
        parts[found.form, found.met_after > tried * (1.0 - _LATE_SHARE)].append(found.energy_kcal_mol)
    return tuple(
        LateMinima(before_kcal_mol=tuple(parts[chair, False]), late_kcal_mol=tuple(parts[chair, True]))
        for chair in CHAIRS
    )


def _sample(lattice: Lattice, rng: np.random.Generator, count: int) -> Iterator[tuple[int, ...]]:
    """`count` lattice points with random rotor states, ring starts and group variants dealt out evenly."""
    split = 1 + len(lattice.groups)
    heads = list(np.ndindex(*lattice.shape[:split]))
    for number in range(count):
        if number % len(heads) == 0:
            order = rng.permutation(len(heads))
        head = heads[order[number % len(heads)]]
        yield (*head, *(int(rng.integers(size)) for size in lattice.shape[split:]))


def _turned_rotors(catch: _Catch, index: int) -> Iterator[Start]:
    """Each rotor of a minimum turned to its other states in the relaxed geometry."""
    lattice, found = catch.lattice, catch.minima[index]
    rotors = lattice.rotors
    angles = [rotor_angle_deg(rotor, found.positions) for rotor in rotors]
    none: list[float | None] = [None] * len(rotors)
    crowded = found.form in CHAIRS
    inward = inward_angles_deg(lattice.molecule.topology, rotors, found.positions) if crowded else none
    for number, rotor in enumerate(rotors):
        for by_deg in _turns(rotor, angles[number], inward[number]):
            after = [*angles[:number], angles[number] + by_deg, *angles[number + 1 :]]
            key = (found.form, found.variants, tuple(int(a % 360.0 // _SAME_ANGLE_DEG) for a in after))
            if key not in catch.turned:
                catch.turned.add(key)
                yield Start(
                    positions=turn_by(rotor, found.positions, by_deg),
                    name=f"{found.start} rotor {number + 1} {by_deg:+.0f}",
                    variants=found.variants,
                )


def _turns(rotor: Rotor, angle_deg: float, inward_deg: float | None) -> Iterator[float]:
    """Turns to the other states of a rotor; to the crowded one over the ring on its other side as well."""
    for by_deg in turns_to_other_states(rotor, angle_deg):
        yield by_deg
        off_deg = None if inward_deg is None else turn_deg(angle_deg + by_deg, inward_deg)
        if off_deg is not None and abs(off_deg) < _SAME_ANGLE_DEG:
            yield by_deg + off_deg + math.copysign(_BESIDE_INWARD_DEG, off_deg)
