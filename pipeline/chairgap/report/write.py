"""Writes the outcome of a study into a folder."""

import hashlib
import json
import secrets
import shutil
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.records import Outcome
from chairgap.report.columns import ParquetFile
from chairgap.report.manifest import PROGRAM, manifest_text
from chairgap.report.pieces import Pieces, first_lines, pieces_of, schemas
from chairgap.report.tally import Tally, merged
from chairgap.report.text import report_text, summary_text
from chairgap.tables import computation_checksums, read_sources, table_checksums

MANIFEST = "manifest.json"
REPORT = "report.md"
FILES = (
    "gaps.csv",
    "conformers.csv",
    "ledger.csv",
    "positions.csv",
    "contacts.csv",
    "split.csv",
    "temperatures.csv",
    "solvents.csv",
    "conformers.sdf",
    REPORT,
    MANIFEST,
)
PARQUET_FILES = tuple(name.replace(".csv", ".parquet") for name in FILES if name.endswith(".csv"))
# A study of more molecules is told in counts, and written as Parquet besides, unless it says otherwise.
MOST_IN_FULL = 200
_WAITING = ".unfinished"


def check_folder(folder: Path) -> None:
    """See that the folder can take the files, before anything is computed; nothing is made or changed.

    Raises InputError when it cannot be made or written to, or when it holds a file of one of our names that
    is not from an earlier run (no manifest of ours beside it, nor one that waits to be put there): nobody's
    work is written over.
    """
    place = Place(file=str(folder))
    try:
        home = next(here for here in (folder, *folder.absolute().parents) if here.exists())
        probe = home / f".{secrets.token_hex(8)}"
        probe.touch(exist_ok=False)
        probe.unlink()
        taken = [name for name in (*FILES, *PARQUET_FILES) if (folder / name).exists()]
    except OSError as error:
        message = f"The folder cannot be written to ({_reason(error)}). Name another one with --output."
        raise InputError(message, place=place) from None
    if taken and not any(map(_is_ours, (folder / MANIFEST, folder / _WAITING / MANIFEST))):
        message = (
            f"The folder holds {taken[0]}, which is not from an earlier run of {PROGRAM}. "
            "Move it away, or name another folder with --output."
        )
        raise InputError(message, place=place)


def _is_ours(manifest: Path) -> bool:
    try:
        content = json.loads(manifest.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return False
    return isinstance(content, dict) and content.get("program") == PROGRAM


def wants_parquet(outcome: Outcome) -> bool:
    """Whether Parquet files are written besides CSV."""
    wanted = outcome.study.settings.parquet
    return len(outcome.results) > MOST_IN_FULL if wanted is None else wanted


def write_outcome(
    outcome: Outcome, folder: Path, *, wall_seconds: float, pieces: Iterable[Pieces] | None = None
) -> tuple[tuple[Path, ...], Tally]:
    """Write all files; their paths in the order of FILES, and the study in counts.

    pieces are those of the results, in order, when others have made them. All files are written beside their
    places first and renamed when all are complete, so no half file is ever seen under its name, nor new files
    beside old ones; the manifest comes last. Raises InputError as `check_folder` does, and ChairgapError when
    writing fails.
    """
    check_folder(folder)
    rest = Outcome(
        study=outcome.study,
        table=outcome.table,
        results=(),
        refused=outcome.refused,
        failed=outcome.failed,
    )
    parquet = wants_parquet(outcome)
    names = [name for name in FILES if name != MANIFEST] + list(PARQUET_FILES if parquet else ())
    with _waiting(folder) as waiting:
        made = pieces if pieces is not None else (pieces_of(outcome_of_results(outcome), parquet=parquet),)
        tally, keys = _append(waiting, outcome, _then(made, rest, parquet=parquet), parquet=parquet)
        if len(outcome.results) <= MOST_IN_FULL:
            report = report_text(outcome, read_sources())
        else:
            report = summary_text(outcome, tally, keys, (n for n in names if n != REPORT), read_sources())
        (waiting / REPORT).write_bytes(report.encode())
        manifest = manifest_text(
            outcome,
            finished=datetime.now(UTC),
            wall_seconds=wall_seconds,
            table_checksums=table_checksums(outcome.table.name) | computation_checksums(),
            file_checksums={name: _checksum(waiting / name) for name in names},
        )
        (waiting / MANIFEST).write_bytes(manifest.encode())
        return _put_in_place(waiting, folder, [*names, MANIFEST]), tally


def outcome_of_results(outcome: Outcome) -> Outcome:
    """The same outcome without its refused and failed molecules."""
    return Outcome(study=outcome.study, table=outcome.table, results=outcome.results, refused=(), failed=())


def _then(pieces: Iterable[Pieces], rest: Outcome, *, parquet: bool) -> Iterator[Pieces]:
    yield from pieces
    yield pieces_of(rest, parquet=parquet)


def _append(
    waiting: Path, outcome: Outcome, pieces: Iterable[Pieces], *, parquet: bool
) -> tuple[Tally, tuple[str, ...]]:
    """Write the pieces one behind the other; the counts, and the sources of the estimates."""
    texts: dict[str, IO[bytes]] = {}
    tables: dict[str, ParquetFile] = {}
    tally, keys = Tally(), dict[str, None]()
    try:
        for name, line in first_lines(outcome).items():
            texts[name] = (waiting / name).open("wb")
            texts[name].write(line.encode())
        for name, schema in schemas(outcome).items() if parquet else ():
            tables[name] = ParquetFile(waiting / name, schema)
        for piece in pieces:
            for name, text in piece.texts.items():
                if name not in texts:
                    texts[name] = (waiting / name).open("wb")
                texts[name].write(text.encode())
            for name, content in piece.arrow.items():
                tables[name].append(content)
            tally = merged((tally, piece.tally))
            keys.update(dict.fromkeys(piece.sources))
    finally:
        for text_file in texts.values():
            text_file.close()
        for table in tables.values():
            table.close()
    return tally, tuple(keys)


def outcome_texts(outcome: Outcome) -> dict[str, str]:
    """The text of every CSV file, of the structures and of the report, by name; the same outcome gives the
    same bytes."""
    heads = first_lines(outcome)
    texts = {name: heads.get(name, "") + text for name, text in pieces_of(outcome).texts.items()}
    return texts | {REPORT: report_text(outcome, read_sources())}


@contextmanager
def _waiting(folder: Path) -> Iterator[Path]:
    """A folder beside the places of the files; what an earlier run left in it is thrown away. Errors of the
    file system are told in our words."""
    waiting = folder / _WAITING
    try:
        shutil.rmtree(waiting, ignore_errors=True)
        waiting.mkdir(parents=True)
        yield waiting
    except OSError as error:
        message = f"It cannot be written ({_reason(error)}). Make room, or name another folder with --output."
        raise ChairgapError(message, place=Place(file=str(folder))) from None
    finally:
        # A manifest that still waits tells the next run whose the files are that were put in place before.
        if not _is_ours(waiting / MANIFEST):
            shutil.rmtree(waiting, ignore_errors=True)


def _put_in_place(waiting: Path, folder: Path, names: Iterable[str]) -> tuple[Path, ...]:
    paths = []
    for name in names:
        (waiting / name).replace(folder / name)
        paths.append(folder / name)
    for name in PARQUET_FILES:
        if folder / name not in paths:
            (folder / name).unlink(missing_ok=True)  # of an earlier run, and no longer true
    return tuple(paths)


def _checksum(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write_files(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files by name into a folder, all beside their places first; returns their paths.

    Raises ChairgapError when writing fails; no half file is then left.
    """
    mark = secrets.token_hex(8)
    beside = {folder / name: folder / f".{name}.{mark}" for name in contents}
    path = folder
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, waiting in beside.items():
            waiting.write_bytes(contents[path.name])
        for path, waiting in beside.items():
            waiting.replace(path)
    except OSError as error:
        message = f"It cannot be written ({_reason(error)}). Make room, or name another folder with --output."
        raise ChairgapError(message, place=Place(file=str(path))) from None
    finally:
        for waiting in beside.values():
            with suppress(OSError):
                waiting.unlink(missing_ok=True)
    return tuple(beside)


def _reason(error: OSError) -> str:
    return (error.strerror or type(error).__name__).lower()
