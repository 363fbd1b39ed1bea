"""Figures by matplotlib, imported when the first is drawn: it would cost every start a third of a second."""

import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from chairgap.drawings.picture import LIGHT

if TYPE_CHECKING:
    from matplotlib.figure import Figure


Asked = ParamSpec("Asked")
Made = TypeVar("Made")

# In points; at 96 px to the inch 12 px.
SMALLEST_PT = 9.0


@contextmanager
def house_style() -> Iterator[None]:
    """Colours, font and minus sign of our own drawings, for what is drawn within."""
    import matplotlib as mpl

    ink, quiet = LIGHT["ink"], LIGHT["quiet"]
    with mpl.rc_context(
        {
            "font.family": "sans-serif",
            "font.sans-serif": ["DejaVu Sans", "Helvetica", "Arial"],
            "font.size": SMALLEST_PT,
            "axes.titlesize": 11.0,
            "axes.labelsize": 10.0,
            "xtick.labelsize": SMALLEST_PT,
            "ytick.labelsize": SMALLEST_PT,
            "legend.fontsize": SMALLEST_PT,
            "legend.frameon": False,
            "text.color": ink,
            "axes.labelcolor": ink,
            "axes.edgecolor": quiet,
            "axes.titlecolor": ink,
            "xtick.color": ink,
            "ytick.color": ink,
            "xtick.labelcolor": ink,
            "ytick.labelcolor": ink,
            # Names are no formulas, whatever signs they hold.
            "text.parse_math": False,
        }
    ):
        yield


def in_house_style(make: Callable[Asked, Made]) -> Callable[Asked, Made]:
    """A function that draws, in the style of our own drawings."""

    @wraps(make)
    def made(*args: Asked.args, **kwargs: Asked.kwargs) -> Made:
        with house_style():
            return make(*args, **kwargs)

    return made


def blank_figure(width_inch: float, height_inch: float) -> "Figure":
    """A figure without a screen, its parts laid out so that they keep clear of each other."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width_inch, height_inch), layout="constrained")
    FigureCanvasAgg(figure)
    return figure


def figure_bytes(figure: "Figure", kind: str) -> bytes:
    """The figure as 'svg' or 'png'; the same figure gives the same bytes (no date, fixed identifiers)."""
    import matplotlib as mpl

    buffer = io.BytesIO()
    with mpl.rc_context({"svg.hashsalt": "chairgap", "svg.fonttype": "none"}):
        figure.savefig(
            buffer, format=kind, dpi=150, metadata={"Date": None} if kind == "svg" else {"Software": None}
        )
    return buffer.getvalue()
