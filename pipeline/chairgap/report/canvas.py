"""Figures by matplotlib, imported when the first is drawn: it would cost every start a third of a second."""

import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure


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
