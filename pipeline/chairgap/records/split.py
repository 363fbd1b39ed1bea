"""How the difference between computed gap and hand estimate is made up."""

from dataclasses import dataclass
from typing import Literal

PartKind = Literal["single group", "pair", "rotamers", "vibrations", "non-additivity"]
Relation = Literal["", "geminal", "1,2", "1,3", "1,4"]


@dataclass(frozen=True, kw_only=True)
class GapKinds:
    """Potential, ensemble and Gibbs gap of a fragment, kcal/mol; its direction stands where it is made."""

    potential_kcal_mol: float
    ensemble_kcal_mol: float
    gibbs_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class SplitPart:
    """One part of the difference, E(B) - E(A), kcal/mol: what is computed for it and what the table has.

    tabulated is None where the table has nothing (it then counts as 0 in the estimate).
    """

    kind: PartKind
    relation: Relation
    carbons: tuple[int, ...]
    groups: tuple[str, ...]
    computed_kcal_mol: float
    tabulated_kcal_mol: float | None

    @property
    def difference_kcal_mol(self) -> float:
        return self.computed_kcal_mol - (self.tabulated_kcal_mol or 0.0)


@dataclass(frozen=True, kw_only=True)
class Split:
    """Parts that add up to Gibbs gap - estimate; without parts, `note` says why there are none."""

    parts: tuple[SplitPart, ...]
    note: str = ""

    @property
    def total_kcal_mol(self) -> float:
        return sum(part.difference_kcal_mol for part in self.parts)
