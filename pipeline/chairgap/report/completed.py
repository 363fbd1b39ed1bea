"""The completed sum in words: each line with what it is and where it comes from, subtotals, and the total."""

from collections.abc import Iterator
from math import fsum

from chairgap.compare.split import signed_share, sites_of_term
from chairgap.records import CompletedSum, LedgerTerm, Outcome, PairTerm, Result
from chairgap.report.blocks import Part, paragraph, table
from chairgap.report.words import estimate_words, joined_numbers, medium_words, source_words, with_range
from chairgap.units import fixed, signed

COMPLETED_TITLE = "Completed sum G(B) - G(A), Gibbs energy, kcal/mol (positive: towards chair A)"
COMPLETED_HEAD = ("Line", "Carbons", "Groups", "kcal/mol", "+-", "From", "Medium, temperature")
Cells = tuple[str, ...]


def origin_words(term: LedgerTerm | PairTerm) -> str:
    """'published', 'computed, MMFF94' or 'declared by you'; '' for a term without a published value."""
    if isinstance(term, LedgerTerm):
        return "" if term.value_kcal_mol is None else "published"
    return f"computed, {term.source}" if term.origin == "computed" else "declared by you"


def pair_words(term: PairTerm) -> str:
    """The line of a pair in a sentence without full stop."""
    (one, other), (first, second) = term.groups, term.carbons
    by = origin_words(term) + (f", source: {term.source}" if term.origin == "declared" else "")
    return (
        f"what {one} on C{first} and {other} on C{second} ({term.relation}) do to each other, beyond their "
        f"A-values: {by}; {conditions_words(term)}"
    )


def conditions_words(term: PairTerm) -> str:
    """'gas phase, 298.15 K'; 'medium not stated' where a user states none."""
    at = "" if term.temperature_k is None else f", {term.temperature_k:g} K"
    return f"{term.medium or 'medium not stated'}{at}"


def completed_words(completed: CompletedSum) -> str:
    """'+0.37 (-0.10 to 0.84)', with 'incomplete' when a value is missing; or 'none'."""
    low, high = completed.range_kcal_mol or (None, None)
    text = with_range(completed.gap_kcal_mol, low, high) or "none"
    return text if completed.complete else f"{text}, incomplete"


def both_sums(result: Result) -> str:
    """The hand sum, and the completed sum beside it where there is one."""
    hand = estimate_words(result)
    return f"{hand}; completed {completed_words(result.completed)}" if result.completed else hand


def counts_in(term: LedgerTerm | PairTerm, result: Result) -> str:
    """Which sum holds a term: 'hand sum', 'completed sum', 'both sums', or 'no sum' without a value."""
    if isinstance(term, PairTerm):
        return "completed sum"
    if term.value_kcal_mol is None:
        return "no sum"
    if result.completed is None or _replaced(term, result.completed):
        return "hand sum"
    return "both sums"


def _replaced(term: LedgerTerm, completed: CompletedSum) -> bool:
    return any(sites_of_term(pair) == sites_of_term(term) for pair in completed.pairs)


def completed_rows(outcome: Outcome, result: Result) -> list[Cells]:
    """The lines of the completed sum under `COMPLETED_HEAD`, those of one origin with their subtotal, and the
    total; none without a completed sum."""
    completed = result.completed
    if completed is None:
        return []
    rows: list[Cells] = []
    for title, found in _sections(completed):
        rows += [_row(outcome, term) for term in found]
        rows.append((f"subtotal: {title}", "", "", signed(fsum(_share(term) for term in found)), "", "", ""))
    return [*rows, ("completed sum", "", "", signed(completed.gap_kcal_mol), "", "", "")]


def _sections(completed: CompletedSum) -> Iterator[tuple[str, list[LedgerTerm | PairTerm]]]:
    """Terms by kind and origin, published ones first; only what there is."""
    known = [term for term in completed.published.terms if term.value_kcal_mol is not None]
    found: dict[str, list[LedgerTerm | PairTerm]] = {
        "A-values, published": [term for term in known if term.kind == "A-value"],
        "pairs, published": [term for term in known if term.kind != "A-value"],
    }
    for pair in completed.pairs:
        found.setdefault(f"pairs, {origin_words(pair)}", []).append(pair)
    return ((title, terms) for title, terms in found.items() if terms)


def _share(term: LedgerTerm | PairTerm) -> float:
    return term.value_kcal_mol if isinstance(term, PairTerm) else signed_share(term) or 0.0


def _row(outcome: Outcome, term: LedgerTerm | PairTerm) -> Cells:
    if isinstance(term, PairTerm):
        declared = f": {term.source}" if term.origin == "declared" else ""
        line, error = f"pair, {term.relation}", fixed(term.uncertainty_kcal_mol, 2)
        origin, medium = f"{origin_words(term)}{declared}", conditions_words(term)
    else:
        line, error = f"{term.kind}, chair {term.chair}", ""
        origin, medium = f"published, {source_words(term.source, outcome.table)}", medium_words(term)
    carbons, groups = joined_numbers(term.carbons), ", ".join(term.groups)
    return line, carbons, groups, signed(_share(term)), error, origin, medium


def completed_sentences(result: Result) -> tuple[str, ...]:
    """What the completed sum is beside the hand sum, and what it lacks; empty without one."""
    completed = result.completed
    if completed is None:
        return ()
    lines = [
        f"Hand sum as taught, published values alone: {estimate_words(result)}; completed sum: "
        f"{completed_words(completed)}. Each pair of groups is counted once: one with a published value gets "
        "no computed one."
    ]
    if not completed.pairs:
        lines.append("Nothing was added: no pair lacks a published value, or symmetry makes what it adds 0.")
    if completed.missing:
        named = "; ".join(completed.missing)
        lines.append(f"The completed sum is incomplete. Without a value, and left out: {named}.")
    if len(result.chairs[0].groups) > 2:
        lines.append(
            "What three and more groups do beyond their pairs is in no line; the anchored gap has it as a "
            "part."
        )
    return tuple(lines)


def completed_part(outcome: Outcome, result: Result) -> Part:
    """The completed sum as a table with its subtotals; without one a part that says nothing."""
    rows = completed_rows(outcome, result)
    if not rows:
        return Part(key="completed", blocks=())
    body, words = table(COMPLETED_HEAD, rows, right=(3, 4), totals=1), paragraph(*completed_sentences(result))
    return Part(key="completed", title=COMPLETED_TITLE, blocks=(body, words))
