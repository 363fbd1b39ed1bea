"""The answer for one molecule: one headline, what its numbers mean, why, and what is published of it.

The headline counts towards the chair that it names, since a reader wants to know which chair and by how much;
everything below keeps to G(B) - G(A). Rejected: signed gaps in the headline, which make the reader look up
which chair is B before the answer is an answer.
"""

from collections.abc import Sequence
from math import fsum

from chairgap.compare.reasons import CHARGED
from chairgap.records import Chair, Outcome, Result, Settings
from chairgap.report.blocks import AsGiven, Part, Strong, bullets, paragraph, table
from chairgap.report.digest import lowest
from chairgap.report.headline import (
    chair_name,
    first_reason,
    headline_verdict,
    lacking_words,
    measured_sentences,
    media_of_parts,
    model_off,
    models_own,
    needs_a_look,
    short_standing,
)
from chairgap.report.measured import measured_equilibria
from chairgap.report.words import reason_words
from chairgap.units import fixed, signed

# As is usual, an uncertainty that begins with 1 keeps a second digit.
_TWO_DECIMALS_BELOW = 0.195
_HALF_A_HUNDREDTH = 0.005


def headline_sentence(outcome: Outcome, result: Result) -> str:
    """'Chair 1e 2e (A) by 2.4 +- 0.5 kcal/mol, 98 % (hand sum 2.6, MMFF94 2.4: both agree)'."""
    settings, headline = outcome.study.settings, result.headline
    beside = f"({_beside(result, settings)})"
    if headline.gap_kcal_mol is None:
        note = result.anchored.note or "a part of it could not be computed"
        return f"No gap between the chairs: {note} {beside}"
    if headline.chair == "non-chair":
        best = lowest(result.conformers)
        form = "another ring shape" if best is None or best.chairs_held else f"a {best.shape.family}"
        return f"No chair: {settings.model} prefers {form}; between the chairs {_between(result)} {beside}"
    if headline.chair == "equal":
        return f"Neither chair: equal by symmetry, the gap is exactly 0, 50 % each {beside}"
    if headline.chair == "undecided":
        return f"Undecided, within the uncertainty: {_between(result)} {beside}"
    letter = _letter(result)
    return f"Chair {chair_name(result, letter)} ({letter}) by {_size(result)}, {_percent(result)} % {beside}"


def conditions_sentence(outcome: Outcome, result: Result) -> str:
    """What the numbers of the headline are: kind of energy, temperature, direction, medium of each part."""
    settings, gap = outcome.study.settings, result.headline.gap_kcal_mol
    direction = ""
    if gap is not None and result.headline.chair != "equal":
        other, named = ("B", "A") if gap > 0.0 else ("A", "B")
        direction = f", G({chair_name(result, other)}) - G({chair_name(result, named)})"
    elif gap is None:
        direction = ", G(B) - G(A)"
    medium = media_of_parts(result.anchored, outcome.table, settings)
    said = f" Medium of the gap: {medium}." if medium else ""
    return f"Gibbs energies at {settings.temperature_k:.2f} K{direction}; percent of both chairs.{said}"


def why_sentence(outcome: Outcome, result: Result) -> str:
    """The reason in one sentence: why hand sum or model differ, else what the gap is made of."""
    settings, reasons = outcome.study.settings, result.comparison.reasons
    if result.headline.chair == "equal" and headline_verdict(result) == "agrees":
        return "Why: the two chairs are the same or mirror images."
    if result.headline.chair == "non-chair":
        gap = result.gaps.to_non_chair_kcal_mol
        lies = (
            "" if gap is None else f": best non-chair - best chair = {signed(gap)} kcal/mol, potential energy"
        )
        return f"Why: {settings.model} puts another ring shape first{lies}; hand rules know only chairs."
    if any(reason.code == CHARGED for reason in reasons):
        return (
            "Why not comparable: a group is charged; its A-value is of solutions, and the model's gap is not "
            "comparable with it."
        )
    parts = result.anchored.parts
    if needs_a_look(result):
        off = model_off(outcome, result) if len(parts) == 1 and parts[0].kind == "measured A-value" else ""
        if off:
            return f"Why they differ: {off}."
        if headline_verdict(result) == "disagrees":
            reason = first_reason(result)
            return f"Why they differ, {reason_words(reason)}." if reason else ""
        return " ".join(line for line in (_made_of(result), _incomplete(result, settings)) if line)
    return _made_of(result)


def _incomplete(result: Result, settings: Settings) -> str:
    """Why there is no whole hand sum to compare with, and what the model's agreement is then worth."""
    lacks = lacking_words(result)
    own = f"; the gap is {settings.model}'s own, so nothing confirms it" if models_own(result) else ""
    return f"The hand sum is incomplete: {lacks}{own}." if lacks else ""


def answer_lines(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """Headline, conditions, reason, and what is measured: the answer as every output begins with it."""
    lines = (
        headline_sentence(outcome, result),
        why_sentence(outcome, result),
        conditions_sentence(outcome, result),
        *measured_sentences(outcome, result)[:1],
        *measured_equilibria(outcome, result),
    )
    return tuple(line for line in lines if line)


def headline_part(outcome: Outcome, result: Result) -> Part:
    """The answer as a part of the report and of the page."""
    first, *more = answer_lines(outcome, result)
    return Part(key="headline", blocks=(paragraph(Strong(first)), *map(paragraph, more)))


def answer_part(outcome: Outcome, result: Result) -> Part:
    """What a study of one molecule found, before anything else: its answer with both chairs."""
    chairs = bullets([chair_line(chair) for chair in result.chairs])
    answer = headline_part(outcome, result)
    return Part(key="answers", title="Answer", blocks=(*answer.blocks[:2], *chairs, *answer.blocks[2:]))


def answer_row(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """A molecule in the table of answers: its name, and its headline."""
    return AsGiven(result.molecule.name), Strong(headline_sentence(outcome, result))


def answers_part(rows: Sequence[tuple[str, ...]], settings: Settings) -> Part:
    """What a study of several molecules found, before anything else: rows of `answer_row`."""
    if not rows:
        return Part(key="answers", blocks=())
    note = (
        f"Gibbs energies at {settings.temperature_k:.2f} K, counted towards the chair that the headline "
        "names; percent of both chairs. Each molecule has its reason, its medium and what is measured below."
    )
    return Part(key="answers", title="Answers", blocks=(table(("Molecule", "Answer"), rows), paragraph(note)))


def chair_line(chair: Chair) -> str:
    """'Chair A (1e 2e): axial none; equatorial 1 up CH3, 2 down CH3'."""

    def list_of(position: str) -> str:
        return ", ".join(f"{g.carbon} {g.face} {g.group}" for g in chair.groups if g.position == position)

    return (
        f"Chair {chair.letter} ({chair.name}): axial {list_of('axial') or 'none'}; "
        f"equatorial {list_of('equatorial') or 'none'}"
    )


def _made_of(result: Result) -> str:
    """What the parts add up to, towards the chair of the headline."""
    parts, towards = result.anchored.parts, _towards(result)
    if not parts:
        return ""
    if len(parts) == 1:
        kind = "measured A-value" if parts[0].kind == "measured A-value" else "computed gap"
        return f"Why: it is the {kind} of {parts[0].groups[0]}."
    single = ("measured A-value", "computed single group")
    alone = fsum(part.value_kcal_mol for part in parts if part.kind in single)
    rest = fsum(part.value_kcal_mol for part in parts if part.kind not in single)
    words = "A-values" if all(part.kind != "computed single group" for part in parts) else "groups alone"
    shown = [fixed(towards * value, 2) for value in (alone, rest, alone + rest)]
    rounded = "" if _adds_up(*map(float, shown)) else " (each rounded by itself)"
    return (
        f"Why: {words} {shown[0]} and what the groups do to each other {shown[1]} add up to {shown[2]} "
        f"kcal/mol{rounded}."
    )


def _adds_up(one: float, other: float, total: float) -> bool:
    return abs(one + other - total) < _HALF_A_HUNDREDTH


def _beside(result: Result, settings: Settings) -> str:
    """'hand sum 2.6, MMFF94 2.4: both agree', towards the chair of the headline."""
    hand, model = result.estimate.shown_kcal_mol[0], result.gaps.gibbs_kcal_mol
    decimals, towards = _decimals(result), _towards(result)

    def shown(gap_kcal_mol: float | None) -> str:
        return "none" if gap_kcal_mol is None else fixed(towards * gap_kcal_mol, decimals)

    incomplete = "" if result.estimate.complete else " incomplete"
    by_hand = "incomplete" if hand is None and incomplete else f"{shown(hand)}{incomplete}"
    standing = short_standing(result, settings)[2:]
    return f"hand sum {by_hand}, {settings.force_field_or_quantum_method} {shown(model)}: {standing}"


def _between(result: Result) -> str:
    """'0.4 +- 0.9 kcal/mol towards chair B (1a 3a), 67 %'."""
    if result.headline.chair == "non-chair" and not result.anchored.parts:
        return "the gap is 0 by symmetry"
    letter = _letter(result)
    return f"{_size(result)} towards chair {letter} ({chair_name(result, letter)}), {_percent(result)} %"


def _size(result: Result) -> str:
    headline, decimals = result.headline, _decimals(result)
    gap = abs(headline.gap_kcal_mol or 0.0)
    return f"{fixed(gap, decimals)} +- {fixed(headline.uncertainty_kcal_mol, decimals)} kcal/mol"


def _percent(result: Result) -> str:
    return fixed(result.headline.percent, 0)


def _letter(result: Result) -> str:
    """The chair that the gap favours."""
    return "A" if (result.headline.gap_kcal_mol or 0.0) > 0.0 else "B"


def _towards(result: Result) -> int:
    """1 where the headline counts towards chair A, -1 towards chair B."""
    gap = result.headline.gap_kcal_mol
    return -1 if gap is not None and gap < 0.0 else 1


def _decimals(result: Result) -> int:
    uncertainty = result.headline.uncertainty_kcal_mol
    return 2 if uncertainty < _TWO_DECIMALS_BELOW and result.headline.gap_kcal_mol else 1
