"""The anchored gap: what is measured for single groups, and computed only for what groups do to each other.

Tables are right for a group alone and know few pairs; models are off for a polar group alone by as much as
its A-value, and much better for the interaction of two. So each is used for what it is good at. With s(X) = 1
where X is axial in chair B and -1 where it is axial in chair A, A(X) its A-value, and computed Gibbs gaps
G of the molecule, G1 of each group alone and G2 of each two groups alone on the ring, each in the sense
G(B) - G(A) of the molecule's own chairs:

    (1) p(X, Y) = G2(X, Y) - s(X) G1(X) - s(Y) G1(Y)              a pair
    (2) rest = G - sum of s(X) G1(X) - sum of p(X, Y)             three groups and more
    (3) anchored gap = sum of s(X) A(X) + sum of p(X, Y) + rest

Where a pair has a value that the user declares (`DeclaredPair`), else one by a better method
(`PairInteraction`), that value takes the place of p(X, Y) in (3), while (2) keeps the model's own. With the
model's own pairs alone (3) is the computed gap less the model error of single groups, sum of
s(X) (G1(X) - A(X)). No parameter is fitted. The division is our own.

Where the study has the missing pairs computed at a level, p(X, Y) by (1) with that level's gaps takes its
place likewise. The rest is then by (2) at that level too, provided that it has the gap of the molecule and
every pair, computed or by a row of the same method.

The uncertainty takes these as independent:

    (4) u^2 = sum of n(X)^2 h(X)^2 + sum of u(X, Y)^2 + (rest / 2)^2 + late^2
    (5) u(X, Y)^2 = spread(X, Y)^2 + method(X, Y)^2

n(X) is how often the group X is axial in chair B less how often in A, so that equal groups which cancel count
nothing; h(X) is the larger of half the range of its A-value and the median of the half ranges in the table. A
range is that of a few published values, which may lie close by chance: without this floor a second value near
the first would make a group more certain than one of which a single value is known, to which the median
applies as well. spread is the root mean square deviation of pairs of that kind from published equilibria, or
the uncertainty that the user declares; method is how far larger basis sets, better methods and conformers
left out move a shipped pair (data/mp2/README.md), for a pair that the study has computed at that level the
root mean square of the shipped ones of the relation, and 0 for the model's own, of which it is not known, and
for declared ones. Published equilibria test few kinds of pairs and hold part of the error of the method
already, so (5) is rather too wide; it is never narrower than spread. Half of the rest is a choice of ours: no
published equilibrium tests it. A group without an A-value counts with its computed gap and the model's mean
absolute error. late is what the search of the molecule was still bringing when its budget ended
(`Computation.late_shift_kcal_mol`), counted where G is in the sum: not where A-values and pairs by a better
method are all there is. Searches of the parts are not in it.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import fmean, median
from typing import Literal

from chairgap.compare.pair_rows import PairKey, changes_places, pair_relation, row_of, separation, tabulated
from chairgap.compare.split import Site, pairs_of
from chairgap.compare.uncertainty import net_axial
from chairgap.records import (
    GAS_PHASE,
    Anchored,
    AnchoredPart,
    AValueRow,
    Chair,
    DeclaredPair,
    PairInteraction,
    PairSpread,
    PairTerm,
    PlacedLigand,
)

_ZERO_KCAL_MOL = 1e-3
_REST_SHARE = 0.5
# Follows the level in the origin of what the study had computed.
COMPUTED_HERE = " (computed here)"


@dataclass(frozen=True, kw_only=True)
class ComputedGaps:
    """Computed Gibbs gaps in kcal/mol at one temperature and in one medium, by one model: of the molecule,
    G(B) - G(A); of each group alone, G(axial) - G(equatorial), by (carbon, face); of each two groups alone,
    in the sense of the molecule's own chairs. None where the model has no gap. late_shift_kcal_mol: what the
    search of the molecule was still bringing."""

    model: str
    medium: str
    temperature_k: float
    whole_kcal_mol: float | None
    single_kcal_mol: Mapping[Site, float | None]
    pair_kcal_mol: Mapping[tuple[Site, Site], float | None]
    late_shift_kcal_mol: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Anchors:
    """What the anchored gap rests on besides computed gaps: A-values, pairs by a better method and declared
    ones, the spread of pairs, the mean absolute error of the model for single groups, kcal/mol, and the gaps
    at the level of the study, as far as they were needed and could be had."""

    a_values: Sequence[AValueRow]
    pairs: Sequence[PairInteraction]
    declared: Sequence[DeclaredPair]
    spreads: Sequence[PairSpread]
    model_error_kcal_mol: float
    at_level: ComputedGaps | None = None


def anchored_gap(
    chairs: tuple[Chair, Chair],
    computed: ComputedGaps,
    anchors: Anchors,
    *,
    equal_by_symmetry: bool,
    hydrogen_bonding: Collection[tuple[Site, Site]] = (),
) -> Anchored:
    """The anchored gap G(B) - G(A), kcal/mol, with its parts.

    hydrogen_bonding: the pairs of groups, in the order of the chair, between which a hydrogen bond can form.
    """
    if equal_by_symmetry:
        return Anchored(gap_kcal_mol=0.0, uncertainty_kcal_mol=0.0, parts=())
    if computed.whole_kcal_mol is None:
        return _none("one of the two chairs is no minimum of the model")
    lost = [site for site, gap in computed.single_kcal_mol.items() if gap is None]
    if lost:
        return _none(f"the model has no gap for the group on C{lost[0][0]} alone")
    case = _case(chairs, computed, anchors, hydrogen_bonding)
    singles = case.single_parts()
    pairs = [] if len(case.single) < 2 else case.pair_parts()
    rest = [] if len(case.single) < 3 else [case.rest_part()]
    parts = (*singles, *pairs, *rest)
    # (3)
    gap = math.fsum(part.value_kcal_mol for part in parts)
    # (4)
    squares = [case.singles_squared(), *(part.uncertainty_kcal_mol**2 for part in (*pairs, *rest))]
    largest = (singles, pairs, rest)[min(len(case.single), 3) - 1]
    if any(part.origin == computed.model for part in largest):
        squares.append(computed.late_shift_kcal_mol**2)
    return Anchored(gap_kcal_mol=gap, uncertainty_kcal_mol=math.sqrt(math.fsum(squares)), parts=parts)


def pair_terms(
    chairs: tuple[Chair, Chair],
    computed: ComputedGaps,
    anchors: Anchors,
    *,
    hydrogen_bonding: Collection[tuple[Site, Site]] = (),
) -> dict[tuple[Site, Site], PairTerm | None]:
    """What each two groups add to G(B) - G(A), kcal/mol: the declared value, else that of a better method,
    else p(X, Y) of the model, None where it has none."""
    case = _case(chairs, computed, anchors, hydrogen_bonding)
    return {sites: case.pair_term(sites) for sites in pairs_of(chairs[1])}


def _case(
    chairs: tuple[Chair, Chair],
    computed: ComputedGaps,
    anchors: Anchors,
    hydrogen_bonding: Collection[tuple[Site, Site]],
) -> "_Case":
    return _Case(
        chairs=chairs,
        computed=computed,
        anchors=anchors,
        bonding=frozenset(hydrogen_bonding),
        single={site: gap for site, gap in computed.single_kcal_mol.items() if gap is not None},
    )


def _none(note: str) -> Anchored:
    return Anchored(gap_kcal_mol=None, uncertainty_kcal_mol=0.0, parts=(), note=note)


@dataclass(frozen=True, kw_only=True)
class _Case:
    """A molecule with everything its parts are made from."""

    chairs: tuple[Chair, Chair]
    computed: ComputedGaps
    anchors: Anchors
    bonding: frozenset[tuple[Site, Site]]
    single: Mapping[Site, float]

    @cached_property
    def in_b(self) -> dict[Site, PlacedLigand]:
        return {(group.carbon, group.face): group for group in self.chairs[1].groups}

    @cached_property
    def rows(self) -> dict[str, AValueRow]:
        return {row.group: row for row in self.anchors.a_values}

    @cached_property
    def usual_half_range_kcal_mol(self) -> float:
        spans = [row.high_kcal_mol - row.low_kcal_mol for row in self.anchors.a_values]
        return 0.5 * median([span for span in spans if span > 0.0] or [0.0])

    def sign(self, site: Site) -> int:
        """s(X): 1 where the group is axial in chair B."""
        return 1 if self.in_b[site].position == "axial" else -1

    def single_error_kcal_mol(self, group: str) -> float:
        """h(X), or the model's mean absolute error where the group has no A-value."""
        row = self.rows.get(group)
        if row is None:
            return self.anchors.model_error_kcal_mol
        return max(0.5 * (row.high_kcal_mol - row.low_kcal_mol), self.usual_half_range_kcal_mol)

    def singles_squared(self) -> float:
        net = net_axial(self.chairs)
        return math.fsum((count * self.single_error_kcal_mol(group)) ** 2 for group, count in net.items())

    def single_parts(self) -> list[AnchoredPart]:
        return [self._single(site) for site in self.in_b]

    def _single(self, site: Site) -> AnchoredPart:
        group = self.in_b[site].group
        row = self.rows.get(group)
        return AnchoredPart(
            kind="computed single group" if row is None else "measured A-value",
            carbons=(site[0],),
            groups=(group,),
            relation=None,
            value_kcal_mol=self.sign(site) * (self.single[site] if row is None else row.value_kcal_mol),
            uncertainty_kcal_mol=self.single_error_kcal_mol(group),
            origin=self.computed.model if row is None else row.source,
        )

    def pair_parts(self) -> list[AnchoredPart]:
        """A pair for which the model has no value is part of its rest, whatever else is known of it."""
        found = (self._pair(sites) for sites in pairs_of(self.chairs[1]))
        return [part for part in found if part is not None]

    def pair_kcal_mol(self, sites: tuple[Site, Site], by: ComputedGaps) -> float | None:
        """p(X, Y) by the model, or at the level."""
        one, other = sites
        together = by.pair_kcal_mol.get(sites)
        alone, alone_too = by.single_kcal_mol.get(one), by.single_kcal_mol.get(other)
        if together is None or alone is None or alone_too is None:
            return None
        # (1)
        return together - self.sign(one) * alone - self.sign(other) * alone_too

    def _pair(self, sites: tuple[Site, Site]) -> AnchoredPart | None:
        term = self.pair_term(sites)
        if term is None or self.pair_kcal_mol(sites, self.computed) is None:
            return None
        return AnchoredPart(
            kind="declared pair" if term.origin == "declared" else "pair",
            carbons=term.carbons,
            groups=term.groups,
            relation=term.relation,
            value_kcal_mol=term.value_kcal_mol,
            uncertainty_kcal_mol=term.uncertainty_kcal_mol,
            origin=term.source,
        )

    def pair_term(self, sites: tuple[Site, Site]) -> PairTerm | None:
        """The declared value, else that of a better method, else the model's."""
        one, other = (self.in_b[site] for site in sites)
        said = row_of(one, other, self.rows_declared)
        if said is not None:
            first, row = said
            value = self.sign((first.carbon, first.face)) * row.value_kcal_mol
            by = (row.source, row.medium, None)
            return _term(one, other, "declared", (value, row.uncertainty_kcal_mol), by)
        better, model = self.better_pair(sites), self.computed
        if better is not None:
            value, method, origin, at_k = better
            spread = self._pair_error_kcal_mol(one, other, method, value, sites)
            # (5)
            error = math.hypot(spread, self._method_error_kcal_mol(one, other, method))
            error = 0.0 if _by_symmetry(one, other, value) else error
            return _term(one, other, "computed", (value, error), (origin, GAS_PHASE.name, at_k))
        own = self.pair_kcal_mol(sites, model)
        if own is None:
            return None
        error = self._pair_error_kcal_mol(one, other, model.model, own, sites)
        return _term(one, other, "computed", (own, error), (model.model, model.medium, model.temperature_k))

    def better_pair(self, sites: tuple[Site, Site]) -> tuple[float, str, str, float] | None:
        """(value in the sense of the chairs, method, origin, temperature) from the table of pairs, else at
        the level of the study, both of the gas phase; None when neither has one."""
        found = row_of(self.in_b[sites[0]], self.in_b[sites[1]], self.rows_of_pairs)
        if found is not None:
            first, row = found
            value = self.sign((first.carbon, first.face)) * row.value_kcal_mol
            return value, row.method, row.method, row.temperature_k
        level = self.anchors.at_level
        at_level = None if level is None else self.pair_kcal_mol(sites, level)
        if level is None or at_level is None:
            return None
        return at_level, level.model, f"{level.model}{COMPUTED_HERE}", level.temperature_k

    @cached_property
    def rows_declared(self) -> dict[PairKey, DeclaredPair]:
        return tabulated(self.anchors.declared)

    @cached_property
    def rows_of_pairs(self) -> dict[PairKey, PairInteraction]:
        return tabulated(self.anchors.pairs)

    def _pair_error_kcal_mol(
        self,
        one: PlacedLigand,
        other: PlacedLigand,
        method: str,
        value_kcal_mol: float,
        sites: tuple[Site, Site],
    ) -> float:
        """spread(X, Y); none for two equal groups that change places in the flip, whose pair is 0 by
        symmetry. Without a benchmark of the kind the widest of the method counts."""
        if _by_symmetry(one, other, value_kcal_mol):
            return 0.0
        across, bonding = separation(one, other), sites in self.bonding
        rows = [row for row in self.anchors.spreads if row.method == method] or self.anchors.spreads
        known = [row for row in rows if row.relation == across and row.hydrogen_bond == bonding]
        return max((row.spread_kcal_mol for row in known or rows), default=self.anchors.model_error_kcal_mol)

    def _method_error_kcal_mol(self, one: PlacedLigand, other: PlacedLigand, method: str) -> float:
        """method(X, Y)."""
        found = row_of(one, other, self.rows_of_pairs)
        if found is not None:
            return found[1].method_spread_kcal_mol
        relation = pair_relation(one, other)
        alike = [
            row.method_spread_kcal_mol
            for row in self.anchors.pairs
            if (row.method, row.relation) == (method, relation)
        ]
        return math.sqrt(fmean(spread**2 for spread in alike)) if alike else 0.0

    def rest_part(self) -> AnchoredPart:
        """What no single group and no pair explains: at the level of the study, else by the model."""
        rest, origin = self._rest_at_level() or (self._rest_of_model(), self.computed.model)
        return AnchoredPart(
            kind="more than two groups",
            carbons=tuple(dict.fromkeys(carbon for carbon, _ in self.in_b)),
            groups=tuple(group.group for group in self.in_b.values()),
            relation=None,
            value_kcal_mol=rest,
            uncertainty_kcal_mol=_REST_SHARE * abs(rest),
            origin=origin,
        )

    def _rest_of_model(self) -> float:
        own = [self.pair_kcal_mol(sites, self.computed) for sites in pairs_of(self.chairs[1])]
        signed = [self.sign(site) * gap for site, gap in self.single.items()]
        # (2)
        return (self.computed.whole_kcal_mol or 0.0) - math.fsum(
            [*signed, *(pair for pair in own if pair is not None)]
        )

    def _rest_at_level(self) -> tuple[float, str] | None:
        """None where the level lacks the molecule, a group alone or a pair, or the model a pair."""
        level = self.anchors.at_level
        if level is None or level.whole_kcal_mol is None:
            return None
        gaps = [(site, level.single_kcal_mol.get(site)) for site in self.in_b]
        signed = [self.sign(site) * gap for site, gap in gaps if gap is not None]
        pairs = [
            None if self.pair_kcal_mol(sites, self.computed) is None else self.better_pair(sites)
            for sites in pairs_of(self.chairs[1])
        ]
        values = [pair[0] for pair in pairs if pair is not None and pair[1] == level.model]
        if len(signed) < len(gaps) or len(values) < len(pairs):
            return None
        # (2)
        return level.whole_kcal_mol - math.fsum([*signed, *values]), f"{level.model}{COMPUTED_HERE}"


def _by_symmetry(one: PlacedLigand, other: PlacedLigand, value_kcal_mol: float) -> bool:
    """Whether two groups that change places add nothing: exact, by whatever method."""
    return changes_places(one, other) and abs(value_kcal_mol) < _ZERO_KCAL_MOL


def _term(
    one: PlacedLigand,
    other: PlacedLigand,
    origin: Literal["computed", "declared"],
    value_and_error_kcal_mol: tuple[float, float],
    by: tuple[str, str, float | None],
) -> PairTerm:
    """A pair term; `by` is its source, medium and temperature."""
    value, error = value_and_error_kcal_mol
    source, medium, temperature_k = by
    return PairTerm(
        carbons=(one.carbon, other.carbon),
        faces=(one.face, other.face),
        groups=(one.group, other.group),
        relation=pair_relation(one, other),
        value_kcal_mol=value,
        uncertainty_kcal_mol=error,
        origin=origin,
        source=source,
        medium=medium,
        temperature_k=temperature_k,
    )
