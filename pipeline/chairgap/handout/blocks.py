"""What questions and answers are made of: pieces that every form of a sheet shows in its own way."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from chairgap.drawings.picture import Picture

Size = Literal["molecule", "frames", "chairs", "row", "small", "newman"]


@dataclass(frozen=True, kw_only=True)
class Words:
    """A paragraph. given: as the user wrote it, so not set in type; note: in smaller print."""

    what: ClassVar[str] = "words"
    text: str
    given: bool = False
    note: bool = False


@dataclass(frozen=True, kw_only=True)
class Bullets:
    """A list; numbered where its lines are steps."""

    what: ClassVar[str] = "bullets"
    lines: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of a question: its letter, what is asked, and the points proposed for it. In a key the letter
    alone."""

    what: ClassVar[str] = "part"
    letter: str
    text: str = ""
    points: int = 0


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """path: where the drawing lies beside a Markdown sheet. singles: the same in parts, one below the other
    in large print. captions: below it, from left to right."""

    what: ClassVar[str] = "drawing"
    path: str
    picture: Picture
    size: Size
    captions: tuple[str, ...] = ()
    singles: tuple[Picture, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Beside:
    """Drawings in a row, with lines and a note beside them."""

    what: ClassVar[str] = "beside"
    drawings: tuple[Drawing, ...]
    lines: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Grid:
    """A table, its first column the heads of its rows. right: columns of numbers. to_fill: empty cells are
    written into; wide: as wide as the page."""

    what: ClassVar[str] = "grid"
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()
    to_fill: bool = False
    wide: bool = False


@dataclass(frozen=True, kw_only=True)
class Space:
    """Room to work in."""

    what: ClassVar[str] = "space"


@dataclass(frozen=True, kw_only=True)
class Blanks:
    """Lines to write on, each with what stands before and behind it."""

    what: ClassVar[str] = "blanks"
    labels: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class Together:
    """Pieces that stand on one page. grows: takes what is left of the page."""

    what: ClassVar[str] = "together"
    pieces: tuple["Piece", ...]
    grows: bool = False


Piece = Words | Bullets | Part | Drawing | Beside | Grid | Space | Blanks | Together


@dataclass(frozen=True, kw_only=True)
class Mark:
    """Points of a step, and what they are for."""

    points: int
    words: str


@dataclass(frozen=True, kw_only=True)
class Question:
    """A question as students see it. name: '' where it would give something away. whole_page: stands on a
    page of its own."""

    number: int
    name: str
    pieces: tuple[Piece, ...]
    whole_page: bool

    @property
    def points(self) -> int:
        """Of all its parts."""
        return sum(_points(piece) for piece in self.pieces)


def _points(piece: Piece) -> int:
    if isinstance(piece, Together):
        return sum(_points(inner) for inner in piece.pieces)
    return piece.points if isinstance(piece, Part) else 0


@dataclass(frozen=True, kw_only=True)
class Answer:
    """The answer to a question, for the instructor. kind: what is asked, in words. about: a sentence, or ''.
    systematic: the systematic names as the sheet draws the molecules. doubted: the part not to be marked
    before the doubts are read, 'this question' for all of it. glance: the answer in short pieces."""

    question: Question
    kind: str
    name: str
    systematic: str
    about: str
    doubts: tuple[str, ...]
    remarks: tuple[str, ...]
    doubted: str
    pieces: tuple[Piece, ...]
    marks: tuple[Mark, ...]
    glance: tuple[str, ...]

    @property
    def read_first(self) -> str:
        """What the table at the head of a key says of doubts and remarks."""
        return f"before {self.doubted}" if self.doubts else "note" if self.remarks else ""
