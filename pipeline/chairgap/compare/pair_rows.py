"""How two groups stand to each other on the ring, and the row that a table of pairs has for them."""

from collections.abc import Mapping, Sequence
from typing import TypeVar

from chairgap.records import DeclaredPair, PairInteraction, PairRelation, PlacedLigand, Separation

_AROUND: dict[int, Separation] = {
    0: "geminal",
    1: "1,2",
    2: "1,3",
    3: "1,4",
    4: "1,3",
    5: "1,2",
}
_RELATIONS: dict[tuple[bool, str], PairRelation] = {
    (True, "1,2"): "cis-1,2",
    (False, "1,2"): "trans-1,2",
    (True, "1,3"): "cis-1,3",
    (False, "1,3"): "trans-1,3",
    (True, "1,4"): "cis-1,4",
    (False, "1,4"): "trans-1,4",
}
PairKey = tuple[str, str, PairRelation]
_PairRow = TypeVar("_PairRow", PairInteraction, DeclaredPair)


def separation(one: PlacedLigand, other: PlacedLigand) -> Separation:
    """How far apart the carbons of two groups are."""
    return _AROUND[abs(one.carbon - other.carbon)]


def pair_relation(one: PlacedLigand, other: PlacedLigand) -> PairRelation:
    """How two groups stand to each other on the ring."""
    across = separation(one, other)
    return "geminal" if across == "geminal" else _RELATIONS[one.face == other.face, across]


def changes_places(one: PlacedLigand, other: PlacedLigand) -> bool:
    """Whether they are equal groups of which the flip puts each where the other was: 0 by symmetry."""
    return one.group == other.group and one.position != other.position


def tabulated(pairs: Sequence[_PairRow]) -> dict[PairKey, _PairRow]:
    """The rows by their groups and relation."""
    return {(row.group_1, row.group_2, row.relation): row for row in pairs}


def row_of(
    one: PlacedLigand, other: PlacedLigand, rows: Mapping[PairKey, _PairRow]
) -> tuple[PlacedLigand, _PairRow] | None:
    """The row of a pair, and the one of the two groups whose sense its value has; None without a row."""
    relation = pair_relation(one, other)
    for first, second in ((one, other), (other, one)):
        row = rows.get((first.group, second.group, relation))
        if row is not None:
            return first, row
    return None
