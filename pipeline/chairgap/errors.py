"""One root for every error a user can meet; each has the place it is about."""

from collections.abc import Sequence
from dataclasses import dataclass

from chairgap.text import readable

_LONGEST_PLACE = 400


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where a value came from: file, then line of text, row of a table or record of a structure file (each
    1-based; None when it does not apply), and field, which in a row is its column.
    A cell of a workbook, such as 'F5', says all of row and column."""

    file: str = ""
    line: int | None = None
    row: int | None = None
    record: int | None = None
    field: str = ""
    cell: str = ""

    def __post_init__(self) -> None:
        # A file name that is no UTF-8 reaches Python with lone surrogates, which no file or store takes.
        object.__setattr__(self, "file", self.file.encode("utf-8", "backslashreplace").decode())

    def __str__(self) -> str:
        if self.cell:
            return readable(f"{self.file}!{self.cell}", longest_line=_LONGEST_PLACE)
        parts = [self.file] if self.file else []
        for word, number in (("line", self.line), ("row", self.row), ("record", self.record)):
            if number is not None:
                parts.append(f"{word} {number}")
        if self.field:
            parts.append(f"field '{self.field}'" if self.row is None else f"column {self.field}")
        return readable(", ".join(parts), longest_line=_LONGEST_PLACE)


class ChairgapError(Exception):
    """Root. `message` is one or two sentences, ends with what to do and is `readable`; `place` says where."""

    exit_code = 3

    def __init__(self, message: str, *, place: Place | None = None, value: object = None, expected: str = ""):
        self.message = readable(message)
        self.place = place or Place()
        self.value = value
        self.expected = expected
        where = str(self.place)
        super().__init__(f"{where}: {self.message}" if where else self.message)


class InputError(ChairgapError):
    """A study, table or file that cannot be used; nothing is computed."""

    exit_code = 2


class StudyError(ChairgapError):
    """Several input errors found in one pass, reported together."""

    exit_code = 2

    def __init__(self, problems: Sequence[ChairgapError]):
        self.problems = tuple(problems)
        super().__init__(str(self))

    def __str__(self) -> str:
        return "\n".join(map(str, self.problems))


class MoleculeError(ChairgapError):
    """One molecule that cannot be treated; the others of the study go on."""

    exit_code = 1


class EngineError(ChairgapError):
    """A force field or library failed where it should not have; the molecule is reported as failed."""

    exit_code = 3


def defect_words(error: Exception) -> str:
    """The message about a defect that one molecule ran into, while the others go on."""
    return f"internal error, {type(error).__name__}: {error}; please report this molecule."
