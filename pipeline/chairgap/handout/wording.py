"""What sheet and key say of a question, in the same words for every form; nothing of a key stands in a
question.

A sheet knows no chair A or B, since these letters reveal which has fewer axial groups: its chairs are 'chair
1' and 'chair 2', the left and the right frame, and every gap has the direction that one group of the
molecule gives it,

    dG = G(chair with that group axial) - G(chair with it equatorial),

which is defined for every molecule before anything is known of it, and for one group is its A-value. The
questions of a match have the same sign, so that none of them is harder for it.
"""

import re
from collections.abc import Collection

from chairgap.answer_key.rules.answers.equilibrium import constant_words, equilibrium_constant
from chairgap.compare.verdict import percent_a
from chairgap.estimate.ledger import energy_words
from chairgap.handout.blocks import Part
from chairgap.handout.posed import Posed
from chairgap.records import Chair, PlacedLigand, Settings
from chairgap.report.names import name_words
from chairgap.text import one_line
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, signed

FRAMES = LEFT, RIGHT = "chair 1", "chair 2"
LABEL = "Write a for axial or e for equatorial into each cell."
_REVEALING = re.compile(
    r"axial|equatorial|\bax\b|\beq\b|\b[1-6][ae]\b|chair|twist|boat|flip|lock|stable|prefer|favou?r|kcal|kj",
    re.IGNORECASE,
)


def may_be_shown(name: str) -> bool:
    """Whether a name says nothing of chairs, positions or energies."""
    return not _REVEALING.search(name)


def group_words(group: PlacedLigand) -> str:
    """'CH3 on carbon 1 (up)'."""
    return f"{group.group} on carbon {group.carbon} ({group.face})"


def numbered_words(posed: Posed) -> str:
    """By which numbers the carbons of a sheet go."""
    numbered = posed.molecule.numbered
    return f"{numbered if numbered == 'Numbered by IUPAC' else 'Numbered as drawn, not by IUPAC'}."


def name_as_posed(posed: Posed) -> str:
    """The name in the study, with what the sheet has made of the molecule."""
    writing = f" ({posed.writing} for this sheet: {posed.molecule.groups_by_face})" if posed.writing else ""
    return f"{one_line(posed.result.molecule.name)}{writing}"


def systematic_words(posed: Posed) -> str:
    """'Numbered by IUPAC. Systematic name: ...' of the molecule as the sheet draws it."""
    return f"{numbered_words(posed)} {name_words(posed.molecule.naming)}"


def reference_in(chair: Chair, posed: Posed) -> PlacedLigand:
    """The group that gives dG its direction, as it stands in a chair."""
    return next(group for group in chair.groups if (group.carbon, group.face) == posed.reference)


def direction_of(posed: Posed) -> int:
    """+1 when dG of the sheet is G(B) - G(A), -1 when it is G(A) - G(B)."""
    return 1 if reference_in(posed.chairs[1], posed).position == "axial" else -1


def left_and_right(posed: Posed) -> tuple[Chair, Chair]:
    """The chairs in the order of the frames."""
    one, other = posed.chairs
    return (one, other) if one.odd_up_axial == posed.left_odd_up_axial else (other, one)


def frame_words(posed: Posed, chair: Chair) -> str:
    """'chair 1' for the chair of the left frame."""
    return LEFT if chair is left_and_right(posed)[0] else RIGHT


def reference_words(posed: Posed) -> str:
    """The group that gives dG its direction."""
    return named_in(posed.chairs[0], reference_in(posed.chairs[0], posed))


def named_in(chair: Chair, group: PlacedLigand) -> str:
    """'the CH3 on carbon 1', or 'the upper CH3 on carbon 1' where the carbon has two groups."""
    alone = sum(other.carbon == group.carbon for other in chair.groups) == 1
    return with_article(group, face=not alone)


def with_article(group: PlacedLigand, *, face: bool = False) -> str:
    """'the CH3 on carbon 1', with its face 'the upper CH3 on carbon 1'."""
    which = "" if not face else "upper " if group.face == "up" else "lower "
    return f"the {which}{group.group} on carbon {group.carbon}"


def parts(posed: Posed, settings: Settings) -> tuple[Part, ...]:
    """What is asked, in four parts."""
    at, who = f"{settings.temperature_k:.2f} K", reference_words(posed)
    return (
        Part(
            letter="a",
            text="Draw both chairs: put every group on its carbon in each frame, on the axial or on the "
            "equatorial bond. Hydrogen atoms may be left out.",
            points=3,
        ),
        Part(letter="b", text=LABEL, points=2),
        Part(
            letter="c",
            text=f"Estimate dG = G(chair with {who} axial) - G(chair with it equatorial), in kcal/mol, from "
            "the table of this sheet. Write down each term with its chair, and the sign of the result: "
            "positive means that the chair with it equatorial is preferred.",
            points=3,
        ),
        Part(
            letter="d",
            text=f"Which chair is preferred: {LEFT}, {RIGHT}, or neither (dG without its sign below "
            f"{settings.undecided_below_kcal_mol:.2f} kcal/mol)? From your dG, work out "
            f"K = [chair with {who} equatorial] / [chair with it axial] = exp(dG / RT) at {at}, and the "
            "percent of the chair with it equatorial.",
            points=2,
        ),
    )


FOUR_PART_RUBRIC = (
    "(a) 1 point for each chair with every group on the right bond, 1 when every group keeps its face, up or "
    "down, in both chairs.",
    "(b) 1 point for each chair that is right throughout; a chair that agrees with a wrong drawing of (a) "
    "counts as right.",
    "(c) 1 point for the terms, 1 for the sum, 1 for sign and direction.",
    "(d) 1 point for the chair, 1 for K and percent, both from the student's own dG of (c).",
)
RUBRIC_OF_STEPS = "The points of each step stand below its answer."
RUBRIC = ("The points are a proposal. A person decides a grade.",)


def conventions(settings: Settings, uses: Collection[str]) -> tuple[str, ...]:
    """What a student must know before the first question; uses: what the questions of the sheet need."""
    rt_kcal_mol = GAS_CONSTANT_KCAL_PER_MOL_K * settings.temperature_k
    said = {
        "frames": (
            f"The two frames or chairs of a question, {LEFT} at the left and {RIGHT} at the right, are the "
            "two chairs of the molecule, before and after a ring flip, with the carbon numbers of the "
            "drawing.",
        ),
        "table": (
            "A-value = G(axial) - G(equatorial) in kcal/mol; positive means that equatorial is preferred.",
            "Estimate: the energy in a chair is the sum of the A-values of its axial groups and of the "
            "corrections of the table for its pairs of groups. What is the same in both chairs cancels.",
        ),
        "temperature": (f"T = {settings.temperature_k:.2f} K, RT = {rt_kcal_mol:.4f} kcal/mol.",),
    }
    of_source = ("The A-values are for the temperature and solvent of their source.",)
    return (
        "Ring carbons are numbered 1 to 6, clockwise as the flat drawing shows them. A wedge means that a "
        "group is up, towards you; a hashed bond means that it is down, away from you.",
        *(line for use, lines in said.items() if use in uses for line in lines),
        *(of_source if "table" in uses else ()),
    )


def pattern_words(chair: Chair) -> str:
    """'CH3 on carbon 1 axial, OH on carbon 3 equatorial'."""
    return ", ".join(f"{group.group} on carbon {group.carbon} {group.position}" for group in chair.groups)


def preferred_chair(posed: Posed, gap_kcal_mol: float, settings: Settings) -> Chair | None:
    """The chair that a dG of the estimate, in the direction of the sheet, prefers; None for neither."""
    if posed.result.gaps.equal_by_symmetry or abs(gap_kcal_mol) < settings.undecided_below_kcal_mol:
        return None
    requested = "equatorial" if gap_kcal_mol > 0.0 else "axial"
    return next(chair for chair in posed.chairs if reference_in(chair, posed).position == requested)


def preferred_words(posed: Posed, gap_kcal_mol: float, settings: Settings) -> str:
    """The same in words, with the reason for neither."""
    chair = preferred_chair(posed, gap_kcal_mol, settings)
    if chair is not None:
        return f"{frame_words(posed, chair)} ({pattern_words(chair)})"
    if posed.result.gaps.equal_by_symmetry:
        return "neither: the two chairs are the same or mirror images of each other, so dG is exactly 0"
    return f"neither: dG without its sign is below {settings.undecided_below_kcal_mol:.2f} kcal/mol"


def equilibrium_words(gap_kcal_mol: float, temperature_k: float) -> str:
    """'K = 18.9, 95.0 %' for a dG in the direction of the sheet."""
    shown = constant_words(gap_kcal_mol, temperature_k)
    if not shown.startswith("10^"):
        shown = three_digits(equilibrium_constant(gap_kcal_mol, temperature_k))
    return f"K = {shown}, {percent_words(percent_a(gap_kcal_mol, temperature_k))}"


def three_digits(value: float) -> str:
    """'18.9', '9,720' or '1.45e+07'."""
    if 1e-3 <= value < 1e6:
        return f"{float(f'{value:.3g}'):,.10g}"
    return f"{value:.2e}"


def percent_words(value: float) -> str:
    """One decimal, two within 0.1 of an end."""
    if 0.1 <= value <= 99.9:
        return f"{value:.1f} %"
    return "more than 99.99 %" if value > 99.99 else "less than 0.01 %" if value < 0.01 else f"{value:.2f} %"


def turned(sign: int, low: float | None, high: float | None) -> tuple[float | None, float | None]:
    """A range in the direction of the sheet."""
    if low is None or high is None:
        return None, None
    return (low, high) if sign > 0 else (-high, -low)


def range_words(low: float | None, high: float | None) -> str:
    """'+1.70 to +1.82', or ''."""
    return "" if low is None or high is None else f"{signed(low)} to {signed(high)}"


def with_sign(gap_kcal_mol: float) -> str:
    """With its sign and all its decimals, so that a sum before it comes out."""
    return f"+{energy_words(gap_kcal_mol)}" if gap_kcal_mol > 0.0 else energy_words(gap_kcal_mol)


def plain_number(value: float | None) -> str:
    """The energy with all its decimals, at least two, or 'no published value'."""
    return "no published value" if value is None else energy_words(value)
