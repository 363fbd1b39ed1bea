"""The scorecard of energy models: text to records. The file is computed, not typed; see data/README.md."""

from collections.abc import Sequence
from typing import Any

from pydantic import Field

from chairgap.errors import InputError, Place
from chairgap.records import ScorecardRow
from chairgap.tables.rows import Filled, Number, NumberOrNone, Problems, Reading, Row, read_table

SCORECARD_FILE = "scorecard.csv"
_AXIAL_GAP = "gap_axial_minus_equatorial_kcal_mol_positive_favours_equatorial"


def _gap(kind: str) -> Any:
    return Field(
        alias=f"{kind}_{_AXIAL_GAP}", description=f"the computed {kind} gap, or leave the cell empty"
    )


class _Score(Row):
    model: Filled = Field(description="the energy model, for example MMFF94")
    group: Filled = Field(description="the group's key in a_values.csv")
    fragment: Filled = Field(description="the group as SMILES")
    temperature_k: Number = Field(description="the temperature in kelvin")
    potential_kcal_mol: NumberOrNone = _gap("potential")
    ensemble_kcal_mol: NumberOrNone = _gap("ensemble")
    gibbs_kcal_mol: NumberOrNone = _gap("gibbs")
    a_value_kcal_mol: Number = Field(description="the tabulated A-value")
    a_value_low_kcal_mol: Number = Field(description="the lower end of its range")
    a_value_high_kcal_mol: Number = Field(description="the upper end of its range")
    # These two follow from the others.
    gibbs_minus_a_value_kcal_mol: str = Field(description="the error of the computed Gibbs gap", exclude=True)
    sign: str = Field(description="right, wrong or empty", exclude=True)
    note: str = Field(description="why there is no gap")


def parse_scorecard(text: str, file: str) -> tuple[tuple[ScorecardRow, ...], Problems]:
    """Rows in file order and everything wrong with the table; error and sign follow from the other cells."""
    return read_table(_Score, ScorecardRow, text, Reading(file=file, source_keys=()))


def mean_error_kcal_mol(rows: Sequence[ScorecardRow], model: str, gas_phase_model: str) -> float:
    """Mean |Gibbs gap - A-value| of a model over the scorecard, kcal/mol; of the model in the gas phase
    when the scorecard has no such medium. Raises InputError when it has neither."""
    for name in (model, gas_phase_model):
        error = mean_absolute_error_kcal_mol(rows, name)
        if error is not None:
            return error
    message = f"The scorecard has no model {model}; run 'chairgap scorecard' with it and ship the result."
    raise InputError(message, place=Place(file=SCORECARD_FILE), value=model)


def mean_absolute_error_kcal_mol(rows: Sequence[ScorecardRow], model: str) -> float | None:
    """Mean |Gibbs gap - A-value| over the groups that a model has a gap for; None without any."""
    errors = [
        abs(row.error_kcal_mol) for row in rows if row.model == model and row.error_kcal_mol is not None
    ]
    return sum(errors) / len(errors) if errors else None
