"""A claim of a key turned into a question that stands for itself: prompt, answer, choices or range, feedback.

The prompt names the chair by who is axial, the direction, the counting rule, the table, the temperature and
the unit, so that it has one answer for someone who has never seen the key. Pure.
"""

from dataclasses import dataclass
from itertools import combinations

from chairgap.answer_key.rules.answers.energies import oriented
from chairgap.answer_key.rules.answers.equilibrium import share_of
from chairgap.answer_key.rules.choosing import Case, stable_letter
from chairgap.answer_key.rules.reading import COUNTS, accepted
from chairgap.answer_key.rules.slips_labels import label_slips
from chairgap.answer_key.rules.slips_numbers import slipped_numbers
from chairgap.answer_key.rules.sources import KeyTables
from chairgap.answer_key.rules.words import SYNONYMS, pattern, plain
from chairgap.errors import InputError
from chairgap.records import Facts, Finding
from chairgap.units import fixed

PAIRS = tuple(f"{one}-{two}" for one, two in combinations(range(1, 7), 2) if two - one in (2, 4))
_WORDS = {
    **{quantity: tuple(words) for quantity, words in SYNONYMS.items()},
    "R/S": ("R", "S", "r", "s", "none"),
    "chirality": ("chiral", "achiral", "meso", "meso, interconverting enantiomers"),
    "diaxial pairs": (*PAIRS, "none"),
}


@dataclass(frozen=True, kw_only=True)
class Slip:
    """Feedback for one wrong answer: a number (with the range of the question) or a choice."""

    number: float | None
    choice: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question. answers: the right choices (one; with `several` all have to be ticked), none for a
    number; low and high bound what counts as right, number is what the solution says. points: the key's.
    """

    title: str
    prompt: str
    answers: tuple[str, ...]
    choices: tuple[str, ...]
    several: bool
    number: float | None
    low: float | None
    high: float | None
    whole: bool
    unit: str
    points: float | None
    feedback: str
    slips: tuple[Slip, ...]


def question(finding: Finding, facts: tuple[Facts, ...], tables: KeyTables) -> Question:
    """The question of a claim. Raises InputError with the reason when it is none for a question bank."""
    claim, right = finding.claim, finding.answer
    case = Case(claim=claim, molecules=facts, tables=tables)
    reason = _unfit(finding, case)
    if reason:
        raise InputError(reason)
    several = claim.quantity == "diaxial pairs"
    low, high = accepted(claim, right) or (None, None)
    choices = _choices(finding, case)
    where = f", C{'-C'.join(map(str, claim.carbons))}" if claim.carbons else ""
    return Question(
        title=f"{claim.item}: {claim.quantity}{where}",
        prompt=f"{_named(case.facts)}. {_prompt(case)}{_ending(finding)}",
        answers=tuple(right.text.split(", ")) if several else (right.text,) if choices else (),
        choices=choices,
        several=several,
        number=right.value,
        low=low,
        high=high,
        whole=claim.quantity in COUNTS,
        unit=right.unit,
        points=claim.points,
        feedback=" ".join(right.steps),
        slips=_slips(finding, case, choices, low, high),
    )


def _unfit(finding: Finding, case: Case) -> str:
    quantity = finding.claim.quantity
    if finding.verdict == "ERROR":
        return "the claim is wrong; correct the key"
    if finding.verdict == "REVIEW":
        return f"to be reviewed first: {finding.words}"
    if quantity not in _PROMPTS or (quantity == "flip stages" and finding.answer.value is None):
        return f"'{quantity}' is neither a number nor a choice"
    if quantity == "position" and not _Words(case).chair_without:
        return "the name of the chair is the answer"
    return ""


def _named(facts: Facts) -> str:
    """The molecule as the key writes it and, where that is not so already, with its numbers."""
    if facts.text == facts.groups_by_face:
        return facts.text
    return f"{facts.text} ({facts.numbered}: {facts.groups_by_face})"


def _ending(finding: Finding) -> str:
    if finding.answer.value is None:
        return ""
    if finding.claim.quantity in COUNTS:
        return " Write a whole number."
    if finding.answer.unit:
        return f" Unit: {finding.answer.unit}. Write the number alone, with a decimal point."
    return " Write the number with a decimal point; it has no unit."


def _choices(finding: Finding, case: Case) -> tuple[str, ...]:
    if finding.answer.value is not None:
        return ()
    if finding.claim.quantity == "stable chair":
        return (*sorted(chair.name for chair in case.facts.chairs), "equal")
    if finding.claim.quantity == "flip":
        return _patterns(finding.answer.text, case.chair.name)
    return _WORDS[finding.claim.quantity]


def _patterns(product: str, start: str) -> tuple[str, ...]:
    """The product of a flip, the chair before it, and the product with one label changed."""
    found = pattern(product) or ()
    single = [c for c, _, _ in found if sum(c == other for other, _, _ in found) == 1]
    changed = {
        " ".join(
            f"{c}{ ({'a': 'e', 'e': 'a'}[a] if c == carbon else a) }{f'({g})' if g else ''}"
            for c, a, g in found
        )
        for carbon in single
    }
    return tuple(sorted(changed | {product, start}))


_BY_ENERGY = {
    "": "the more stable chair",
    "stable": "the more stable chair",
    "other": "the less stable chair",
}
_DIAXIAL = {
    "group-any": "Count axial ligands on one face, a group with a hydrogen or a group.",
    "group-group": "Count axial ligands on one face, a group with a group only.",
    "per-group": "Count two for each axial group.",
}
_GAUCHE = {
    "butane": "Count two for each axial group (with the ring) and one for each gauche pair of neighbours.",
    "vicinal": "Count gauche pairs of groups on neighbouring carbons only.",
}
_SYN = {
    "replacing": " State a syn-diaxial interaction as the energy of the whole pair.",
    "excess": " State a syn-diaxial interaction on top of the half A-values of the pair.",
}
_CHIRALITY = {
    "chair": "Is one chair, without a ring flip, chiral, achiral or meso?",
    "average": "Is the molecule, with fast ring flip, chiral, achiral or meso? Choose the most specific "
    "answer.",
}


class _Words:
    """The parts of prompts, each put into words when a prompt names it."""

    def __init__(self, case: Case):
        self.case = case
        self.sense = "anticlockwise" if case.facts.anticlockwise else "clockwise"
        self.kelvin = f"at {case.conventions.temperature_k:g} K"
        self.counted_pairs = _DIAXIAL[case.conventions.diaxial]
        self.counted_gauche = _GAUCHE[case.conventions.gauche_count]
        self.chirality = _CHIRALITY[case.conventions.meso]

    @property
    def chair(self) -> str:
        """By energy where the key says so, else by who is axial."""
        return _BY_ENERGY.get(plain(self.case.claim.chair).lower()) or f"the chair {self.case.chair.name}"

    @property
    def chair_without(self) -> str:
        """The chair named without the carbons asked for; '' when it cannot be."""
        case = self.case
        if plain(case.claim.chair).lower() in _BY_ENERGY:
            return self.chair
        named = [(group.carbon, group.group) for group in case.chair.groups]
        # Two groups of one name on a carbon are one axial and one equatorial in both chairs: they name none.
        for group in case.chair.groups:
            if group.carbon not in case.claim.carbons and named.count((group.carbon, group.group)) == 1:
                return f"the chair with {group.group} on C{group.carbon} {group.position}"
        letter = stable_letter(case.estimate)
        if letter not in {"A", "B"}:
            return ""
        return _BY_ENERGY["stable" if letter == case.chair.letter else "other"]

    @property
    def does(self) -> str:
        return f"In {self.chair}, does" if self.case.claim.chair else "Does"

    @property
    def groups(self) -> str:
        """The groups at the carbons asked for."""
        carbons = self.case.claim.carbons
        return " and ".join(f"{self.case.ligand(carbon).group} on C{carbon}" for carbon in carbons)

    @property
    def term(self) -> str:
        at = " and ".join(f"C{carbon}" for carbon in self.case.claim.carbons)
        return f"the group on {at}" if len(self.case.claim.carbons) == 1 else f"the interaction between {at}"

    @property
    def syn(self) -> str:
        """How a syn-diaxial interaction is stated, where the carbons may have one."""
        carbons = self.case.claim.carbons
        may_have_one = len(carbons) == 2 and (carbons[0] - carbons[1]) % 6 in (2, 4)
        return _SYN[self.case.conventions.syn] if may_have_one else ""

    @property
    def direction(self) -> str:
        return oriented(self.case, self.case.gap_kcal_mol)[1]

    @property
    def by_table(self) -> str:
        gauche = self.case.conventions.gauche_kcal_mol
        own = f", with {fixed(gauche, 2)} kcal/mol for CH3/CH3 gauche" if gauche is not None else ""
        return f" Use the A-value table '{self.case.conventions.table}'{own}."

    @property
    def percent_of(self) -> str:
        of = share_of(self.case)
        names: dict[str, str] = {chair.letter: f"the chair {chair.name}" for chair in self.case.facts.chairs}
        return _BY_ENERGY["stable"] if of == "stable" else names.get(of, f"the chair with the group {of}")

    @property
    def stage(self) -> str:
        return plain(self.case.claim.chair).lower()


# By quantity; what stands in braces is of _Words.
_PROMPTS = {
    "position": "In {0.chair_without}, is {0.groups} axial or equatorial?",
    "face": "{0.does} {0.groups} point up or down (ring numbered {0.sense} seen from above)?",
    "relation": "Are {0.groups} cis or trans?",
    "flip": "Which chair does a ring flip make of {0.chair}?",
    "diaxial count": "How many 1,3-diaxial contacts has {0.chair}? {0.counted_pairs}",
    "diaxial pairs": "Between which carbons are the 1,3-diaxial contacts of {0.chair}? {0.counted_pairs} "
    "Choose all that apply.",
    "gauche count": "How many gauche interactions has {0.chair}? {0.counted_gauche}",
    "term": "What does {0.term} add to the Gibbs energy of {0.chair}?{0.syn}{0.by_table}",
    "gap": "Estimate the Gibbs energy difference {0.direction}.{0.by_table}",
    "stable chair": "Which chair is more stable, or are they equal?{0.by_table}",
    "K": "Estimate the equilibrium constant K = [more stable chair]/[less stable chair] {0.kelvin}."
    "{0.by_table}",
    "percent": "What percentage of the molecules is {0.percent_of} {0.kelvin}?{0.by_table}",
    "R/S": "Which CIP label has C{0.case.claim.carbons[0]}? (r, s: pseudoasymmetric; none: no stereocentre)",
    "chirality": "{0.chirality}",
    "flip stages": "How far above the chair of cyclohexane lies its {0.stage} in energy?",
    "twist-boat": "Does the molecule prefer a twist-boat to its more stable chair?",
}


def _prompt(case: Case) -> str:
    return _PROMPTS[case.claim.quantity].format(_Words(case))


def _slips(
    finding: Finding, case: Case, choices: tuple[str, ...], low: float | None, high: float | None
) -> tuple[Slip, ...]:
    """Feedback for the wrong answers that known slips make; a wrong choice no slip makes has none."""
    right = finding.answer
    if choices:
        if finding.claim.quantity == "diaxial pairs":
            return ()
        return tuple(
            Slip(number=None, choice=choice, words=" ".join(diagnosis.words for diagnosis in found))
            for choice in choices
            if choice != right.text and (found := label_slips(case.asking(claimed=choice), right))
        )
    distinct: dict[tuple[float, str], None] = {}
    try:
        for _, words, value in slipped_numbers(case):
            if low is not None and high is not None and not low <= value <= high:
                distinct[float(f"{value:.6g}"), words] = None
    except InputError:
        return ()
    return tuple(Slip(number=value, choice="", words=words) for value, words in distinct)
