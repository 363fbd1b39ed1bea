"""split.csv, anchored.csv, temperatures.csv and solvents.csv: why the numbers differ, and how they move."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from chairgap.compare.series import anchored_at_kcal_mol
from chairgap.records import (
    Anchored,
    AnchoredPart,
    Outcome,
    Result,
    SeriesPoint,
    Settings,
    SolventPoint,
    SplitPart,
)
from chairgap.report.columns import Table, gap, number, text, whole
from chairgap.report.headline import media_in_series
from chairgap.report.words import joined_numbers

Value = TypeVar("Value")


@dataclass(frozen=True, kw_only=True)
class _SplitRow:
    """A part of the difference, computed Gibbs gap minus estimate; None for a molecule that was not divided,
    whose row says why."""

    result: Result
    settings: Settings
    part: SplitPart | None


def _split_rows(outcome: Outcome) -> Iterator[_SplitRow]:
    for result in outcome.results:
        for part in result.split.parts or (None,):
            yield _SplitRow(result=result, settings=outcome.study.settings, part=part)


def _of_part(value: Callable[[SplitPart], Value]) -> Callable[[_SplitRow], Value | None]:
    return lambda row: None if row.part is None else value(row.part)


# The last gap of the parts of a molecule adds up to the difference.
SPLIT: Table[Outcome, _SplitRow] = Table(
    rows=_split_rows,
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("model", lambda row: row.settings.model),
        number("temperature", "k", lambda row: row.settings.temperature_k),
        text("part", _of_part(lambda part: part.kind)),
        text("relation", _of_part(lambda part: part.relation)),
        text("carbons", _of_part(lambda part: joined_numbers(part.carbons))),
        text("groups", _of_part(lambda part: "; ".join(part.groups))),
        gap("computed", _of_part(lambda part: part.computed_kcal_mol)),
        gap("tabulated", _of_part(lambda part: part.tabulated_kcal_mol)),
        gap("computed_minus_tabulated", _of_part(lambda part: part.difference_kcal_mol)),
        text("note", lambda row: None if row.part else row.result.split.note),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _AnchoredRow:
    """A part of the anchored gap; None for a molecule without parts, whose row says why."""

    result: Result
    settings: Settings
    part: AnchoredPart | None

    @property
    def note(self) -> str | None:
        if self.part is not None:
            return None
        equal = self.result.gaps.equal_by_symmetry
        return "the chairs are equal by symmetry" if equal else self.result.anchored.note


def _anchored_rows(outcome: Outcome) -> Iterator[_AnchoredRow]:
    for result in outcome.results:
        for part in result.anchored.parts or (None,):
            yield _AnchoredRow(result=result, settings=outcome.study.settings, part=part)


def _of_anchored(value: Callable[[AnchoredPart], Value]) -> Callable[[_AnchoredRow], Value | None]:
    return lambda row: None if row.part is None else value(row.part)


# The contributions of a molecule add up to its anchored gap.
ANCHORED: Table[Outcome, _AnchoredRow] = Table(
    rows=_anchored_rows,
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("model", lambda row: row.settings.model),
        number("temperature", "k", lambda row: row.settings.temperature_k),
        text("part", _of_anchored(lambda part: part.kind)),
        text("relation", _of_anchored(lambda part: part.relation)),
        text("carbons", _of_anchored(lambda part: joined_numbers(part.carbons))),
        text("groups", _of_anchored(lambda part: "; ".join(part.groups))),
        gap("contribution_to_anchored", _of_anchored(lambda part: part.value_kcal_mol)),
        number("uncertainty", "kcal_mol", _of_anchored(lambda part: part.uncertainty_kcal_mol)),
        text("origin", _of_anchored(lambda part: part.origin)),
        text("note", lambda row: row.note),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _TemperatureRow:
    """A molecule at one temperature: quasi-harmonic Gibbs energies of the same minima."""

    result: Result
    settings: Settings
    point: SeriesPoint

    @property
    def anchored_kcal_mol(self) -> float | None:
        result = self.result
        return anchored_at_kcal_mol(
            result.anchored.gap_kcal_mol, result.gaps.gibbs_kcal_mol, self.point.gibbs_kcal_mol
        )


TEMPERATURES: Table[Outcome, _TemperatureRow] = Table(
    rows=lambda outcome: (
        _TemperatureRow(result=result, settings=outcome.study.settings, point=point)
        for result in outcome.results
        for point in result.temperatures.points
    ),
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("model", lambda row: row.settings.model),
        number("temperature", "k", lambda row: row.point.temperature_k),
        gap("anchored", lambda row: row.anchored_kcal_mol),
        gap("gibbs", lambda row: row.point.gibbs_kcal_mol),
        number("equilibrium_constant_A_over_B", "", lambda row: row.point.equilibrium_constant),
        number("population_chair_A", "percent", lambda row: 100.0 * row.point.population_a),
        number("population_chair_B", "percent", lambda row: 100.0 * row.point.population_b),
        number("population_non_chair", "percent", lambda row: 100.0 * row.point.population_non_chair),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _SolventRow:
    """A molecule in one medium of the series, with its anchored gap there."""

    result: Result
    settings: Settings
    point: SolventPoint
    anchored: Anchored
    parts_from: str


SOLVENTS: Table[Outcome, _SolventRow] = Table(
    rows=lambda outcome: (
        _SolventRow(
            result=result,
            settings=outcome.study.settings,
            point=point,
            anchored=anchored,
            parts_from=parts_from,
        )
        for result in outcome.results
        for point, anchored, parts_from in zip(
            result.media, result.anchored_in_media, media_in_series(outcome, result), strict=True
        )
    ),
    columns=(
        text("name", lambda row: row.result.molecule.name),
        text("force_field_or_quantum_method", lambda row: row.settings.force_field_or_quantum_method),
        number("temperature", "k", lambda row: row.settings.temperature_k),
        text("medium", lambda row: row.point.medium),
        number("dielectric_constant", "", lambda row: row.point.dielectric),
        gap("anchored", lambda row: row.anchored.gap_kcal_mol),
        number(
            "anchored_uncertainty",
            "kcal_mol",
            lambda row: None if row.anchored.gap_kcal_mol is None else row.anchored.uncertainty_kcal_mol,
        ),
        text("anchored_parts_from", lambda row: row.parts_from or None),
        text("anchored_note", lambda row: row.anchored.note or None),
        gap("potential", lambda row: row.point.potential_kcal_mol),
        gap("gibbs", lambda row: row.point.gibbs_kcal_mol),
        number("population_chair_A", "percent", lambda row: 100.0 * row.point.population_a),
        number("population_chair_B", "percent", lambda row: 100.0 * row.point.population_b),
        number("population_non_chair", "percent", lambda row: 100.0 * row.point.population_non_chair),
        whole("hydrogen_bonds_best_of_A", lambda row: row.point.hydrogen_bonds_a),
        whole("hydrogen_bonds_best_of_B", lambda row: row.point.hydrogen_bonds_b),
    ),
)
