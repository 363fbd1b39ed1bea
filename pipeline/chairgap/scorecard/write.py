"""Writes a scorecard into a folder."""

from collections.abc import Sequence
from pathlib import Path

from chairgap.files import OutputFolder, write_files
from chairgap.records import EquilibriumScore, ScorecardRow
from chairgap.report.canvas import figure_bytes
from chairgap.scorecard.equilibria_plot import equilibria_figure
from chairgap.scorecard.plot import scorecard_figure
from chairgap.scorecard.tables import EQUILIBRIA, EQUILIBRIA_MODELS, MODELS, PAIR_SPREADS, SCORECARD

FILES = ("scorecard.csv", "scorecard_models.csv", "scorecard.svg", "scorecard.png")
EQUILIBRIA_FILES = (
    "equilibria_scorecard.csv",
    "equilibria_models.csv",
    "pair_spread.csv",
    "equilibria.svg",
    "equilibria.png",
)


def write_scorecard(rows: Sequence[ScorecardRow], output: OutputFolder) -> tuple[Path, ...]:
    """Write FILES, all or none: both tables, and the plot as SVG and PNG; returns their paths.

    Raises InputError for a file that is not overwritten, ChairgapError when writing fails.
    """
    figure = scorecard_figure(rows)
    contents = (
        SCORECARD.csv_text(rows).encode(),
        MODELS.csv_text(rows).encode(),
        figure_bytes(figure, "svg"),
        figure_bytes(figure, "png"),
    )
    return write_files(output, dict(zip(FILES, contents, strict=True)))


def write_equilibria(scores: Sequence[EquilibriumScore], output: OutputFolder) -> tuple[Path, ...]:
    """Write EQUILIBRIA_FILES as `write_scorecard` does: three tables, and the plot as SVG and PNG."""
    figure = equilibria_figure(scores)
    contents = (
        EQUILIBRIA.csv_text(scores).encode(),
        EQUILIBRIA_MODELS.csv_text(scores).encode(),
        PAIR_SPREADS.csv_text(scores).encode(),
        figure_bytes(figure, "svg"),
        figure_bytes(figure, "png"),
    )
    return write_files(output, dict(zip(EQUILIBRIA_FILES, contents, strict=True)))
