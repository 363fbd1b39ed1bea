"""What a key says of one question: the ledger, the estimate with what follows from it, the computation."""

from dataclasses import dataclass

from chairgap.answer_key.rules.choosing import chair_sums
from chairgap.estimate.ledger import energy_words
from chairgap.handout import wording
from chairgap.handout.posed import Posed
from chairgap.records import Outcome, Settings
from chairgap.report.words import reason_words, short_verdict
from chairgap.units import signed


@dataclass(frozen=True, kw_only=True)
class Term:
    """A line of the ledger: its chair, in words, and its energy in kcal/mol."""

    chair: str
    words: str
    value: str


@dataclass(frozen=True, kw_only=True)
class Glance:
    """The answer to (c) and (d) in one line of a table: dG with its direction, its range over the table, the
    preferred chair, and the chair of which K and percent are."""

    gap: str
    over: str
    preferred: str
    equilibrium: str


def glance(posed: Posed, settings: Settings) -> Glance:
    """The estimate's numbers alone, in the direction of the sheet."""
    sign, estimate = wording.direction_of(posed), posed.estimate
    gap = sign * (estimate.gap_kcal_mol or 0.0)
    phrase = wording.range_words(*wording.turned(sign, estimate.low_kcal_mol, estimate.high_kcal_mol))
    chair = wording.preferred_chair(posed, gap, settings)
    axial, equatorial = axial_and_equatorial(posed)
    return Glance(
        gap=f"G({axial}) - G({equatorial}) = {signed(gap)}",
        over=f"({phrase})",
        preferred="neither" if chair is None else wording.frame_words(posed, chair),
        equilibrium=f"{equatorial}: {wording.equilibrium_words(gap, settings.temperature_k)}",
    )


def terms(posed: Posed) -> tuple[Term, ...]:
    """The ledger, chair 1 first."""
    letters = {chair.letter: wording.frame_words(posed, chair) for chair in posed.chairs}
    lines = [
        Term(chair=letters[term.chair], words=term.words, value=wording.plain_number(term.value_kcal_mol))
        for term in posed.estimate.terms
    ]
    return tuple(sorted(lines, key=lambda line: line.chair))


def estimate_lines(posed: Posed, settings: Settings) -> tuple[str, ...]:
    """dG of the estimate with its range, the chair, K and percent."""
    sign, estimate, who = wording.direction_of(posed), posed.estimate, wording.reference_words(posed)
    gap = sign * (estimate.gap_kcal_mol or 0.0)
    axial, equatorial = axial_and_equatorial(posed)
    low, high = wording.turned(sign, estimate.low_kcal_mol, estimate.high_kcal_mol)
    at = f"{settings.temperature_k:.2f} K"
    lines = [
        f"dG = G({axial}) - G({equatorial}) = {_sum_words(posed, sign)}{wording.with_sign(gap)} kcal/mol"
        f"{_over(low, high)}.",
        f"Preferred: {wording.preferred_words(posed, gap, settings)}.",
        f"At {at}: {wording.equilibrium_words(gap, settings.temperature_k)} for {equatorial}, the chair with "
        f"{who} equatorial.",
    ]
    if low is not None and high is not None and low < high:
        ends = (wording.equilibrium_words(end, settings.temperature_k) for end in (low, high))
        lines.append(f"At {at} over the range: {' to '.join(ends)}.")
    return tuple(lines)


def _over(low: float | None, high: float | None) -> str:
    phrase = wording.range_words(low, high)
    return f"; over the ranges of the table {phrase}" if phrase and low != high else ""


def axial_and_equatorial(posed: Posed) -> tuple[str, str]:
    """The frames in which the group that gives dG its direction is axial and equatorial."""
    by_position = {
        wording.reference_in(chair, posed).position: wording.frame_words(posed, chair)
        for chair in posed.chairs
    }
    return by_position["axial"], by_position["equatorial"]


def _sum_words(posed: Posed, sign: int) -> str:
    """'5.44 - 0.00 = ' for the sums of both chairs; '' where a term has no value of its own."""
    unknown = any(term.value_kcal_mol is None for term in posed.estimate.terms)
    if unknown or posed.result.gaps.equal_by_symmetry:
        return ""
    sums, (first, second) = chair_sums(posed.estimate), ("B", "A") if sign > 0 else ("A", "B")
    return f"{energy_words(sums[first])} - {energy_words(sums[second])} = "


def computed_lines(posed: Posed, outcome: Outcome) -> tuple[str, ...]:
    """What the model says beside the estimate, in the direction of the sheet."""
    settings, result, sign = outcome.study.settings, posed.result, wording.direction_of(posed)
    comparison, gap = result.comparison, result.gaps.gibbs_kcal_mol
    if gap is None:
        return ("No Gibbs gap was computed, since one chair has no minimum.",)
    low, high = wording.turned(sign, comparison.computed_low_kcal_mol, comparison.computed_high_kcal_mol)
    axial, equatorial = axial_and_equatorial(posed)
    lines = [
        f"{settings.force_field_or_quantum_method}, {settings.medium.name}: Gibbs energy, quasi-harmonic, at "
        f"{settings.temperature_k:.2f} K, G({axial}) - G({equatorial}) = {signed(sign * gap)} kcal/mol, "
        f"with the uncertainty of the model {wording.range_words(low, high)}; "
        f"{wording.equilibrium_words(sign * gap, settings.temperature_k)} for {equatorial} of both chairs.",
        f"Computation prefers: {_computed_preference(posed)}. Verdict on the estimate: "
        f"{short_verdict(comparison)}.",
    ]
    if comparison.reasons and not comparison.sign == comparison.size == "agrees":
        phrase = "; ".join(reason_words(reason) for reason in comparison.reasons)
        chair_a = wording.frame_words(posed, posed.chairs[0])
        where = f", carbons as in '{posed.result.molecule.groups_by_face}'" if posed.writing else ""
        lines.append(
            f"Reasons (as the tables of the study give them: gaps are G(B) - G(A), chair A is {chair_a}"
            f"{where}): {phrase}."
        )
    return tuple(lines)


def _computed_preference(posed: Posed) -> str:
    preferred = posed.result.comparison.preferred
    if preferred in ("A", "B"):
        chair = posed.chairs[preferred == "B"]
        return f"{wording.frame_words(posed, chair)} ({wording.pattern_words(chair)})"
    return {
        "equal": "neither, the chairs are equal by symmetry",
        "undecided": "neither, the gap is undecided",
        "non-chair": "non-chair",
    }[preferred]
