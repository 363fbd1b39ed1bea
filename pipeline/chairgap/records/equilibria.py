"""Published equilibria between the two chairs of a molecule, and how gaps stand to them."""

from dataclasses import dataclass
from typing import Literal

from chairgap.records.anchored import Separation
from chairgap.records.types import ChairLetter, Face

MediumGroup = Literal["gas", "apolar", "polar", "hydrogen bonding", "not stated"]
# How the anchored gap stands to a published one; 'none' without an anchored gap.
MeasuredStanding = Literal["agrees", "differs", "opposite chair", "other medium", "none"]


@dataclass(frozen=True, kw_only=True)
class Equilibrium:
    """One published equilibrium; a row of `data/equilibria.csv`.

    groups: (carbon, face, fragment as SMILES) in the row's own numbering. The number speaks of the chair in
    which the upper ligands of the odd carbons are axial, or (`odd_up_axial` False) the lower ones; `chair` is
    its name. value is G(other chair) - G(this chair) in kcal/mol for 'gibbs' and 'energy', the percent of
    this chair for 'percent', None for 'more populated'. temperature_k is None where not stated.
    """

    key: str
    groups_by_face: str
    groups: tuple[tuple[int, Face, str], ...]
    chair: str
    odd_up_axial: bool
    kind: Literal["gibbs", "energy", "percent", "more populated"]
    value: float | None
    error: float | None
    bound: Literal["", "more than", "about"]
    temperature_k: float | None
    medium: str
    medium_class: MediumGroup
    method: str
    source: str
    known: Literal["seen", "seen as quotation", "from memory"]
    note: str

    @property
    def measured(self) -> bool:
        """False for what was written from memory or is a statement of a textbook: shown, never counted."""
        return self.known != "from memory" and self.method != "textbook statement"


@dataclass(frozen=True, kw_only=True)
class PublishedGap:
    """A published equilibrium as G(B) - G(A) of a molecule's own chairs, kcal/mol at temperature_k.

    bound says how the gap is meant: 'at least' and 'at most' of G(B) - G(A). None where only the favoured
    chair is published; `favoured` is '' for a gap of zero. this_chair is the letter of the chair that the
    published value speaks of.
    """

    equilibrium: Equilibrium
    this_chair: ChairLetter
    temperature_k: float
    gap_kcal_mol: float | None
    error_kcal_mol: float | None
    bound: Literal["", "about", "at least", "at most"]
    favoured: ChairLetter | Literal[""]

    @property
    def is_number(self) -> bool:
        """A gap that another can be subtracted from: neither a bound nor a sign alone."""
        return self.gap_kcal_mol is not None and self.bound in ("", "about")


@dataclass(frozen=True, kw_only=True)
class MeasuredGap:
    """A published gap of a molecule beside its anchored gap, both G(B) - G(A) in kcal/mol at the published
    temperature. anchored_in is the medium of the anchored gap, '' where the study has none that can be
    compared; the anchored gap is None then, or where the molecule has none."""

    published: PublishedGap
    anchored_in: str
    anchored_kcal_mol: float | None
    uncertainty_kcal_mol: float
    stands: MeasuredStanding

    @property
    def deviation_kcal_mol(self) -> float | None:
        """Anchored gap minus published gap; None for bounds and signs."""
        published = self.published.gap_kcal_mol
        if published is None or not self.published.is_number or self.anchored_kcal_mol is None:
            return None
        return self.anchored_kcal_mol - published


@dataclass(frozen=True, kw_only=True)
class EquilibriumScore:
    """One published gap with one model. gap is G(B) - G(A), kcal/mol, at the published temperature in
    `computed_in`; None where the model has none, `note` then says why. pairs_by is the method of the pairs of
    an anchored gap; separation is None unless the ring has two groups."""

    published: PublishedGap
    chair_a: str
    chair_b: str
    model: str
    pairs_by: str
    computed_in: str
    gap_kcal_mol: float | None
    separation: Separation | None
    hydrogen_bond: bool
    note: str

    @property
    def deviation_kcal_mol(self) -> float | None:
        """Gap of the model minus published gap; None for bounds and signs."""
        published = self.published.gap_kcal_mol
        if published is None or not self.published.is_number or self.gap_kcal_mol is None:
            return None
        return self.gap_kcal_mol - published

    @property
    def counted(self) -> bool:
        """Whether the deviation enters errors and spreads."""
        return self.deviation_kcal_mol is not None and self.published.equilibrium.measured

    @property
    def verdict(self) -> Literal["", "right", "wrong"]:
        """Whether a bound holds, else whether the favoured chair is the published one; '' without either."""
        published, gap = self.published, self.gap_kcal_mol
        if gap is None or not published.favoured:
            return ""
        bound_kcal_mol = published.gap_kcal_mol or 0.0
        if published.bound == "at least":
            return "right" if gap >= bound_kcal_mol else "wrong"
        if published.bound == "at most":
            return "right" if gap <= bound_kcal_mol else "wrong"
        return "right" if gap != 0.0 and (gap > 0.0) == (published.favoured == "A") else "wrong"
