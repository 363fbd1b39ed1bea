"""scorecard.csv and scorecard_models.csv."""

from collections.abc import Iterable, Sequence

from chairgap.records import ScorecardRow
from chairgap.report.columns import Table, number, text, whole
from chairgap.report.model_scores import ModelScore, model_scores

_AXIAL_GAP, _SIGN = "gap_axial_minus_equatorial", "positive_favours_equatorial"

# One row per model and group.
SCORECARD: Table[Iterable[ScorecardRow], ScorecardRow] = Table(
    rows=lambda rows: rows,
    columns=(
        text("model", lambda row: row.model),
        text("group", lambda row: row.group),
        text("fragment", lambda row: row.fragment),
        number("temperature", "k", lambda row: row.temperature_k),
        number(f"potential_{_AXIAL_GAP}", "kcal_mol", lambda row: row.potential_kcal_mol, sign=_SIGN),
        number(f"ensemble_{_AXIAL_GAP}", "kcal_mol", lambda row: row.ensemble_kcal_mol, sign=_SIGN),
        number(f"gibbs_{_AXIAL_GAP}", "kcal_mol", lambda row: row.gibbs_kcal_mol, sign=_SIGN),
        number("a_value", "kcal_mol", lambda row: row.a_value_kcal_mol),
        number("a_value_low", "kcal_mol", lambda row: row.a_value_low_kcal_mol),
        number("a_value_high", "kcal_mol", lambda row: row.a_value_high_kcal_mol),
        number("gibbs_minus_a_value", "kcal_mol", lambda row: row.error_kcal_mol),
        text("sign", lambda row: row.sign),
        text("note", lambda row: row.note),
    ),
)

# One row per model.
MODELS: Table[Sequence[ScorecardRow], ModelScore] = Table(
    rows=model_scores,
    columns=(
        text("model", lambda score: score.model),
        whole("groups", lambda score: score.groups),
        whole("groups_without_gap", lambda score: score.without_gap),
        number("gibbs_mean_absolute_error", "kcal_mol", lambda score: score.mean_absolute_error_kcal_mol),
        number(
            "gibbs_mean_absolute_error_common_groups",
            "kcal_mol",
            lambda score: score.common_mean_absolute_error_kcal_mol,
        ),
        number("gibbs_bias", "kcal_mol", lambda score: score.bias_kcal_mol, sign="positive_too_equatorial"),
        number(
            "potential_mean_absolute_error",
            "kcal_mol",
            lambda score: score.potential_mean_absolute_error_kcal_mol,
        ),
        number("rank_correlation_spearman", "", lambda score: score.rank_correlation),
        whole("wrong_signs", lambda score: len(score.wrong)),
        text("wrong_sign_groups", lambda score: "; ".join(score.wrong)),
    ),
)
