"""Question sheets and keys as HTML files that hold everything and ask the network for nothing."""

from pathlib import Path
from typing import Literal

from markupsafe import Markup

from chairgap.drawings.picture import STYLE, Picture
from chairgap.handout.sheets import Sheet
from chairgap.report.templates import environment
from chairgap.text import typeset

SheetKind = Literal["questions", "key"]
_CALLED: dict[SheetKind, str] = {"questions": "question sheet", "key": "key"}
_TEMPLATES = Path(__file__).parent / "templates"
USUAL_PT, LARGE_PT = 10.5, 18.0
# By the size of a drawing (`chairgap.handout.blocks`): its scale, and the height in px that it keeps within;
# those that are not named keep to any page.
_SCALES = {"molecule": 1.35, "frames": 1.0, "chairs": 0.85, "row": 1.1, "small": 0.75, "newman": 1.3}
_HEIGHTS_PX = {"molecule": 165.0, "row": 125.0}
_ANY_HEIGHT_PX = 1000.0
# Two of these, one below the other, with the words before them fit on a page.
_SINGLE_SCALE = 1.7
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
        # On paper it would need a page of its own below two full halves.
        page_origin=f". {sheet.origin}" if kind == "questions" and not large else "",
        page_mm=_PAGE_MM[paper],
        scales=_SCALES,
        heights_px=dict.fromkeys(_SCALES, _ANY_HEIGHT_PX) | _HEIGHTS_PX,
        single_scale=_SINGLE_SCALE,
        drawing_style=Markup(STYLE),
        style=Markup((_TEMPLATES / "style.css").read_text(encoding="utf-8")),
    )


def _width_px(picture: Picture, scale: float, most_high_px: float) -> str:
    """The width at which a drawing is shown: its own by the scale, less where it would be too high."""
    return f"{picture.width_px * min(scale, most_high_px / picture.height_px):.0f}"
