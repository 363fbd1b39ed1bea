"""Question sheets and keys as HTML files that hold everything and ask the network for nothing."""

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from chairgap.drawings.picture import STYLE
from chairgap.handout.sheets import Sheet
from chairgap.handout.wording import LEFT, RIGHT

_TEMPLATES = Path(__file__).parent / "templates"
USUAL_PT, LARGE_PT = 10.5, 18.0
_MOLECULE_SCALE, _FRAME_SCALE, _CHAIRS_SCALE = 1.35, 1.15, 0.85


def questions_html(sheet: Sheet, *, paper: str, large: bool) -> str:
    """The question sheet of a version; nothing of its key is in it."""
    return _rendered("questions.html", "question sheet", sheet, paper=paper, large=large)


def key_html(sheet: Sheet, *, paper: str, large: bool) -> str:
    """The key of a version."""
    return _rendered("key.html", "key", sheet, paper=paper, large=large)


def _rendered(template: str, kind: str, sheet: Sheet, *, paper: str, large: bool) -> str:
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["drawn"] = Markup  # our own drawings, escaped where they are made
    return environment.get_template(template).render(
        sheet=sheet,
        kind=kind,
        paper=paper,
        large=large,
        text_pt=LARGE_PT if large else USUAL_PT,
        foot_pt=LARGE_PT if large else 8,
        scale=LARGE_PT / USUAL_PT if large else 1.0,
        molecule_scale=_MOLECULE_SCALE,
        frame_scale=_FRAME_SCALE,
        chairs_scale=_CHAIRS_SCALE,
        frames=(LEFT, RIGHT),
        drawing_style=Markup(STYLE),
        style=Markup((_TEMPLATES / "style.css").read_text(encoding="utf-8")),
    )
