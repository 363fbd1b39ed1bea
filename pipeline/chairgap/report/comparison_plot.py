"""The plot of a study: computed Gibbs gap against hand estimate, with the 1:1 line and the ranges of both."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from chairgap.drawings.library_svg import redrawn
from chairgap.drawings.marks import shortened, spread
from chairgap.drawings.picture import LIGHT, Picture
from chairgap.drawings.svg import picture
from chairgap.records import Outcome, Result, Verdict
from chairgap.report.canvas import blank_figure, figure_bytes, house_style
from chairgap.report.headline import headline_verdict
from chairgap.report.words import VERDICTS
from chairgap.text import typeset
from chairgap.units import signed

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

# Colour and marker distinguish verdicts, each by itself; the last number is the size of the marker.
_STYLES: dict[Verdict, tuple[str, str, bool, float]] = {
    "agrees": ("agrees", "o", True, 6.0),
    "disagrees": ("disagrees", "X", True, 7.5),
    "undecided": ("other", "D", False, 5.5),
    "not comparable": ("quiet", "s", False, 5.5),
}
_INCHES_WIDE, _INCHES_HIGH, _PX_PER_INCH = 10.4, 6.5, 72.0
_PANEL = (0.09, 0.13, 0.53, 0.85)
# Of this picture 72 px are an inch, so that its points are px.
_SMALL = 12.0
_NAMED = 7
_NAME_LENGTH = 30
_NAME_GAP = 0.045
_NAMES_AT = 1.05
_MOST_MARKS = 2500
_RANGES_UP_TO = 250


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A molecule on the plot; gaps E(B) - E(A) in kcal/mol with their ranges."""

    name: str
    verdict: Verdict
    estimate: tuple[float, float, float]
    computed: tuple[float, float, float]

    @property
    def off(self) -> float:
        return self.computed[0] - self.estimate[0]


@dataclass(frozen=True, kw_only=True)
class Plotted:
    """What a plot shows of some molecules: their points, and how many are left out, by reason."""

    points: tuple[Point, ...] = ()
    equal: int = 0
    without: int = 0

    @property
    def left_out(self) -> str:
        """'left out: 5 equal by symmetry', or ''."""
        parts = []
        if self.equal:
            parts.append(f"{self.equal} equal by symmetry")
        if self.without:
            parts.append(f"{self.without} without a complete estimate or a computed gap")
        return f"left out: {', '.join(parts)}" if parts else ""

    @property
    def drawn(self) -> str:
        """'11 of 18 molecules drawn', where some are left out: the counts beside a table are of all."""
        of_all = len(self.points) + self.equal + self.without
        return f"{len(self.points)} of {of_all} molecules drawn" if self.left_out else ""


def plotted_together(parts: Sequence[Plotted]) -> Plotted:
    """What a plot shows of all of them."""
    return Plotted(
        points=tuple(point for part in parts for point in part.points),
        equal=sum(part.equal for part in parts),
        without=sum(part.without for part in parts),
    )


def comparison_picture(outcome: Outcome) -> Picture:
    """`plot_picture` of all results."""
    return plot_picture(plotted(outcome), outcome.study.settings.temperature_k)


def plotted(outcome: Outcome) -> Plotted:
    """The points of the results: molecules equal by symmetry, and those without a complete estimate or a
    computed gap, are only counted."""
    points: list[Point] = []
    equal = without = 0
    for result in outcome.results:
        point = _point(result)
        if result.gaps.equal_by_symmetry:
            equal += 1
        elif point is None:
            without += 1
        else:
            points.append(point)
    return Plotted(points=tuple(points), equal=equal, without=without)


def plot_picture(shown: Plotted, temperature_k: float) -> Picture:
    """Estimate (low to high of its table) across, computed Gibbs gap (less and plus its uncertainty) upwards,
    one mark for each molecule by its verdict, the molecules furthest from the line by name.

    Of more than 2500 marks those on nearly the same place are drawn once; above 250 molecules no ranges.
    """
    svg = _svg(shown, temperature_k)
    colours = {colour: name for name, colour in LIGHT.items()}
    return picture(
        redrawn(svg, colours, links=True),
        width_px=_INCHES_WIDE * _PX_PER_INCH,
        height_px=_INCHES_HIGH * _PX_PER_INCH,
        alt=_in_words(shown, temperature_k),
    )


def _svg(shown: Plotted, temperature_k: float) -> str:
    with house_style():
        return figure_bytes(_figure(shown, temperature_k), "svg").decode()


def _point(result: Result) -> Point | None:
    computed, comparison = result.gaps.gibbs_kcal_mol, result.comparison
    middle, low, high = result.estimate.shown_kcal_mol
    if middle is None or computed is None or not result.estimate.complete:
        return None
    below, above = comparison.computed_low_kcal_mol, comparison.computed_high_kcal_mol
    return Point(
        name=result.molecule.name,
        verdict=headline_verdict(result),
        estimate=(middle, middle if low is None else low, middle if high is None else high),
        computed=(computed, computed if below is None else below, computed if above is None else above),
    )


def _figure(shown: Plotted, temperature_k: float) -> "Figure":
    points = shown.points
    figure = blank_figure(_INCHES_WIDE, _INCHES_HIGH)
    figure.set_layout_engine("none")
    figure.set_dpi(_PX_PER_INCH)
    figure.patch.set_visible(False)
    axes = figure.add_axes(_PANEL)
    axes.patch.set_visible(False)
    low, high = _limits(points)
    quiet = LIGHT["quiet"]
    axes.plot([low, high], [low, high], color=LIGHT["ink"], linewidth=1.0, clip_on=False)
    for place in ([(low, high), (0.0, 0.0)], [(0.0, 0.0), (low, high)]):
        axes.plot(*place, color=quiet, linewidth=0.7, linestyle=":", clip_on=False)
    ranged = len(points) <= _RANGES_UP_TO
    if ranged:
        for xs, ys in _ranges(points):
            axes.plot(xs, ys, color=quiet, linewidth=0.7, clip_on=False)
    _marks(axes, points, high - low, title=shown.drawn)
    _name_the_furthest(axes, points)
    across = "hand estimate of G(B) − G(A), kcal/mol"
    upwards = f"computed Gibbs gap G(B) − G(A) at {temperature_k:.2f} K,\nkcal/mol"
    axes.set_xlabel(across + ranged * " (line: range of the table)", fontsize=12.5)
    axes.set_ylabel(upwards + ranged * " (line: uncertainty)", fontsize=12.5)
    axes.set(xlim=(low, high), ylim=(low, high))
    axes.tick_params(labelsize=_SMALL)
    notes = ["solid line: computed = estimate; positive: chair A preferred", shown.left_out]
    figure.text(_PANEL[0], 0.012, "; ".join(note for note in notes if note), fontsize=_SMALL)
    return figure


def _limits(points: Sequence[Point]) -> tuple[float, float]:
    values = [value for point in points for value in (*point.estimate, *point.computed)]
    low, high = min([-0.5, *values]), max([1.0, *values])
    return low - 0.05 * (high - low), high + 0.05 * (high - low)


def _ranges(points: Sequence[Point]) -> Iterator[tuple[list[float], list[float]]]:
    """All lines across in one, all lines upwards in one, with breaks between."""
    gap = float("nan")
    yield (
        [value for point in points for value in (*point.estimate[1:], gap)],
        [value for point in points for value in (point.computed[0], point.computed[0], gap)],
    )
    yield (
        [value for point in points for value in (point.estimate[0], point.estimate[0], gap)],
        [value for point in points for value in (*point.computed[1:], gap)],
    )


def _marks(axes: "Axes", points: Sequence[Point], span: float, *, title: str) -> None:
    for verdict, (colour, marker, solid, size) in _STYLES.items():
        chosen = [point for point in points if point.verdict == verdict]
        if not chosen:
            continue
        places = _thinned([(point.estimate[0], point.computed[0]) for point in chosen], span)
        axes.plot(
            [x for x, _ in places],
            [y for _, y in places],
            label=f"{len(chosen)} {VERDICTS[verdict].counted}",
            linestyle="none",
            marker=marker,
            markersize=size,
            markerfacecolor=LIGHT[colour] if solid else "none",
            markeredgecolor=LIGHT[colour],
            markeredgewidth=0.0 if solid else 1.2,
            clip_on=False,
        )
    if points:
        axes.legend(loc="upper left", fontsize=_SMALL, title=title, title_fontsize=_SMALL, alignment="left")


def _thinned(places: Sequence[tuple[float, float]], span: float) -> list[tuple[float, float]]:
    """The places, or, of too many, the first in each cell of the coarsest grid that is fine enough."""
    cells = 400
    kept = list(dict.fromkeys(places))
    while len(kept) > _MOST_MARKS // len(_STYLES):
        firsts: dict[tuple[int, int], tuple[float, float]] = {}
        for x, y in places:
            firsts.setdefault((int(x / span * cells // 1), int(y / span * cells // 1)), (x, y))
        kept = list(firsts.values())
        cells = cells * 3 // 4
    return kept


def _name_the_furthest(axes: "Axes", points: Sequence[Point]) -> None:
    """Names in a column right of the panel, each on a height of its own, joined to their marks."""
    furthest = sorted(points, key=lambda point: -abs(point.off))[:_NAMED]
    low, high = _limits(points)
    heights = [(point.computed[0] - low) / (high - low) for point in furthest]
    if furthest:
        axes.text(
            _NAMES_AT,
            1.0,
            "furthest from the line,\ncomputed − estimate, kcal/mol:",
            transform=axes.transAxes,
            fontsize=_SMALL,
            verticalalignment="top",
        )
    for point, height in zip(furthest, spread(heights, _NAME_GAP, 0.02, 0.9), strict=True):
        axes.annotate(
            f"{typeset(signed(point.off))} {shortened(point.name, _NAME_LENGTH)}",
            (point.estimate[0], point.computed[0]),
            xytext=(_NAMES_AT, height),
            textcoords="axes fraction",
            fontsize=_SMALL,
            verticalalignment="center",
            arrowprops={"arrowstyle": "-", "linewidth": 0.5, "color": LIGHT["quiet"]},
            annotation_clip=False,
        )


def _in_words(drawn: Plotted, temperature_k: float) -> str:
    points = drawn.points
    counts = [
        f"{sum(point.verdict == verdict for point in points)} {VERDICTS[verdict].counted}"
        for verdict in _STYLES
        if any(point.verdict == verdict for point in points)
    ]
    furthest = max(points, key=lambda point: abs(point.off), default=None)
    far = (
        f" Furthest from the line: {shortened(furthest.name, 100)}, computed "
        f"{typeset(signed(furthest.computed[0]))}, estimate {typeset(signed(furthest.estimate[0]))} kcal/mol."
        if furthest
        else ""
    )
    left_out = f" {drawn.left_out.capitalize()}." if drawn.left_out else ""
    mean = sum(abs(point.off) for point in points) / max(1, len(points))
    shown = f"{', '.join(counts)}; mean absolute difference {mean:.2f} kcal/mol" if points else "no molecule"
    return (
        f"Computed Gibbs gap G(B) − G(A) at {temperature_k:.2f} K against the hand estimate, kcal/mol, "
        f"positive favours chair A: {shown}.{far}{left_out}"
    )
