"""What the files of a study are made from, as one checksum, and the overview that was shown of it.

Files that were made from the same are not written again (`chairgap.study_output.unchanged`). It covers the
molecules of the plan with their tasks and what became of them, as their checksums in the store say; settings,
tables and text of the study; the molecules that could not be read; the flips in the folder; every file of the
program and its data, and the versions of the libraries that compute and write. The manifest keeps it.
Rejected: times of files, which a copy or a clock alters; a checksum for each molecule, since every file but
the page's drawings is made in seconds, and pieces that are kept would double the store.
"""

import base64
import binascii
import hashlib
import json
import platform
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import msgspec

from chairgap.batch.codec import packed, unpacked
from chairgap.batch.content import versions
from chairgap.batch.store import Store
from chairgap.files import checksum, shipped_folder
from chairgap.flip.found import FoundFlips
from chairgap.records import Study
from chairgap.report.overview import Overview
from chairgap.study_output.pieces import OutputOptions

_WRITERS = ("jinja2", "markupsafe", "matplotlib", "pyarrow")
_OVERVIEW = "overview"  # the note of what was shown of the files, behind what they were made from


def made_from(study: Study, store: Store, wanted: OutputOptions, flips: FoundFlips) -> str:
    """The checksum of everything that the files of a study depend on, hexadecimal."""
    facts = (
        study.settings,
        study.tables,
        study.text,
        study.file,
        study.notes,
        study.refused,
        wanted,
        flips.checksum,
        _program(),
    )
    # By JSON, which has escapes for the bytes of a file name that are no UTF-8.
    digest = hashlib.sha256(json.dumps(msgspec.to_builtins(facts, order="deterministic")).encode())
    for of_entry_or_task in store.made_from():
        digest.update(of_entry_or_task)
    return digest.hexdigest()


def keep_overview(store: Store, key: str, overview: Overview) -> None:
    """Keep what is shown of files that were made from what the key says."""
    store.note(_OVERVIEW, f"{key} {base64.b64encode(packed(overview)).decode()}")


def kept_overview(store: Store, key: str) -> Overview | None:
    """What was shown of files that were made from just this; None where nothing was kept, or it is not as it
    was put there."""
    made, _, content = store.noted(_OVERVIEW).partition(" ")
    if made != key:
        return None
    try:
        return unpacked(base64.b64decode(content, validate=True), Overview)
    except (ValueError, binascii.Error):
        return None


@cache
def _program() -> tuple[object, ...]:
    """The program with its templates, styles, scripts and shipped data, and what writes."""
    return (
        versions(),
        platform.python_version(),
        [(name, _version(name)) for name in _WRITERS],
        _checksums(Path(__file__).resolve().parents[1]),
        _checksums(shipped_folder("data")),
    )


def _checksums(folder: Path | None) -> list[tuple[str, str]]:
    """Of every file in a folder, but for the sources, which the versions cover; none of a folder that is not
    there."""
    if folder is None:
        return []
    return [
        (str(path.relative_to(folder)), checksum(path))
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix not in (".py", ".pyc")
    ]


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""
