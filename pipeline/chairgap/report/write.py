"""Writes the outcome of a study into a folder."""

import json
import secrets
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.records import Outcome
from chairgap.report.cells import csv_text
from chairgap.report.detail_tables import conformers_frame, contacts_frame, ledger_frame, positions_frame
from chairgap.report.difference_tables import solvents_frame, split_frame, temperatures_frame
from chairgap.report.gaps_table import gaps_frame
from chairgap.report.manifest import PROGRAM, manifest_text
from chairgap.report.structures import sdf_text
from chairgap.report.text import report_text
from chairgap.tables import computation_checksums, read_sources, table_checksums

MANIFEST = "manifest.json"
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
    "report.md",
    MANIFEST,
)


def check_folder(folder: Path) -> None:
    """See that the folder can take the files, before anything is computed; nothing is made or changed.

    Raises InputError when it cannot be made or written to, or when it holds a file of one of our names that
    is not from an earlier run (no manifest of ours beside it): nobody's work is written over.
    """
    place = Place(file=str(folder))
    try:
        home = next(here for here in (folder, *folder.absolute().parents) if here.exists())
        probe = home / f".{secrets.token_hex(8)}"
        probe.touch(exist_ok=False)
        probe.unlink()
        taken = [name for name in FILES if (folder / name).exists()]
    except OSError as error:
        message = f"The folder cannot be written to ({_reason(error)}). Name another one with --output."
        raise InputError(message, place=place) from None
    if taken and not _is_ours(folder / MANIFEST):
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


def write_outcome(outcome: Outcome, folder: Path, *, wall_seconds: float) -> tuple[Path, ...]:
    """Write all files and return their paths in the order of FILES.

    All files are written beside their places first and renamed when all are complete, so no half file is ever
    seen under its name, nor new files beside old ones; the manifest comes last. Raises InputError as
    `check_folder` does, and ChairgapError when writing fails.
    """
    check_folder(folder)
    texts = outcome_texts(outcome)
    texts[MANIFEST] = manifest_text(
        outcome,
        finished=datetime.now(UTC),
        wall_seconds=wall_seconds,
        table_checksums=table_checksums(outcome.table.name) | computation_checksums(),
        files=texts,
    )
    return write_files(folder, {name: texts[name].encode() for name in FILES})


def outcome_texts(outcome: Outcome) -> dict[str, str]:
    """The text of every file but the manifest, by name; the same outcome gives the same bytes."""
    return {
        "gaps.csv": csv_text(gaps_frame(outcome)),
        "conformers.csv": csv_text(conformers_frame(outcome)),
        "ledger.csv": csv_text(ledger_frame(outcome)),
        "positions.csv": csv_text(positions_frame(outcome)),
        "contacts.csv": csv_text(contacts_frame(outcome)),
        "split.csv": csv_text(split_frame(outcome)),
        "temperatures.csv": csv_text(temperatures_frame(outcome)),
        "solvents.csv": csv_text(solvents_frame(outcome)),
        "conformers.sdf": sdf_text(outcome),
        "report.md": report_text(outcome, read_sources()),
    }


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
