"""From a claim's quantity to the function that answers it."""

from collections.abc import Callable

from chairgap.key.answers.counts import diaxial_count, diaxial_pairs, gauche_count
from chairgap.key.answers.energies import gap, stable_chair, term
from chairgap.key.answers.equilibrium import k, percent
from chairgap.key.answers.handedness import chirality, r_or_s
from chairgap.key.answers.labels import Tables, face, flip, position, relation
from chairgap.key.answers.newman import newman
from chairgap.key.answers.ranking import ranking
from chairgap.key.answers.stages import flip_stages, twist_boat
from chairgap.key.words import problem
from chairgap.records import Answer, Claim, Facts

_ANSWERS: dict[str, Callable[[Claim, Facts, Tables], Answer]] = {
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
}


def answer(claim: Claim, facts: tuple[Facts, ...], tables: Tables) -> Answer:
    """The right answer to a claim under its declared conventions.

    Raises InputError, naming the cell, when the row asks for something that has no answer.
    """
    if claim.quantity == "ranking":
        return ranking(claim, facts, tables)
    if len(facts) != 1:
        raise problem(claim, f"'{claim.quantity}' needs one molecule in column 'molecule'.")
    return _ANSWERS[claim.quantity](claim, facts[0], tables)
