"""Templates and files of the page. Everything a template shows is escaped, but for drawings of ours."""

import base64
import hashlib
import re
from functools import cache
from pathlib import Path

from markupsafe import Markup, escape

from chairgap.drawings.picture import DARK, LIGHT, STYLE
from chairgap.report.blocks import Own, Strong, in_type
from chairgap.report.templates import environment
from chairgap.text import one_line

_HERE = Path(__file__).resolve().parent
_STRONG = re.compile(r"\*\*([^*]+)\*\*")
_CODE = re.compile("`([^`]+)`")
_LIBRARIES = ("three", "fflate")
# In this order: each may use what stands before it.
_SCRIPTS = (
    "unpack",
    "thermo",
    "table",
    "scrolling",
    "view",
    "player",
    "sections",
    "slider",
    "downloads",
    "start",
)


def rendered(template: str, **values: object) -> str:
    """A template of the page filled in."""
    templates = environment(_HERE / "templates")
    templates.filters["said"] = said
    templates.filters["given"] = one_line
    return templates.get_template(template).render(**values)


def said(text: str) -> Markup:
    """A text of the report as HTML and in type, but for a name, which is shown as it is given; with the marks
    in words of our own (see `Own`)."""
    shown = escape(in_type(text))
    if isinstance(text, Strong):
        return Markup(f"<strong>{shown}</strong>")
    if not isinstance(text, Own):
        return shown
    return Markup(_STRONG.sub(r"<strong>\1</strong>", _CODE.sub(r"<code>\1</code>", str(shown))))


@cache
def style() -> str:
    """The style sheet of the page; those of the drawings and its colours come first."""
    light, dark = (
        ";".join(f"--{name}:{colour}" for name, colour in palette.items()) for palette in (LIGHT, DARK)
    )
    sheet = _text("assets/page.css")
    return sheet.replace("/*LIGHT*/", light).replace("/*DARK*/", dark)


@cache
def script() -> str:
    """Our own script, all its files in one scope."""
    parts = [_text(f"assets/{name}.js") for name in _SCRIPTS]
    return "\n".join(['(() => {\n"use strict";', *parts, "})();"])


@cache
def library() -> str:
    """The bundled libraries, each with its licence."""
    return "\n".join(map(_library, _LIBRARIES))


def _library(name: str) -> str:
    licence = _text(f"vendor/{name}.LICENSE").replace("*/", "* /")
    return f"/*\n{licence}*/\n{_text(f'vendor/{name}.js')}"


@cache
def policy() -> str:
    """What the page may load: its own scripts and styles, known by their checksums, and nothing else."""
    scripts = " ".join(_checksum(text) for text in (library(), script()))
    styles = " ".join(_checksum(text) for text in (STYLE, style()))
    return (
        f"default-src 'none'; script-src {scripts}; style-src {styles}; img-src data: blob:; "
        "base-uri 'none'; form-action 'none'"
    )


def _checksum(text: str) -> str:
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
    return f"'sha256-{digest}'"


def _text(name: str) -> str:
    return (_HERE / name).read_text(encoding="utf-8")
