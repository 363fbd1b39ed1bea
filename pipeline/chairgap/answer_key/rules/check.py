"""The verdict on a claim: right, right under another convention, to be looked at, or wrong, and why."""

from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import PurePath

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.choosing import Case, stable_letter
from chairgap.answer_key.rules.diagnosing import diagnosed
from chairgap.answer_key.rules.numbering import numbers_used
from chairgap.answer_key.rules.published import measured, range_of
from chairgap.answer_key.rules.reading import COUNTS, overlaps, same
from chairgap.answer_key.rules.sensitivity import ON_GAP, sensitivity
from chairgap.answer_key.rules.sources import book_key
from chairgap.answer_key.rules.variants import elsewhere
from chairgap.answer_key.rules.words import decimals
from chairgap.answer_key.rules.worked import worked_solution
from chairgap.compare.equilibria import GAS_LIKE
from chairgap.compare.reasons import REASON_WORDS
from chairgap.errors import InputError
from chairgap.records import (
    Answer,
    Claim,
    Diagnosis,
    Estimate,
    EstimateTable,
    Facts,
    Finding,
    KeyVerdict,
    PublishedGap,
)
from chairgap.units import fixed, signed

# In place of a table: the range over all published values, or a measurement.
RANGE = "range"
# A hand sum within this of a measurement agrees with it; the size tolerance of a study.
_NEAR_KCAL_MOL = 0.5


def check_claim(case: Case, book: str = "") -> Finding:
    """One claim against the declared conventions; book: the published table that the key seems to go by.
    Raises InputError when it cannot be read or answered."""
    remarks, suggested = sensitivity(case)
    finding = verdict_on(case, book)
    return replace(
        finding,
        sensitivity=remarks,
        suggested_tolerance=suggested,
        solution=worked_solution(case, finding.answer),
    )


def verdict_on(case: Case, book: str = "") -> Finding:
    """The same without remarks on the question and its solution."""
    right = case.remembered("answer", lambda: answer(case))
    judged = _judge(case, right, book)
    return Finding(
        claim=case.claim,
        verdict=judged.verdict,
        answer=right,
        words=judged.words,
        feedback=_feedback(judged, right),
        source=judged.source,
        diagnoses=judged.diagnoses,
    )


@dataclass(frozen=True, kw_only=True)
class _Judged:
    verdict: KeyVerdict
    words: str
    source: str = ""
    diagnoses: tuple[Diagnosis, ...] = ()


def _judge(case: Case, right: Answer, book: str) -> _Judged:
    if same(case, right):
        return _unless_doubted(case, "Right.")
    found = measured(case)
    if found:
        words = f"Right by {found}; by the hand rules it is {right.text}."
        return _Judged(verdict="RIGHT", words=words, source=RANGE)
    missing = _missing(case)
    if missing:
        words = (
            f"Cannot be checked: no published value in table '{case.table.name}' for {missing}. Without it "
            f"the answer would be {right.text}."
        )
        return _Judged(verdict="REVIEW", words=words, diagnoses=diagnosed(case, right, book))
    if case.claim.quantity == "twist-boat" and right.text == "uncertain":
        words = "No hand rule decides whether a twist-boat is preferred; use --compute."
        return _Judged(verdict="REVIEW", words=words)
    return _elsewhere(case, right, book) or _Judged(
        verdict="ERROR", words=_should_be(case, right), diagnoses=diagnosed(case, right, book, anywhere=True)
    )


def _elsewhere(case: Case, right: Answer, book: str) -> _Judged | None:
    """Right by other values or another convention, or within what is published; None when it is not."""
    wording = _meso_wording(case, right)
    words, source = (wording, "") if wording else _convention(case)
    if words and source and (not _declares_values(case) or _same_book(case, source)):
        return _unless_doubted(case, f"Right by {words}; by {_named_table(case)} it is {right.text}.", source)
    span = range_of(case)
    if words:
        words = f"Right under another convention: {words}. Under the convention declared it is {right.text}."
        slips = diagnosed(case, right, book) if source and span is not None and span[2] > 1 else ()
        # A sum of another source's values that is also a slip with the declared ones.
        verdict: KeyVerdict = "REVIEW" if slips else "CONVENTION"
        return _Judged(verdict=verdict, words=words, source=source, diagnoses=slips)
    inside = span is not None and overlaps(case.claim, span[0], span[1])
    if span is not None and inside and span[2] == 1:
        words = (
            f"Inside the range of the published values, {span[0]:.4g} to {span[1]:.4g} {right.unit}".rstrip()
            + f"; by {_named_table(case)} it is {right.text}."
        )
        if _declares_values(case):
            return _Judged(verdict="CONVENTION", words=words, source=RANGE)
        return _unless_doubted(case, words, RANGE)
    rounding = _rounding(case.claim, right)
    if rounding:
        return _Judged(verdict="CONVENTION", words=rounding)
    if span is not None and inside and not _declares_values(case) and not diagnosed(case, right, book):
        words = (
            f"No one source gives it, but it is inside the range of the published values, {span[0]:.4g} to "
            f"{span[1]:.4g}; by {_named_table(case)} it is {right.text}."
        )
        return _Judged(verdict="REVIEW", words=words)
    return None


def _should_be(case: Case, right: Answer) -> str:
    how = numbers_used(case)
    return f"Should be {right.text}{f' ({how})' if how else ''}."


def _unless_doubted(case: Case, words: str, source: str = "") -> _Judged:
    doubt = _doubt(case)
    if doubt:
        return _Judged(verdict="REVIEW", words=f"Right by the hand rules, but {doubt}", source=source)
    return _Judged(verdict="RIGHT", words=words, source=source)


def _declares_values(case: Case) -> bool:
    conventions = case.conventions
    return "table" in conventions.declared or bool(conventions.own)


def _same_book(case: Case, source: str) -> bool:
    """Whether a published table is the declared one with what it prints in another unit or edition."""
    declared = book_key(case.tables.table(case.conventions.table, in_kj=False))
    return bool(declared) and source != RANGE and declared == book_key(case.tables.table(source, in_kj=False))


def _named_table(case: Case) -> str:
    return f"table '{PurePath(case.conventions.table).name}'"


def _convention(case: Case) -> tuple[str, str]:
    """(words, published table) of the convention or the values under which a claim is right; with the names
    of the sources that have just this value; '' and '' when there is none."""
    found: list[tuple[str, str]] = []
    for other in elsewhere(case):
        if found and not other.of_values:
            break
        with suppress(InputError):
            if same(case.asking(unit=other.unit).under(**other.fields), other.answer):
                table = other.fields.get("table", case.conventions.table) if other.of_values else ""
                found.append((other.words, str(table)))
                if not other.of_values:
                    break
    if not found:
        return "", ""
    found.sort(key=lambda item: not (item[1] and _same_book(case, item[1])))
    if found[0][1] and found[0][1] == case.conventions.table:
        return found[0][0], RANGE  # another gauche energy with the key's own table
    named = [words for words, source in found if source] or [found[0][0]]
    return named[0], found[0][1]


def _meso_wording(case: Case, right: Answer) -> str:
    """Some courses call an achiral ring with pseudoasymmetric centres (cis-1,4) meso, too."""
    claim = case.claim
    pseudo = any(label in {"r", "s"} for label in case.facts.cip)
    claimed = claim.claimed.strip().lower()
    wording = claim.quantity == "chirality" and claimed == "meso" and right.text == "achiral" and pseudo
    return "meso wording (no R or S centre, only r and s)" if wording else ""


def _rounding(claim: Claim, right: Answer) -> str:
    """A number within one unit of its last digit: rounded at another step, or cut off."""
    if right.value is None or claim.quantity in COUNTS:
        return ""
    unit = 10.0 ** -decimals(claim.claimed)
    near = overlaps(claim, right.value - 0.5 * unit, right.value + 0.5 * unit)
    if decimals(claim.claimed) > 0 and near:
        return f"Rounding: {right.text} with all digits kept; {claim.claimed} is within its last digit."
    return ""


def _missing(case: Case) -> str:
    if case.claim.quantity not in ON_GAP or len(case.molecules) != 1:
        return ""
    if case.claim.quantity == "stable chair" and _missing_terms_only_widen(case.estimate, case.tables.ranges):
        return ""
    return "; ".join(case.estimate.missing)


def _missing_terms_only_widen(estimate: Estimate, published: EstimateTable) -> bool:
    """True when no missing term can make the worse chair the better one: a syn-diaxial crowding in the worse
    chair widens the gap, and a gauche pair moves it by no more than the largest published one does."""
    better = stable_letter(estimate)
    unknown = [term for term in estimate.terms if term.value_kcal_mol is None]
    if better not in ("A", "B") or any(term.kind == "geminal" for term in unknown):
        return False
    if any(term.kind == "syn-diaxial" and term.chair == better for term in unknown):
        return False
    gauche = sum(term.kind == "vicinal gauche" for term in unknown)
    pairs = [row for row in published.interactions if row.kind == "vicinal gauche"]
    largest = max((max(-row.low_kcal_mol, row.high_kcal_mol) for row in pairs), default=0.0)
    return not gauche or gauche * largest < abs(estimate.gap_kcal_mol or 0.0)


def _doubt(case: Case) -> str:
    """Why a claim that fits the hand rules deserves a look: missing terms, geminal groups, computation."""
    quantity = case.claim.quantity
    missing = _missing(case)
    if missing:
        return f"the table has no value for {missing}, which was left out."
    if len(case.molecules) != 1:
        return ""
    if quantity in ON_GAP:
        if "geminal" in case.estimate.flags and _unequal_geminal(case.facts):
            return "A-values are not additive for two groups on one carbon."
        return _computed_doubt(case.claim, case.facts)
    return _twist_boat_doubt(case.claim, case.facts) if quantity == "twist-boat" else ""


def _unequal_geminal(facts: Facts) -> bool:
    return any(
        carbon.up.group != carbon.down.group and "H" not in {carbon.up.group, carbon.down.group}
        for carbon in facts.topology.carbons
    )


def _computed_doubt(claim: Claim, facts: Facts) -> str:
    """What is measured comes first, then the anchored gap; the force field alone raises no doubt."""
    if facts.result is None:
        return ""
    result = facts.result
    comparison, gaps, best = result.comparison, result.gaps, result.headline
    if comparison.preferred == "non-chair":
        reasons = "; ".join(
            f"{REASON_WORDS[reason.code]}: {reason.evidence}" for reason in comparison.reasons
        )
        return f"the computation prefers a twist-boat ({100.0 * gaps.population_non_chair:.0f} %). {reasons}"
    numbers = [found for found in facts.published if found.is_number and found.equilibrium.measured]
    near = [found for found in numbers if found.equilibrium.medium_class in GAS_LIKE]
    if near:
        own = result.estimate.gap_kcal_mol
        if own is None or any(_near(own, found) for found in near):
            return ""
        row, gap = near[0].equilibrium, near[0].gap_kcal_mol
        return f"the published G(B) - G(A) is {signed(gap or 0.0)} kcal/mol ({row.source}, in {row.medium})."
    opposite = best.hand_sum == "opposite chair"
    if opposite or (best.hand_sum == "differs" and claim.quantity != "stable chair"):
        return (
            f"the anchored gap G(B) - G(A) is {signed(best.gap_kcal_mol or 0.0)} +- "
            f"{fixed(best.uncertainty_kcal_mol, 2)} kcal/mol (measured A-values with computed interactions)."
        )
    return ""


def _near(gap_kcal_mol: float, found: PublishedGap) -> bool:
    value, error = found.gap_kcal_mol or 0.0, found.error_kcal_mol or 0.0
    return abs(gap_kcal_mol - value) <= max(error, _NEAR_KCAL_MOL)


def _twist_boat_doubt(claim: Claim, facts: Facts) -> str:
    if facts.result is None:
        return ""
    computed = "yes" if facts.result.comparison.preferred == "non-chair" else "no"
    share = 100.0 * facts.result.gaps.population_non_chair
    claimed_yes = claim.claimed.strip().lower().startswith("y")
    return "" if claimed_yes == (computed == "yes") else f"the computation says {computed} ({share:.0f} %)."


def _feedback(judged: _Judged, right: Answer) -> str:
    """A sentence a student can use: what went wrong, and the rule that mends it."""
    if judged.verdict in ("RIGHT", "REVIEW"):
        return ""
    if judged.verdict == "CONVENTION":
        where = "by the convention of the question it is"
        return f"Your answer is right under another convention; {where} {right.text}."
    slip = f"{judged.diagnoses[0].words} " if judged.diagnoses else ""
    return f"{slip}The answer is {right.text}. {right.steps[-1]}"
