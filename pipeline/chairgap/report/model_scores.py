"""How each energy model does over the tabulated groups: scores, and their tables."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.compare.domain import COMMON_WORDS, errors_apart
from chairgap.records import ScorecardRow
from chairgap.report.blocks import Own, Table, table
from chairgap.units import signed


@dataclass(frozen=True, kw_only=True)
class ModelScore:
    """How one model does over all groups it has a Gibbs gap for; errors are computed minus A-value.

    The common error is over the groups that every model of the scorecard has a gap for (nan without any).
    Errors stand apart for groups of C, H, N, O and halogens and for others (`chairgap.compare.domain`), each
    None without any.
    """

    model: str
    groups: int
    without_gap: int
    mean_absolute_error_kcal_mol: float
    common_mean_absolute_error_kcal_mol: float
    bias_kcal_mol: float
    potential_mean_absolute_error_kcal_mol: float
    rank_correlation: float
    wrong: tuple[str, ...]
    of_common_elements: int
    of_common_elements_error_kcal_mol: float | None
    of_others: int
    of_others_error_kcal_mol: float | None


def model_scores(rows: Sequence[ScorecardRow]) -> tuple[ModelScore, ...]:
    """One score for each model, in the order of the rows. Raises ValueError when a model has no gap at all.

    The rank correlation is Spearman's (C. Spearman, Am. J. Psychol. 1904, 15, 72, from memory).
    """
    models = dict.fromkeys(row.model for row in rows)
    missing = {row.group for row in rows if row.gibbs_kcal_mol is None}
    return tuple(_score(model, [row for row in rows if row.model == model], missing) for model in models)


def _score(model: str, rows: Sequence[ScorecardRow], not_common: set[str]) -> ModelScore:
    known = [row for row in rows if row.gibbs_kcal_mol is not None and row.potential_kcal_mol is not None]
    if not known:
        raise ValueError(f"the model {model} has no gap for any group")
    a_values = np.array([row.a_value_kcal_mol for row in known])
    gibbs = np.array([row.gibbs_kcal_mol for row in known], dtype=float)
    potential = np.array([row.potential_kcal_mol for row in known], dtype=float)
    common = np.array([row.group not in not_common for row in known])
    errors = np.abs(gibbs - a_values)
    (of_common, error_of_common), (of_others, error_of_others) = errors_apart(rows)
    from scipy.stats import spearmanr

    return ModelScore(
        model=model,
        groups=len(known),
        without_gap=len(rows) - len(known),
        mean_absolute_error_kcal_mol=float(errors.mean()),
        common_mean_absolute_error_kcal_mol=float(errors[common].mean()) if common.any() else float("nan"),
        bias_kcal_mol=float((gibbs - a_values).mean()),
        potential_mean_absolute_error_kcal_mol=float(np.abs(potential - a_values).mean()),
        rank_correlation=float(spearmanr(a_values, gibbs).statistic) if len(known) > 2 else float("nan"),
        wrong=tuple(row.group for row in known if row.sign == "wrong"),
        of_common_elements=of_common,
        of_common_elements_error_kcal_mol=error_of_common,
        of_others=of_others,
        of_others_error_kcal_mol=error_of_others,
    )


def apart_words(score: ModelScore) -> str:
    """'0.29 for the 33 groups of C, H, N, O and halogens, 1.08 for the 16 others'."""
    kinds = (
        (score.of_common_elements_error_kcal_mol, score.of_common_elements, f"groups of {COMMON_WORDS}"),
        (score.of_others_error_kcal_mol, score.of_others, "others"),
    )
    return ", ".join(
        f"{error:.2f} for the {count} {kind}" for error, count, kind in kinds if error is not None
    )


def models_table(rows: Sequence[ScorecardRow]) -> Table:
    """The scores as a table."""
    head = [
        "model",
        "groups",
        "mean absolute error",
        f"{COMMON_WORDS} (groups)",
        "other elements or charged (groups)",
        "common groups",
        "bias",
        "mean absolute error, potential",
        "rank correlation",
        "wrong in sign",
    ]
    cells = [
        [
            score.model,
            str(score.groups),
            f"{score.mean_absolute_error_kcal_mol:.2f}",
            _counted(score.of_common_elements_error_kcal_mol, score.of_common_elements),
            _counted(score.of_others_error_kcal_mol, score.of_others),
            f"{score.common_mean_absolute_error_kcal_mol:.2f}",
            signed(score.bias_kcal_mol),
            f"{score.potential_mean_absolute_error_kcal_mol:.2f}",
            f"{score.rank_correlation:.2f}",
            f"{len(score.wrong)}",
        ]
        for score in model_scores(rows)
    ]
    return table(head, cells, right=range(1, len(head)))


def _counted(error_kcal_mol: float | None, groups: int) -> str:
    return "none" if error_kcal_mol is None else f"{error_kcal_mol:.2f} ({groups})"


def groups_table(rows: Sequence[ScorecardRow], groups: Sequence[str]) -> Table:
    """Gibbs gaps of chosen groups as a table: A-value with range, and each model."""
    models = list(dict.fromkeys(row.model for row in rows))
    found = {(row.model, row.group): row for row in rows}
    head = ["group", "A-value (range)", *models]
    cells = []
    for group in groups:
        row = found[models[0], group]
        span = f"{row.a_value_low_kcal_mol:.2f} to {row.a_value_high_kcal_mol:.2f}"
        found_rows = [found.get((model, group)) for model in models]
        cells.append([Own(group), Own(f"{row.a_value_kcal_mol:.2f} ({span})"), *map(_gap_words, found_rows)])
    return table(head, cells, right=range(2, len(head)))


def _gap_words(row: ScorecardRow | None) -> str:
    if row is None or row.gibbs_kcal_mol is None:
        return "none"
    return f"{signed(row.gibbs_kcal_mol)}{' !' if row.sign == 'wrong' else ''}"
