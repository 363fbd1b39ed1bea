"""HTML from templates: everything escaped but drawings of ours, and an error for a name that is not there."""

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup

from chairgap.drawings.picture import Picture

if TYPE_CHECKING:
    from jinja2 import Environment


@cache
def environment(folder: Path) -> "Environment":
    """The templates of a folder. `drawn` puts in the SVG of a `Picture`, escaped where it is made."""
    # Here, since every start of the program would pay for it.
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(folder),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["drawn"] = _drawn
    return made


def _drawn(picture: Picture) -> Markup:
    return Markup(picture.svg)
