"""The README's section 'How far to trust it', made from the scorecard."""

from collections.abc import Sequence

from chairgap.records import ScorecardRow
from chairgap.report.scorecard_tables import ModelScore, groups_table, model_scores, models_table

SHOWN_GROUPS = (
    "CH3",
    "C2H5",
    "CH(CH3)2",
    "C(CH3)3",
    "C6H5",
    "CF3",
    "OH",
    "OCH3",
    "NH2",
    "NO2",
    "F",
    "Cl",
    "Br",
    "I",
    "CN",
    "C#CH",
    "CH=CH2",
    "N3",
    "CHO",
    "COCH3",
    "CO2CH3",
)


def trust_text(rows: Sequence[ScorecardRow]) -> str:
    """Markdown: what each model's errors are, which signs are wrong, and what follows for a reader."""
    scores = model_scores(rows)
    missing = {row.group for row in rows if row.gibbs_kcal_mol is None}
    common = len({row.group for row in rows} - missing)
    best = min(scores, key=lambda score: score.common_mean_absolute_error_kcal_mol)
    (temperature_k,) = {row.temperature_k for row in rows}
    wrong = [_wrong(score) for score in scores]
    return "\n".join(
        [
            f"Each of the tabulated groups alone on the ring, Gibbs gap G(axial) - G(equatorial) at "
            f"{temperature_k:.2f} K against its A-value, in kcal/mol; error = computed - A-value, bias its "
            "mean (positive: too equatorial). Common groups are those that all models know. "
            "`chairgap scorecard` computes all of it again.",
            "",
            *models_table(rows),
            "",
            f"Over the {common} groups that all models know, {best.model} has the smallest mean error, "
            f"{best.common_mean_absolute_error_kcal_mol:.2f} kcal/mol. Errors of this size are as large as "
            "the A-values of many polar groups: **a computed gap below about 1 kcal/mol decides nothing for "
            "a polar group.** Wrong in sign:",
            "",
            *(f"- {line}" for line in wrong),
            "",
            "Some groups of many (`!` marks a wrong sign; all are in "
            "[data/scorecard.csv](data/scorecard.csv)):",
            "",
            *groups_table(rows, SHOWN_GROUPS),
            "",
            "![Computed Gibbs gaps against A-values, one panel for each model]"
            "(reports/sample/scorecard/scorecard.svg)",
        ]
    )


def _wrong(score: ModelScore) -> str:
    if not score.wrong:
        return f"{score.model}: none of {score.groups}."
    return f"{score.model}: {len(score.wrong)} of {score.groups}: {', '.join(score.wrong)}."
