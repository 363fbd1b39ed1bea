"""split.csv, anchored.csv, temperatures.csv and solvents.csv: why the numbers differ, and how they move."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

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
from chairgap.report.columns import Column, Table, gap, number, text, whole
from chairgap.report.headline import media_in_series
from chairgap.report.words import joined_numbers

Value = TypeVar("Value")


Part = TypeVar("Part", SplitPart, AnchoredPart)


@dataclass(frozen=True, kw_only=True)
class _PartRow(Generic[Part]):
    """A part of the difference, computed Gibbs gap minus estimate, or of the anchored gap; None for a
    molecule without parts, whose note says why."""

    result: Result
    settings: Settings
    part: Part | None
    note: str | None


def _split_rows(outcome: Outcome) -> Iterator[_PartRow[SplitPart]]:
    for result in outcome.results:
        for part in result.split.parts or (None,):
            note = None if part else result.split.note
            yield _PartRow(result=result, settings=outcome.study.settings, part=part, note=note)


def _anchored_rows(outcome: Outcome) -> Iterator[_PartRow[AnchoredPart]]:
    for result in outcome.results:
        equal = result.gaps.equal_by_symmetry
        why = "the chairs are equal by symmetry" if equal else result.anchored.note
        for part in result.anchored.parts or (None,):
            note = None if part else why
            yield _PartRow(result=result, settings=outcome.study.settings, part=part, note=note)


def _of(value: Callable[[Part], Value]) -> Callable[[_PartRow[Part]], Value | None]:
    return lambda row: None if row.part is None else value(row.part)


def _parts_columns(*numbers: Column[Any]) -> tuple[Column[Any], ...]:
    """What a table of parts says of each: whose part it is, of what, and its numbers."""
    return (
        text("name", lambda row: row.result.molecule.name),
        text("model", lambda row: row.settings.model),
        number("temperature", "k", lambda row: row.settings.temperature_k),
        text("part", _of(lambda part: part.kind)),
        text("relation", _of(lambda part: part.relation)),
        text("carbons", _of(lambda part: joined_numbers(part.carbons))),
        text("groups", _of(lambda part: "; ".join(part.groups))),
        *numbers,
        text("note", lambda row: row.note),
    )


# The last gap of the parts of a molecule adds up to the difference.
SPLIT: Table[Outcome, _PartRow[SplitPart]] = Table(
    rows=_split_rows,
    columns=_parts_columns(
        gap("computed", _of(lambda part: part.computed_kcal_mol)),
        gap("tabulated", _of(lambda part: part.tabulated_kcal_mol)),
        gap("computed_minus_tabulated", _of(lambda part: part.difference_kcal_mol)),
    ),
)

# The contributions of a molecule add up to its anchored gap.
ANCHORED: Table[Outcome, _PartRow[AnchoredPart]] = Table(
    rows=_anchored_rows,
    columns=_parts_columns(
        gap("contribution_to_anchored", _of(lambda part: part.value_kcal_mol)),
        number("uncertainty", "kcal_mol", _of(lambda part: part.uncertainty_kcal_mol)),
        text("origin", _of(lambda part: part.origin)),
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
