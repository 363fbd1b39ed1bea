"""From a claim's quantity to the function that answers it."""

from collections.abc import Callable

from chairgap.answer_key.rules.answers.counts import diaxial_count, diaxial_pairs, gauche_count
from chairgap.answer_key.rules.answers.energies import gap, ranking, stable_chair, term
from chairgap.answer_key.rules.answers.equilibrium import k, percent
from chairgap.answer_key.rules.answers.handedness import chirality, r_or_s
from chairgap.answer_key.rules.answers.labels import face, flip, position, relation
from chairgap.answer_key.rules.answers.newman import newman
from chairgap.answer_key.rules.answers.stages import flip_stages, twist_boat
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import problem
from chairgap.records import Answer

_ANSWERS: dict[str, Callable[[Case], Answer]] = {
    "position": position,
    "face": face,
    "relation": relation,
    "flip": flip,
    "diaxial count": diaxial_count,
    "diaxial pairs": diaxial_pairs,
    "gauche count": gauche_count,
    "term": term,
    "gap": gap,
    "stable chair": stable_chair,
    "K": k,
    "percent": percent,
    "R/S": r_or_s,
    "chirality": chirality,
    "newman": newman,
    "flip stages": flip_stages,
    "twist-boat": twist_boat,
    "ranking": ranking,
}


def answer(case: Case) -> Answer:
    """The right answer to a claim under its declared conventions.

    Raises InputError, naming the cell, when the row asks for something that has no answer.
    """
    quantity = case.claim.quantity
    if len(case.molecules) != 1 and quantity != "ranking":
        raise problem(case.claim, f"'{quantity}' needs one molecule in column 'molecule'.")
    return _ANSWERS[quantity](case)
