"""Question sheets and keys as HTML files that hold everything and ask the network for nothing."""

from pathlib import Path
from typing import Literal

from markupsafe import Markup

from chairgap.drawings.picture import STYLE, Picture
from chairgap.handout.sheets import Sheet
from chairgap.handout.wording import LEFT, RIGHT
from chairgap.report.templates import environment
from chairgap.text import typeset

SheetKind = Literal["questions", "key"]
_CALLED: dict[SheetKind, str] = {"questions": "question sheet", "key": "key"}
_TEMPLATES = Path(__file__).parent / "templates"
USUAL_PT, LARGE_PT = 10.5, 18.0
_MOLECULE_SCALE, _FRAME_SCALE, _CHAIRS_SCALE = 1.35, 1.0, 0.85
_SINGLE_SCALE = 2.0
_MOLECULE_HEIGHT_PX = 165.0
# What the margins of the style sheet leave of a page, less the footer of the last one.
_PAGE_MM = {"A4": 258, "Letter": 240}


def sheet_html(kind: SheetKind, sheet: Sheet, *, paper: str, large: bool) -> str:
    """The question sheet of a version, with nothing of its key in it, or the key."""
    templates = environment(_TEMPLATES)
    templates.filters["width_px"] = _width_px
    templates.filters["said"] = typeset
    return templates.get_template(f"{kind}.html").render(
        sheet=sheet,
        kind=_CALLED[kind],
        paper=paper,
        large=large,
        text_pt=LARGE_PT if large else USUAL_PT,
        foot_pt=LARGE_PT if large else 8,
        scale=LARGE_PT / USUAL_PT if large else 1.0,
        page_mm=_PAGE_MM[paper],
        molecule_scale=_MOLECULE_SCALE,
        molecule_height_px=_MOLECULE_HEIGHT_PX,
        frame_scale=_FRAME_SCALE,
        chairs_scale=_CHAIRS_SCALE,
        single_scale=_SINGLE_SCALE,
        frames=(LEFT, RIGHT),
        drawing_style=Markup(STYLE),
        style=Markup((_TEMPLATES / "style.css").read_text(encoding="utf-8")),
    )


def _width_px(picture: Picture, scale: float, most_high_px: float) -> str:
    """The width at which a drawing is shown: its own by the scale, less where it would be too high."""
    return f"{picture.width_px * min(scale, most_high_px / picture.height_px):.0f}"
