"""Gaps, comparison, and everything known about a molecule or a study at the end."""

from dataclasses import dataclass
from typing import Literal

from chairgap.records.conformer import Conformer, SearchReport
from chairgap.records.estimate import Estimate, EstimateTable
from chairgap.records.molecule import Chair, Molecule
from chairgap.records.request import Refusal, Study
from chairgap.records.types import Verdict


@dataclass(frozen=True, kw_only=True)
class Gaps:
    """The four computed gaps, E(B) - E(A), kcal/mol; None where one of the two sides has no minimum.

    potential: best conformer of each chair, potential energy, no temperature.
    ensemble: -RT ln of the Boltzmann sums over all rotamers of each chair, potential energies, at T.
    gibbs: the same with rigid-rotor harmonic Gibbs energies, at T.
    to_non_chair: best non-chair minus best chair, potential energy; positive = the chair is lower.
    The three populations (Gibbs, fractions) add up to 1; equilibrium_constant = [A]/[B].
    """

    potential_kcal_mol: float | None
    ensemble_kcal_mol: float | None
    gibbs_kcal_mol: float | None
    to_non_chair_kcal_mol: float | None
    population_a: float
    population_b: float
    population_non_chair: float
    equilibrium_constant: float | None
    equal_by_symmetry: bool


@dataclass(frozen=True, kw_only=True)
class Reason:
    """Why estimate and computation differ (or cannot be compared); `evidence` carries the number."""

    code: str
    evidence: str


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Estimate against computed Gibbs gap; difference = computed - estimate."""

    difference_kcal_mol: float | None
    sign: Verdict
    size: Verdict
    preferred: Literal["A", "B", "non-chair", "undecided", "equal"]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, kw_only=True)
class Result:
    """Everything known about one molecule at the end of the pipeline."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    conformers: tuple[Conformer, ...]
    search: SearchReport
    estimate: Estimate
    gaps: Gaps
    comparison: Comparison


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A finished study: results in the order of the requests, and the molecules refused or failed."""

    study: Study
    table: EstimateTable
    results: tuple[Result, ...]
    refused: tuple[Refusal, ...]
    failed: tuple[Refusal, ...]
