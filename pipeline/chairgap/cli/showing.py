"""How renderables are printed."""

import os
import sys

from rich.console import Console, RenderableType

PIPED_WIDTH = 100


def show(*parts: RenderableType) -> None:
    """Print renderables; into a pipe with a fixed width."""
    width = None if sys.stdout.isatty() or "COLUMNS" in os.environ else PIPED_WIDTH
    Console(width=width, highlight=False, markup=False, emoji=False).print(*parts, sep="\n")
