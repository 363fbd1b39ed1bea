"""Writes a scorecard into a folder."""

from collections.abc import Sequence
from pathlib import Path

from chairgap.files import OutputFolder, write_files
from chairgap.records import ScorecardRow
from chairgap.report.canvas import figure_bytes
from chairgap.report.cells import csv_text
from chairgap.scorecard.plot import scorecard_figure
from chairgap.scorecard.tables import models_frame, scorecard_frame

FILES = ("scorecard.csv", "scorecard_models.csv", "scorecard.svg", "scorecard.png")


def write_scorecard(rows: Sequence[ScorecardRow], output: OutputFolder) -> tuple[Path, ...]:
    """Write FILES, all or none: both tables, and the plot as SVG and PNG; returns their paths.

    Raises InputError for a file that is not written over, ChairgapError when writing fails.
    """
    figure = scorecard_figure(rows)
    contents = (
        csv_text(scorecard_frame(rows)).encode(),
        csv_text(models_frame(rows)).encode(),
        figure_bytes(figure, "svg"),
        figure_bytes(figure, "png"),
    )
    return write_files(output, dict(zip(FILES, contents, strict=True)))
