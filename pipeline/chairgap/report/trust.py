"""'How far to trust it', made from the scorecard: a part of the page and of data/README.md."""

from collections.abc import Sequence
from typing import get_args

from chairgap.compare.domain import COMMON_WORDS
from chairgap.records import QuantumMethod, ScorecardRow
from chairgap.report.blocks import Own, Part, bullets, paragraph
from chairgap.report.model_scores import ModelScore, apart_words, model_scores, models_table


def trust_part(rows: Sequence[ScorecardRow]) -> Part:
    """What each model's errors are, which signs are wrong, and what follows for a reader."""
    scores = model_scores(rows)
    missing = {row.group for row in rows if row.gibbs_kcal_mol is None}
    common = len({row.group for row in rows} - missing)
    best = min(scores, key=lambda score: score.common_mean_absolute_error_kcal_mol)
    (temperature_k,) = {row.temperature_k for row in rows}
    return Part(
        key="trust",
        title="How far to trust it",
        blocks=(
            paragraph(
                Own(
                    f"Each of the tabulated groups alone on the ring, Gibbs gap G(axial) - G(equatorial) at "
                    f"{temperature_k:.2f} K against its A-value, in kcal/mol; error = computed - A-value, "
                    "bias = its mean (positive: equatorial favoured too much). "
                    "Common groups are those that all models know. "
                    "`chairgap scorecard` computes all of it again."
                )
            ),
            models_table(rows),
            paragraph(
                Own(
                    f"Over the {common} groups that all models know, {best.model} has the smallest "
                    f"mean absolute error, {best.common_mean_absolute_error_kcal_mol:.2f} kcal/mol. "
                    "Errors of this size are as large as the A-values of many polar groups: **a "
                    "computed gap below about 1 kcal/mol decides nothing for a polar group.** Wrong in sign:"
                )
            ),
            *bullets([Own(_wrong(score)) for score in scores]),
            *(paragraph(Own(_believed(score))) for score in scores if score.model in get_args(QuantumMethod)),
        ),
    )


def _believed(score: ModelScore) -> str:
    """For which groups to believe a quantum method, and for which not."""
    return (
        f"{score.model} has a mean absolute error of {apart_words(score)} (other elements, or a net charge): "
        f"believe it for groups of {COMMON_WORDS}, not for the others."
    )


def _wrong(score: ModelScore) -> str:
    if not score.wrong:
        return f"{score.model}: none of {score.groups}."
    return f"{score.model}: {len(score.wrong)} of {score.groups}: {', '.join(score.wrong)}."
