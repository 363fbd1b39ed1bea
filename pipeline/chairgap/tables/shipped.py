"""The shipped literature tables and a user's own: the only place that reads these files.

A run reads them once, by one `TableReader`, before anything is computed; what it read and its checksums go
along in the study. A file that is edited or deleted meanwhile changes nothing in the run.

A study names a shipped table ('chairgap', 'textbook') or gives the path of a CSV file with the same columns.
Beside a user's table `course.csv` a file `course_interactions.csv` holds its interaction rows; without one
the shipped interactions are used for the groups both tables have.
"""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path
from typing import TypeVar

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.estimate.nearest import rows_for
from chairgap.files import shipped_folder
from chairgap.files.reading import decoded, is_file, read_bytes
from chairgap.records import (
    GAS_PHASE,
    BornRadius,
    Equilibrium,
    EstimateTable,
    Medium,
    PairInteraction,
    PairSpread,
    PublishedValue,
    RetainedName,
    ScorecardRow,
    Settings,
    Solvent,
    Source,
    Tables,
)
from chairgap.tables.a_values import parse_a_values
from chairgap.tables.equilibria import EQUILIBRIA_FILE, parse_equilibria
from chairgap.tables.interactions import parse_interactions, translate
from chairgap.tables.media import (
    is_gas_phase,
    match_solvent,
    medium_classes,
    parse_born_radii,
    parse_solvents,
)
from chairgap.tables.pairs import PAIRS_FILE, SPREADS_FILE, parse_pairs, parse_spreads
from chairgap.tables.published_values import VALUES_FILE, parse_published_values
from chairgap.tables.retained import RETAINED_FILE, parse_retained
from chairgap.tables.scorecard import SCORECARD_FILE, parse_scorecard
from chairgap.tables.sources import parse_sources
from chairgap.text import as_written, did_you_mean

SHIPPED_TABLES: tuple[str, ...] = ("chairgap", "textbook")
_SHIPPED_FILES = {
    "chairgap": ("a_values.csv", "interactions.csv"),
    "textbook": ("textbook_values.csv", "textbook_interactions.csv"),
}
_SOURCES_FILE = "sources.csv"
_SOLVENTS_FILE = "solvents.csv"
_RADII_FILE = "born_radii.csv"
_SHIPPED_NAMES = {name for names in _SHIPPED_FILES.values() for name in names} | {
    *(_SOURCES_FILE, _SOLVENTS_FILE, _RADII_FILE, SCORECARD_FILE, PAIRS_FILE, SPREADS_FILE, EQUILIBRIA_FILE),
    RETAINED_FILE,
    VALUES_FILE,
}
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
        name = str(path) if self.user else path.name
        return f"./{name}" if self.user and name in _SHIPPED_NAMES else name


class TableReader:
    """Reads each table file once. `checksums` holds the SHA-256 (hexadecimal) of the bytes that were read, by
    the names that messages use. What it gives raises StudyError with every problem of its files at once."""

    def __init__(self) -> None:
        self.checksums: dict[str, str] = {}
        self._whole_tables: dict[str, EstimateTable] = {}
        self._estimate_tables: dict[tuple[str, str, float], EstimateTable] = {}

    def tables(
        self,
        name_or_path: str,
        medium: str = GAS_PHASE.name,
        temperature_k: float = Settings.temperature_k,
        series: Sequence[str] = (),
    ) -> Tables:
        """All that a run in that medium, in the media of its series and at that temperature uses of tables,
        with the A-value table that a study calls `name_or_path`; what was read before is not read again.
        Raises as `whole_table` does."""
        estimate = self.estimate_table(name_or_path, medium, temperature_k)
        _ = self.born_radii  # the media of the study need these
        return Tables(
            estimate=estimate,
            sources=self.sources,
            scorecard=self.scorecard,
            pairs=self.pairs,
            spreads=self.spreads,
            equilibria=self.equilibria,
            in_media={name: self.estimate_table(name_or_path, name, temperature_k) for name in series},
            checksums=self.checksums,
        )

    def estimate_table(
        self,
        name_or_path: str,
        medium: str = GAS_PHASE.name,
        temperature_k: float = Settings.temperature_k,
    ) -> EstimateTable:
        """The rows of a table for sums in that medium at that temperature, one for each group and pair
        (`chairgap.estimate.nearest`). Raises as `whole_table` does."""
        key = (name_or_path, medium, temperature_k)
        if key not in self._estimate_tables:
            self._estimate_tables[key] = rows_for(self.whole_table(name_or_path), medium, temperature_k)
        return self._estimate_tables[key]

    def whole_table(self, name_or_path: str) -> EstimateTable:
        """All rows of the table a study calls `name_or_path`: a shipped name or the path of a CSV file.

        Energies are kcal/mol, G(axial) - G(equatorial). Raises InputError when there is no such table.
        """
        if name_or_path not in self._whole_tables:
            self._whole_tables[name_or_path] = self._whole_table(name_or_path)
        return self._whole_tables[name_or_path]

    def _whole_table(self, name_or_path: str) -> EstimateTable:
        files = _files(name_or_path)
        source_keys = None if files.user else self.sources.keys()
        of_groups = partial(parse_a_values, source_keys=source_keys, solvents=self.solvents)
        a_values, problems = self._parsed(files.a_values, files.shown(files.a_values), of_groups)
        if files.interactions is None:
            shipped = self.whole_table("chairgap")
            interactions = translate(shipped.interactions, shipped.a_values, a_values)
        else:
            of_pairs = partial(
                parse_interactions,
                a_values=None if problems else a_values,
                source_keys=source_keys,
                solvents=self.solvents,
            )
            interactions, found = self._parsed(files.interactions, files.shown(files.interactions), of_pairs)
            problems += found
        if problems:
            raise StudyError(problems)
        return EstimateTable(
            name=name_or_path,
            a_values=a_values,
            interactions=interactions,
            short_sources={key: source.short for key, source in self.sources.items()},
            medium_classes=medium_classes(self.solvents),
        )

    @cached_property
    def sources(self) -> dict[str, Source]:
        """The literature sources of the shipped tables by key."""
        return {source.key: source for source in self._shipped(_SOURCES_FILE, parse_sources)}

    @cached_property
    def solvents(self) -> tuple[Solvent, ...]:
        """The shipped solvents in file order."""
        return self._shipped(_SOLVENTS_FILE, partial(parse_solvents, source_keys=self.sources.keys()))

    @cached_property
    def born_radii(self) -> tuple[BornRadius, ...]:
        """The shipped radii of elements against a solvent."""
        return self._shipped(_RADII_FILE, partial(parse_born_radii, source_keys=self.sources.keys()))

    @cached_property
    def scorecard(self) -> tuple[ScorecardRow, ...]:
        """The shipped scorecard of energy models."""
        return self._shipped(SCORECARD_FILE, parse_scorecard)

    @cached_property
    def pairs(self) -> tuple[PairInteraction, ...]:
        """The shipped pair interactions by a quantum method."""
        return self._shipped(PAIRS_FILE, parse_pairs)

    @cached_property
    def spreads(self) -> tuple[PairSpread, ...]:
        """How far pairs were off in the shipped benchmark of equilibria."""
        return self._shipped(SPREADS_FILE, parse_spreads)

    @cached_property
    def equilibria(self) -> tuple[Equilibrium, ...]:
        """The shipped published equilibria. Their groups go by the names of the shipped A-values."""
        a_values = self.whole_table(SHIPPED_TABLES[0]).a_values
        parse = partial(parse_equilibria, a_values=a_values, source_keys=self.sources.keys())
        return self._shipped(EQUILIBRIA_FILE, parse)

    @cached_property
    def published_values(self) -> tuple[PublishedValue, ...]:
        """Every value of the shipped groups as its sources print it. Keys are checked by them; no run is."""
        a_values = self.whole_table(SHIPPED_TABLES[0]).a_values
        parse = partial(parse_published_values, a_values=a_values, source_keys=self.sources.keys())
        return self._shipped(VALUES_FILE, parse)

    @cached_property
    def retained_names(self) -> tuple[RetainedName, ...]:
        """The shipped names that are no systematic ones. Names are read with the study; no run needs them."""
        return self._shipped(RETAINED_FILE, partial(parse_retained, source_keys=self.sources.keys()))

    def medium(self, name: str) -> Medium:
        """The gas phase, or a shipped solvent by any of its names. Raises InputError, with the nearest, when
        there is none."""
        if is_gas_phase(name):
            return GAS_PHASE
        solvent = match_solvent(self.solvents, name)
        return Medium(name=solvent.name, dielectric=solvent.dielectric, born_radii=self.born_radii)

    def _shipped(self, file: str, parse: Callable[[str, str], Parsed[Row]]) -> tuple[Row, ...]:
        rows, problems = self._parsed(_data_folder() / file, file, parse)
        if problems:
            raise StudyError(problems)
        return rows

    def _parsed(self, path: Path, shown: str, parse: Callable[[str, str], Parsed[Row]]) -> Parsed[Row]:
        advice = "Leave only the rows of groups in it."
        try:
            raw = read_bytes(path, shown=shown, at_most_mb=_MOST_MB, if_too_large=advice)
            self.checksums[shown] = hashlib.sha256(raw).hexdigest()
            return parse(decoded(raw, shown), shown)
        except InputError as error:
            return (), [error]


def read_tables(name_or_path: str = SHIPPED_TABLES[0]) -> Tables:
    """All that a run uses of tables, read now; see `TableReader.tables`."""
    return TableReader().tables(name_or_path)


def read_estimate_table(name_or_path: str) -> EstimateTable:
    """The rows of an A-value table for sums in the gas phase at 298.15 K, read now."""
    return TableReader().estimate_table(name_or_path)


def read_whole_table(name_or_path: str) -> EstimateTable:
    """All rows of an A-value table, read now; see `TableReader.whole_table`."""
    return TableReader().whole_table(name_or_path)


def read_sources() -> dict[str, Source]:
    """The literature sources of the shipped tables by key, read now."""
    return TableReader().sources


def read_solvents() -> tuple[Solvent, ...]:
    """The shipped solvents in file order, read now."""
    return TableReader().solvents


def read_retained_names() -> tuple[RetainedName, ...]:
    """The shipped retained names in file order, read now."""
    return TableReader().retained_names


def read_scorecard() -> tuple[ScorecardRow, ...]:
    """The shipped scorecard of energy models, read now."""
    return TableReader().scorecard


def find_medium(name: str) -> Medium:
    """The gas phase, or a shipped solvent, read now; see `TableReader.medium`."""
    return TableReader().medium(name)


def table_files(name_or_path: str) -> tuple[Path, ...]:
    """The files that `read_estimate_table(name_or_path)` reads of that table."""
    files = _files(name_or_path)
    return tuple(path for path in (files.a_values, files.interactions) if path is not None)


def no_such_table(name: str, *, seen_from: str = "", place: Place | None = None) -> InputError:
    """The error for a table that is neither shipped nor a file; seen_from: what its path is relative to."""
    listed = ", ".join(f"'{shipped}'" for shipped in SHIPPED_TABLES)
    relative = f", relative to {seen_from}" if seen_from else ""
    return InputError(
        f"There is no A-value table {as_written(name)}.{did_you_mean(name, SHIPPED_TABLES)} "
        f"Write {listed}, or the path of your own table{relative}.",
        place=place or Place(),
        value=name,
        expected=f"{listed} or a path",
    )


def _files(name_or_path: str) -> _Files:
    if name_or_path in _SHIPPED_FILES:
        a_values, interactions = (_data_folder() / name for name in _SHIPPED_FILES[name_or_path])
        return _Files(a_values=a_values, interactions=interactions, user=False)
    path = Path(name_or_path)
    if not is_file(path):
        raise no_such_table(name_or_path)
    beside = path.with_name(path.stem + _USER_INTERACTIONS)
    return _Files(a_values=path, interactions=beside if is_file(beside) else None, user=True)


def _data_folder() -> Path:
    """The data folder of an installed package, else of a source checkout."""
    folder = shipped_folder("data")
    if folder is not None and (folder / _SOURCES_FILE).is_file():
        return folder
    raise ChairgapError("The literature tables are missing from this installation; install chairgap again.")
