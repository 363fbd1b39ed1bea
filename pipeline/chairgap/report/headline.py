"""The answer for one molecule in words: preferred chair by the anchored gap, how sure, and how hand sum and
model stand to it."""

import math
from dataclasses import replace
from itertools import chain

from chairgap.compare.reasons import DIPOLE, MISSING
from chairgap.records import (
    Anchored,
    AnchoredPart,
    AValueRow,
    EstimateTable,
    Outcome,
    Reason,
    Result,
    Settings,
    Standing,
    Verdict,
)
from chairgap.report.blocks import Part, Table, bullets, table
from chairgap.report.words import VERDICT_MARKS, code_words, joined_numbers, short_cited, source_words
from chairgap.units import fixed, signed

_NOT_STATED = "a solvent that its source does not state"
_ROUNDED = 0.005
_SAME_KCAL_MOL = 1e-6
_SINGLE_GROUP = "model-error-of-single-groups"
_STANDING: dict[Standing, str] = {
    "agrees": "agrees",
    "differs": "differs",
    "opposite chair": "prefers the opposite chair",
    "incomplete": "is incomplete",
    "not comparable": "is not comparable",
    "none": "is missing",
}
_SHORT: dict[Standing, str] = {"differs": " differs", "opposite chair": ": opposite chair"}


def headline_chair(result: Result) -> str:
    """The preferred chair, named by who is axial, with its letter; or why there is none."""
    chair = result.headline.chair
    if chair == "A" or chair == "B":
        return f"{chair_name(result, chair)} ({chair})"
    return "equal by symmetry" if chair == "equal" else chair


def chair_name(result: Result, letter: str) -> str:
    """'1a 2e', the chair of this letter named by who is axial."""
    return next(chair.name for chair in result.chairs if chair.letter == letter)


def anchored_words(anchored: Anchored) -> str:
    """'+2.44 +- 0.31', '0 by symmetry', which is exact, or 'none'."""
    gap = anchored.gap_kcal_mol
    if gap == 0.0 and not anchored.parts:
        return "0 by symmetry"
    return "none" if gap is None else f"{signed(gap)} +- {fixed(anchored.uncertainty_kcal_mol, 2)}"


def percent_words(result: Result) -> str:
    """'98 (96 to 99)': percent of the chair which the anchored gap favours, among both; '' without a gap, and
    where the best form is no chair, so that the share of a chair among both says nothing."""
    headline = result.headline
    if (
        headline.chair == "non-chair"
        or headline.percent is None
        or headline.low_percent is None
        or headline.high_percent is None
    ):
        return ""
    low, high = fixed(headline.low_percent, 0), fixed(headline.high_percent, 0)
    middle = fixed(headline.percent, 0)
    return middle if low == middle == high else f"{middle} ({low} to {high})"


def headline_verdict(result: Result) -> Verdict:
    """Whether hand sum and model agree with the anchored gap; 'undecided' where neither chair is preferred
    and both agree on that; 'not comparable' only where the best form is no chair, a group is charged, there
    is no gap, or nothing stands beside a gap that is the model's own. An incomplete hand sum leaves the
    verdict to the model."""
    headline = result.headline
    both = (headline.hand_sum, headline.model)
    if "not comparable" in both or headline.chair in ("non-chair", "unknown"):
        return "not comparable"
    if "differs" in both or "opposite chair" in both:
        return "disagrees"
    if headline.chair == "undecided":
        return "undecided"
    return "not comparable" if headline.hand_sum == "incomplete" and models_own(result) else "agrees"


def _alone(result: Result) -> bool:
    """Nothing is compared since the gap is the model's own, not for another reason."""
    return result.headline.model == "agrees" and models_own(result)


def models_own(result: Result) -> bool:
    """Whether the anchored gap is the computed gap by construction: no part of it is measured, declared or
    by another method, so that the two cannot differ."""
    gibbs, parts = result.gaps.gibbs_kcal_mol, result.anchored.parts
    origins = {part.origin for part in parts}
    computed = all(part.kind in ("computed single group", "more than two groups", "pair") for part in parts)
    return (
        computed
        and len(origins) == 1
        and gibbs is not None
        and math.isclose(gibbs, result.anchored.gap_kcal_mol or 0.0, abs_tol=_SAME_KCAL_MOL)
    )


def needs_a_look(result: Result) -> bool:
    """Hand sum or model does not agree with the anchored gap."""
    return {result.headline.hand_sum, result.headline.model} != {"agrees"}


def farthest_kcal_mol(result: Result) -> float | None:
    """How far off the one of complete hand sum and model is that lies farther from the anchored gap; None
    without an anchored gap."""
    gap = result.anchored.gap_kcal_mol
    if gap is None:
        return None
    hand = result.estimate.gap_kcal_mol if result.estimate.complete else None
    others = [other - gap for other in (hand, result.gaps.gibbs_kcal_mol) if other is not None]
    return max(others, key=abs, default=None)


def short_standing(result: Result, settings: Settings) -> str:
    """The verdict with its mark, such as 'x MMFF94 differs' or '+ both agree'."""
    verdict, headline = headline_verdict(result), result.headline
    model = settings.force_field_or_quantum_method
    if verdict == "disagrees":
        apart = [
            (who, _SHORT[standing])
            for who, standing in (("hand sum", headline.hand_sum), (model, headline.model))
            if standing in _SHORT
        ]
        same = len(apart) == 2 and apart[0][1] == apart[1][1]
        words = (
            {" differs": "both differ"}.get(apart[0][1], "both: opposite chair")
            if same
            else ", ".join(f"{who}{word}" for who, word in apart)
        )
    elif verdict == "agrees":
        words = "both agree" if headline.hand_sum == "agrees" else f"{model} agrees"
    else:
        words = f"{model} alone" if verdict == "not comparable" and _alone(result) else verdict
    return f"{VERDICT_MARKS[verdict]} {words}"


def standing_words(result: Result, settings: Settings) -> str:
    """'hand sum +2.50 agrees, MMFF94 +2.41 agrees'; an incomplete sum and a missing gap are named so."""
    headline = result.headline
    hand, model = result.estimate.shown_kcal_mol[0], result.gaps.gibbs_kcal_mol
    shown = [
        f"{who} {'' if gap is None else f'{signed(gap)} '}{_STANDING[standing]}"
        for who, gap, standing in (
            ("hand sum", hand, headline.hand_sum),
            (settings.model, model, headline.model),
        )
    ]
    return ", ".join(shown)


def media_in_series(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """For each medium of the series, which media the parts of the anchored gap there belong to."""
    settings, in_media = outcome.study.settings, outcome.study.tables.in_media
    return tuple(
        media_of_parts(anchored, in_media[medium.name], replace(settings, medium=medium))
        for medium, anchored in zip(settings.medium_series, result.anchored_in_media, strict=True)
    )


def media_of_parts(anchored: Anchored, a_values: EstimateTable, settings: Settings) -> str:
    """The medium of each part: 'A-value of OH in CS2; computed parts by MMFF94, water'; '' without parts."""
    parts = anchored.parts
    of_groups: dict[str, str] = {}
    for part in parts:
        row = measured_row(part, a_values)
        if row is not None:
            of_groups[part.groups[0]] = _solvent(row)
    media: dict[str, list[str]] = {}
    for group, solvent in of_groups.items():
        media.setdefault(solvent, []).append(group)
    words = [f"A-value of {', '.join(groups)} in {solvent}" for solvent, groups in media.items()]
    if _NOT_STATED in media:
        words[-1] += " (A-values are mostly of CFCl3, CS2 and CCl4)"
    computed = {part.origin: None for part in parts if part.kind not in ("measured A-value", "declared pair")}
    for origin in computed:
        medium = settings.medium.name if origin == settings.model else "gas phase"
        method = settings.force_field_or_quantum_method if origin == settings.model else origin
        words.append(f"computed parts by {method}, {medium}")
    words += [
        f"{'/'.join(part.groups)} {part.relation} as you declared it"
        for part in parts
        if part.kind == "declared pair"
    ]
    return "; ".join(words)


def measured_sentences(outcome: Outcome, result: Result) -> tuple[str, ...]:
    """For one group with an A-value: what was measured, with its source, and how far off the model is. Empty
    for other molecules."""
    parts = result.anchored.parts
    row = measured_row(parts[0], outcome.table) if len(parts) == 1 else None
    if row is None:
        return ()
    where = [row.method, "" if row.temperature_k is None else f"{row.temperature_k:g} K", _solvent_of(row)]
    known = f", {_KNOWN[row.known]}" if row.known in _KNOWN else ""
    measured = (
        f"Measured for {row.group}: G(axial) - G(equatorial) = {signed(row.value_kcal_mol)} kcal/mol "
        f"({fixed(row.low_kcal_mol, 2)} to {fixed(row.high_kcal_mol, 2)}), "
        f"{', '.join(word for word in where if word)}{known}; source: "
        f"{short_cited(row.source, outcome.table, row.known)}."
    )
    off = model_off(outcome, result)
    return (measured, f"{off}.") if off else (measured,)


def model_off(outcome: Outcome, result: Result) -> str:
    """'MMFF94 gives -0.10 kcal/mol at 298.15 K, 0.63 too low, and the wrong sign'; '' without two gaps."""
    model, gap = result.gaps.gibbs_kcal_mol, result.anchored.gap_kcal_mol
    if model is None or gap is None:
        return ""
    settings, off = outcome.study.settings, model - gap
    size = fixed(abs(off), 2)
    words = "the same" if abs(off) < _ROUNDED else f"{size} too {'high' if off > 0.0 else 'low'}"
    sign = ", and the wrong sign" if model * gap < 0.0 else ""
    return f"{settings.model} gives {signed(model)} kcal/mol at {settings.temperature_k:.2f} K, {words}{sign}"


def short_off(result: Result, settings: Settings) -> str:
    """'MMFF94 0.63 too low' for one measured group, else ''."""
    model, gap, parts = result.gaps.gibbs_kcal_mol, result.anchored.gap_kcal_mol, result.anchored.parts
    if len(parts) != 1 or parts[0].kind != "measured A-value" or model is None or gap is None:
        return ""
    side = "high" if model > gap else "low"
    return f"{settings.force_field_or_quantum_method} {fixed(abs(model - gap), 2)} too {side}"


def shown_reasons(outcome: Outcome, result: Result) -> tuple[Reason, ...]:
    """The reasons; for one measured group not that the model errs for this group, which the measured value
    beside the model's says better."""
    reasons = result.comparison.reasons
    if not measured_sentences(outcome, result):
        return reasons
    return tuple(reason for reason in reasons if reason.code != _SINGLE_GROUP)


def first_reason(result: Result) -> Reason | None:
    """The first reason. Of a difference a value that the hand sum lacks does not say why the model differs,
    so that it stands behind others; but unequal dipoles are only a hint at what a solvent may do, and stand
    behind what accounts for a part of the difference, and behind a missing value."""
    reasons = result.comparison.reasons
    if headline_verdict(result) != "disagrees":
        return next(iter(reasons), None)
    others = [reason for reason in reasons if reason.code != MISSING]
    first = next(iter(others or reasons), None)
    if first is None or first.code != DIPOLE:
        return first
    sized = (reason for reason in others if reason.size_kcal_mol is not None)
    missing = (reason for reason in reasons if reason.code == MISSING)
    return next(chain(sized, missing), first)


def main_reason(outcome: Outcome, result: Result) -> str:
    """Why hand sum and model do not both agree with the anchored gap, in a few words; '' where they do, or
    without a reason."""
    if not needs_a_look(result):
        return ""
    reason = first_reason(result)
    lacks = "" if headline_verdict(result) == "disagrees" else lacking_words(result)
    off = short_off(result, outcome.study.settings)
    return off or lacks or (code_words(reason) if reason else "")


def lacking_words(result: Result) -> str:
    """'no published value for geminal C6H5/CH3 (in chair A and B)', which leaves the hand sum incomplete; ''
    where the sum is whole."""
    if result.headline.hand_sum != "incomplete":
        return ""
    return next((one.evidence for one in result.comparison.reasons if one.code == MISSING), "")


PARTS_HEAD = ("Part", "Carbons", "Groups", "kcal/mol", "+-", "From")


def parts_rows(outcome: Outcome, result: Result) -> list[tuple[str, ...]]:
    """The parts of the anchored gap and their sum, as cells under `PARTS_HEAD`."""
    anchored = result.anchored
    rows = [
        (
            part.kind if part.relation is None else f"{part.kind}, {part.relation}",
            joined_numbers(part.carbons),
            ", ".join(part.groups),
            signed(part.value_kcal_mol),
            fixed(part.uncertainty_kcal_mol, 2),
            source_words(part.origin, outcome.table) if part.kind == "measured A-value" else part.origin,
        )
        for part in anchored.parts
    ]
    uncertainty = fixed(anchored.uncertainty_kcal_mol, 2)
    total = ("anchored gap", "", "", signed(anchored.gap_kcal_mol), uncertainty, "")
    return [*rows, total] if rows else []


def anchored_part(outcome: Outcome, result: Result) -> Part:
    """The parts of the anchored gap as a table with their sum."""
    rows = parts_rows(outcome, result)
    shown: tuple[Table, ...] = (table(PARTS_HEAD, rows, right=(3, 4), totals=1),) if rows else ()
    note = bullets([f"No parts: {result.anchored.note}."] if result.anchored.note else [])
    return Part(
        key="anchored",
        title="Parts of the anchored gap G(B) - G(A), kcal/mol (positive: towards chair A)",
        blocks=(*shown, *note),
    )


def measured_row(part: AnchoredPart, a_values: EstimateTable) -> AValueRow | None:
    """The row of the A-value table behind a part; None for a computed part."""
    if part.kind != "measured A-value":
        return None
    rows = [row for row in a_values.a_values if row.group == part.groups[0] and row.source == part.origin]
    size = abs(part.value_kcal_mol)
    exact = (row for row in rows if math.isclose(abs(row.value_kcal_mol), size, abs_tol=1e-9))
    return next(exact, None)


_KNOWN = {
    "compilation": "as a compilation quotes it",
    "derived": "our arithmetic from a published equilibrium",
}


def _solvent(row: AValueRow) -> str:
    solvent = row.medium or row.solvent
    return _NOT_STATED if not solvent or solvent.startswith("not stated") else solvent


def _solvent_of(row: AValueRow) -> str:
    solvent = _solvent(row)
    return "solvent not stated" if solvent == _NOT_STATED else f"in {solvent}"
