"""The anchored gap: what is measured for single groups, and computed only for what groups do to each other.

Tables are right for a group alone and know few pairs; models are off for a polar group alone by as much as
its A-value, and much better for the interaction of two. So each is used for what it is good at. With s(X) = 1
where X is axial in chair B and -1 where it is axial in chair A, A(X) its A-value, and computed Gibbs gaps
G of the molecule, G1 of each group alone and G2 of each two groups alone on the ring, each in the sense
G(B) - G(A) of the molecule's own chairs:

    (1) p(X, Y) = G2(X, Y) - s(X) G1(X) - s(Y) G1(Y)              a pair
    (2) rest = G - sum of s(X) G1(X) - sum of p(X, Y)             three groups and more
    (3) anchored gap = sum of s(X) A(X) + sum of p(X, Y) + rest

Where a pair has a value by a better method (`PairInteraction`) that value takes the place of p(X, Y) in (3),
while (2) keeps the model's own. With the model's own pairs alone (3) is the computed gap less the model error
of single groups, sum of s(X) (G1(X) - A(X)). No parameter is fitted. The division is our own.

The uncertainty takes these as independent:

    (4) u^2 = sum of n(X)^2 h(X)^2 + sum of spread(X, Y)^2 + (rest / 2)^2 + late^2

n(X) is how often the group X is axial in chair B less how often in A, so that equal groups which cancel count
nothing; h(X) half the range of its A-value, or where only one value is published the median half range of
the table. spread is the root mean square deviation of pairs of that kind from published equilibria. Half of
the rest is a choice of ours: no published equilibrium tests it. A group without an A-value counts with its
computed gap and the model's mean absolute error. late is what the search of the molecule was still bringing
when its budget ended (`SearchReport.late_shift_kcal_mol`), counted where G is in the sum: not where A-values
and pairs by a better method are all there is. Searches of the parts are not in it.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from statistics import median

from chairgap.compare.split import Site, pairs_of
from chairgap.compare.uncertainty import net_axial
from chairgap.records import (
    Anchored,
    AnchoredPart,
    AValueRow,
    Chair,
    PairInteraction,
    PairRelation,
    PairSpread,
    PlacedLigand,
    Separation,
)

_AROUND: dict[int, Separation] = {
    0: "geminal",
    1: "1,2",
    2: "1,3",
    3: "1,4",
    4: "1,3",
    5: "1,2",
}
_RELATIONS: dict[tuple[bool, str], PairRelation] = {
    (True, "1,2"): "cis-1,2",
    (False, "1,2"): "trans-1,2",
    (True, "1,3"): "cis-1,3",
    (False, "1,3"): "trans-1,3",
    (True, "1,4"): "cis-1,4",
    (False, "1,4"): "trans-1,4",
}
_ZERO_KCAL_MOL = 1e-3
_REST_SHARE = 0.5


@dataclass(frozen=True, kw_only=True)
class ComputedGaps:
    """Computed Gibbs gaps in kcal/mol at one temperature and in one medium, by one model: of the molecule,
    G(B) - G(A); of each group alone, G(axial) - G(equatorial), by (carbon, face); of each two groups alone,
    in the sense of the molecule's own chairs. None where the model has no gap. late_shift_kcal_mol: what the
    search of the molecule was still bringing."""

    model: str
    whole_kcal_mol: float | None
    single_kcal_mol: Mapping[Site, float | None]
    pair_kcal_mol: Mapping[tuple[Site, Site], float | None]
    late_shift_kcal_mol: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Anchors:
    """What the anchored gap rests on besides computed gaps: A-values, pairs by a better method, the spread of
    pairs, and the mean absolute error of the model for single groups, kcal/mol."""

    a_values: Sequence[AValueRow]
    pairs: Sequence[PairInteraction]
    spreads: Sequence[PairSpread]
    model_error_kcal_mol: float


def pair_relation(one: PlacedLigand, other: PlacedLigand) -> PairRelation:
    """How two groups stand to each other on the ring."""
    across = _AROUND[abs(one.carbon - other.carbon)]
    return "geminal" if across == "geminal" else _RELATIONS[one.face == other.face, across]


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
    case = _Case(
        chairs=chairs,
        computed=computed,
        anchors=anchors,
        bonding=frozenset(hydrogen_bonding),
        single={site: gap for site, gap in computed.single_kcal_mol.items() if gap is not None},
    )
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
        return 0.5 * (row.high_kcal_mol - row.low_kcal_mol) or self.usual_half_range_kcal_mol

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
        """A pair for which neither the model nor a better method has a value is part of the rest."""
        found = (self._pair(sites) for sites in pairs_of(self.chairs[1]))
        return [part for part in found if part is not None]

    def own_pair_kcal_mol(self, sites: tuple[Site, Site]) -> float | None:
        """p(X, Y) of the model."""
        together = self.computed.pair_kcal_mol.get(sites)
        if together is None:
            return None
        one, other = sites
        # (1)
        return together - self.sign(one) * self.single[one] - self.sign(other) * self.single[other]

    def _pair(self, sites: tuple[Site, Site]) -> AnchoredPart | None:
        own = self.own_pair_kcal_mol(sites)
        if own is None:
            return None
        one, other = (self.in_b[site] for site in sites)
        relation = pair_relation(one, other)
        better = self._better(one, other, relation)
        value, method = (own, self.computed.model) if better is None else better
        return AnchoredPart(
            kind="pair",
            carbons=(one.carbon, other.carbon),
            groups=(one.group, other.group),
            relation=relation,
            value_kcal_mol=value,
            uncertainty_kcal_mol=self._pair_error_kcal_mol(one, other, method, value, sites),
            origin=method,
        )

    def _better(
        self, one: PlacedLigand, other: PlacedLigand, relation: PairRelation
    ) -> tuple[float, str] | None:
        """(value in the sense of the chairs, method) from the table of pairs, None when it has none."""
        for first, second in ((one, other), (other, one)):
            row = self.better.get((first.group, second.group, relation))
            if row is not None:
                return self.sign((first.carbon, first.face)) * row.value_kcal_mol, row.method
        return None

    @cached_property
    def better(self) -> dict[tuple[str, str, PairRelation], PairInteraction]:
        return {(row.group_1, row.group_2, row.relation): row for row in self.anchors.pairs}

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
        swapped = one.group == other.group and one.position != other.position
        if swapped and abs(value_kcal_mol) < _ZERO_KCAL_MOL:
            return 0.0
        across, bonding = _AROUND[abs(one.carbon - other.carbon)], sites in self.bonding
        rows = [row for row in self.anchors.spreads if row.method == method] or self.anchors.spreads
        known = [row for row in rows if row.relation == across and row.hydrogen_bond == bonding]
        return max((row.spread_kcal_mol for row in known or rows), default=self.anchors.model_error_kcal_mol)

    def rest_part(self) -> AnchoredPart:
        """What no single group and no pair of the model explains."""
        own = [self.own_pair_kcal_mol(sites) for sites in pairs_of(self.chairs[1])]
        signed = [self.sign(site) * gap for site, gap in self.single.items()]
        # (2)
        rest = (self.computed.whole_kcal_mol or 0.0) - math.fsum(
            [*signed, *(pair for pair in own if pair is not None)]
        )
        return AnchoredPart(
            kind="more than two groups",
            carbons=tuple(dict.fromkeys(carbon for carbon, _ in self.in_b)),
            groups=tuple(group.group for group in self.in_b.values()),
            relation=None,
            value_kcal_mol=rest,
            uncertainty_kcal_mol=_REST_SHARE * abs(rest),
            origin=self.computed.model,
        )
