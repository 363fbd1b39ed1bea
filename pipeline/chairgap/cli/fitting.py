"""Tables and lines fitted to the width of a terminal.

A line breaks between words; a name that is too long for its column also behind a hyphen, and only a word that
has none, such as a SMILES, anywhere. A number is not parted from its unit. Columns get what they need; where
all together need more than there is, each keeps its longest word, and what is left goes, letter by letter,
to the column in which it saves most lines. Rejected: the library's own widths, which break words at any
letter as soon as one column is long; shares in proportion to need, which leave every number in two lines.
"""

import re
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len, chop_cells
from rich.console import Console, ConsoleOptions, RenderResult
from rich.table import Table
from rich.text import Text

# No word of a column needs more: longer ones are broken at any letter.
LONGEST_WORD = 24
_BETWEEN_COLUMNS = 2
_NARROW = 6
_GLUE = "\u2060"
# Blanks that do not break: before a unit or a sign with its number, and within a range.
_HELD = re.compile(
    r"(?<=\d) (?=%|kcal/mol|kJ/mol|cal/mol|K\b|\u00c5)|(?<=[\u00b1\u00d7]) (?=\d)|(?<=\d) (?=\u00d7 )"
    r"|(?<=\d) (?=to [\u2212\d])|(?<=\d to) (?=[\u2212\d])|(?<=^[-+x?!]) |(?<=\bT,) (?=K)"
)
# Not behind the one letter of 'A-value' or the one locant of '4-methyl'.
_HYPHEN = re.compile(r"(?<=[\w)\],][\w)\]]-)(?=[\w(\[])")


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column: its head, whether its cells stand at the right, and whether they may be broken into lines."""

    head: str
    right: bool = False
    whole: bool = False


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """A table that takes the width it is given. total: the last row is the sum of the others."""

    title: str = ""
    columns: tuple[Column, ...]
    rows: tuple[tuple[Text, ...], ...]
    total: bool = False
    caption: str = ""

    def fits(self, width: int) -> bool:
        """Whether no word has to be broken that a column can hold."""
        return sum(self._least()) + self._between() <= width

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        whole = [place for place, column in enumerate(self.columns) if column.whole]
        widths = shared(self._widths(), self._least(), options.max_width - self._between(), whole)
        if self.title:
            yield Text("\n".join(wrapped(self.title, options.max_width)), style="bold")
        table = Table(box=SIMPLE_HEAD, show_edge=False, pad_edge=False, padding=(0, 1, 0, 0))
        for column, width in zip(self.columns, widths, strict=True):
            table.add_column(
                Text("\n".join(wrapped(column.head, width))),
                justify="right" if column.right else "left",
                vertical="top",
                no_wrap=True,
                width=width,
            )
        for number, row in enumerate(self.rows, 1):
            if self.total and number == len(self.rows):
                table.add_section()
            table.add_row(*(broken(cell, width) for cell, width in zip(row, widths, strict=True)))
        yield table
        if self.caption:
            yield Text("\n".join(wrapped(self.caption, options.max_width)))

    def _between(self) -> int:
        return _BETWEEN_COLUMNS * (len(self.columns) - 1)

    def _widths(self) -> list[list[list[int]]]:
        """The lengths of the pieces of every cell, by column."""
        return [[_lengths(cell) for cell in cells] for cells in self._cells()]

    def _least(self) -> list[int]:
        return [
            max(
                longest_word(head),
                *(cell_len(cell) if column.whole else longest_word(cell) for cell in cells),
                1,
            )
            for column, (head, *cells) in zip(self.columns, self._cells(), strict=True)
        ]

    def _cells(self) -> Iterator[list[str]]:
        for place, column in enumerate(self.columns):
            yield [column.head, *(row[place].plain for row in self.rows)]


@dataclass(frozen=True, kw_only=True)
class Line:
    """A line of words, `start` letters in; what does not fit goes on below, `indent` letters in."""

    words: str
    start: int = 0
    indent: int = 0
    style: str = ""

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        width = options.max_width
        first, *more = wrapped(self.words, width - self.start, later=width - self.indent)
        lines = (" " * self.start + first, *(" " * self.indent + line for line in more))
        yield Text("\n".join(lines), style=self.style)


def shared(
    columns: Sequence[Sequence[Sequence[int]]],
    least: Sequence[int],
    available: int,
    whole: Collection[int] = (),
) -> list[int]:
    """The widths of columns, whose cells are given by the lengths of their pieces: what each needs, or its
    longest word and what saves most lines of the rest. Where not even the longest words have room, the widest
    columns give way, those in `whole` last."""
    needed = [max(map(sum, cells)) for cells in columns]
    if sum(needed) <= available:
        return needed
    widths, rest = list(least), available - sum(least)
    for _ in range(-rest):
        broken_first = [
            place for place in range(len(widths)) if place not in whole and widths[place] > _NARROW
        ]
        widest = max(broken_first or range(len(widths)), key=lambda place: widths[place])
        widths[widest] = max(1, widths[widest] - 1)
    lines = [_Lines(cells) for cells in columns]
    while rest > 0:
        gains = [
            ((lines[place].at(width) - lines[place].at(wider)) / (wider - width), -place, wider)
            for place, width in enumerate(widths)
            for wider in range(width + 1, min(needed[place], width + rest) + 1)
        ]
        gain, place, wider = max(gains, default=(0.0, 0, 0))
        if gain <= 0.0:
            break
        rest -= wider - widths[-place]
        widths[-place] = wider
    return widths


class _Lines:
    """How many lines the cells of a column take at a width."""

    def __init__(self, cells: Sequence[Sequence[int]]):
        self._cells = Counter(tuple(lengths) for lengths in cells)
        self._known: dict[int, int] = {}

    def at(self, width: int) -> int:
        if width not in self._known:
            self._known[width] = sum(
                count * _line_count(lengths, width) for lengths, count in self._cells.items()
            )
        return self._known[width]


def _line_count(lengths: Sequence[int], width: int) -> int:
    lines, used = 1, 0
    for length in lengths:
        if used and used + length > width:
            lines, used = lines + 1, 0
        lines += max(0, length - 1) // width if not used else 0
        used += length
    return lines


def wrapped(text: str, width: int, *, later: int | None = None) -> list[str]:
    """The text in lines of at most `width` letters, those after the first of at most `later`."""
    lines, current, room = [], "", max(width, 1)
    for piece in _pieces(text):
        if cell_len((current + piece).rstrip()) <= room:
            current += piece
            continue
        if current.strip():
            lines.append(current.rstrip())
            room = max(later or width, 1)
        current = piece
        while cell_len(current.rstrip()) > room:
            first = chop_cells(current, room)[0]
            lines.append(first)
            current, room = current[len(first) :], max(later or width, 1)
    return [*lines, current.rstrip()]


def broken(cell: Text, width: int) -> Text:
    """A cell in lines of its column."""
    return Text(
        "\n".join(line for part in cell.plain.split("\n") for line in wrapped(part, width)), cell.style
    )


def longest_word(text: str) -> int:
    """The longest piece that is not broken, up to `LONGEST_WORD`."""
    return min(max((cell_len(piece.rstrip()) for piece in _pieces(text)), default=0), LONGEST_WORD)


def _lengths(text: str) -> list[int]:
    return [cell_len(piece) for piece in _pieces(text)] or [0]


def _pieces(text: str) -> Iterator[str]:
    """What stays together when the text is broken into lines; a blank belongs to the piece before it."""
    held = _HELD.sub(_GLUE, text)
    for word in re.findall(r"\S+\s*|\s+", held):
        for part in _HYPHEN.split(word):
            yield part.replace(_GLUE, " ")
