"""The plot of published equilibria: published against computed, one panel for each class of medium."""

from collections.abc import Sequence
from math import ceil
from typing import TYPE_CHECKING

from chairgap.compare.equilibria import CLASSES, HAND_SUMS, is_hand_sum
from chairgap.drawings.picture import LIGHT
from chairgap.records import EquilibriumScore
from chairgap.report.canvas import blank_figure, in_house_style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# (colour, marker) of the models in their order: every marker is another shape, so that no meaning hangs on
# colour alone.
_STYLES = (
    ("quiet", "x"),
    ("quiet", "+"),
    ("equatorial", "s"),
    ("agrees", "^"),
    ("axial", "o"),
    ("disagrees", "v"),
    ("other", "D"),
)
_MOST_COLUMNS = 3
_MARGIN = 0.4


@in_house_style
def equilibria_figure(scores: Sequence[EquilibriumScore]) -> "Figure":
    """A figure with a panel for each class of medium that has numbers; bounds, signs alone and what was not
    measured have no point."""
    counted = [score for score in scores if score.counted]
    names = [name for name in CLASSES if _of(counted, name)]
    models = sorted(dict.fromkeys(score.model for score in scores), key=lambda name: name not in HAND_SUMS)
    columns = min(_MOST_COLUMNS, len(names)) or 1
    lines = max(1, ceil(len(names) / columns))
    figure = blank_figure(4.4 * columns, 4.0 * lines + 1.0)
    panels = figure.subplots(lines, columns, squeeze=False).ravel()
    for panel, name in zip(panels, names, strict=False):
        _panel(panel, _of(counted, name), name, models)
    for panel in panels[len(names) :]:
        panel.set_axis_off()
    labelled = [pair for panel in panels for pair in zip(*panel.get_legend_handles_labels(), strict=True)]
    handles = {label: handle for handle, label in labelled}
    figure.legend(handles.values(), handles.keys(), loc="outside lower center", ncols=3)
    figure.suptitle(
        "ΔG = G(B) − G(A), kcal/mol; positive favours chair A, that of fewer axial groups", fontsize=12.0
    )
    return figure


def _of(scores: Sequence[EquilibriumScore], medium_class: str) -> list[EquilibriumScore]:
    return [score for score in scores if score.published.equilibrium.medium_class == medium_class]


def _panel(axes: "Axes", scores: Sequence[EquilibriumScore], name: str, models: Sequence[str]) -> None:
    published = [score.published.gap_kcal_mol or 0.0 for score in scores]
    both = published + [score.gap_kcal_mol or 0.0 for score in scores]
    limits = (min(both) - _MARGIN, max(both) + _MARGIN)
    axes.plot(limits, limits, color=LIGHT["ink"], linewidth=1.0, zorder=1)
    axes.axhline(0.0, color=LIGHT["quiet"], linewidth=0.8, linestyle=":", zorder=1)
    axes.axvline(0.0, color=LIGHT["quiet"], linewidth=0.8, linestyle=":", zorder=1)
    for number, model in enumerate(models):
        own = [score for score in scores if score.model == model]
        if not own:
            continue
        colour, marker = _STYLES[number % len(_STYLES)]
        axes.scatter(
            [score.published.gap_kcal_mol or 0.0 for score in own],
            [score.gap_kcal_mol or 0.0 for score in own],
            color=LIGHT[colour],
            marker=marker,
            s=34,
            alpha=0.9,
            label=model,
            zorder=2 if is_hand_sum(own[0]) else 3,
        )
    values = len({score.published.equilibrium.key for score in scores})
    axes.set(
        title=f"{name} ({values} value{'' if values == 1 else 's'})",
        xlabel="published",
        ylabel="model",
        xlim=limits,
        ylim=limits,
        aspect="equal",
    )
