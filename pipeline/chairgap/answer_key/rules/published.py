"""Is a number that the table does not give published all the same? Measured equilibria, and the range of the
published values. Pure."""

from chairgap.answer_key.rules.answers.energies import in_unit, oriented, whole_pair_kcal_mol
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant, is_of_stable
from chairgap.answer_key.rules.choosing import Case, chair_sums, estimated
from chairgap.answer_key.rules.reading import meant_chair, overlaps
from chairgap.answer_key.rules.sources import declared_table
from chairgap.records import Chair, Estimate, PublishedGap


def at_gap(case: Case, gap_kcal_mol: float, temperature_k: float | None = None) -> float:
    """The number claimed, in its unit, if G(B) - G(A) were this: the gap as asked for, K or percent."""
    claim = case.claim
    if claim.quantity == "gap":
        return in_unit(claim, oriented(case, gap_kcal_mol)[0])[0]
    k = equilibrium_constant(abs(gap_kcal_mol), temperature_k or case.conventions.temperature_k)
    if claim.quantity == "K":
        return k
    share = k / (1.0 + k)
    return 100.0 * (share if is_of_stable(case, a_stable=gap_kcal_mol >= 0.0) else 1.0 - share)


def measured(case: Case) -> str:
    """The published equilibrium of this molecule that the claim states, in words; '' when there is none."""
    if case.claim.quantity not in ("gap", "K", "percent", "stable chair") or len(case.molecules) != 1:
        return ""
    return next((_measured_words(case, found) for found in case.facts.published if _states(case, found)), "")


def _states(case: Case, found: PublishedGap) -> bool:
    if case.claim.quantity == "stable chair":
        meant = meant_chair(case)
        return isinstance(meant, Chair) and bool(found.favoured) and meant.letter == found.favoured
    if found.gap_kcal_mol is None or not found.is_number:
        return False
    error = found.error_kcal_mol or 0.0
    kelvins = {found.temperature_k, case.conventions.temperature_k}
    return any(
        overlaps(
            case.claim,
            *sorted(at_gap(case, found.gap_kcal_mol + end, kelvin) for end in (-error, error)),
        )
        for kelvin in kelvins
    )


def _measured_words(case: Case, found: PublishedGap) -> str:
    row = found.equilibrium
    source = case.tables.short_sources.get(row.source, row.source)
    medium = "medium not stated" if row.medium == "not stated" else f"in {row.medium}"
    return f"the published equilibrium of {row.groups_by_face} ({source}, {medium})"


def range_of(case: Case) -> tuple[float, float, int] | None:
    """(low, high, rows) that the published values span for a term, gap, K or percent, in the unit of the
    claim; rows: on how many rows of the table it rests. None where that has no meaning."""
    return case.remembered("range", lambda: _range_of(case))


def _range_of(case: Case) -> tuple[float, float, int] | None:
    claim = case.claim
    if len(case.molecules) != 1 or claim.quantity not in ("term", "gap", "K", "percent"):
        return None
    table = declared_table(case.tables.ranges, case.conventions.own, case.conventions.gauche_kcal_mol)
    whole = estimated(case.facts.chairs, table)
    if claim.quantity == "term":
        return _range_of_term(case, whole)
    if whole.low_kcal_mol is None or whole.high_kcal_mol is None or whole.missing:
        return None
    low, high = whole.low_kcal_mol, whole.high_kcal_mol
    ends = [at_gap(case, end) for end in (low, high)]
    if low < 0.0 < high and claim.quantity != "gap":
        ends.append(at_gap(case, 0.0))
    return min(ends) + 0.0, max(ends) + 0.0, _rows(whole)


def _range_of_term(case: Case, whole: Estimate) -> tuple[float, float, int] | None:
    claim, letter = case.claim, case.chair.letter
    found = [
        term
        for term in whole.terms
        if term.chair == letter and set(term.carbons) == set(claim.carbons) and term.kind != "geminal"
    ]
    if len(found) != 1 or found[0].low_kcal_mol is None or found[0].high_kcal_mol is None:
        return None
    term, shift = found[0], 0.0
    if term.kind == "syn-diaxial" and case.conventions.syn != "excess":
        shift = whole_pair_kcal_mol(term, case.table) - (term.value_kcal_mol or 0.0)
    factor = in_unit(claim, 1.0)[0]
    return (found[0].low_kcal_mol + shift) * factor, (found[0].high_kcal_mol + shift) * factor, 1


def _rows(estimate: Estimate) -> int:
    """On how many rows of the table the gap rests: 1 where it is one group's A-value, or one pair."""
    sums = chair_sums(estimate)
    terms = [term for term in estimate.terms if term.value_kcal_mol]
    if min(abs(value) for value in sums.values()) == 0.0 and len(terms) == 1:
        return 1
    return len({(term.kind, tuple(sorted(term.groups))) for term in terms}) + 1
