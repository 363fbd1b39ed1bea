"""scorecard.csv, scorecard_models.csv and the section 'How far to trust it' that is made from them."""

from collections.abc import Sequence

import pandas as pd

from chairgap.records import ScorecardRow
from chairgap.report.cells import Row, frame_of
from chairgap.report.model_scores import model_scores
from chairgap.tables.scorecard import AXIAL_GAP, COLUMNS

MODELS_HEADERS = (
    "model",
    "groups",
    "groups_without_gap",
    "gibbs_mean_absolute_error_kcal_mol",
    "gibbs_mean_absolute_error_common_groups_kcal_mol",
    "gibbs_bias_kcal_mol_positive_too_equatorial",
    "potential_mean_absolute_error_kcal_mol",
    "rank_correlation_spearman",
    "wrong_signs",
    "wrong_sign_groups",
)


def scorecard_frame(rows: Sequence[ScorecardRow]) -> pd.DataFrame:
    """One row per model and group."""
    return frame_of(map(_cells, rows), COLUMNS)


def _cells(row: ScorecardRow) -> Row:
    return {
        "model": row.model,
        "group": row.group,
        "fragment": row.fragment,
        "temperature_k": row.temperature_k,
        f"potential_{AXIAL_GAP}": row.potential_kcal_mol,
        f"ensemble_{AXIAL_GAP}": row.ensemble_kcal_mol,
        f"gibbs_{AXIAL_GAP}": row.gibbs_kcal_mol,
        "a_value_kcal_mol": row.a_value_kcal_mol,
        "a_value_low_kcal_mol": row.a_value_low_kcal_mol,
        "a_value_high_kcal_mol": row.a_value_high_kcal_mol,
        "gibbs_minus_a_value_kcal_mol": row.error_kcal_mol,
        "sign": row.sign,
        "note": row.note,
    }


def models_frame(rows: Sequence[ScorecardRow]) -> pd.DataFrame:
    """One row per model."""
    return frame_of(
        (
            {
                "model": score.model,
                "groups": score.groups,
                "groups_without_gap": score.without_gap,
                "gibbs_mean_absolute_error_kcal_mol": score.mean_absolute_error_kcal_mol,
                "gibbs_mean_absolute_error_common_groups_kcal_mol": (
                    score.common_mean_absolute_error_kcal_mol
                ),
                "gibbs_bias_kcal_mol_positive_too_equatorial": score.bias_kcal_mol,
                "potential_mean_absolute_error_kcal_mol": score.potential_mean_absolute_error_kcal_mol,
                "rank_correlation_spearman": score.rank_correlation,
                "wrong_signs": len(score.wrong),
                "wrong_sign_groups": "; ".join(score.wrong),
            }
            for score in model_scores(rows)
        ),
        MODELS_HEADERS,
    )
