"""How renderables are printed.

Into a pipe or a file goes the same text as onto a terminal, rules included, but `PIPED_WIDTH` wide and
without colours, so that it can be compared and sent on; NO_COLOR leaves colours out on a terminal as well.
Where a stream has no letters for signs and formulas, `main` has them written in plain ones.
"""

import os
import sys

from rich.console import Console, RenderableType

PIPED_WIDTH = 100


def show(*parts: RenderableType) -> None:
    """Print renderables; into a pipe with a fixed width."""
    width = None if sys.stdout.isatty() or "COLUMNS" in os.environ else PIPED_WIDTH
    Console(width=width, highlight=False, markup=False, emoji=False).print(*parts, sep="\n")
