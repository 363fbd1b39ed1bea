"""The command that scores published equilibria: `chairgap scorecard --equilibria`."""

import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from chairgap.cli.scoring import say, scores_folder, scoring
from chairgap.compare.equilibria import CLEAR_KCAL_MOL, GAS_LIKE, EquilibriumErrors, equilibrium_errors
from chairgap.records import Equilibrium, EquilibriumScore, Medium, QuantumMethod
from chairgap.scorecard.equilibria import run_equilibria
from chairgap.scorecard.write import EQUILIBRIA_FILES, write_equilibria
from chairgap.tables.shipped import TableReader


def score_equilibria(folder: Path, table: str, quantum_method: QuantumMethod, workers: int | None) -> None:
    """Compute, write and show the scorecard of published equilibria. Raises as `run_equilibria` does."""
    reader = TableReader()
    tables = replace(reader.tables(table), estimate=reader.whole_table(table))
    output = scores_folder(folder, table, EQUILIBRIA_FILES, "chairgap scorecard FOLDER --equilibria")
    started = time.perf_counter()
    with scoring(workers) as (executor, progress):
        scores = run_equilibria(
            tables,
            tables.equilibria,
            published_media(reader, tables.equilibria),
            quantum_method,
            executor=executor,
            progress=progress,
        )
    say(write_equilibria(scores, output), summary_lines(scores), started)


def published_media(reader: TableReader, equilibria: Sequence[Equilibrium]) -> dict[str, Medium]:
    """The media that are computed in, by the names in the table of equilibria."""
    named = (row.medium for row in equilibria if row.medium_class not in GAS_LIKE)
    return {name: reader.medium(name) for name in dict.fromkeys(named)}


def summary_lines(scores: Sequence[EquilibriumScore]) -> list[str]:
    """The errors of each model by class of medium, in lines."""
    lines = ["Gap G(B) - G(A) against published equilibria, kcal/mol:"]
    medium_class = ""
    for row in equilibrium_errors(scores):
        if row.medium_class != medium_class:
            medium_class = row.medium_class
            lines.append(f"{'all media' if medium_class == 'all' else medium_class}:")
        lines.append(f"  {row.model}: {_words(row)}")
    return lines


def _words(row: EquilibriumErrors) -> str:
    parts = []
    if row.mean_absolute_error_kcal_mol is not None and row.bias_kcal_mol is not None:
        parts.append(
            f"{row.values} value{'' if row.values == 1 else 's'}, mean absolute error "
            f"{row.mean_absolute_error_kcal_mol:.2f}, "
            f"bias {row.bias_kcal_mol:+.2f}, wrong in sign {row.wrong_signs} of {row.clear_signs} beyond "
            f"{CLEAR_KCAL_MOL}"
        )
    if row.bounds:
        parts.append(f"bounds held {row.bounds_held} of {row.bounds}")
    if row.only_signs:
        parts.append(f"favoured chair right {row.only_signs_right} of {row.only_signs}")
    if row.without_gap:
        parts.append(f"without gap {row.without_gap}")
    return "; ".join(parts)
