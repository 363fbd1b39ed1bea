"""The tables of both scorecards."""

from collections.abc import Iterable, Sequence

from chairgap.compare.equilibria import EquilibriumErrors, equilibrium_errors, pair_spreads
from chairgap.records import EquilibriumScore, PairSpread, ScorecardRow
from chairgap.report.columns import Table, gap, number, text, whole, yes_or_no
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
        whole("groups_of_C_H_N_O_halogens", lambda score: score.of_common_elements),
        number(
            "gibbs_mean_absolute_error_C_H_N_O_halogens",
            "kcal_mol",
            lambda score: score.of_common_elements_error_kcal_mol,
        ),
        whole("other_groups", lambda score: score.of_others),
        number(
            "gibbs_mean_absolute_error_other_groups", "kcal_mol", lambda score: score.of_others_error_kcal_mol
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

# One row per published value and model.
EQUILIBRIA: Table[Iterable[EquilibriumScore], EquilibriumScore] = Table(
    rows=lambda scores: scores,
    columns=(
        text("key", lambda score: score.published.equilibrium.key),
        text("groups_by_face", lambda score: score.published.equilibrium.groups_by_face),
        text("chair_a", lambda score: score.chair_a),
        text("chair_b", lambda score: score.chair_b),
        text("medium", lambda score: score.published.equilibrium.medium),
        text("medium_class", lambda score: score.published.equilibrium.medium_class),
        number("temperature", "k", lambda score: score.published.temperature_k),
        yes_or_no("temperature_stated", lambda score: score.published.equilibrium.temperature_k is not None),
        gap("published", lambda score: score.published.gap_kcal_mol),
        number("published_error", "kcal_mol", lambda score: score.published.error_kcal_mol),
        text("bound", lambda score: score.published.bound),
        text("favoured_chair", lambda score: score.published.favoured),
        text("model", lambda score: score.model),
        text("computed_in", lambda score: score.computed_in),
        gap("model", lambda score: score.gap_kcal_mol),
        number("model_minus_published", "kcal_mol", lambda score: score.deviation_kcal_mol),
        text("sign_or_bound", lambda score: score.verdict),
        yes_or_no("counted", lambda score: score.counted),
        text("note", lambda score: score.note),
    ),
)

# One row per class of medium and model.
EQUILIBRIA_MODELS: Table[Sequence[EquilibriumScore], EquilibriumErrors] = Table(
    rows=equilibrium_errors,
    columns=(
        text("medium_class", lambda row: row.medium_class),
        text("model", lambda row: row.model),
        whole("values", lambda row: row.values),
        number("mean_absolute_error", "kcal_mol", lambda row: row.mean_absolute_error_kcal_mol),
        whole("common_values", lambda row: row.common_values),
        number(
            "mean_absolute_error_common_values",
            "kcal_mol",
            lambda row: row.common_mean_absolute_error_kcal_mol,
        ),
        number("bias", "kcal_mol", lambda row: row.bias_kcal_mol, sign="positive_favours_A_too_much"),
        number("largest_error", "kcal_mol", lambda row: row.largest_error_kcal_mol),
        whole("clear_signs", lambda row: row.clear_signs),
        whole("wrong_signs", lambda row: row.wrong_signs),
        whole("bounds", lambda row: row.bounds),
        whole("bounds_held", lambda row: row.bounds_held),
        whole("only_signs", lambda row: row.only_signs),
        whole("only_signs_right", lambda row: row.only_signs_right),
        whole("without_gap", lambda row: row.without_gap),
    ),
)

# data/pair_spread.csv; read by chairgap.tables.pairs.
PAIR_SPREADS: Table[Sequence[EquilibriumScore], PairSpread] = Table(
    rows=pair_spreads,
    columns=(
        text("method", lambda row: row.method),
        text("relation", lambda row: row.relation),
        yes_or_no("hydrogen_bond", lambda row: row.hydrogen_bond),
        number("spread", "kcal_mol", lambda row: row.spread_kcal_mol),
        whole("values", lambda row: row.values),
    ),
)
