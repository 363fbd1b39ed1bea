"""Lines and cells of the terminal; nothing is printed here.

Every text from outside goes in as `Text`, never as markup, so a bracket in a SMILES stays a bracket.
"""

from collections.abc import Iterable, Sequence
from pathlib import Path

from rich.text import Text

from chairgap.cli.fitting import Column, Line
from chairgap.report.blocks import AsGiven, in_type
from chairgap.report.words import CAUTIONS
from chairgap.text import readable

INDENT = 4


def cell(words: str) -> Text:
    """A cell of a table."""
    return Text(in_type(words))


def cells(rows: Iterable[Sequence[str]]) -> tuple[tuple[Text, ...], ...]:
    """The cells of a table, row by row."""
    return tuple(tuple(map(cell, row)) for row in rows)


def columns(heads: Sequence[str], *, right: Sequence[str] = ()) -> tuple[Column, ...]:
    """Columns of these heads; those of numbers stand at the right, and no range is broken."""
    return tuple(
        Column(head=in_type(head), right=head in right, whole=head in right or "range" in head)
        for head in heads
    )


def line(words: str, *, start: int = 0, indent: int = 0, style: str = "") -> Line:
    """A line of words of ours, or of words as they are given."""
    return Line(words=in_type(words), start=start, indent=indent, style=style)


def about(name: str, words: str) -> Line:
    """Words about a molecule, behind its name as it was given."""
    return line(AsGiven(f"{name}: {in_type(words)}"), indent=INDENT)


def closing_lines(paths: Sequence[Path], *, as_before: bool = False) -> list[str]:
    """Where the files are, and the cautions; plain lines, so that no path is broken in two. as_before: they
    were not written again."""
    written = [written_line(paths, as_before=as_before)] if paths else []
    return [*written, *CAUTIONS]


def written_line(paths: Sequence[Path], *, as_before: bool = False) -> str:
    """'Written to out: gaps.csv, ...', with unprintable characters of the folder as code points."""
    begin = "Nothing is new; as written before to" if as_before else "Written to"
    return readable(f"{begin} {paths[0].parent}: {', '.join(path.name for path in paths)}")
