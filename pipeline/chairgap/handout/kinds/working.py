"""A worked solution, step by step, right or with one slip: every step follows from those before it as they
stand."""

from dataclasses import dataclass
from fractions import Fraction

from chairgap.answer_key.rules.answers.equilibrium import exponential
from chairgap.estimate.ledger import energy_words
from chairgap.handout import wording
from chairgap.handout.posed import Posed
from chairgap.records import Chair, LedgerTerm, Settings
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, signed

READING, CHAIR_1, CHAIR_2, ENERGY_1, ENERGY_2, GAP, PREFERRED, K, PERCENT = range(1, 10)


@dataclass(frozen=True, kw_only=True)
class Working:
    """What the steps of a solution rest on, each as the solution has it. chairs: in the order of the frames,
    as the solution labels them; terms: theirs, one tuple a chair. gap_kcal_mol, exponent (ln K) and
    percent have the direction of the sheet; prefers_equatorial: whether the chair named as preferred has
    the reference group equatorial."""

    chairs: tuple[Chair, Chair]
    terms: tuple[tuple[LedgerTerm, ...], tuple[LedgerTerm, ...]]
    gap_kcal_mol: float
    prefers_equatorial: bool
    exponent: float
    percent: float


def worked(
    posed: Posed,
    settings: Settings,
    *,
    chairs: tuple[Chair, Chair] | None = None,
    terms: tuple[tuple[LedgerTerm, ...], tuple[LedgerTerm, ...]] | None = None,
    changes: dict[str, float | bool] | None = None,
) -> Working:
    """The solution that goes on rightly from what is given; changes: gap_kcal_mol, prefers_equatorial,
    exponent or percent as a slip has it."""
    given = changes or {}
    seen = chairs or wording.left_and_right(posed)
    ledger = terms or _ledger(posed)
    sums = [total(one) for one in ledger]
    gap = float(given.get("gap_kcal_mol", float(sums[axial_place(posed)] - sums[1 - axial_place(posed)])))
    exponent = float(given.get("exponent", gap / (GAS_CONSTANT_KCAL_PER_MOL_K * settings.temperature_k)))
    k = exponential(exponent)
    return Working(
        chairs=seen,
        terms=ledger,
        gap_kcal_mol=gap,
        prefers_equatorial=bool(given.get("prefers_equatorial", gap > 0.0)),
        exponent=exponent,
        percent=float(given.get("percent", 100.0 * k / (1.0 + k))),
    )


def axial_place(posed: Posed) -> int:
    """0 where the reference group is axial in chair 1, 1 where it is in chair 2."""
    left, _ = wording.left_and_right(posed)
    return 0 if wording.reference_in(left, posed).position == "axial" else 1


def _ledger(posed: Posed) -> tuple[tuple[LedgerTerm, ...], tuple[LedgerTerm, ...]]:
    return of_chairs(posed, posed.estimate.terms)


def of_chairs(
    posed: Posed, terms: tuple[LedgerTerm, ...]
) -> tuple[tuple[LedgerTerm, ...], tuple[LedgerTerm, ...]]:
    """The terms of chair 1 and of chair 2."""
    left, right = (
        tuple(term for term in terms if term.chair == chair.letter) for chair in wording.left_and_right(posed)
    )
    return left, right


def total(terms: tuple[LedgerTerm, ...]) -> Fraction:
    """The sum, exact in the decimals that are shown."""
    return sum((shown(term) for term in terms), Fraction(0))


def shown(term: LedgerTerm) -> Fraction:
    """The energy as `energy_words` writes it."""
    return Fraction(energy_words(term.value_kcal_mol or 0.0).replace(",", ""))


def step_lines(posed: Posed, working: Working, settings: Settings) -> tuple[str, ...]:
    """The steps in words."""
    place, who = axial_place(posed), wording.reference_words(posed)
    axial, equatorial = wording.FRAMES[place], wording.FRAMES[1 - place]
    sums = [total(one) for one in working.terms]
    gap, rt = working.gap_kcal_mol, GAS_CONSTANT_KCAL_PER_MOL_K * settings.temperature_k
    first, second = (energy_words(float(sums[one])) for one in (place, 1 - place))
    preferred = equatorial if working.prefers_equatorial else axial
    k = wording.three_digits(exponential(working.exponent))
    return (
        f"From the drawing: {', '.join(wording.group_words(group) for group in working.chairs[0].groups)}.",
        *(
            f"{name.capitalize()}: {wording.pattern_words(chair)}."
            for name, chair in zip(wording.FRAMES, working.chairs, strict=True)
        ),
        *(
            f"Energy of {name}: {_sum_words(terms)}."
            for name, terms in zip(wording.FRAMES, working.terms, strict=True)
        ),
        f"dG = G({axial}) - G({equatorial}), from {first} and {second}: "
        f"dG = {wording.with_sign(gap)} kcal/mol.",
        f"The preferred chair is {preferred}, with {who} "
        f"{'equatorial' if preferred == equatorial else 'axial'}.",
        f"K = [{equatorial}] / [{axial}] = exp(dG / RT) at {settings.temperature_k:.2f} K, RT = {rt:.4f} "
        f"kcal/mol: ln K = {signed(working.exponent)}, K = {k}.",
        f"Of the molecules {wording.percent_words(working.percent)} are in {equatorial}.",
    )


def _sum_words(terms: tuple[LedgerTerm, ...]) -> str:
    """'1.74 (CH3 on carbon 1, axial) + 0.90 (...) = 2.64 kcal/mol'."""
    if not terms:
        return "no term, 0.00 kcal/mol"
    words = ""
    for term in terms:
        value = term.value_kcal_mol or 0.0
        joined = " - " if value < 0.0 else " + "
        before = joined if words else "-" if value < 0.0 else ""
        words += f"{before}{energy_words(abs(value))} ({_what(term)})"
    return f"{words}{'' if len(terms) == 1 else f' = {energy_words(float(total(terms)))}'} kcal/mol"


def _what(term: LedgerTerm) -> str:
    where = " and ".join(
        f"{group} on carbon {carbon}" for group, carbon in zip(term.groups, term.carbons, strict=False)
    )
    kind = {"A-value": "axial", "syn-diaxial": "1,3-diaxial, on top", "vicinal gauche": "gauche"}
    return f"{where}, {kind.get(term.kind, term.kind)}"
