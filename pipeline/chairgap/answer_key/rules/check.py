"""The verdict on a claim: right, right under another convention, to be looked at, or wrong, and why."""

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.choosing import Case, Tables, stable_letter
from chairgap.answer_key.rules.reading import COUNTS, claimed_number, same
from chairgap.answer_key.rules.sensitivity import ON_GAP, sensitivity
from chairgap.answer_key.rules.slips_labels import label_slips
from chairgap.answer_key.rules.slips_numbers import number_slips
from chairgap.answer_key.rules.variants import variants
from chairgap.answer_key.rules.words import decimals
from chairgap.answer_key.rules.worked import worked_solution
from chairgap.compare.reasons import REASON_WORDS
from chairgap.errors import InputError
from chairgap.records import Answer, Claim, Diagnosis, Estimate, Facts, Finding, KeyVerdict
from chairgap.units import signed


@dataclass(frozen=True, kw_only=True)
class KeyReport:
    """Findings in the order of the key, and the rows that could not be checked."""

    findings: tuple[Finding, ...]
    problems: tuple[InputError, ...]


def check_key(claims: Iterable[Claim], facts_of: Callable[[str], Facts], tables: Tables) -> KeyReport:
    """Check every claim; a row that cannot be checked is reported and the others go on.

    facts_of(text) gives the facts of a molecule text, or raises InputError or MoleculeError with the reason.
    """
    findings: list[Finding] = []
    problems: list[InputError] = []
    for claim in claims:
        try:
            facts = tuple(facts_of(text) for text in claim.molecules)
            findings.append(check_claim(Case(claim=claim, molecules=facts, tables=tables)))
        except InputError as error:
            problems.append(error)
    return KeyReport(findings=tuple(findings), problems=tuple(problems))


def check_claim(case: Case) -> Finding:
    """One claim against the declared conventions. Raises InputError when it cannot be read or answered."""
    right = answer(case)
    remarks, suggested = sensitivity(case)
    verdict, words, diagnoses = _judge(case, right)
    return Finding(
        claim=case.claim,
        verdict=verdict,
        answer=right,
        words=words,
        feedback=_feedback(verdict, right, diagnoses),
        diagnoses=diagnoses,
        sensitivity=remarks,
        suggested_tolerance=suggested,
        solution=worked_solution(case, right),
    )


def _judge(case: Case, right: Answer) -> tuple[KeyVerdict, str, tuple[Diagnosis, ...]]:
    if same(case, right):
        doubt = _doubt(case)
        return ("REVIEW", f"Right by the hand rules, but {doubt}", ()) if doubt else ("RIGHT", "Right.", ())
    missing = _missing(case)
    if missing:
        words = (
            f"Cannot be checked: no published value in table '{case.table.name}' for {missing}. Without it "
            f"the answer would be {right.text}."
        )
        return "REVIEW", words, ()
    if case.claim.quantity == "twist-boat" and right.text == "uncertain":
        return "REVIEW", "No hand rule decides whether a twist-boat is preferred; use --compute.", ()
    convention = _meso_wording(case, right) or _convention(case)
    if convention:
        words = (
            f"Right under another convention: {convention}. Under the convention declared it is {right.text}."
        )
        return "CONVENTION", words, ()
    rounding = _rounding(case.claim, right)
    if rounding:
        return "CONVENTION", rounding, ()
    return "ERROR", f"Should be {right.text}.", (*number_slips(case, right), *label_slips(case, right))


def _convention(case: Case) -> str:
    for words, variant in variants(case):
        with suppress(InputError):
            if same(variant, answer(variant)):
                return words
    return ""


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
    if decimals(claim.claimed) > 0 and abs(claimed_number(claim) - right.value) <= unit + 1e-9:
        return f"Rounding: {right.text} with all digits kept; {claim.claimed} is within its last digit."
    return ""


def _missing(case: Case) -> str:
    if case.claim.quantity not in ON_GAP or len(case.molecules) != 1:
        return ""
    if case.claim.quantity == "stable chair" and _missing_terms_only_widen(case.estimate):
        return ""
    return "; ".join(case.estimate.missing)


def _missing_terms_only_widen(estimate: Estimate) -> bool:
    """True when every missing term is a syn-diaxial crowding in the chair that is already the worse one."""
    worse = {"A": "B", "B": "A"}.get(stable_letter(estimate))
    unknown = [term for term in estimate.terms if term.value_kcal_mol is None]
    return all(term.kind == "syn-diaxial" and term.chair == worse for term in unknown)


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
    if facts.result is None:
        return ""
    comparison, gaps = facts.result.comparison, facts.result.gaps
    reasons = "; ".join(f"{REASON_WORDS[reason.code]}: {reason.evidence}" for reason in comparison.reasons)
    if comparison.preferred == "non-chair":
        return f"the computation prefers a twist-boat ({100.0 * gaps.population_non_chair:.0f} %). {reasons}"
    if comparison.sign == "disagrees" or (
        comparison.size == "disagrees" and claim.quantity != "stable chair"
    ):
        return f"the computed Gibbs gap B - A is {signed(gaps.gibbs_kcal_mol)} kcal/mol. {reasons}"
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
        where = "by the convention of the question it is"
        return f"Your answer is right under another convention; {where} {right.text}."
    slip = f"{diagnoses[0].words} " if diagnoses else ""
    return f"{slip}The answer is {right.text}. {right.steps[-1]}"
