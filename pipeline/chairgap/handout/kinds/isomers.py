"""Questions on several isomers: a ranking of three, and which of two has the larger preference.

Isomers here have the same groups, in other places or on other faces: sums of A-values compare nothing else.
"""

from fractions import Fraction
from itertools import combinations

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.choosing import SAME_KCAL_MOL, chair_sums
from chairgap.estimate.ledger import energy_words
from chairgap.handout import pictures, wording
from chairgap.handout.blocks import (
    Beside,
    Blanks,
    Bullets,
    Drawing,
    Grid,
    Mark,
    Part,
    Piece,
    Space,
    Together,
    Words,
)
from chairgap.handout.kinds.kind import Task, Written, case_of
from chairgap.handout.pool import Candidate
from chairgap.handout.posed import Posed
from chairgap.records import Chair, Estimate, Outcome

_LETTERS = "XYZ"
_NOT_COUNTED = (
    "Energies of the better chairs by the table alone: the entropy of mixing of mirror images and of two "
    "equal chairs is left out."
)


def lacks_terms(candidate: Candidate, outcome: Outcome) -> str:
    """Why a molecule cannot be compared with others."""
    if any(term.value_kcal_mol is None for term in candidate.result.estimate.terms):
        return "a term of its sum has no value in the table, though it cancels between its chairs"
    if candidate.doubts:
        return f"its answer is in doubt ({candidate.doubts[0].rstrip('.')})"
    return ""


def lacks_order(candidates: tuple[Candidate, ...], outcome: Outcome) -> str:
    """Why three isomers have no clear order."""
    least = outcome.study.settings.undecided_below_kcal_mol
    sums = [_best(candidate.result.estimate) for candidate in candidates]
    for (one, low_1, high_1), (other, low_2, high_2) in combinations(sums, 2):
        apart = abs(one - other)
        overlap = max(low_1, low_2) < min(high_1, high_2)
        if apart >= SAME_KCAL_MOL and (apart < least or overlap):
            return "the energies of two of them are too near each other"
    return "" if len({round(one, 3) for one, _, _ in sums}) > 1 else "their energies are all the same"


def lacks_larger(candidates: tuple[Candidate, ...], outcome: Outcome) -> str:
    """Why two isomers do not show whose preference is larger."""
    least = outcome.study.settings.undecided_below_kcal_mol
    one, other = (_size(candidate.result.estimate) for candidate in candidates)
    if abs(one[0] - other[0]) < least or max(one[1], other[1]) < min(one[2], other[2]):
        return "their preferences are too near each other"
    return ""


def _best(estimate: Estimate) -> tuple[float, float, float]:
    """The sum of the better chair in kcal/mol, and its range over the table."""
    sums = chair_sums(estimate)
    letter = min(sums, key=lambda chair: (round(sums[chair], 6), chair))
    terms = [term for term in estimate.terms if term.chair == letter]
    low = sum(term.low_kcal_mol or 0.0 for term in terms)
    high = sum(term.high_kcal_mol or 0.0 for term in terms)
    return sums[letter], low, high


def _size(estimate: Estimate) -> tuple[float, float, float]:
    """dG without its sign in kcal/mol, and its range over the table."""
    gap, low, high = (
        value or 0.0 for value in (estimate.gap_kcal_mol, estimate.low_kcal_mol, estimate.high_kcal_mol)
    )
    nearest = 0.0 if low < 0.0 < high else min(abs(low), abs(high))
    return abs(gap), nearest, max(abs(low), abs(high))


def in_order_of_sheet(task: Task) -> tuple[Posed, ...]:
    """The isomers in the order in which this version shows them."""
    everything = [task.posed, *(one.posed for one in task.asked.beside)]
    return tuple(task.rng.sample(everything, len(everything)))


def _shown(task: Task, isomers: tuple[Posed, ...]) -> Beside:
    return Beside(
        drawings=tuple(
            task.drawn(pictures.molecule_picture(posed), "row", f"_{letter}", (f"isomer {letter}",))
            for letter, posed in zip(_LETTERS, isomers, strict=False)
        )
    )


def _chairs(task: Task, isomers: tuple[Posed, ...]) -> tuple[Piece, ...]:
    """The chairs of each isomer with their sums, for the key."""
    pieces: list[Piece] = []
    for letter, posed in zip(_LETTERS, isomers, strict=False):
        known = f"Isomer {letter}: {wording.name_as_posed(posed)}. {wording.systematic_words(posed)}"
        pieces.append(Words(text=known, given=True))
        captions = (f"chair 1 of {letter}", f"chair 2 of {letter}")
        pieces.append(
            Drawing(
                path=task.key_path(f"_{letter}"),
                picture=pictures.chairs_picture(posed, captions),
                size="small",
                captions=captions,
                singles=pictures.single_chairs(posed, captions),
            )
        )
    return tuple(pieces)


def ranking(task: Task) -> Written:
    """Three isomers by the energies of their better chairs."""
    isomers = in_order_of_sheet(task)
    found = answer(case_of(isomers, task.outcome, "ranking"))
    order = "".join(_LETTERS[int(sign) - 1] if sign.isdigit() else sign for sign in found.text)
    rows = []
    for letter, posed in zip(_LETTERS, isomers, strict=True):
        sums = _exact_sums(posed)
        best = min(posed.chairs, key=lambda chair: (sums[chair.letter], chair.letter))
        rows.append(
            (
                f"isomer {letter}",
                wording.pattern_words(best),
                _terms_of(posed, best),
                energy_words(float(sums[best.letter])),
            )
        )
    head = ("Isomer", "Its better chair: groups axial or equatorial", "Sum, kcal/mol")
    return Written(
        question=(
            _shown(task, isomers),
            Part(
                letter="a",
                text="X, Y and Z are isomers. Write down the more stable chair of each and its energy: the "
                "sum of the A-values of its axial groups and of the corrections of the table.",
                points=3,
            ),
            Grid(
                head=head,
                rows=tuple((f"isomer {letter}", "", "") for letter in _LETTERS),
                to_fill=True,
                wide=True,
            ),
            Together(
                pieces=(
                    Part(
                        letter="b",
                        text="Write the isomers in order, the most stable first. Join them with <, or with = "
                        "where two energies are equal.",
                        points=1,
                    ),
                    Blanks(labels=(("Order:", ""),)),
                )
            ),
        ),
        answer=(
            *_chairs(task, isomers),
            Grid(
                head=("Isomer", "Better chair", "Terms", "Sum, kcal/mol"),
                rows=tuple(rows),
                right=(3,),
            ),
            Bullets(lines=(f"Most stable (lowest energy) first: {order}.", _NOT_COUNTED)),
        ),
        glance=(order,),
        marks=(
            *(Mark(points=1, words=f"(a) isomer {letter}: chair and sum.") for letter in _LETTERS),
            Mark(points=1, words="(b) the order that follows from the student's own sums."),
        ),
    )


def _terms_of(posed: Posed, chair: Chair) -> str:
    """The terms of a chair in words."""
    words = [term.words for term in posed.estimate.terms if term.chair == chair.letter]
    return "; ".join(words) or "no term"


def _exact_sums(posed: Posed) -> dict[str, Fraction]:
    """The sum of each chair's terms, exact in the decimals of the table."""
    sums = {"A": Fraction(0), "B": Fraction(0)}
    for term in posed.estimate.terms:
        sums[term.chair] += Fraction(repr(term.value_kcal_mol or 0.0))
    return sums


def larger_preference(task: Task) -> Written:
    """Two isomers: in which are the two chairs further apart?"""
    isomers = in_order_of_sheet(task)
    sizes = [_size(posed.estimate)[0] for posed in isomers]
    letter = _LETTERS[sizes[1] > sizes[0]]
    shown = [energy_words(size) for size in sizes]
    rows = [
        (
            f"isomer {name}",
            wording.frame_words(posed, chair),
            _terms_of(posed, chair),
            energy_words(float(total)),
        )
        for name, posed in zip(_LETTERS, isomers, strict=False)
        for chair in wording.left_and_right(posed)
        for total in (_exact_sums(posed)[chair.letter],)
    ]
    return Written(
        question=(
            _shown(task, isomers),
            Together(
                pieces=(
                    Part(
                        letter="a",
                        text="X and Y are isomers. For each, estimate from the table by how many kcal/mol "
                        "one chair is more stable than the other (dG without its sign).",
                        points=2,
                    ),
                    Space(),
                    Blanks(labels=(("X:", "kcal/mol"), ("Y:", "kcal/mol"))),
                ),
                grows=True,
            ),
            Together(
                pieces=(
                    Part(letter="b", text="Which isomer has the larger preference for one chair?", points=1),
                    Blanks(labels=(("Isomer:", ""),)),
                )
            ),
        ),
        answer=(
            *_chairs(task, isomers),
            Grid(head=("Isomer", "Chair", "Terms", "Sum, kcal/mol"), rows=tuple(rows), right=(3,)),
            Bullets(
                lines=tuple(
                    f"dG of isomer {name} without its sign: {size} kcal/mol."
                    for name, size in zip(_LETTERS, shown, strict=False)
                )
            ),
            Bullets(lines=(f"The larger preference: isomer {letter}.",)),
        ),
        glance=(
            f"isomer {letter}",
            "; ".join(f"isomer {name}: {size} kcal/mol" for name, size in zip(_LETTERS, shown, strict=False)),
        ),
        marks=(
            Mark(points=1, words="(a) isomer X: terms of both chairs and their difference."),
            Mark(points=1, words="(a) isomer Y: terms of both chairs and their difference."),
            Mark(points=1, words="(b) the isomer that follows from the student's own numbers."),
        ),
    )
