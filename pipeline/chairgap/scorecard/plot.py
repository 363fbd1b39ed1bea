"""The plot of the scorecard: computed against tabulated, one panel for each model, with the 1:1 line."""

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from chairgap.drawings.lettering import as_text, runs_of
from chairgap.drawings.picture import LIGHT
from chairgap.records import ScorecardRow
from chairgap.report.canvas import SMALLEST_PT, blank_figure, in_house_style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Marker shapes distinguish signs as colours do.
_STYLES = {
    "right": ("sign right", "agrees", "o", 4.5),
    "wrong": ("sign wrong", "disagrees", "X", 6.5),
    "": ("A-value 0", "quiet", "D", 4.5),
}
_MOST_COLUMNS = 3
_LABELLED = 7
_NAMES_AT = 3.35


@in_house_style
def scorecard_figure(rows: Sequence[ScorecardRow]) -> "Figure":
    """A figure with a panel for each model: A-value (with its range) across, computed Gibbs gap upwards."""
    models = list(dict.fromkeys(row.model for row in rows))
    columns = 2 if len(models) in (2, 4) else min(_MOST_COLUMNS, len(models))
    lines = ceil(len(models) / columns)
    figure = blank_figure(4.4 * columns, 4.0 * lines + 0.5)
    panels = figure.subplots(lines, columns, squeeze=False).ravel()
    low, high = _limits(rows)
    for panel, model in zip(panels, models, strict=False):
        _panel(panel, [row for row in rows if row.model == model], model, (low, high))
    for panel in panels[len(models) :]:
        panel.set_axis_off()
    (temperature_k,) = {row.temperature_k for row in rows}
    figure.suptitle(
        f"ΔG = G(axial) − G(equatorial) at {temperature_k:.2f} K, kcal/mol; positive favours equatorial",
        fontsize=12.0,
    )
    return figure


def _limits(rows: Sequence[ScorecardRow]) -> tuple[float, float]:
    values = [row.gibbs_kcal_mol for row in rows if row.gibbs_kcal_mol is not None]
    values += [row.a_value_high_kcal_mol for row in rows]
    return min(-1.0, min(values)) - 0.4, max(values) + 0.4


def _panel(axes: "Axes", rows: Sequence[ScorecardRow], model: str, limits: tuple[float, float]) -> None:
    known = [row for row in rows if row.gibbs_kcal_mol is not None]
    axes.plot(limits, limits, color=LIGHT["ink"], linewidth=1.0, zorder=1)
    axes.axhline(0.0, color=LIGHT["quiet"], linewidth=0.8, linestyle=":", zorder=1)
    for sign, (words, colour, marker, size) in _STYLES.items():
        chosen = [row for row in known if row.sign == sign]
        if not chosen:
            continue
        x = [row.a_value_kcal_mol for row in chosen]
        axes.errorbar(
            x,
            [row.gibbs_kcal_mol or 0.0 for row in chosen],
            xerr=[
                [row.a_value_kcal_mol - row.a_value_low_kcal_mol for row in chosen],
                [row.a_value_high_kcal_mol - row.a_value_kcal_mol for row in chosen],
            ],
            label=f"{words} ({len(chosen)})",
            linestyle="none",
            elinewidth=0.6,
            color=LIGHT[colour],
            marker=marker,
            markersize=size,
            alpha=0.85,
            zorder=3,
        )
    _name_the_worst(axes, known, limits)
    axes.set(
        title=model,
        xlabel="A-value (range)",
        ylabel="computed ΔG",
        xlim=(-0.4, 5.9),
        ylim=limits,
        aspect="auto",
    )
    axes.legend(loc="upper left")


def _name_the_worst(axes: "Axes", rows: Sequence[ScorecardRow], limits: tuple[float, float]) -> None:
    """Names of the points furthest from the line, in a column right of the crowd, each on a height of its
    own; under the point where it stands in that column itself."""
    worst = sorted(rows, key=lambda row: -abs(row.error_kcal_mol or 0.0))[:_LABELLED]
    gap = (limits[1] - limits[0]) / 20.0
    height = limits[0]
    for row in sorted(worst, key=lambda row: row.gibbs_kcal_mol or 0.0):
        point = (row.a_value_kcal_mol, row.gibbs_kcal_mol or 0.0)
        alone = point[0] > _NAMES_AT
        height = point[1] if alone else max(point[1], height + gap)
        axes.annotate(
            as_text(runs_of(row.group)),
            point,
            xytext=(point[0], point[1] - gap) if alone else (_NAMES_AT, height),
            fontsize=SMALLEST_PT,
            verticalalignment="center",
            horizontalalignment="center" if alone else "left",
            arrowprops=None if alone else {"arrowstyle": "-", "linewidth": 0.5, "color": LIGHT["quiet"]},
            zorder=2,
        )
