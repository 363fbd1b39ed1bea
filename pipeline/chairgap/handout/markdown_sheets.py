"""Question sheets and keys as Markdown, with their drawings as SVG files beside them.

The drawings of a key lie in a folder of their own, so that a folder of questions can be handed out whole.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import Any

from chairgap.drawings.picture import Picture, alone
from chairgap.handout.blocks import (
    Answer,
    Beside,
    Blanks,
    Bullets,
    Drawing,
    Grid,
    Part,
    Piece,
    Question,
    Space,
    Together,
    Words,
)
from chairgap.handout.sheets import Sheet
from chairgap.handout.values import Values
from chairgap.report.markdown import table
from chairgap.text import escaped, typeset


def drawings(sheets: tuple[Sheet, ...]) -> dict[str, str]:
    """The SVG files of the question sheets and of the keys by name."""
    answers = [answer for sheet in sheets for answer in sheet.answers]
    pieces = [piece for answer in answers for piece in (*answer.question.pieces, *answer.pieces)]
    return {drawing.path: alone(drawing.picture) for drawing in _drawings(pieces)}


def _drawings(pieces: Iterable[Piece]) -> Iterator[Drawing]:
    for piece in pieces:
        if isinstance(piece, Drawing):
            yield piece
        elif isinstance(piece, Beside):
            yield from piece.drawings
        elif isinstance(piece, Together):
            yield from _drawings(piece.pieces)


def questions_markdown(sheet: Sheet) -> str:
    """The question sheet of a version; nothing of its key is in it."""
    asked = len(sheet.questions)
    lines = [
        f"# {escaped(sheet.title)}",
        "",
        f"Question sheet, version {sheet.version}: {asked} question{'' if asked == 1 else 's'}, "
        f"{_points(sheet.points)}",
        "",
        "Name or number: ____________________ Date: __________",
        "",
        "## Before you begin",
        "",
        *(f"- {_said(line)}" for line in sheet.conventions),
        *_values(sheet.values),
    ]
    for question in sheet.questions:
        lines += ["", *_question(question)]
    return "\n".join([*lines, "", escaped(sheet.origin)]) + "\n"


def key_markdown(sheet: Sheet) -> str:
    """The key of a version."""
    lines = [
        f"# {escaped(sheet.title)}",
        "",
        f"Key, version {sheet.version}: for the instructor, {_points(sheet.points)}",
        "",
        "## How to mark",
        "",
        *(f"- {_said(line)}" for line in sheet.rubric),
        *(f"- {escaped(line)}" for line in sheet.notes),
    ]
    rows = [[escaped(row[0]), escaped(row[1]), *map(_said, row[2:])] for row in sheet.glance_rows]
    lines += ["", "## At a glance", "", *table([_said(head) for head in sheet.glance_head], rows)]
    for answer in sheet.answers:
        lines += ["", *_answer(answer)]
    lines += [*_values(sheet.values)]
    if sheet.sources:
        lines += ["", "## Sources of the energies", "", *(f"- {_said(source)}" for source in sheet.sources)]
    lines += ["", *(f"- {caution}" for caution in sheet.cautions), "", escaped(sheet.key_origin)]
    return "\n".join(lines) + "\n"


def _question(question: Question) -> Iterator[str]:
    name = f": {escaped(question.name)}" if question.name else ""
    yield f"## Question {question.number}{name}"
    yield from _pieces(question.pieces)


def _answer(answer: Answer) -> Iterator[str]:
    yield f"## Question {answer.question.number}: {escaped(answer.name)}"
    if answer.doubts or answer.remarks:
        head = f"Do not mark {answer.doubted} before you have read this." if answer.doubts else "Note:"
        yield from ("", f"**{head}** {_said(' '.join((*answer.doubts, *answer.remarks)))}")
    if answer.systematic:
        yield from ("", escaped(answer.systematic))
    yield from ("", _said(answer.about))
    yield from _pieces(answer.pieces)
    if answer.marks:
        yield from ("", "Marks:", "")
        yield from (f"- {_points(mark.points)}: {_said(mark.words)}" for mark in answer.marks)


def _values(values: Values | None) -> Iterator[str]:
    if values is None:
        return
    yield from ("", "## Energies for the estimates", "")
    for head, lines in values.tables:
        rows = [[_said(line.what), typeset(line.value), _said(line.source)] for line in lines]
        yield from (*table([typeset(head), "kcal/mol", "Source"], rows, right=(1,)), "")
    yield from (_said(values.note), "")
    yield from (f"{number}. {_said(source)}" for number, source in enumerate(values.sources, start=1))


def _pieces(pieces: Iterable[Piece]) -> Iterator[str]:
    """The lines of pieces, each with an empty line before it."""
    for piece in pieces:
        if isinstance(piece, Together):
            yield from _pieces(piece.pieces)
        elif lines := _WRITTEN[piece.what](piece):
            yield from ("", *lines)


def _words(piece: Words) -> list[str]:
    return [escaped(piece.text) if piece.given else _said(piece.text)]


def _bullets(piece: Bullets) -> list[str]:
    return [
        f"{f'{number}.' if piece.numbered else '-'} {_said(line)}"
        for number, line in enumerate(piece.lines, start=1)
    ]


def _part(piece: Part) -> list[str]:
    if not piece.text:
        return [f"({piece.letter})"]
    return [f"**({piece.letter})** {_said(piece.text)} ({_points(piece.points)})"]


def _drawing(piece: Drawing) -> list[str]:
    lines = [_image(piece.picture, piece.path)]
    if len(piece.captions) == 1:
        caption = piece.captions[0]
        lines += ["", f"{caption[:1].upper()}{caption[1:]}."]
    elif piece.captions:
        left, right = piece.captions
        lines += ["", f"Left: {left}. Right: {right}."]
    return lines


def _beside(piece: Beside) -> list[str]:
    lines: list[str] = []
    for drawing in piece.drawings:
        lines += ["", *_drawing(drawing)]
    lines += ["", *(f"- {_said(line)}" for line in piece.lines)] if piece.lines else []
    return [*lines[1:], *(["", _said(piece.note)] if piece.note else [])]


def _grid(piece: Grid) -> list[str]:
    rows = [[_said(cell) for cell in row] for row in piece.rows]
    return table([_said(head) for head in piece.head], rows, right=piece.right)


def _blanks(piece: Blanks) -> list[str]:
    return [
        " ".join(f"{_said(before)} __________ {_said(behind)}".strip() for before, behind in piece.labels)
    ]


def _space(piece: Space) -> list[str]:
    return []


_WRITTEN: dict[str, Callable[[Any], list[str]]] = {
    Words.what: _words,
    Bullets.what: _bullets,
    Part.what: _part,
    Drawing.what: _drawing,
    Beside.what: _beside,
    Grid.what: _grid,
    Space.what: _space,
    Blanks.what: _blanks,
}


def _said(text: str) -> str:
    """Words of ours in type, escaped."""
    return escaped(typeset(text))


def _points(count: int) -> str:
    return f"{count} point{'' if count == 1 else 's'}"


def _image(picture: Picture, path: str) -> str:
    return f"![{escaped(picture.alt)}]({path})"
