"""Writes a scorecard into a folder."""

from collections.abc import Sequence
from pathlib import Path

from chairgap.files import OutputFolder, write_files
from chairgap.records import ScorecardRow
from chairgap.report.canvas import figure_bytes
from chairgap.scorecard.plot import scorecard_figure
from chairgap.scorecard.tables import MODELS, SCORECARD

FILES = ("scorecard.csv", "scorecard_models.csv", "scorecard.svg", "scorecard.png")


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
