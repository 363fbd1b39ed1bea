"""Gaps, comparison, and everything known about a molecule or a study at the end."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from chairgap.records.anchored import Anchored, Headline
from chairgap.records.completed import CompletedSum
from chairgap.records.conformer import Conformer, SearchReport, Species
from chairgap.records.equilibria import MeasuredGap
from chairgap.records.estimate import Estimate, EstimateTable
from chairgap.records.molecule import Chair, Molecule
from chairgap.records.request import Refusal, Study
from chairgap.records.series import SolventPoint, TemperatureSeries
from chairgap.records.split import Split
from chairgap.records.types import Verdict


@dataclass(frozen=True, kw_only=True)
class Gaps:
    """The computed gaps, E(B) - E(A), kcal/mol; None where one of the two sides has no minimum.

    potential: best conformer of each chair, potential energy, no temperature.
    ensemble: -RT ln of the Boltzmann sums over all rotamers of each chair, potential energies, at T.
    gibbs: the same with quasi-harmonic Gibbs energies (chairgap.compare.thermochemistry), at T. It is
    enthalpy - T entropy, both of the equilibrium mixture of all rotamers of each chair, at T.
    harmonic_gibbs: as gibbs, no frequency raised.
    to_non_chair: best non-chair minus best chair, potential energy; positive = the chair is lower.
    The three populations (Gibbs, fractions) add up to 1; equilibrium_constant = [A]/[B].
    """

    potential_kcal_mol: float | None
    ensemble_kcal_mol: float | None
    gibbs_kcal_mol: float | None
    enthalpy_kcal_mol: float | None
    entropy_cal_mol_k: float | None
    harmonic_gibbs_kcal_mol: float | None
    to_non_chair_kcal_mol: float | None
    population_a: float
    population_b: float
    population_non_chair: float
    equilibrium_constant: float | None
    equal_by_symmetry: bool


@dataclass(frozen=True, kw_only=True)
class Ensemble:
    """What the model says of a molecule at no temperature, and so at any: its conformers, lowest potential
    energy first."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    species: tuple[Species, ...]
    search: SearchReport
    equal_by_symmetry: bool


@dataclass(frozen=True, kw_only=True)
class Computation:
    """What the model alone says of a molecule at a temperature, before any table is looked at.
    late_shift_kcal_mol is how much a search that its budget ended was still bringing
    (`chairgap.compare.uncertainty`), 0 for one that came to its end."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    conformers: tuple[Conformer, ...]
    search: SearchReport
    gaps: Gaps
    late_shift_kcal_mol: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Reason:
    """Why estimate and computation differ (or cannot be compared).

    `evidence` has the number in words; size_kcal_mol is how much of the difference it accounts for,
    signed as E(B) - E(A), where that is known.
    """

    code: str
    evidence: str
    size_kcal_mol: float | None = None


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Estimate against computed Gibbs gap; difference = computed - estimate.

    computed_low and computed_high are the Gibbs gap less and plus the uncertainty of the model (see
    chairgap.compare.uncertainty).
    """

    difference_kcal_mol: float | None
    computed_low_kcal_mol: float | None
    computed_high_kcal_mol: float | None
    sign: Verdict
    size: Verdict
    preferred: Literal["A", "B", "non-chair", "undecided", "equal"]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, kw_only=True)
class Result:
    """Everything known about one molecule at the end of the pipeline. completed is None unless the study asks
    for it or declares one of the pairs; anchored_in_media are the anchored gaps in `media`, in their order;
    measured is what is published of this molecule."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    conformers: tuple[Conformer, ...]
    search: SearchReport
    late_shift_kcal_mol: float
    estimate: Estimate
    completed: CompletedSum | None
    gaps: Gaps
    comparison: Comparison
    anchored: Anchored
    headline: Headline
    split: Split
    temperatures: TemperatureSeries
    media: tuple[SolventPoint, ...]
    anchored_in_media: tuple[Anchored, ...]
    measured: tuple[MeasuredGap, ...]


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A finished study: results in the order of the requests, and the molecules refused or failed. Results
    in a store are read from it when they are looked at, those of a large study each time."""

    study: Study
    results: Sequence[Result]
    refused: tuple[Refusal, ...]
    failed: tuple[Refusal, ...]

    @property
    def table(self) -> EstimateTable:
        """The A-value table of the study."""
        return self.study.tables.estimate
