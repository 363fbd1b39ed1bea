"""Writes a scorecard into a folder."""

from collections.abc import Sequence
from pathlib import Path

from chairgap.files import write_files
from chairgap.records import ScorecardRow
from chairgap.report.canvas import figure_bytes
from chairgap.report.cells import csv_text
from chairgap.scorecard.plot import scorecard_figure
from chairgap.scorecard.tables import models_frame, scorecard_frame


def write_scorecard(rows: Sequence[ScorecardRow], folder: Path) -> tuple[Path, ...]:
    """Write scorecard.csv, scorecard_models.csv and the plot as SVG and PNG; returns their paths.

    Raises ChairgapError when writing fails; nothing half written is left.
    """
    figure = scorecard_figure(rows)
    return write_files(
        folder,
        {
            "scorecard.csv": csv_text(scorecard_frame(rows)).encode(),
            "scorecard_models.csv": csv_text(models_frame(rows)).encode(),
            "scorecard.svg": figure_bytes(figure, "svg"),
            "scorecard.png": figure_bytes(figure, "png"),
        },
    )
