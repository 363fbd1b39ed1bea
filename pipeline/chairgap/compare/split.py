"""The difference between computed Gibbs gap and hand estimate, divided into parts that add up exactly.

With P, F and G the potential, ensemble and Gibbs gap, E(B) - E(A), of the molecule; P1, F1, G1 those of each
group alone on the ring, with the sign it has in the molecule; A the tabulated values; P2 the potential gap of
each pair of groups alone on the ring; C the tabulated corrections, what is not tabulated counting as zero:

    G - estimate =   sum (G1 - A)                        single groups: the model's own error for each
                   + sum (P2 - P1 - P1' - C)             pairs, against their correction terms
                   + (F - P) - sum (F1 - P1)             rotamers, beyond those of the single groups
                   + (G - F) - sum (G1 - F1)             vibrations, beyond those of the single groups
                   + P - sum P1 - sum (P2 - P1 - P1')    true non-additivity: three groups and more

So Gibbs energies are set against A-values, which are Gibbs energies, and the non-additivity of a molecule of
two groups is zero by definition: its pair is the molecule. The division is our own.
"""

from collections.abc import Mapping
from itertools import combinations
from typing import Literal

from chairgap.records import (
    Chair,
    Estimate,
    Face,
    GapKinds,
    Gaps,
    LedgerTerm,
    PairTerm,
    PlacedLigand,
    Relation,
    SolventPoint,
    Split,
    SplitPart,
)

Site = tuple[int, Face]
Sites = tuple[Site, ...]
_RELATIONS: dict[int, Relation] = {0: "geminal", 1: "1,2", 2: "1,3", 3: "1,4", 4: "1,3", 5: "1,2"}


def split_difference(
    chairs: tuple[Chair, Chair],
    estimate: Estimate,
    gaps: Gaps,
    singles: Mapping[Site, GapKinds | None],
    pairs: Mapping[tuple[Site, Site], GapKinds | None],
) -> Split:
    """The split of gaps.gibbs - estimate.gap.

    singles: gaps E(axial) - E(equatorial) of each group alone, by (carbon, face); pairs: gaps E(B) - E(A),
    in the sense of the molecule's own chairs, of each two groups alone. None where one has no gap.
    """
    whole = gap_kinds(gaps)
    if gaps.equal_by_symmetry:
        return Split(parts=(), note="the chairs are equal by symmetry: there is no difference to divide")
    if whole is None or estimate.gap_kcal_mol is None:
        return Split(parts=(), note="there is no gap, or no estimate, to divide")
    lost = [_named(chairs, (site,)) for site, kinds in singles.items() if kinds is None]
    lost += [_named(chairs, sites) for sites, kinds in pairs.items() if kinds is None]
    if lost:
        return Split(parts=(), note=f"no computed gap of {', '.join(dict.fromkeys(lost))} on the bare ring")
    known = {site: kinds for site, kinds in singles.items() if kinds is not None}
    signs = {(group.carbon, group.face): _sign(group) for group in chairs[1].groups}
    alone = {site: times(signs[site], known[site]) for site in signs}
    pair_parts = [
        _pair(chairs, estimate, sites, kinds, alone) for sites, kinds in pairs.items() if kinds is not None
    ]
    sum_alone = _sum(list(alone.values()))
    return Split(
        parts=(
            *(_single(chairs, estimate, site, alone[site]) for site in signs),
            *pair_parts,
            _rest("rotamers", _rotamers(whole) - _rotamers(sum_alone)),
            _rest("vibrations", _vibrations(whole) - _vibrations(sum_alone)),
            _rest(
                "non-additivity",
                whole.potential_kcal_mol
                - sum_alone.potential_kcal_mol
                - sum(part.computed_kcal_mol for part in pair_parts),
            ),
        )
    )


def sites_of(chair: Chair) -> tuple[Site, ...]:
    """(carbon, face) of every group, in the order of the chair."""
    return tuple((group.carbon, group.face) for group in chair.groups)


def pairs_of(chair: Chair) -> tuple[tuple[Site, Site], ...]:
    """Every two groups, in the order of the chair."""
    return tuple(combinations(sites_of(chair), 2))


def gap_kinds(gaps: Gaps | SolventPoint) -> GapKinds | None:
    """The three kinds of gap of a molecule, None when it lacks one."""
    potential, ensemble, gibbs = gaps.potential_kcal_mol, gaps.ensemble_kcal_mol, gaps.gibbs_kcal_mol
    if potential is None or ensemble is None or gibbs is None:
        return None
    return GapKinds(potential_kcal_mol=potential, ensemble_kcal_mol=ensemble, gibbs_kcal_mol=gibbs)


def _sign(group_in_b: PlacedLigand) -> int:
    """+1 for a group that is axial in chair B: its own gap then has the direction E(B) - E(A)."""
    return 1 if group_in_b.position == "axial" else -1


def times(sign: int, kinds: GapKinds) -> GapKinds:
    """All three with the direction kept (+1) or turned round (-1)."""
    return GapKinds(
        potential_kcal_mol=sign * kinds.potential_kcal_mol,
        ensemble_kcal_mol=sign * kinds.ensemble_kcal_mol,
        gibbs_kcal_mol=sign * kinds.gibbs_kcal_mol,
    )


def _sum(kinds: list[GapKinds]) -> GapKinds:
    return GapKinds(
        potential_kcal_mol=sum(item.potential_kcal_mol for item in kinds),
        ensemble_kcal_mol=sum(item.ensemble_kcal_mol for item in kinds),
        gibbs_kcal_mol=sum(item.gibbs_kcal_mol for item in kinds),
    )


def _rotamers(kinds: GapKinds) -> float:
    return kinds.ensemble_kcal_mol - kinds.potential_kcal_mol


def _vibrations(kinds: GapKinds) -> float:
    return kinds.gibbs_kcal_mol - kinds.ensemble_kcal_mol


def _single(chairs: tuple[Chair, Chair], estimate: Estimate, site: Site, alone: GapKinds) -> SplitPart:
    return SplitPart(
        kind="single group",
        relation="",
        carbons=(site[0],),
        groups=_groups(chairs, (site,)),
        computed_kcal_mol=alone.gibbs_kcal_mol,
        tabulated_kcal_mol=_tabulated(estimate, (site,)),
    )


def _pair(
    chairs: tuple[Chair, Chair],
    estimate: Estimate,
    sites: tuple[Site, Site],
    kinds: GapKinds,
    alone: Mapping[Site, GapKinds],
) -> SplitPart:
    one, other = sites
    return SplitPart(
        kind="pair",
        relation=_RELATIONS[abs(one[0] - other[0])],
        carbons=(one[0], other[0]),
        groups=_groups(chairs, sites),
        computed_kcal_mol=(
            kinds.potential_kcal_mol - alone[one].potential_kcal_mol - alone[other].potential_kcal_mol
        ),
        tabulated_kcal_mol=_tabulated(estimate, sites),
    )


def _rest(kind: Literal["rotamers", "vibrations", "non-additivity"], computed_kcal_mol: float) -> SplitPart:
    return SplitPart(
        kind=kind,
        relation="",
        carbons=(),
        groups=(),
        computed_kcal_mol=computed_kcal_mol,
        tabulated_kcal_mol=None,
    )


def _groups(chairs: tuple[Chair, Chair], sites: Sites) -> tuple[str, ...]:
    names = {(group.carbon, group.face): group.group for group in chairs[0].groups}
    return tuple(names[site] for site in sites)


def _named(chairs: tuple[Chair, Chair], sites: Sites) -> str:
    words = zip(sites, _groups(chairs, sites), strict=True)
    return " with ".join(f"{group} on C{carbon}" for (carbon, _), group in words)


def _tabulated(estimate: Estimate, sites: Sites) -> float | None:
    """Signed sum, B - A, of the ledger's terms for these ligands; None when none of them has a value."""
    found = [signed_share(term) for term in estimate.terms if sites_of_term(term) == set(sites)]
    values = [value for value in found if value is not None]
    return sum(values) if values else None


def sites_of_term(term: LedgerTerm | PairTerm) -> set[Site]:
    """(carbon, face) of every group of a term."""
    carbons = term.carbons if len(term.carbons) == len(term.faces) else term.carbons * len(term.faces)
    return set(zip(carbons, term.faces, strict=True))


def signed_share(term: LedgerTerm) -> float | None:
    """What a term adds to G(B) - G(A), kcal/mol."""
    if term.value_kcal_mol is None:
        return None
    return term.value_kcal_mol if term.chair == "B" else -term.value_kcal_mol
