"""The profile of a ring flip: levels of the lowest path with names and numbers."""

from typing import TYPE_CHECKING

from chairgap.drawings.levels import levels_of
from chairgap.records import Flip
from chairgap.report.canvas import blank_figure
from chairgap.report.words import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_MINIMUM, _SADDLE = "#1b3a6b", "#d95f02"
_HALF = 0.34


def profile_figure(flip: Flip, model: str) -> "Figure":
    """Levels of potential energy with their names; enthalpy and Gibbs energy stand in numbers below each."""
    levels = levels_of(flip)
    figure = blank_figure(max(5.5, 1.5 * len(levels)), 5.2)
    axes = figure.subplots()
    for place, (kind, name, potential, enthalpy, gibbs) in enumerate(levels):
        colour = _MINIMUM if kind == "minimum" else _SADDLE
        axes.plot([place - _HALF, place + _HALF], [potential] * 2, color=colour, linewidth=3.0)
        axes.annotate(
            name,
            (place, potential),
            xytext=(0, 7),
            textcoords="offset points",
            ha="center",
            va="bottom",
            fontsize=8.5,
            color=colour,
        )
        axes.annotate(
            f"E {potential:.2f}\nH {enthalpy:.2f}\nG {gibbs:.2f}",
            (place, potential),
            xytext=(0, -6),
            textcoords="offset points",
            ha="center",
            va="top",
            fontsize=8,
        )
        if place:
            before = levels[place - 1][2]
            axes.plot(
                [place - 1 + _HALF, place - _HALF],
                [before, potential],
                color="#777777",
                linewidth=0.9,
                linestyle="--",
            )
    top = max((level[2] for level in levels), default=1.0)
    axes.set(
        ylabel="potential energy above the lowest minimum, kcal/mol",
        xticks=[],
        xlim=(-0.6, max(1, len(levels)) - 0.4),
        ylim=(-0.18 * top - 0.5, 1.16 * top + 0.5),
    )
    for side in ("top", "right", "bottom"):
        axes.spines[side].set_visible(False)
    axes.set_title(
        f"{one_line(flip.molecule.name)}: lowest path between the chairs, {model}, gas phase;\n"
        f"H and G at {flip.temperature_k:.2f} K; solid blue: minima, orange: saddles",
        fontsize=10,
    )
    return figure
