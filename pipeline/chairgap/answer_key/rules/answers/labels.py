"""Axial or equatorial, up or down, cis or trans, and the product of a ring flip."""

from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import in_words, problem
from chairgap.records import Answer, Claim
from chairgap.shape.chairs import position_in_chair


def position(case: Case) -> Answer:
    """Axial or equatorial of the ligand at a carbon in a chair."""
    carbon = one_carbon(case.claim)
    chair, ligand = case.chair, case.ligand(carbon)
    answer = position_in_chair(carbon, ligand.face, chair.odd_up_axial)
    return in_words(
        answer,
        f"{ligand.group} on C{carbon} points {ligand.face}.",
        f"Axial bonds alternate round the ring: in chair {chair.name} the axial bond of C{carbon} points "
        f"{'up' if (carbon % 2 == 1) == chair.odd_up_axial else 'down'}.",
        f"So {ligand.group} is {answer}.",
    )


def face(case: Case) -> Answer:
    """Up or down of the ligand at a carbon; the same in both chairs."""
    carbon = one_carbon(case.claim)
    ligand = case.ligand(carbon)
    sense = "anticlockwise" if case.facts.anticlockwise else "clockwise"
    return in_words(
        ligand.face,
        f"{ligand.group} on C{carbon} points {ligand.face} (ring numbered {sense} seen from above).",
        "A ring flip keeps every face.",
    )


def relation(case: Case) -> Answer:
    """Cis or trans of the groups at two carbons: the same face or opposite faces."""
    first, second = two_carbons(case.claim)
    one, two = case.ligand(first), case.ligand(second)
    answer = "cis" if one.face == two.face else "trans"
    return in_words(
        answer,
        f"{one.group} on C{first} points {one.face}, {two.group} on C{second} points {two.face}.",
        f"{'The same face' if answer == 'cis' else 'Opposite faces'}: {answer}. Axial or equatorial does "
        "not enter.",
    )


def flip(case: Case) -> Answer:
    """The chair that a ring flip of the named chair gives, by who is axial."""
    product = case.flipped(case.chair)
    return in_words(
        product.name,
        f"Before the flip: {case.chair.name}.",
        "A ring flip makes every axial bond equatorial and every equatorial one axial, and keeps faces.",
        f"After the flip: {product.name}.",
    )


def one_carbon(claim: Claim) -> int:
    """The single carbon a claim needs. Raises InputError otherwise."""
    if len(claim.carbons) != 1:
        raise problem(claim, f"'{claim.quantity}' needs one ring carbon in column 'carbon', such as 1.")
    return claim.carbons[0]


def two_carbons(claim: Claim) -> tuple[int, int]:
    """The pair of carbons a claim needs. Raises InputError otherwise."""
    if len(claim.carbons) != 2 or claim.carbons[0] == claim.carbons[1]:
        raise problem(claim, f"'{claim.quantity}' needs two ring carbons in column 'carbon', such as 1-2.")
    return claim.carbons[0], claim.carbons[1]
