"""The shipped literature tables and a user's own: the only place that reads these files.

A study names a shipped table ('chairgap', 'textbook') or gives the path of a CSV file with the same columns.
Beside a user's table `course.csv` a file `course_interactions.csv` holds its interaction rows; without one
the shipped interactions are used for the groups both tables have.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import TypeVar

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files import shipped_folder
from chairgap.files.reading import decoded, is_file, read_bytes
from chairgap.records import BornRadius, EstimateTable, ScorecardRow, Solvent, Source
from chairgap.tables.a_values import parse_a_values
from chairgap.tables.interactions import parse_interactions, translate
from chairgap.tables.media import match_solvent, parse_born_radii, parse_solvents
from chairgap.tables.scorecard import mean_absolute_error_kcal_mol, parse_scorecard
from chairgap.tables.sources import parse_sources
from chairgap.text import did_you_mean

__all__ = [
    "SHIPPED_TABLES",
    "Source",
    "computation_checksums",
    "find_solvent",
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
_MOST_MB = 5
_USER_INTERACTIONS = "_interactions.csv"

Row = TypeVar("Row")
Parsed = tuple[tuple[Row, ...], list[ChairgapError]]


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
    sources = read_sources()
    source_keys = None if files.user else sources.keys()
    a_values, problems = _parsed(
        files.a_values, files.shown(files.a_values), partial(parse_a_values, source_keys=source_keys)
    )
    if files.interactions is None:
        shipped = read_estimate_table("chairgap")
        interactions = translate(shipped.interactions, shipped.a_values, a_values)
    else:
        parse = partial(parse_interactions, a_values=None if problems else a_values, source_keys=source_keys)
        interactions, found = _parsed(files.interactions, files.shown(files.interactions), parse)
        problems += found
    if problems:
        raise StudyError(problems)
    short = {key: source.short for key, source in sources.items()}
    return EstimateTable(name=name_or_path, a_values=a_values, interactions=interactions, short_sources=short)


def read_sources() -> dict[str, Source]:
    """The literature sources of the shipped tables by key; StudyError with every problem of the list."""
    sources = _shipped(_SOURCES_FILE, parse_sources)
    return {source.key: source for source in sources}


def read_solvents() -> tuple[Solvent, ...]:
    """The shipped solvents in file order; StudyError with every problem of the table."""
    return _shipped(_SOLVENTS_FILE, partial(parse_solvents, source_keys=read_sources().keys()))


def find_solvent(name: str) -> Solvent:
    """The shipped solvent of that name or other name. Raises InputError, with the nearest, without one."""
    return match_solvent(read_solvents(), name)


def read_born_radii() -> tuple[BornRadius, ...]:
    """The shipped radii of elements against a solvent; StudyError with every problem of the table."""
    return _shipped(_RADII_FILE, partial(parse_born_radii, source_keys=read_sources().keys()))


def _shipped(file: str, parse: Callable[[str, str], Parsed[Row]]) -> tuple[Row, ...]:
    rows, problems = _parsed(_data_folder() / file, file, parse)
    if problems:
        raise StudyError(problems)
    return rows


@cache
def read_scorecard() -> tuple[ScorecardRow, ...]:
    """The shipped scorecard of energy models; StudyError with every problem of the file."""
    return _shipped(_SCORECARD_FILE, parse_scorecard)


def mean_error_kcal_mol(model: str, gas_phase_model: str) -> float:
    """Mean |Gibbs gap - A-value| of a model over the scorecard, kcal/mol; of the model in the gas phase
    when the scorecard has no such medium. Raises InputError when it has neither."""
    rows = read_scorecard()
    for name in (model, gas_phase_model):
        error = mean_absolute_error_kcal_mol(rows, name)
        if error is not None:
            return error
    message = f"The scorecard has no model {model}; run 'chairgap scorecard' with it and ship the result."
    raise InputError(message, place=Place(file=_SCORECARD_FILE), value=model)


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
        listed = ", ".join(f"'{name}'" for name in SHIPPED_TABLES)
        message = (
            f"There is no A-value table '{name_or_path}'.{did_you_mean(name_or_path, SHIPPED_TABLES)} "
            f"Write one of {listed}, or the path of a CSV file."
        )
        raise InputError(message, value=name_or_path, expected=f"{listed} or a path")
    beside = path.with_name(path.stem + _USER_INTERACTIONS)
    return _Files(a_values=path, interactions=beside if is_file(beside) else None, user=True)


def _data_folder() -> Path:
    """The data folder of an installed package, else of a source checkout."""
    folder = shipped_folder("data")
    if folder is not None and (folder / _SOURCES_FILE).is_file():
        return folder
    raise ChairgapError("The literature tables are missing from this installation; install chairgap again.")


def _parsed(path: Path, shown: str, parse: Callable[[str, str], Parsed[Row]]) -> Parsed[Row]:
    advice = "Leave only the rows of groups in it."
    try:
        raw = read_bytes(path, shown=shown, at_most_mb=_MOST_MB, if_too_large=advice)
        return parse(decoded(raw, shown), shown)
    except InputError as error:
        return (), [error]
