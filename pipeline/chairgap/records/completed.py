"""The completed sum: the hand estimate with a term for each pair of groups that has no published one."""

from dataclasses import dataclass
from math import fsum, sqrt
from typing import Literal

from chairgap.records.anchored import PairRelation
from chairgap.records.estimate import Estimate
from chairgap.records.types import Face


@dataclass(frozen=True, kw_only=True)
class PairTerm:
    """What two groups add to G(B) - G(A), kcal/mol, beyond the A-values of both, with one standard deviation.

    It belongs to the gap, not to a chair. source is the method that computed it, or what a user declares as
    its source; medium is '' and temperature_k None where it is not stated.
    """

    carbons: tuple[int, int]
    faces: tuple[Face, Face]
    groups: tuple[str, str]
    relation: PairRelation
    value_kcal_mol: float
    uncertainty_kcal_mol: float
    origin: Literal["computed", "declared"]
    source: str
    medium: str
    temperature_k: float | None


@dataclass(frozen=True, kw_only=True)
class CompletedSum:
    """Published terms and pair terms, each pair of groups in one of them; G(B) - G(A), kcal/mol.

    published holds the A-values and the published terms of all other pairs; missing names what neither has.
    What three and more groups do beyond their pairs is in no term.
    """

    published: Estimate
    pairs: tuple[PairTerm, ...]
    missing: tuple[str, ...]

    @property
    def complete(self) -> bool:
        return not self.missing

    @property
    def gap_kcal_mol(self) -> float | None:
        """None where an A-value is missing: what remains is no gap of the molecule."""
        published = self.published.shown_kcal_mol[0]
        return None if published is None else fsum([published, *(term.value_kcal_mol for term in self.pairs)])

    @property
    def range_kcal_mol(self) -> tuple[float, float] | None:
        """The range of the published terms, made wider on both sides by the uncertainties of the pair terms,
        which add in quadrature."""
        _, low, high = self.published.shown_kcal_mol
        if low is None or high is None:
            return None
        pairs = fsum(term.value_kcal_mol for term in self.pairs)
        wider = sqrt(fsum(term.uncertainty_kcal_mol**2 for term in self.pairs))
        return low + pairs - wider, high + pairs + wider
