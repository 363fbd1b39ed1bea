"""Known slips that make a wrong number: each recomputed and compared with the claim; all matches are
listed."""

import math
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace

from chairgap.answer_key.rules.answers.dispatch import answer as right_answer
from chairgap.answer_key.rules.answers.energies import in_unit, oriented, whole_pair_kcal_mol
from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant, exponential, is_of_stable
from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, Case, chair_sums, estimated
from chairgap.answer_key.rules.misreading import misreadings
from chairgap.answer_key.rules.reading import overlaps
from chairgap.answer_key.rules.sources import printed_only
from chairgap.answer_key.rules.words import decimals, stated
from chairgap.errors import InputError
from chairgap.records import Claim, Diagnosis, EstimateTable, LedgerTerm
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, KJ_PER_KCAL, fixed

_R_J = 1000.0 * GAS_CONSTANT_KCAL_PER_MOL_K * KJ_PER_KCAL
_R_LITRE_ATM = 0.082057
_WRONG_ROWS_TOLD = 3

Candidate = tuple[str, str, float]
Ledger = tuple[LedgerTerm, ...]


def number_slips(case: Case) -> tuple[Diagnosis, ...]:
    """Every known slip that reproduces the claimed number within its tolerance; none where no slip can even
    be formed for this claim.
    """
    found: dict[tuple[str, str], None] = {}
    if (said := stated(case.claim.claimed)) is None or said.kind == "bound":
        return ()
    with suppress(InputError):
        for slip, words, value in case.remembered("slips", lambda: tuple(slipped_numbers(case))):
            if _made(case, value):
                found[slip, words] = None
    wrong_rows = [pair for pair in found if pair[0] == "wrong-row"]
    for pair in wrong_rows[_WRONG_ROWS_TOLD:]:
        del found[pair]
    return tuple(Diagnosis(slip=slip, words=words) for slip, words in found)


def _made(case: Case, value: float) -> bool:
    """Whether a slip's number is the one claimed, as someone who rounds on the way would write it."""
    if case.claim.quantity == "K":
        return overlaps(case.claim, *sorted((0.98 * value, 1.02 * value)))
    places = decimals(case.claim.claimed)
    more = 0.5 * 10.0**-places if places >= 2 and case.claim.tolerance is None else 0.0
    return overlaps(case.claim, value - more, value + more)


def slipped_numbers(case: Case) -> Iterator[Candidate]:
    """(slip, words, wrong number in the claim's unit) of every known slip, whatever was claimed.

    Raises InputError where a slip cannot be formed for this claim.
    """
    makers = {"gap": _gap_slips, "term": _term_slips, "K": _k_slips, "percent": _percent_slips}
    if case.claim.quantity in makers:
        yield from (slip for slip in makers[case.claim.quantity](case) if math.isfinite(slip[2]))


# Slips that multiply the terms of a kind.
_SCALED = (
    (
        "half-a-value",
        "Only one of the two 1,3-diaxial contacts of each axial group was counted: half of each A-value.",
        "A-value",
        0.5,
    ),
    ("double-a-value", "Twice each A-value was used.", "A-value", 2.0),
    ("gauche-dropped", "The vicinal gauche term was left out.", "vicinal gauche", 0.0),
    ("gauche-twice", "The vicinal gauche term was counted twice.", "vicinal gauche", 2.0),
    ("gauche-sign", "The vicinal gauche term was added to the wrong chair.", "vicinal gauche", -1.0),
    ("syn-dropped", "The syn-diaxial correction was left out.", "syn-diaxial", 0.0),
)


def _net(terms: Ledger) -> float:
    """G(B) - G(A) of a ledger."""
    return sum((1.0 if term.chair == "B" else -1.0) * (term.value_kcal_mol or 0.0) for term in terms)


def _scaled(term: LedgerTerm, kind: str, factor: float) -> LedgerTerm:
    """The term, if it is of this kind, multiplied, or with a factor of -1 moved to the other chair."""
    if term.kind != kind or term.value_kcal_mol is None:
        return term
    if factor == -1.0:
        return replace(term, chair="A" if term.chair == "B" else "B")
    return replace(term, value_kcal_mol=factor * term.value_kcal_mol)


def wrong_gaps(case: Case) -> Iterator[Candidate]:
    """(slip, words, wrong G(B) - G(A) in kcal/mol) for every slip that changes the gap itself."""
    terms, table = case.estimate.terms, case.table
    yield "sign-reversed", "The sign of the gap is reversed.", -_net(terms)
    sums = chair_sums(case.estimate)
    if min(abs(value) for value in sums.values()) > SAME_KCAL_MOL:
        yield (
            "sum-for-difference",
            "The energies of the two chairs were added; the gap is their difference.",
            sums["A"] + sums["B"],
        )
    for slip, words, ledger in slipped_ledgers(terms, table):
        yield slip, words, _net(ledger)
    yield from _of_isomers(case)


def slipped_ledgers(terms: Ledger, table: EstimateTable) -> Iterator[tuple[str, str, Ledger]]:
    """(slip, words, ledger) for every slip that changes terms of the ledger."""
    kinds = {"A-value", *(term.kind for term in terms)}
    for slip, words, kind, factor in _SCALED:
        if kind in kinds:
            yield slip, words, tuple(_scaled(term, kind, factor) for term in terms)
    if "syn-diaxial" in kinds:
        yield (
            "syn-added-twice",
            "The whole syn-diaxial energy was added on top of the A-values it partly replaces.",
            _whole_syn(terms, table),
        )
    axial = [term for term in terms if term.kind == "A-value" and term.value_kcal_mol is not None]
    for term in axial if len(axial) > 1 else []:
        words = f"The axial {term.groups[0]} on C{term.carbons[0]} was forgotten."
        yield "group-forgotten", words, tuple(other for other in terms if other is not term)
    yield from _wrong_rows(terms, table)


def _of_isomers(case: Case) -> Iterator[Candidate]:
    for misread in misreadings(case.facts):
        gap = estimated(misread.chairs, case.table).gap_kcal_mol
        if gap is not None:
            yield "flat-drawing-misread", misread.words, gap


def _whole_syn(terms: Ledger, table: EstimateTable) -> Ledger:
    return tuple(
        replace(term, value_kcal_mol=whole_pair_kcal_mol(term, table)) if term.kind == "syn-diaxial" else term
        for term in terms
    )


def _wrong_rows(terms: Ledger, table: EstimateTable) -> Iterator[tuple[str, str, Ledger]]:
    """The A-value of one group read from the row above or below in the table; in that of a book, from the
    rows that the book has."""
    rows = list(printed_only(table) or table.a_values)
    places = {row.group: index for index, row in enumerate(rows)}
    for group in sorted({term.groups[0] for term in terms if term.kind == "A-value"}):
        of_group = [term for term in terms if term.kind == "A-value" and term.groups[0] == group]
        in_b = sum(term.chair == "B" for term in of_group)
        if group not in places or 2 * in_b == len(of_group):  # the same in both chairs
            continue
        for other in (places[group] - 1, places[group] + 1):
            if 0 <= other < len(rows):
                value = rows[other].value_kcal_mol
                misread = [
                    replace(term, value_kcal_mol=value) if term in of_group else term for term in terms
                ]
                read = f"{rows[other].group} was read ({fixed(value, 2)} kcal/mol)."
                yield "wrong-row", f"For {group} the row of {read}", tuple(misread)


def _unit_slips(value: float) -> Iterator[Candidate]:
    yield "kcal-kj", "A number in kJ/mol stands under kcal/mol.", value * KJ_PER_KCAL
    yield "kcal-kj", "A number in kcal/mol stands under kJ/mol.", value / KJ_PER_KCAL


def _gap_slips(case: Case) -> Iterator[Candidate]:
    for slip, words, wrong in wrong_gaps(case):
        yield slip, words, _as_asked(case, wrong)
    yield from _unit_slips(_as_asked(case, _net(case.estimate.terms)))


def _as_asked(case: Case, gap_kcal_mol: float) -> float:
    return in_unit(case.claim, oriented(case, gap_kcal_mol)[0])[0]


def _term_slips(case: Case) -> Iterator[Candidate]:
    claim, chair = case.claim, case.chair
    terms = [
        item
        for item in case.estimate.terms
        if item.chair == chair.letter and set(item.carbons) == set(claim.carbons) and item.value_kcal_mol
    ]
    right = right_answer(case).value or 0.0
    yield "sign-reversed", "The sign is reversed.", -right
    kind = terms[0].kind if len(terms) == 1 else ""
    if kind == "A-value":
        yield (
            "half-a-value",
            "Only one of the two 1,3-diaxial contacts was counted: half of the A-value.",
            right / 2.0,
        )
        yield "double-a-value", "Twice the A-value was used.", right * 2.0
    if kind == "vicinal gauche":
        yield "gauche-twice", "The gauche term was counted twice.", right * 2.0
        yield "gauche-dropped", "The gauche term was taken as nothing.", 0.0
    if kind == "syn-diaxial":
        yield "counted-twice", "The pair was counted twice.", right * 2.0
        yield "syn-dropped", "The syn-diaxial energy was taken as nothing.", 0.0
    yield from _unit_slips(right)
    if len(terms) == 1 and terms[0].kind == "A-value":
        for slip, words, (wrong,) in _wrong_rows((terms[0],), case.table):
            yield slip, words, in_unit(claim, wrong.value_kcal_mol or 0.0)[0]


def _wrong_ks(claim: Claim, gap_kcal_mol: float) -> Iterator[Candidate]:
    """Slips on the way from a gap to K = [stable]/[other]."""
    for slip, words, exponent in wrong_exponents(claim.conventions.temperature_k, abs(gap_kcal_mol)):
        yield slip, words, exponential(exponent)


def wrong_exponents(kelvin: float, size: float) -> Iterator[Candidate]:
    """(slip, words, ln K) for a gap of that size in kcal/mol."""
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * kelvin
    yield "log10-for-ln", "log10 was used for ln: K = 10^(gap/RT).", math.log(10.0) * size / rt
    yield "log10-for-ln", "ln was used for log10: K = exp(gap/(2.303 RT)).", size / (math.log(10.0) * rt)
    for words, exponent in (
        ("R = 8.314 J/(mol K) was used with a gap in kcal/mol.", size * 1000.0 / (_R_J * kelvin)),
        ("R = 1.987 cal/(mol K) was used with a gap in kJ/mol.", size * KJ_PER_KCAL / rt),
        ("R = 0.0821 L atm/(mol K) was used with the gap in kcal/mol.", size / (_R_LITRE_ATM * kelvin)),
    ):
        yield "r-in-wrong-unit", words, exponent
    for wrong_r, right_r in ((1.897, 1.987), (1.978, 1.987), (8.134, 8.314), (8.341, 8.314)):
        yield "r-mistyped", f"R was mistyped: {wrong_r} for {right_r}.", size * right_r / (wrong_r * rt)
    celsius = kelvin - 273.15
    if celsius > 1.0:
        words = f"T was put in as {celsius:g} (degrees Celsius)."
        yield "celsius", words, size / (GAS_CONSTANT_KCAL_PER_MOL_K * celsius)
    yield "k-inverted", "K is inverted: [other]/[stable] is given, 1/K.", -size / rt


def _k_slips(case: Case) -> Iterator[Candidate]:
    yield from _wrong_ks(case.claim, case.gap_kcal_mol)
    k = equilibrium_constant(abs(case.gap_kcal_mol), case.conventions.temperature_k)
    yield "percent-for-k", "The percent of the stable chair is given for K.", 100.0 * k / (1.0 + k)
    yield "percent-for-k", "The fraction of the stable chair is given for K.", k / (1.0 + k)
    yield from (slip for slip in _ks_of_wrong_gaps(case) if slip[0] != "sign-reversed")


def _percent_slips(case: Case) -> Iterator[Candidate]:
    gap = case.gap_kcal_mol
    k = equilibrium_constant(abs(gap), case.conventions.temperature_k)
    share = k / (1.0 + k) if (of_stable := is_of_stable(case, a_stable=gap >= 0.0)) else 1.0 / (1.0 + k)
    yield "other-chair", "The percent of the other chair is given.", 100.0 - 100.0 * share
    yield "fraction-for-percent", "The fraction is given, not the percent.", share
    yield "ratio-for-percent", "The ratio K is given, not the percent.", k
    yield "one-minus-1-over-k", "100 (1 - 1/K) was taken for the percent.", 100.0 * (1.0 - 1.0 / k)
    yield "k-as-percent", "1/K in percent was taken for the minor share.", 100.0 / k
    for slip, words, wrong in (*_wrong_ks(case.claim, gap), *_ks_of_wrong_gaps(case)):
        if slip not in ("sign-reversed", "k-inverted"):
            stable = 100.0 * wrong / (1.0 + wrong)
            yield slip, words, stable if of_stable else 100.0 - stable


def _ks_of_wrong_gaps(case: Case) -> Iterator[Candidate]:
    for slip, words, wrong in wrong_gaps(case):
        yield slip, words, equilibrium_constant(abs(wrong), case.conventions.temperature_k)
