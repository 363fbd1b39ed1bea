"""The anchored gap: measured A-values with computed interactions."""

from dataclasses import dataclass
from typing import Literal

PairRelation = Literal["geminal", "cis-1,2", "trans-1,2", "cis-1,3", "trans-1,3", "cis-1,4", "trans-1,4"]
# How another number stands to the anchored gap.
Standing = Literal["agrees", "differs", "opposite chair", "incomplete", "not comparable", "none"]
Separation = Literal["geminal", "1,2", "1,3", "1,4"]
AnchoredKind = Literal[
    "measured A-value", "computed single group", "pair", "declared pair", "more than two groups"
]


@dataclass(frozen=True, kw_only=True)
class PairInteraction:
    """What two groups on one ring add to the gaps of each alone, by a quantum method; a row of
    `data/pair_interactions.csv`.

    value is the part of G(group_1 axial) - G(group_1 equatorial) of the ring with both groups that the two
    single groups do not explain, kcal/mol, at temperature_k in the gas phase. method_spread is how far the
    basis set, the method and conformers left out may move it. group_1 and group_2 are keys of the A-value
    table, or fragments ('*OCCC') that have no A-value.
    """

    group_1: str
    group_2: str
    relation: PairRelation
    value_kcal_mol: float
    temperature_k: float
    method: str
    method_spread_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class DeclaredPair:
    """What two groups add to each other by a user's own word: value and groups as in `PairInteraction`, with
    one standard deviation, kcal/mol, and its source. medium is '' where it is not stated."""

    group_1: str
    group_2: str
    relation: PairRelation
    value_kcal_mol: float
    uncertainty_kcal_mol: float
    source: str
    medium: str


@dataclass(frozen=True, kw_only=True)
class PairSpread:
    """How far pairs of one kind were off in the benchmark of published equilibria, kcal/mol (root mean
    square), and over how many values."""

    method: str
    relation: Separation
    hydrogen_bond: bool
    spread_kcal_mol: float
    values: int


@dataclass(frozen=True, kw_only=True)
class AnchoredPart:
    """One part of the anchored gap, G(B) - G(A), kcal/mol, with its uncertainty; `origin` says where it is
    from: the key of a source, a method such as 'MP2/def2-TZVP' or 'MMFF94', or what a user declares."""

    kind: AnchoredKind
    carbons: tuple[int, ...]
    groups: tuple[str, ...]
    relation: PairRelation | None
    value_kcal_mol: float
    uncertainty_kcal_mol: float
    origin: str


@dataclass(frozen=True, kw_only=True)
class Anchored:
    """The anchored gap, G(B) - G(A) in kcal/mol at the temperature of the study, as the sum of its parts; the
    uncertainty is one standard deviation as far as the sources tell it. Without a gap, `note` says why."""

    gap_kcal_mol: float | None
    uncertainty_kcal_mol: float
    parts: tuple[AnchoredPart, ...]
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Headline:
    """The answer for one molecule: the preferred chair by the anchored gap, its percent among the two chairs
    with the range that the uncertainty gives, and how hand sum and model stand to it.

    chair is 'undecided' where the gap lies within its uncertainty, 'equal' where symmetry makes the chairs
    the same, 'non-chair' where the model prefers another ring shape, 'unknown' without a gap. percent is
    that of the chair which the gap favours, decided or not.
    """

    chair: Literal["A", "B", "undecided", "equal", "non-chair", "unknown"]
    gap_kcal_mol: float | None
    uncertainty_kcal_mol: float
    percent: float | None
    low_percent: float | None
    high_percent: float | None
    hand_sum: Standing
    model: Standing
