"""Small pieces of Markdown: escaped text, code spans, pipe tables."""

import re
from collections.abc import Sequence

from chairgap.report.words import one_line

_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;"}
_SPECIAL = re.compile(r"[\\`*_\[\]{}|#~$!]")
_LIST_START = re.compile(r"^(\d+(?=[.)])|)([-+=.)])")


def escaped(text: str) -> str:
    """Text of a user or a table such that Markdown shows exactly these characters, also in a pipe table."""
    marked = _SPECIAL.sub(lambda found: "\\" + found.group(), one_line(text))
    marked = _LIST_START.sub(lambda found: f"{found[1]}\\{found[2]}", marked)
    return re.sub("[&<>]", lambda found: _ENTITIES[found.group()], marked)


def code(text: str) -> str:
    """A code span outside tables; its fence is longer than any run of backquotes within."""
    plain = one_line(text)
    fence = "`" * (max((len(run) for run in re.findall("`+", plain)), default=0) + 1)
    blank = " " if "`" in plain else ""
    return f"{fence}{blank}{plain}{blank}{fence}" if plain else ""


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int] = ()) -> list[str]:
    """The lines of a pipe table; cells are already escaped, columns in `right` stand at the right."""
    rule = ["---:" if column in right else "---" for column in range(len(head))]
    return [f"| {' | '.join(row)} |" for row in (head, rule, *rows)]
