"""Rows of the table of pairs and declared pairs, made up."""

from chairgap.records import DeclaredPair, PairInteraction, PairRelation


def tabulated_pair(
    groups: tuple[str, str],
    relation: PairRelation,
    value_kcal_mol: float,
    method: str,
    method_spread_kcal_mol: float = 0.0,
) -> PairInteraction:
    return PairInteraction(
        group_1=groups[0],
        group_2=groups[1],
        relation=relation,
        value_kcal_mol=value_kcal_mol,
        temperature_k=298.15,
        method=method,
        method_spread_kcal_mol=method_spread_kcal_mol,
    )


def declared_pair(
    groups: tuple[str, str],
    relation: PairRelation,
    value_kcal_mol: float,
    uncertainty_kcal_mol: float,
    medium: str = "",
) -> DeclaredPair:
    return DeclaredPair(
        group_1=groups[0],
        group_2=groups[1],
        relation=relation,
        value_kcal_mol=value_kcal_mol,
        uncertainty_kcal_mol=uncertainty_kcal_mol,
        source="lecture 4",
        medium=medium,
    )
