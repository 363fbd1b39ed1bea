"""gaps.csv: one row per molecule, refused and failed ones included."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from chairgap.compare.verdict import percent_a
from chairgap.minimise.compiled.library import engine_used
from chairgap.records import (
    Comparison,
    CompletedSum,
    Conformer,
    Estimate,
    Gaps,
    LinearFit,
    MoleculeName,
    Outcome,
    Refusal,
    Result,
    SearchReport,
    Settings,
    SystematicName,
)
from chairgap.report.columns import Column, Table, gap, number, text, whole, yes_or_no
from chairgap.report.completed import both_sums
from chairgap.report.digest import EngineAgreement, engine_agreement, lowest, notes, untreated
from chairgap.report.headline import anchored_words
from chairgap.report.names import cip_words
from chairgap.report.words import preferred_words
from chairgap.text import lines_of

DIFFERENCE_HEAD = "Computed - estimate, kcal/mol"


@dataclass(frozen=True, kw_only=True)
class Treated:
    """A molecule of gaps.csv that has numbers."""

    result: Result
    settings: Settings
    a_value_table: str

    @property
    def naming(self) -> MoleculeName | None:
        return self.result.molecule.naming

    def of_name(self, texts: Callable[[SystematicName], Iterable[str]]) -> str:
        """Texts of the systematic name, one behind the other."""
        return "; ".join(texts(self.naming.systematic)) if self.naming else ""

    @property
    def estimate(self) -> Estimate:
        return self.result.estimate

    @property
    def completed(self) -> CompletedSum | None:
        return self.result.completed

    @property
    def gaps(self) -> Gaps:
        return self.result.gaps

    @property
    def comparison(self) -> Comparison:
        return self.result.comparison

    @property
    def fit(self) -> LinearFit | None:
        return self.result.temperatures.fit

    @property
    def search(self) -> SearchReport:
        return self.result.search

    @cached_property
    def best(self) -> Conformer | None:
        return lowest(self.result.conformers)

    @cached_property
    def engines(self) -> EngineAgreement:
        return engine_agreement(self.result.conformers)

    @property
    def uncertainty_kcal_mol(self) -> float | None:
        """Of the anchored gap; None without one."""
        anchored = self.result.anchored
        return None if anchored.gap_kcal_mol is None else anchored.uncertainty_kcal_mol

    def percent_a(self, gap_kcal_mol: float | None) -> float | None:
        """Percent of chair A among both chairs."""
        return None if gap_kcal_mol is None else percent_a(gap_kcal_mol, self.settings.temperature_k)


@dataclass(frozen=True, kw_only=True)
class Untreated:
    """A molecule of gaps.csv that was refused or failed."""

    status: str
    refusal: Refusal


def treated(outcome: Outcome, result: Result) -> Treated:
    """The row of a molecule."""
    return Treated(result=result, settings=outcome.study.settings, a_value_table=outcome.table.name)


def _rows(outcome: Outcome) -> Iterator[Treated | Untreated]:
    """The treated molecules in the order of the study, then the refused, then the failed."""
    yield from (treated(outcome, result) for result in outcome.results)
    yield from (Untreated(status=status, refusal=refusal) for status, refusal in untreated(outcome))


def _name(row: Treated | Untreated) -> str:
    return row.refusal.name if isinstance(row, Untreated) else row.result.molecule.name


def _status(row: Treated | Untreated) -> str:
    return row.status if isinstance(row, Untreated) else "done"


def _message(row: Treated | Untreated) -> str | None:
    if isinstance(row, Treated):
        return None
    where, message = str(row.refusal.place), " ".join(lines_of(row.refusal.message))
    return f"{where}: {message}" if where else message


_NUMBERS: tuple[Column[Treated], ...] = (
    text("smiles", lambda row: row.result.molecule.smiles),
    text("inchi", lambda row: row.result.molecule.inchi),
    text("groups_by_face", lambda row: row.result.molecule.groups_by_face),
    text("name_systematic", lambda row: row.naming.name if row.naming else ""),
    # A suffix without its hyphen, with which a spreadsheet would begin a formula.
    text("groups", lambda row: row.of_name(lambda it: (group.removeprefix("-") for group in it.groups))),
    text("locants", lambda row: row.of_name(lambda it: map(str, it.locants))),
    text("cis_trans", lambda row: row.of_name(lambda it: (it.cis_trans,))),
    text("cip", lambda row: "; ".join(cip_words(row.naming)) if row.naming else ""),
    text("no_name_because", lambda row: row.of_name(lambda it: (it.why_none,))),
    text("chair_A", lambda row: row.result.chairs[0].name),
    text("chair_B", lambda row: row.result.chairs[1].name),
    number("temperature", "k", lambda row: row.settings.temperature_k),
    text("force_field", lambda row: row.settings.force_field),
    text("minimising_engine", lambda row: engine_used(row.settings)),
    text("quantum_method", lambda row: row.settings.quantum_method),
    text("medium", lambda row: row.settings.medium.name),
    number("dielectric_constant", "", lambda row: row.settings.medium.dielectric),
    text("a_value_table", lambda row: row.a_value_table),
    text("headline_chair", lambda row: row.result.headline.chair),
    gap(
        "anchored",
        lambda row: row.result.anchored.gap_kcal_mol,
        label="Anchored gap, kcal/mol",
        words=lambda row: anchored_words(row.result.anchored),
    ),
    number("anchored_uncertainty", "kcal_mol", lambda row: row.uncertainty_kcal_mol),
    number("headline_low_favoured_chair_of_both", "percent", lambda row: row.result.headline.low_percent),
    number("headline_favoured_chair_of_both", "percent", lambda row: row.result.headline.percent),
    number("headline_high_favoured_chair_of_both", "percent", lambda row: row.result.headline.high_percent),
    text("hand_sum_stands", lambda row: row.result.headline.hand_sum),
    text("model_stands", lambda row: row.result.headline.model),
    gap("estimate_low", lambda row: row.estimate.shown_kcal_mol[1]),
    gap(
        "estimate",
        lambda row: row.estimate.shown_kcal_mol[0],
        label="Estimate, kcal/mol",
        words=lambda row: both_sums(row.result),
    ),
    gap("estimate_high", lambda row: row.estimate.shown_kcal_mol[2]),
    yes_or_no("estimate_complete", lambda row: row.estimate.complete),
    text("estimate_missing_terms", lambda row: "; ".join(row.estimate.missing)),
    text("estimate_flags", lambda row: "; ".join(row.estimate.flags)),
    gap("completed_sum", lambda row: row.completed.gap_kcal_mol if row.completed else None),
    text(
        "completed_sum_missing_terms", lambda row: "; ".join(row.completed.missing) if row.completed else None
    ),
    gap("potential", lambda row: row.gaps.potential_kcal_mol, label="Potential gap, kcal/mol"),
    gap("ensemble", lambda row: row.gaps.ensemble_kcal_mol),
    gap("gibbs", lambda row: row.gaps.gibbs_kcal_mol, label="Gibbs gap at {temperature}, kcal/mol"),
    gap("gibbs_low", lambda row: row.comparison.computed_low_kcal_mol),
    gap("gibbs_high", lambda row: row.comparison.computed_high_kcal_mol),
    gap("harmonic_gibbs", lambda row: row.gaps.harmonic_gibbs_kcal_mol),
    gap("enthalpy", lambda row: row.gaps.enthalpy_kcal_mol),
    number(
        "entropy_gap_B_minus_A",
        "cal_mol_k",
        lambda row: row.gaps.entropy_cal_mol_k,
        sign="positive_B_has_more",
    ),
    gap("fitted_enthalpy", lambda row: row.fit.enthalpy_kcal_mol if row.fit else None),
    number(
        "fitted_entropy_gap_B_minus_A",
        "cal_mol_k",
        lambda row: row.fit.entropy_cal_mol_k if row.fit else None,
        sign="positive_B_has_more",
    ),
    number(
        "fit_largest_deviation",
        "kcal_mol",
        lambda row: row.fit.largest_deviation_kcal_mol if row.fit else None,
    ),
    number(
        "best_non_chair_minus_best_chair_potential",
        "kcal_mol",
        lambda row: row.gaps.to_non_chair_kcal_mol,
        sign="positive_favours_chair",
    ),
    number(
        "gibbs_gap_minus_estimate_gap",
        "kcal_mol",
        lambda row: row.comparison.difference_kcal_mol,
        sign="positive_computed_favours_A_more",
        label=DIFFERENCE_HEAD,
    ),
    text("sign_verdict", lambda row: row.comparison.sign),
    text("size_verdict", lambda row: row.comparison.size),
    text("preferred_by_computation", lambda row: row.comparison.preferred),
    text("preferred_in_words", lambda row: preferred_words(row.result)),
    text("reason_codes", lambda row: "; ".join(reason.code for reason in row.comparison.reasons)),
    text("reason_evidence", lambda row: "; ".join(reason.evidence for reason in row.comparison.reasons)),
    number("population_chair_A", "percent", lambda row: 100.0 * row.gaps.population_a),
    number("population_chair_B", "percent", lambda row: 100.0 * row.gaps.population_b),
    number("population_non_chair", "percent", lambda row: 100.0 * row.gaps.population_non_chair),
    number(
        "estimate_low_chair_A_of_both", "percent", lambda row: row.percent_a(row.estimate.shown_kcal_mol[1])
    ),
    number(
        "estimate_chair_A_of_both",
        "percent",
        lambda row: row.percent_a(row.estimate.shown_kcal_mol[0]),
    ),
    number(
        "estimate_high_chair_A_of_both", "percent", lambda row: row.percent_a(row.estimate.shown_kcal_mol[2])
    ),
    number(
        "gibbs_low_chair_A_of_both",
        "percent",
        lambda row: row.percent_a(row.comparison.computed_low_kcal_mol),
    ),
    number("gibbs_chair_A_of_both", "percent", lambda row: row.percent_a(row.gaps.gibbs_kcal_mol)),
    number(
        "gibbs_high_chair_A_of_both",
        "percent",
        lambda row: row.percent_a(row.comparison.computed_high_kcal_mol),
    ),
    number("equilibrium_constant_A_over_B", "", lambda row: row.gaps.equilibrium_constant),
    yes_or_no("chairs_equal_by_symmetry", lambda row: row.gaps.equal_by_symmetry),
    text("global_minimum_form", lambda row: row.best.shape.form if row.best else None),
    text("global_minimum_family", lambda row: row.best.shape.family if row.best else None),
    text("global_minimum_chair", lambda row: (row.best and row.best.chairs_held) or None),
    # Fixed decimals, not significant digits: rounding noise of the engines must not change the bytes.
    number(
        "engine_energy_difference_max",
        "kcal_mol",
        lambda row: row.engines.energy_difference_kcal_mol,
        decimals=8,
    ),
    number(
        "engine_gradient_difference_max",
        "kcal_mol_per_angstrom",
        lambda row: row.engines.gradient_difference_kcal_mol_angstrom,
        decimals=7,
    ),
    text("engines_agree", lambda row: row.engines.agree),
    whole("conformers", lambda row: len(row.result.conformers)),
    whole("search_ring_starts", lambda row: row.search.ring_starts),
    whole("search_lattice_states", lambda row: row.search.lattice_states),
    whole("search_starts_minimised", lambda row: row.search.starts_minimised),
    whole("search_starts_left_early", lambda row: row.search.starts_left_early),
    whole("search_minima_found", lambda row: row.search.minima_found),
    number(
        "search_minimisations_per_minimum",
        "",
        lambda row: row.search.minimisations_per_minimum,
        decimals=2,
    ),
    yes_or_no("search_exhaustive", lambda row: row.search.exhaustive),
    whole("search_rounds", lambda row: row.search.rounds),
    whole("search_new_minima_in_last_round", lambda row: row.search.new_in_last_round),
    number("search_shift_by_last_quarter", "kcal_mol", lambda row: row.result.late_shift_kcal_mol),
    whole("search_dropped_stereo_changed", lambda row: row.search.dropped_stereo_changed),
    whole("search_dropped_unconverged", lambda row: row.search.dropped_unconverged),
    whole("search_saddles_left", lambda row: row.search.saddles_left),
    text("notes", lambda row: "; ".join(notes(row.result))),
)


def _empty_if_untreated(column: Column[Any]) -> Column[Any]:
    return replace(column, value=lambda row: column.value(row) if isinstance(row, Treated) else None)


GAPS: Table[Outcome, Any] = Table(
    rows=_rows,
    columns=(
        text("name", _name),
        text("status", _status),
        text("message", _message),
        *map(_empty_if_untreated, _NUMBERS),
    ),
)
