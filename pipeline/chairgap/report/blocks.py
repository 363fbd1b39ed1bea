"""What the report says, apart from how it is written: Markdown and page are made from the same blocks."""

from collections.abc import Sequence
from dataclasses import dataclass

from chairgap.text import one_line, typeset


class Own(str):
    """Words of our own that a form of writing may take as they are: nothing in them comes from a user or a
    table. Backquotes in them mark code, double stars what matters."""

    __slots__ = ()


class AsGiven(str):
    """A name or another text that a person may type or look for again: shown with exactly its letters, never
    set in type."""

    __slots__ = ()


class Strong(str):
    """Words that answer the question: shown in bold."""

    __slots__ = ()


def in_type(text: str) -> str:
    """The text on one line as people read it: set in type, unless it is shown as it is given."""
    return one_line(text) if isinstance(text, AsGiven) else typeset(one_line(text))


@dataclass(frozen=True, kw_only=True)
class Paragraph:
    """Lines that follow each other."""

    lines: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Bullets:
    """A list of lines."""

    items: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table of texts. Its head is our own; columns in `right` hold numbers of ours, put to the right; so
    many of the last rows are totals of the others."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()
    totals: int = 0


Block = Paragraph | Bullets | Table


@dataclass(frozen=True, kw_only=True)
class Part:
    """Blocks under a title ('' for none); key names the part for those who place it."""

    key: str
    title: str = ""
    blocks: tuple[Block, ...]


def paragraph(*lines: str) -> Paragraph:
    return Paragraph(lines=lines)


def bullets(items: Sequence[str]) -> tuple[Bullets, ...]:
    """A list, or nothing for no item."""
    return (Bullets(items=tuple(items)),) if items else ()


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], *, right: Sequence[int] = (), totals: int = 0
) -> Table:
    return Table(head=tuple(head), rows=tuple(map(tuple, rows)), right=tuple(right), totals=totals)
