"""The words and number forms shared by every output, so that all of them say the same thing the same way."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from chairgap.compare.reasons import REASON_WORDS
from chairgap.drawings.lettering import as_text, form_runs
from chairgap.records import (
    ChairLetter,
    Comparison,
    Conformer,
    EstimateTable,
    LedgerTerm,
    Reason,
    Result,
    Source,
    Verdict,
)
from chairgap.units import fixed, signed

SIGN_STATEMENT = "gap = G(chair B) - G(chair A); positive means that chair A is preferred"

CAUTIONS = (
    "A computed preference is not an instruction for the laboratory.",
    "Handle chemicals only under your local rules and licensed supervision.",
    "A person decides a grade; this report only shows the basis of the numbers.",
    "A force field often errs for polar groups (halogen, C=O, C#N, several OH); its gaps are reported as "
    "they come out.",
)


@dataclass(frozen=True, kw_only=True)
class VerdictWords:
    """A verdict on a molecule: its mark, which stands beside the words so that nothing rests on colour; the
    word behind a count ('3 differ'); and what it means."""

    mark: str
    counted: str
    meaning: str


# The one list of verdicts: tables, counts, filter, plot and README use it (`headline_verdict` gives one).
VERDICTS: dict[Verdict, VerdictWords] = {
    "agrees": VerdictWords(
        mark="+",
        counted="agree",
        meaning="hand sum and model agree with the gap, or the model alone where the hand sum is incomplete",
    ),
    "disagrees": VerdictWords(
        mark="x", counted="differ", meaning="hand sum or model differs, or prefers the opposite chair"
    ),
    "undecided": VerdictWords(
        mark="?", counted="undecided", meaning="the gap lies within its uncertainty, and neither differs"
    ),
    "not comparable": VerdictWords(
        mark="-",
        counted="not comparable",
        meaning="the best form is no chair, a group is charged, there is no gap, or all of it is the model's",
    ),
}
VERDICT_MARKS: dict[Verdict, str] = {verdict: words.mark for verdict, words in VERDICTS.items()}


# Behind a value, a reference or a DOI; the legend stands once in each output that has it.
MEMORY_SIGN = "\u2020"
MEMORY_LEGEND = f"{MEMORY_SIGN} from memory, not checked against the paper."


def yes_no(value: bool) -> str:
    return "yes" if value else "no"


def joined_numbers(numbers: tuple[int, ...]) -> str:
    return " ".join(str(number) for number in numbers)


def preferred_words(result: Result) -> str:
    """The chair the force field prefers, named by who is axial; below the threshold never a winner."""
    chair_a, chair_b = result.chairs
    words = {
        "A": f"{chair_a.name} (A)",
        "B": f"{chair_b.name} (B)",
        "non-chair": "non-chair",
        "undecided": "undecided",
        "equal": "equal by symmetry",
    }
    return words[result.comparison.preferred]


def estimate_words(result: Result) -> str:
    """'+1.74 (1.70 to 1.82)', or 'none'; with 'incomplete' when a term has no published value. Without an
    A-value there is no number."""
    estimate = result.estimate
    text = with_range(*estimate.shown_kcal_mol) or "none"
    return text if estimate.complete else f"{text}, incomplete"


def with_range(value: float | None, low: float | None, high: float | None) -> str:
    """'+1.74 (1.70 to 1.82)', '+3.70' where no range is known; '' without a value."""
    if value is None or low is None or high is None:
        return ""
    lowest, highest = fixed(low, 2), fixed(high, 2)
    return signed(value) if lowest == highest else f"{signed(value)} ({lowest} to {highest})"


def verdict_words(comparison: Comparison) -> tuple[str, str]:
    """('sign + agrees', 'size x disagrees'): mark and word for both verdicts."""
    sign, size = comparison.sign, comparison.size
    return f"sign {VERDICT_MARKS[sign]} {sign}", f"size {VERDICT_MARKS[size]} {size}"


def deciding_verdict(comparison: Comparison) -> Verdict:
    """The one verdict that sums up both: the sign's unless it agrees, else the size's where comparable."""
    if comparison.sign != "agrees" or comparison.size == "not comparable":
        return comparison.sign
    return comparison.size


def short_verdict(comparison: Comparison) -> str:
    """Both verdicts in one short phrase with its mark, such as 'x size differs'."""
    verdict = deciding_verdict(comparison)
    words = {
        "agrees": "sign agrees" if comparison.size == "not comparable" else "agrees",
        "disagrees": "sign differs" if comparison.sign == "disagrees" else "size differs",
        "undecided": "undecided",
        "not comparable": "not comparable",
    }
    return f"{VERDICT_MARKS[verdict]} {words[verdict]}"


def reason_words(reason: Reason) -> str:
    """'syn-diaxial excess: ...': the code in words, then its evidence."""
    code = code_words(reason)
    return f"{code}: {reason.evidence}" if reason.evidence else code


def code_words(reason: Reason) -> str:
    """'syn-diaxial excess' for the code 'syn-diaxial-excess'."""
    return REASON_WORDS.get(reason.code, reason.code)


def reasons_in_words(reasons: tuple[Reason, ...]) -> str:
    return "; ".join(reason_words(reason) for reason in reasons)


def groups_held(names: Mapping[ChairLetter, str], conformer: Conformer) -> str:
    """The names of the chairs that hold the conformer: '1e 4a', '1e 4a / 1a 4e', or ''."""
    return " / ".join(
        name for letter, name in names.items() if letter in conformer.chairs_held.split(" and ")
    )


def chair_words(result: Result, conformer: Conformer) -> str:
    """'A: 1e 2a', 'A and B: 1e 4a / 1a 4e', or 'non-chair'."""
    names = {chair.letter: chair.name for chair in result.chairs}
    held = conformer.chairs_held
    return f"{held}: {groups_held(names, conformer)}" if held else "non-chair"


def term_words(term: LedgerTerm) -> str:
    """'+1.74 (1.70 to 1.80)' or 'no published value'."""
    return with_range(term.value_kcal_mol, term.low_kcal_mol, term.high_kcal_mol) or "no published value"


def medium_words(term: LedgerTerm) -> str:
    """The medium in which the value of a term was measured; 'not stated', or '' without a value."""
    return term.medium or ("not stated" if term.source else "")


def source_words(keys: str, table: EstimateTable) -> str:
    """'Booth & Everett 1980' for the keys of a term's sources; a key that only a user's table
    has stays as it is."""
    parts = re.split(r"([;,\s]+)", keys)
    return "".join(table.short_sources.get(part, part) for part in parts)


def form_words(conformer: Conformer) -> str:
    """The ring family with the nearest canonical form, as IUPAC sets it: chair 4C1 with raised 4 and lowered
    1. Tables for programs have the plain '4C1'."""
    return f"{conformer.shape.family} {as_text(form_runs(conformer.shape.form))}"


def citation(key: str, sources: Mapping[str, Source]) -> str:
    """'Booth & Everett 1980: full citation, DOI', signed where it or its DOI is from memory; a key that only
    a user's table has stays as it is."""
    source = sources.get(key)
    if source is None:
        return f"{key}: as the table names it."
    sign = MEMORY_SIGN if "from memory" in source.how_seen else ""
    doi_sign = MEMORY_SIGN if source.doi and source.doi_known == "from memory" else ""
    doi = f" DOI {source.doi}{doi_sign}." if source.doi else ""
    return f"{source.short}: {source.citation}{sign}{doi}"


def provenance(key: str, sources: Mapping[str, Source]) -> str:
    """The citation, and how much of the source was seen."""
    source = sources.get(key)
    return citation(key, sources) + (f" How seen: {source.how_seen}." if source else "")


def short_cited(keys: str, a_values: EstimateTable, known: str) -> str:
    """'Jensen et al. 1969' for the sources of a value, signed where the value is from memory; their full
    references stand at the end of the output."""
    return (source_words(keys, a_values) or "not named") + (MEMORY_SIGN if known == "from memory" else "")
