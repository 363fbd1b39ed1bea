"""The verdict on a claim: right, right under another convention, to be looked at, or wrong, and why."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.choosing import estimate_of, stable_letter, table_of
from chairgap.answer_key.rules.reading import claimed_number, same
from chairgap.answer_key.rules.sensitivity import sensitivity
from chairgap.answer_key.rules.slips_labels import label_slips
from chairgap.answer_key.rules.slips_numbers import number_slips
from chairgap.answer_key.rules.variants import variants
from chairgap.answer_key.rules.words import decimals
from chairgap.answer_key.rules.worked import worked_solution
from chairgap.compare.reasons import REASON_WORDS
from chairgap.errors import InputError
from chairgap.records import Answer, Claim, Diagnosis, Estimate, EstimateTable, Facts, Finding, KeyVerdict

_RESTS_ON_ESTIMATE = ("gap", "stable chair", "K", "percent", "ranking", "term", "twist-boat")


@dataclass(frozen=True, kw_only=True)
class KeyReport:
    """Findings in the order of the key, and the rows that could not be checked."""

    findings: tuple[Finding, ...]
    problems: tuple[InputError, ...]


def check_key(
    claims: Iterable[Claim],
    facts_of: Callable[[str], Facts],
    tables: Mapping[str, EstimateTable],
) -> KeyReport:
    """Check every claim; a row that cannot be checked is reported and the others go on.

    facts_of(text) gives the facts of a molecule text, or raises InputError or MoleculeError with the reason.
    """
    findings: list[Finding] = []
    problems: list[InputError] = []
    for claim in claims:
        try:
            facts = tuple(facts_of(text) for text in claim.molecules)
            findings.append(check_claim(claim, facts, tables))
        except InputError as error:
            problems.append(error)
    return KeyReport(findings=tuple(findings), problems=tuple(problems))


def check_claim(claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]) -> Finding:
    """One claim against the declared conventions. Raises InputError when it cannot be read or answered."""
    right = answer(claim, facts, tables)
    remarks, suggested = sensitivity(claim, facts, tables)
    verdict, words, diagnoses = _judge(claim, facts, tables, right)
    return Finding(
        claim=claim,
        verdict=verdict,
        answer=right,
        words=words,
        feedback=_feedback(verdict, right, diagnoses),
        diagnoses=diagnoses,
        sensitivity=remarks,
        suggested_tolerance=suggested,
        solution=worked_solution(claim, facts, right),
    )


def _judge(
    claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable], right: Answer
) -> tuple[KeyVerdict, str, tuple[Diagnosis, ...]]:
    table = table_of(claim, tables)
    if same(claim, right, facts, table):
        doubt = _doubt(claim, facts, tables)
        return ("REVIEW", f"Right by the hand rules, but {doubt}", ()) if doubt else ("RIGHT", "Right.", ())
    missing = _missing(claim, facts, tables)
    if missing:
        return (
            "REVIEW",
            f"Cannot be checked: no published value in table '{table.name}' for {missing}. Without it the "
            f"answer would be {right.text}.",
            (),
        )
    if claim.quantity == "twist-boat" and right.text == "uncertain":
        return "REVIEW", "No hand rule decides whether a twist-boat is preferred; use --compute.", ()
    convention = _meso_wording(claim, facts, right) or _convention(claim, facts, tables)
    if convention:
        return (
            "CONVENTION",
            f"Right under another convention: {convention}. "
            f"Under the convention declared it is {right.text}.",
            (),
        )
    rounding = _rounding(claim, right)
    if rounding:
        return "CONVENTION", rounding, ()
    diagnoses = (
        *number_slips(claim, facts[0], tables, right),
        *label_slips(claim, facts, tables, right),
    )
    return "ERROR", f"Should be {right.text}.", diagnoses


def _convention(claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]) -> str:
    for words, variant in variants(claim, tables):
        try:
            if same(variant, answer(variant, facts, tables), facts, table_of(variant, tables)):
                return words
        except InputError:
            continue
    return ""


def _meso_wording(claim: Claim, facts: tuple[Facts, ...], right: Answer) -> str:
    """Some courses call an achiral ring with pseudoasymmetric centres (cis-1,4) meso, too."""
    pseudo = any(label in {"r", "s"} for label in facts[0].cip)
    claimed = claim.claimed.strip().lower()
    wording = claim.quantity == "chirality" and claimed == "meso" and right.text == "achiral" and pseudo
    return "meso wording (no R or S centre, only r and s)" if wording else ""


def _rounding(claim: Claim, right: Answer) -> str:
    """A number within one unit of its last digit: rounded at another step, or cut off."""
    if right.value is None or claim.quantity in ("diaxial count", "gauche count"):
        return ""
    unit = 10.0 ** -decimals(claim.claimed)
    if decimals(claim.claimed) > 0 and abs(claimed_number(claim) - right.value) <= unit + 1e-9:
        return f"Rounding: {right.text} with all digits kept; {claim.claimed} is within its last digit."
    return ""


def _missing(claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]) -> str:
    if claim.quantity not in ("gap", "stable chair", "K", "percent") or len(facts) != 1:
        return ""
    estimate = estimate_of(claim, facts[0], tables)
    if claim.quantity == "stable chair" and _missing_terms_only_widen(estimate):
        return ""
    return "; ".join(estimate.missing)


def _missing_terms_only_widen(estimate: Estimate) -> bool:
    """True when every missing term is a syn-diaxial crowding in the chair that is already the worse one."""
    worse = {"A": "B", "B": "A"}.get(stable_letter(estimate))
    unknown = [term for term in estimate.terms if term.value_kcal_mol is None]
    return all(term.kind == "syn-diaxial" and term.chair == worse for term in unknown)


def _doubt(claim: Claim, facts: tuple[Facts, ...], tables: Mapping[str, EstimateTable]) -> str:
    """Why a claim that fits the hand rules deserves a look: missing terms, geminal groups, computation."""
    if claim.quantity not in _RESTS_ON_ESTIMATE or len(facts) != 1:
        return ""
    missing = _missing(claim, facts, tables)
    if missing:
        return f"the table has no value for {missing}, which was left out."
    if claim.quantity in ("gap", "stable chair", "K", "percent"):
        if "geminal" in estimate_of(claim, facts[0], tables).flags and _unequal_geminal(facts[0]):
            return "A-values are not additive for two groups on one carbon."
        return _computed_doubt(claim, facts[0])
    if claim.quantity == "twist-boat":
        return _twist_boat_doubt(claim, facts[0])
    return ""


def _unequal_geminal(facts: Facts) -> bool:
    return any(
        carbon.up.group != carbon.down.group and "H" not in {carbon.up.group, carbon.down.group}
        for carbon in facts.topology.carbons
    )


def _computed_doubt(claim: Claim, facts: Facts) -> str:
    if facts.result is None:
        return ""
    comparison, gaps = facts.result.comparison, facts.result.gaps
    reasons = "; ".join(f"{REASON_WORDS[reason.code]}: {reason.evidence}" for reason in comparison.reasons)
    if comparison.preferred == "non-chair":
        return f"the computation prefers a twist-boat ({100.0 * gaps.population_non_chair:.0f} %). {reasons}"
    if comparison.sign == "disagrees":
        return f"the computed Gibbs gap B - A is {gaps.gibbs_kcal_mol:+.2f} kcal/mol. {reasons}"
    if comparison.size == "disagrees" and claim.quantity != "stable chair":
        return f"the computed Gibbs gap B - A is {gaps.gibbs_kcal_mol:+.2f} kcal/mol. {reasons}"
    return ""


def _twist_boat_doubt(claim: Claim, facts: Facts) -> str:
    if facts.result is None:
        return ""
    computed = "yes" if facts.result.comparison.preferred == "non-chair" else "no"
    share = 100.0 * facts.result.gaps.population_non_chair
    claimed_yes = claim.claimed.strip().lower().startswith("y")
    return "" if claimed_yes == (computed == "yes") else f"the computation says {computed} ({share:.0f} %)."


def _feedback(verdict: KeyVerdict, right: Answer, diagnoses: tuple[Diagnosis, ...]) -> str:
    """A sentence a student can use: what went wrong, and the rule that mends it."""
    if verdict in ("RIGHT", "REVIEW"):
        return ""
    if verdict == "CONVENTION":
        return (
            "Your answer is right under another convention; by the convention of the question it is "
            f"{right.text}."
        )
    rule = right.steps[-1] if right.steps else ""
    if not diagnoses:
        return f"The answer is {right.text}. {rule}"
    return f"{diagnoses[0].words} The answer is {right.text}. {rule}"
