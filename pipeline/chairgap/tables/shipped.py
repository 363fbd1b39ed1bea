"""The shipped literature tables and a user's own: the only place that reads these files.

A study names a shipped table ('chairgap', 'textbook') or gives the path of a CSV file with the same columns.
Beside a user's table `course.csv` a file `course_interactions.csv` holds its interaction rows; without one
the shipped interactions are used for the groups both tables have.
"""

import difflib
import hashlib
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Protocol, TypeVar

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files import shipped_folder
from chairgap.records import BornRadius, EstimateTable, ScorecardRow, Solvent, Source
from chairgap.tables.a_values import parse_a_values
from chairgap.tables.interactions import parse_interactions, translate
from chairgap.tables.media import match_solvent, parse_born_radii, parse_solvents
from chairgap.tables.scorecard import mean_absolute_error_kcal_mol, parse_scorecard
from chairgap.tables.sources import parse_sources

__all__ = [
    "SHIPPED_TABLES",
    "Source",
    "computation_checksums",
    "find_solvent",
    "is_file",
    "mean_error_kcal_mol",
    "read_born_radii",
    "read_estimate_table",
    "read_scorecard",
    "read_solvents",
    "read_sources",
    "table_checksums",
    "table_files",
]

SHIPPED_TABLES: tuple[str, ...] = ("chairgap", "textbook")
_SHIPPED_FILES = {
    "chairgap": ("a_values.csv", "interactions.csv"),
    "textbook": ("textbook_values.csv", "textbook_interactions.csv"),
}
_SOURCES_FILE = "sources.csv"
_SCORECARD_FILE = "scorecard.csv"
_SOLVENTS_FILE = "solvents.csv"
_RADII_FILE = "born_radii.csv"
_MOST_BYTES = 5_000_000
_USER_INTERACTIONS = "_interactions.csv"

Row = TypeVar("Row", covariant=True)


class _Parser(Protocol[Row]):
    def __call__(
        self, text: str, file: str, *, source_keys: Collection[str]
    ) -> tuple[tuple[Row, ...], list[InputError]]: ...


@dataclass(frozen=True, kw_only=True)
class _Files:
    """The files of one table; `shown` are the names that messages and checksums use."""

    a_values: Path
    interactions: Path | None
    user: bool

    def shown(self, path: Path) -> str:
        return str(path) if self.user else path.name


def read_estimate_table(name_or_path: str) -> EstimateTable:
    """The table a study calls `name_or_path`: a shipped name or the path of a CSV file.

    Energies are kcal/mol, G(axial) - G(equatorial). Raises InputError when there is no such table and
    StudyError with every problem of its files at once.
    """
    files = _files(name_or_path)
    source_keys = None if files.user else read_sources().keys()
    problems: list[InputError] = []
    text = _read(files.a_values, files.shown(files.a_values), problems)
    if text is None:
        raise StudyError(problems)
    a_values, found = parse_a_values(text, files.shown(files.a_values), source_keys=source_keys)
    problems += found
    if files.interactions is None:
        shipped = read_estimate_table("chairgap")
        interactions = translate(shipped.interactions, shipped.a_values, a_values)
    else:
        shown = files.shown(files.interactions)
        text = _read(files.interactions, shown, problems)
        groups = None if problems else a_values
        interactions, found = parse_interactions(text or "", shown, groups, source_keys=source_keys)
        problems += found if text is not None else []
    if problems:
        raise StudyError(problems)
    return EstimateTable(name=name_or_path, a_values=a_values, interactions=interactions)


def read_sources() -> dict[str, Source]:
    """The literature sources of the shipped tables by key; StudyError with every problem of the list."""
    problems: list[InputError] = []
    text = _read(_data_folder() / _SOURCES_FILE, _SOURCES_FILE, problems)
    sources, found = parse_sources(text or "", _SOURCES_FILE)
    problems += found if text is not None else []
    if problems:
        raise StudyError(problems)
    return sources


def read_solvents() -> tuple[Solvent, ...]:
    """The shipped solvents in file order; StudyError with every problem of the table."""
    return _shipped(_SOLVENTS_FILE, parse_solvents)


def find_solvent(name: str) -> Solvent:
    """The shipped solvent of that name or other name. Raises InputError, with the nearest, without one."""
    return match_solvent(read_solvents(), name)


def read_born_radii() -> tuple[BornRadius, ...]:
    """The shipped radii of elements against a solvent; StudyError with every problem of the table."""
    return _shipped(_RADII_FILE, parse_born_radii)


def _shipped(file: str, parse: _Parser[Row]) -> tuple[Row, ...]:
    problems: list[InputError] = []
    text = _read(_data_folder() / file, file, problems)
    if text is None:
        raise StudyError(problems)
    rows, problems = parse(text, file, source_keys=read_sources().keys())
    if problems:
        raise StudyError(problems)
    return rows


@cache
def read_scorecard() -> tuple[ScorecardRow, ...]:
    """The shipped scorecard of energy models; StudyError with every problem of the file."""
    problems: list[InputError] = []
    text = _read(_data_folder() / _SCORECARD_FILE, _SCORECARD_FILE, problems)
    rows, found = parse_scorecard(text or "", _SCORECARD_FILE)
    problems += found if text is not None else []
    if problems:
        raise StudyError(problems)
    return rows


def mean_error_kcal_mol(model: str, method: str) -> float:
    """Mean |Gibbs gap - A-value| of a model over the scorecard, kcal/mol; of its method in the gas phase when
    the scorecard has no such medium. Raises InputError when it has neither."""
    rows = read_scorecard()
    for name in (model, method):
        error = mean_absolute_error_kcal_mol(rows, name)
        if error is not None:
            return error
    message = f"The scorecard has no model {method}; run 'chairgap scorecard' with it and ship the result."
    raise InputError(message, place=Place(file=_SCORECARD_FILE), value=method)


def table_files(name_or_path: str) -> tuple[Path, ...]:
    """The files that `read_estimate_table(name_or_path)` reads of that table."""
    files = _files(name_or_path)
    return tuple(path for path in (files.a_values, files.interactions) if path is not None)


def table_checksums(name_or_path: str = "chairgap") -> dict[str, str]:
    """SHA-256 (hexadecimal) of every file that `read_estimate_table(name_or_path)` reads, by its name."""
    files = _files(name_or_path)
    folder = _data_folder()
    used = {files.shown(files.a_values): files.a_values}
    if files.interactions is None:
        used |= {name: folder / name for name in (*_SHIPPED_FILES["chairgap"], _SOURCES_FILE)}
    else:
        used[files.shown(files.interactions)] = files.interactions
        if not files.user:
            used[_SOURCES_FILE] = folder / _SOURCES_FILE
    return {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in used.items()}


def computation_checksums() -> dict[str, str]:
    """SHA-256 of the shipped files that a computation rests on besides the A-value table, by name."""
    names = (_SCORECARD_FILE, _SOLVENTS_FILE, _RADII_FILE)
    return {name: hashlib.sha256((_data_folder() / name).read_bytes()).hexdigest() for name in names}


def _files(name_or_path: str) -> _Files:
    if name_or_path in _SHIPPED_FILES:
        a_values, interactions = (_data_folder() / name for name in _SHIPPED_FILES[name_or_path])
        return _Files(a_values=a_values, interactions=interactions, user=False)
    path = Path(name_or_path)
    if not is_file(path):
        near = difflib.get_close_matches(name_or_path, SHIPPED_TABLES, n=1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        listed = ", ".join(f"'{name}'" for name in SHIPPED_TABLES)
        message = (
            f"There is no A-value table '{name_or_path}'.{hint} "
            f"Write one of {listed}, or the path of a CSV file."
        )
        raise InputError(message, value=name_or_path, expected=f"{listed} or a path")
    beside = path.with_name(path.stem + _USER_INTERACTIONS)
    return _Files(a_values=path, interactions=beside if is_file(beside) else None, user=True)


def is_file(path: Path) -> bool:
    """True for a file; a name that the file system cannot take is none."""
    try:
        return path.is_file()
    except OSError:
        return False


def _data_folder() -> Path:
    """The data folder of an installed package, else of a source checkout."""
    folder = shipped_folder("data")
    if folder is not None and (folder / _SOURCES_FILE).is_file():
        return folder
    raise ChairgapError("The literature tables are missing from this installation; install chairgap again.")


def _read(path: Path, shown: str, problems: list[InputError]) -> str | None:
    try:
        if path.stat().st_size > _MOST_BYTES:
            most = f"{_MOST_BYTES // 1_000_000} MB"
            message = f"The file is larger than {most}; leave only the rows of groups in it."
            problems.append(InputError(message, place=Place(file=shown)))
            return None
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        message = (
            f"The file is not UTF-8 text (byte {error.start + 1} cannot be read); "
            "save it again as CSV with UTF-8 encoding."
        )
    except OSError as error:
        message = f"The file cannot be read ({error.strerror}); check its permissions."
    problems.append(InputError(message, place=Place(file=shown)))
    return None
