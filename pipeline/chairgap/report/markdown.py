"""Small pieces of Markdown: escaped text, code spans, pipe tables, and blocks written with them."""

import re
from collections.abc import Sequence

from chairgap.report.blocks import Block, Bullets, Own, Paragraph, Part, Strong, in_type
from chairgap.text import escaped, escaped_within, one_line, typeset


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


def part_lines(part: Part, *, level: int) -> list[str]:
    """A part under a heading of this level."""
    lines = [f"{'#' * level} {_written(part.title)}"] if part.title else []
    for block in part.blocks:
        lines.extend(["", *_block(block)] if lines else _block(block))
    return lines


def _block(block: Block) -> list[str]:
    if isinstance(block, Paragraph):
        return [_written(line) for line in block.lines]
    if isinstance(block, Bullets):
        return [f"- {_written(item)}" for item in block.items]
    rows = [
        [typeset(cell) if column in block.right else _cell(cell) for column, cell in enumerate(row)]
        for row in block.rows
    ]
    return table([typeset(cell) for cell in block.head], rows, right=block.right)


def _written(text: str) -> str:
    return typeset(text) if isinstance(text, Own) else _marked(text, escaped(in_type(text)))


def _cell(text: str) -> str:
    return typeset(text) if isinstance(text, Own) else _marked(text, escaped_within(in_type(text)))


def _marked(text: str, shown: str) -> str:
    return f"**{shown}**" if isinstance(text, Strong) else shown
