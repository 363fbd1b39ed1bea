"""A claim of a key turned into a question that stands for itself: prompt, answer, choices or range, feedback.

The prompt names the chair by who is axial, the direction, the counting rule, the table, the temperature and
the unit, so that it has one answer for someone who has never seen the key. Pure.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from chairgap.answer_key.rules.answers.energies import oriented
from chairgap.answer_key.rules.answers.stages import stage_range_kcal_mol
from chairgap.answer_key.rules.choosing import chair_of, estimate_of, ligand_of, stable_letter, table_of
from chairgap.answer_key.rules.reading import tolerance_of
from chairgap.answer_key.rules.slips_labels import label_slips
from chairgap.answer_key.rules.slips_numbers import slipped_numbers
from chairgap.answer_key.rules.words import pattern, plain
from chairgap.errors import InputError
from chairgap.records import Claim, EstimateTable, Facts, Finding
from chairgap.units import KJ_PER_KCAL

Tables = Mapping[str, EstimateTable]
COUNTS = ("diaxial count", "gauche count")
PAIRS = tuple(f"{one}-{two}" for one, two in combinations(range(1, 7), 2) if (two - one) % 6 in (2, 4))
_WORDS = {
    "position": ("axial", "equatorial"),
    "face": ("up", "down"),
    "relation": ("cis", "trans"),
    "twist-boat": ("yes", "no"),
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


def question(finding: Finding, facts: tuple[Facts, ...], tables: Tables) -> Question:
    """The question of a claim. Raises InputError with the reason when it is none for a question bank."""
    claim, right = finding.claim, finding.answer
    reason = _unfit(finding, facts, tables)
    if reason:
        raise InputError(reason)
    asked = _ASKED[claim.quantity](claim, facts[0], tables)
    low, high = _range(finding)
    choices = _choices(finding, facts[0], tables)
    answers = (
        tuple(part.strip() for part in right.text.split(",")) if claim.quantity == "diaxial pairs" else ()
    )
    where = f", C{'-C'.join(map(str, claim.carbons))}" if claim.carbons else ""
    return Question(
        title=f"{claim.item}: {claim.quantity}{where}",
        prompt=f"{_named(facts[0])}. {asked}{_ending(finding)}",
        answers=answers or ((right.text,) if choices else ()),
        choices=choices,
        several=claim.quantity == "diaxial pairs",
        number=right.value,
        low=low,
        high=high,
        whole=claim.quantity in COUNTS,
        unit=right.unit,
        points=claim.points,
        feedback=" ".join(right.steps),
        slips=_slips(finding, facts, tables, choices, (low, high)),
    )


def _unfit(finding: Finding, facts: tuple[Facts, ...], tables: Tables) -> str:
    claim = finding.claim
    if finding.verdict == "ERROR":
        return "the claim is wrong; correct the key"
    if finding.verdict == "REVIEW":
        return f"to be reviewed first: {finding.words}"
    numeric_stage = claim.quantity == "flip stages" and finding.answer.value is not None
    if claim.quantity not in _ASKED or (claim.quantity == "flip stages" and not numeric_stage):
        return f"'{claim.quantity}' is neither a number nor a choice"
    if claim.quantity == "position" and not _chair_without(claim, facts[0], tables, claim.carbons):
        return "the name of the chair is the answer"
    return ""


def _named(facts: Facts) -> str:
    return facts.text if facts.text == facts.groups_by_face else f"{facts.text} ({facts.groups_by_face})"


def _ending(finding: Finding) -> str:
    if finding.answer.value is None:
        return ""
    if finding.claim.quantity in COUNTS:
        return " Write a whole number."
    if finding.answer.unit:
        return f" Unit: {finding.answer.unit}. Write the number alone, with a decimal point."
    return " Write the number with a decimal point; it has no unit."


def _range(finding: Finding) -> tuple[float | None, float | None]:
    claim, right = finding.claim, finding.answer
    if right.value is None:
        return None, None
    if claim.quantity in COUNTS:
        return right.value, right.value
    slack = tolerance_of(claim, right)
    low = high = right.value
    published = stage_range_kcal_mol(claim) if claim.quantity == "flip stages" else None
    if published:
        factor = KJ_PER_KCAL if right.unit == "kJ/mol" else 1.0
        low, high = published[0] * factor, published[1] * factor
    return low - slack, high + slack


def _choices(finding: Finding, facts: Facts, tables: Tables) -> tuple[str, ...]:
    claim = finding.claim
    if finding.answer.value is not None:
        return ()
    if claim.quantity == "stable chair":
        return (*sorted(chair.name for chair in facts.chairs), "equal")
    if claim.quantity == "flip":
        return _patterns(finding.answer.text, chair_of(claim, facts, tables).name)
    return _WORDS[claim.quantity]


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


def _chair_words(claim: Claim, facts: Facts, tables: Tables) -> str:
    """The chair in words: by energy where the key says so, else by who is axial."""
    text = plain(claim.chair).lower()
    if text in {"", "stable", "other"}:
        return "the less stable chair" if text == "other" else "the more stable chair"
    return f"the chair {chair_of(claim, facts, tables).name}"


def _chair_without(claim: Claim, facts: Facts, tables: Tables, carbons: tuple[int, ...]) -> str:
    """The chair named without the carbons asked for; '' when it cannot be."""
    if plain(claim.chair).lower() in {"", "stable", "other"}:
        return _chair_words(claim, facts, tables)
    chair = chair_of(claim, facts, tables)
    # Two groups of one name on a carbon are one axial and one equatorial in both chairs: they name none.
    others = [
        group
        for group in chair.groups
        if group.carbon not in carbons
        and [(other.carbon, other.group) for other in chair.groups].count((group.carbon, group.group)) == 1
    ]
    if others:
        return f"the chair with {others[0].group} on C{others[0].carbon} {others[0].position}"
    letter = stable_letter(estimate_of(claim, facts, tables))
    if letter not in {"A", "B"}:
        return ""
    return "the more stable chair" if letter == chair.letter else "the less stable chair"


def _by_table(claim: Claim) -> str:
    gauche = claim.conventions.gauche_kcal_mol
    own = f", with {gauche:.2f} kcal/mol for CH3/CH3 gauche" if gauche is not None else ""
    return f" Use the A-value table '{claim.conventions.table}'{own}."


def _group(claim: Claim, facts: Facts, tables: Tables, carbon: int) -> str:
    return f"{ligand_of(claim, facts, carbon, table_of(claim, tables)).group} on C{carbon}"


def _position(claim: Claim, facts: Facts, tables: Tables) -> str:
    where = _chair_without(claim, facts, tables, claim.carbons)
    return f"In {where}, is {_group(claim, facts, tables, claim.carbons[0])} axial or equatorial?"


def _face(claim: Claim, facts: Facts, tables: Tables) -> str:
    where = f"In {_chair_words(claim, facts, tables)}, does" if claim.chair else "Does"
    return (
        f"{where} {_group(claim, facts, tables, claim.carbons[0])} point up or down "
        "(ring numbered clockwise seen from above)?"
    )


def _relation(claim: Claim, facts: Facts, tables: Tables) -> str:
    one, two = (_group(claim, facts, tables, carbon) for carbon in claim.carbons)
    return f"Are {one} and {two} cis or trans?"


def _flip(claim: Claim, facts: Facts, tables: Tables) -> str:
    return f"Which chair does a ring flip make of {_chair_words(claim, facts, tables)}?"


_DIAXIAL = {
    "group-any": "Count axial ligands on one face, a group with a hydrogen or a group.",
    "group-group": "Count axial ligands on one face, a group with a group only.",
}
_GAUCHE = {
    "butane": "Count two for each axial group (with the ring) and one for each gauche pair of neighbours.",
    "vicinal": "Count gauche pairs of groups on neighbouring carbons only.",
}


def _diaxial_count(claim: Claim, facts: Facts, tables: Tables) -> str:
    return (
        f"How many 1,3-diaxial contacts has {_chair_words(claim, facts, tables)}? "
        f"{_DIAXIAL[claim.conventions.diaxial]}"
    )


def _diaxial_pairs(claim: Claim, facts: Facts, tables: Tables) -> str:
    return (
        f"Between which carbons are the 1,3-diaxial contacts of {_chair_words(claim, facts, tables)}? "
        f"{_DIAXIAL[claim.conventions.diaxial]} Choose all that apply."
    )


def _gauche_count(claim: Claim, facts: Facts, tables: Tables) -> str:
    return (
        f"How many gauche interactions has {_chair_words(claim, facts, tables)}? "
        f"{_GAUCHE[claim.conventions.gauche_count]}"
    )


def _term(claim: Claim, facts: Facts, tables: Tables) -> str:
    at = " and ".join(f"C{carbon}" for carbon in claim.carbons)
    what = f"the group on {at}" if len(claim.carbons) == 1 else f"the interaction between {at}"
    form = {
        "replacing": " State a syn-diaxial interaction as the energy of the whole pair.",
        "excess": " State a syn-diaxial interaction on top of the half A-values of the pair.",
    }[claim.conventions.syn]
    syn = len(claim.carbons) == 2 and (claim.carbons[0] - claim.carbons[1]) % 6 in (2, 4)
    return (
        f"What does {what} add to the Gibbs energy of {_chair_words(claim, facts, tables)}?"
        f"{form if syn else ''}{_by_table(claim)}"
    )


def _gap(claim: Claim, facts: Facts, tables: Tables) -> str:
    _, words = oriented(claim, estimate_of(claim, facts, tables).gap_kcal_mol or 0.0, facts)
    return f"Estimate the Gibbs energy difference {words}.{_by_table(claim)}"


def _stable_chair(claim: Claim, facts: Facts, tables: Tables) -> str:
    del facts, tables
    return f"Which chair is more stable, or are they equal?{_by_table(claim)}"


def _kelvin(claim: Claim) -> str:
    return f" at {claim.conventions.temperature_k:g} K"


def _k(claim: Claim, facts: Facts, tables: Tables) -> str:
    del facts, tables
    return (
        f"Estimate the equilibrium constant K = [more stable chair]/[less stable chair]{_kelvin(claim)}."
        f"{_by_table(claim)}"
    )


def _percent(claim: Claim, facts: Facts, tables: Tables) -> str:
    del tables
    chair_a, chair_b = facts.chairs
    of = {
        "stable": "the more stable chair",
        "A": f"the chair {chair_a.name}",
        "B": f"the chair {chair_b.name}",
        "axial": "the chair with the group axial",
        "equatorial": "the chair with the group equatorial",
    }[claim.conventions.percent_of]
    return f"What percentage of the molecules is {of}{_kelvin(claim)}?{_by_table(claim)}"


def _r_or_s(claim: Claim, facts: Facts, tables: Tables) -> str:
    del facts, tables
    return f"Which CIP label has C{claim.carbons[0]}? (r, s: pseudoasymmetric; none: no stereocentre)"


def _chirality(claim: Claim, facts: Facts, tables: Tables) -> str:
    del facts, tables
    if claim.conventions.meso == "chair":
        return "Is one chair, without a ring flip, chiral, achiral or meso?"
    return "Is the molecule, with fast ring flip, chiral, achiral or meso? Choose the most specific answer."


def _stage(claim: Claim, facts: Facts, tables: Tables) -> str:
    del facts, tables
    return f"How far above the chair of cyclohexane lies its {plain(claim.chair).lower()} in energy?"


def _twist_boat(claim: Claim, facts: Facts, tables: Tables) -> str:
    del claim, facts, tables
    return "Does the molecule prefer a twist-boat to its more stable chair?"


_ASKED: dict[str, Callable[[Claim, Facts, Tables], str]] = {
    "position": _position,
    "face": _face,
    "relation": _relation,
    "flip": _flip,
    "diaxial count": _diaxial_count,
    "diaxial pairs": _diaxial_pairs,
    "gauche count": _gauche_count,
    "term": _term,
    "gap": _gap,
    "stable chair": _stable_chair,
    "K": _k,
    "percent": _percent,
    "R/S": _r_or_s,
    "chirality": _chirality,
    "flip stages": _stage,
    "twist-boat": _twist_boat,
}


def _slips(
    finding: Finding,
    facts: tuple[Facts, ...],
    tables: Tables,
    choices: tuple[str, ...],
    bounds: tuple[float | None, float | None],
) -> tuple[Slip, ...]:
    """Feedback for the wrong answers that known slips make; a wrong choice no slip makes has none."""
    claim, right = finding.claim, finding.answer
    if choices:
        if claim.quantity == "diaxial pairs":
            return ()
        return tuple(
            Slip(number=None, choice=choice, words=" ".join(diagnosis.words for diagnosis in found))
            for choice in choices
            if choice != right.text
            and (found := label_slips(replace(claim, claimed=choice), facts, tables, right))
        )
    low, high = bounds
    distinct: dict[tuple[float, str], None] = {}
    try:
        for _, words, value in slipped_numbers(claim, facts[0], tables):
            if low is not None and high is not None and not low <= value <= high:
                distinct[float(f"{value:.6g}"), words] = None
    except InputError:
        return ()
    return tuple(Slip(number=value, choice="", words=words) for value, words in distinct)
