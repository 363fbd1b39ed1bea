"""Axial or equatorial, up or down, cis or trans, and the product of a ring flip."""

from collections.abc import Mapping

from chairgap.answer_key.rules.choosing import chair_of, ligand_of, other_chair, table_of
from chairgap.answer_key.rules.words import problem
from chairgap.records import Answer, Claim, EstimateTable, Facts
from chairgap.shape.chairs import position_in_chair

Tables = Mapping[str, EstimateTable]


def position(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Axial or equatorial of the ligand at a carbon in a chair."""
    (carbon,) = one_carbon(claim)
    chair = chair_of(claim, facts, tables)
    ligand = ligand_of(claim, facts, carbon, table_of(claim, tables))
    answer = position_in_chair(carbon, ligand.face, chair.odd_up_axial)
    return Answer(
        text=answer,
        value=None,
        unit="",
        steps=(
            f"{ligand.group} on C{carbon} points {ligand.face}.",
            f"Axial bonds alternate round the ring: in chair {chair.name} the axial bond of C{carbon} points "
            f"{'up' if (carbon % 2 == 1) == chair.odd_up_axial else 'down'}.",
            f"So {ligand.group} is {answer}.",
        ),
    )


def face(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Up or down of the ligand at a carbon; the same in both chairs."""
    (carbon,) = one_carbon(claim)
    ligand = ligand_of(claim, facts, carbon, table_of(claim, tables))
    return Answer(
        text=ligand.face,
        value=None,
        unit="",
        steps=(
            f"{ligand.group} on C{carbon} points {ligand.face} (ring numbered clockwise seen from above).",
            "A ring flip keeps every face.",
        ),
    )


def relation(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """Cis or trans of the groups at two carbons: the same face or opposite faces."""
    first, second = two_carbons(claim)
    table = table_of(claim, tables)
    one, two = (ligand_of(claim, facts, carbon, table) for carbon in (first, second))
    answer = "cis" if one.face == two.face else "trans"
    return Answer(
        text=answer,
        value=None,
        unit="",
        steps=(
            f"{one.group} on C{first} points {one.face}, {two.group} on C{second} points {two.face}.",
            f"{'The same face' if answer == 'cis' else 'Opposite faces'}: {answer}. Axial or equatorial does "
            "not enter.",
        ),
    )


def flip(claim: Claim, facts: Facts, tables: Tables) -> Answer:
    """The chair that a ring flip of the named chair gives, by who is axial."""
    chair = chair_of(claim, facts, tables)
    product = other_chair(chair, facts)
    return Answer(
        text=product.name,
        value=None,
        unit="",
        steps=(
            f"Before the flip: {chair.name}.",
            "A ring flip makes every axial bond equatorial and every equatorial one axial, and keeps faces.",
            f"After the flip: {product.name}.",
        ),
    )


def one_carbon(claim: Claim) -> tuple[int]:
    """The single carbon a claim needs. Raises InputError otherwise."""
    if len(claim.carbons) != 1:
        raise problem(claim, f"'{claim.quantity}' needs one ring carbon in column 'carbon', such as 1.")
    return (claim.carbons[0],)


def two_carbons(claim: Claim) -> tuple[int, int]:
    """The pair of carbons a claim needs. Raises InputError otherwise."""
    if len(claim.carbons) != 2 or claim.carbons[0] == claim.carbons[1]:
        raise problem(claim, f"'{claim.quantity}' needs two ring carbons in column 'carbon', such as 1-2.")
    return claim.carbons[0], claim.carbons[1]
