"""The completed sum: the hand estimate with a term for each pair of groups that has no published one.

Each two groups of the ring are in one term, so nothing is counted twice:

* declared by the user: that value, in place of published and computed terms;
* published: the terms of the pair that have a value, gauche or syn-diaxial, in either chair. They hold the
  whole of what the two do to each other as taught, also where both chairs have the same and it cancels;
* otherwise, where the study asks for it, computed: what the two add beyond the single groups,
  G2(X, Y) - s(X) G1(X) - s(Y) G1(Y) (`chairgap.compare.anchored`). That is also so where the rules of the
  hand have no term, as across the ring (1,4), and where they need a value that nobody has published.

Two equal groups that change places in the flip add 0 by symmetry and have no term. What three and more groups
do beyond their pairs is in no term; the anchored gap has it. Nor is an A-value ever replaced by a computed
one: the model errs for a polar group alone by as much as its A-value, so a sum without it stays incomplete.
"""

from collections.abc import Mapping

from chairgap.compare.pair_rows import changes_places, pair_relation
from chairgap.compare.split import Site, sites_of_term
from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Chair, CompletedSum, Estimate, EstimateTable, PairTerm, PairTerms

_ZERO_KCAL_MOL = 1e-3


def completed_sum(
    chairs: tuple[Chair, Chair],
    estimate: Estimate,
    table: EstimateTable,
    pairs: Mapping[tuple[Site, Site], PairTerm | None],
    asked: PairTerms,
    *,
    equal_by_symmetry: bool,
) -> CompletedSum | None:
    """The completed sum G(B) - G(A), kcal/mol; None where the study neither asks for it nor declares a pair
    of the molecule. `pairs` is what each two groups add (`chairgap.compare.anchored.pair_terms`)."""
    declared = any(term is not None and term.origin == "declared" for term in pairs.values())
    if asked == "published" and not declared:
        return None
    if equal_by_symmetry:
        return CompletedSum(published=estimate, pairs=(), missing=())
    published = [sites_of_term(term) for term in estimate.terms if term.value_kcal_mol is not None]
    placed = {(group.carbon, group.face): group for group in chairs[1].groups}
    terms: list[PairTerm] = []
    without: list[frozenset[Site]] = []
    missing: list[str] = []
    for sites, term in pairs.items():
        one, other = (placed[site] for site in sites)
        said = term is not None and term.origin == "declared"
        if not said and (asked == "published" or set(sites) in published):
            continue
        without.append(frozenset(sites))
        if changes_places(one, other) and (term is None or abs(term.value_kcal_mol) < _ZERO_KCAL_MOL):
            continue
        if term is None:
            missing.append(f"{pair_relation(one, other)} {one.group}/{other.group}")
        else:
            terms.append(term)
    found = estimate_gap(chairs, table, without=without)
    return CompletedSum(
        published=found, pairs=tuple(terms), missing=tuple(dict.fromkeys((*found.missing, *missing)))
    )
