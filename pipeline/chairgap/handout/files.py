"""Where a handout is written: never over a file that is not as chairgap left it.

handout.json names every file of the handout with its checksum. A file of one of our names that is not in it,
or that has been changed since, is somebody's work, and nothing is written; files of an earlier handout that
the new one no longer has are removed, so that no old key lies beside new questions.
"""

import hashlib
import json
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from chairgap.errors import InputError, Place
from chairgap.files import reason, write_files
from chairgap.report.manifest import PROGRAM

HANDOUT = "handout.json"


def check_handout_folder(folder: Path, names: Iterable[str]) -> None:
    """See that these files (names with / for folders) may be written. Raises InputError for the first that
    is not as chairgap left it."""
    kept = _kept(folder)
    for name in (*names, *kept, *((HANDOUT,) if not kept else ())):
        path = folder / name
        place = Place(file=str(path))
        try:
            if path.exists() and _checksum(path.read_bytes()) != kept.get(name):
                message = (
                    "This file is not as chairgap left it, and is not written over. Move it away, or name "
                    "another folder with --output."
                )
                raise InputError(message, place=place)
        except OSError as error:
            message = f"It cannot be looked at ({reason(error)}). Name another folder with --output."
            raise InputError(message, place=place) from None


def write_handout(folder: Path, contents: Mapping[str, bytes], facts: Mapping[str, Any]) -> tuple[Path, ...]:
    """Write all files and handout.json, which has `facts`; returns the paths of those in the folder
    itself. Raises InputError as `check_handout_folder` does, ChairgapError when writing fails."""
    check_handout_folder(folder, contents)
    stale = [name for name in _kept(folder) if name not in contents]
    checksums = {name: _checksum(content) for name, content in sorted(contents.items())}
    told = {"program": PROGRAM, **facts, "file_sha256": checksums}
    text = json.dumps(told, indent=2, ensure_ascii=False) + "\n"
    homes: dict[str, dict[str, bytes]] = {}
    for name, content in contents.items():
        home, _, last = name.rpartition("/")
        homes.setdefault(home, {})[last] = content
    top = homes.pop("", {})
    for home, files in homes.items():
        write_files(folder / home, files)
    paths = write_files(folder, {**top, HANDOUT: text.encode("utf-8", "backslashreplace")})
    for name in stale:
        with suppress(OSError):
            (folder / name).unlink()
    return paths


def _kept(folder: Path) -> dict[str, str]:
    """The files of an earlier handout, with their checksums."""
    try:
        told = json.loads((folder / HANDOUT).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    if not isinstance(told, dict) or told.get("program") != PROGRAM:
        return {}
    files = told.get("file_sha256")
    if not isinstance(files, dict):
        return {}
    return {str(name): str(checksum) for name, checksum in files.items() if ".." not in str(name)}


def _checksum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
