"""What chairgap left in a folder: a record of name, SHA-256 and command of each file.

The manifest of a study names its files in the same form and is read as well, so that a folder handed on
without its hidden files is still known. A record that lies in a folder may be anybody's: it is bounded in
size, names plain files in the folder and its own sub-folders, and opens only files of just these bytes to a
command.
"""

import hashlib
import json
import os
import stat
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

PROGRAM = "chairgap"
STUDY = "study"
MANIFEST = "manifest.json"
RECORD = ".chairgap.json"
# Beside the places of the files: the new ones, the old ones while the new are put in place, and the records
# of both, by which a run that was killed in between is known.
WAITING, LOCK = ".chairgap.unfinished", ".chairgap.lock"
BEFORE, AFTER = f"{WAITING}/before.json", f"{WAITING}/after.json"
_MOST_BYTES = 16_000_000
_MOST_HASHED_BYTES = 10_000_000_000  # of a file; a longer one, which may be all hole, is none of ours

Entries = Mapping[str, tuple[str, str]]  # by name: SHA-256 and command


@dataclass(frozen=True, kw_only=True)
class Known:
    """What the records of a folder say of a file: the SHA-256 that it may have, and its command."""

    checksums: Mapping[str, frozenset[str]]
    commands: Mapping[str, str]

    def of(self, command: str) -> list[str]:
        """The files of a command."""
        return [name for name, its in self.commands.items() if its == command]


def known_in(folder: Path) -> Known:
    """What all records in a folder say. Where none names the manifest of a study, it is ours as it is."""
    checksums: dict[str, frozenset[str]] = {}
    commands: dict[str, str] = {}
    manifest = read_record(folder / MANIFEST) or {}
    for record in (manifest, *(read_record(folder / name) or {} for name in (RECORD, BEFORE, AFTER))):
        for name, (digest, command) in record.items():
            checksums[name] = checksums.get(name, frozenset()) | {digest}
            commands[name] = command
    if manifest and MANIFEST not in checksums:
        checksums[MANIFEST], commands[MANIFEST] = frozenset({checksum(folder / MANIFEST)}), STUDY
    return Known(checksums=checksums, commands=commands)


def is_left_by_us(folder: Path, name: str) -> bool:
    """Whether a file is just as a command of chairgap left it."""
    try:
        return checksum_in(folder, name) in known_in(folder).checksums.get(name, ())
    except (OSError, ValueError):
        return False


def as_they_are(folder: Path, known: Known, found: Mapping[str, str]) -> dict[str, tuple[str, str]]:
    """Entries of the known files that are there, those that were `found` with it; of two forms that a file
    may have, the one it has."""
    entries = {}
    for name, digests in known.checksums.items():
        if name in found:
            digest = found[name]
        elif not os.path.lexists(folder / name):
            continue
        else:
            digest = next(iter(digests)) if len(digests) == 1 else checksum_in(folder, name) or ""
        if digest in digests:
            entries[name] = (digest, known.commands[name])
    return entries


def read_record(path: Path) -> Entries | None:
    """The entries of a record; None for what is no record of ours."""
    try:
        about = path.lstat()
        if not stat.S_ISREG(about.st_mode) or about.st_size > _MOST_BYTES:
            return None
        content = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
    if not isinstance(content, dict) or content.get("program") != PROGRAM:
        return None
    digests, commands = content.get("file_sha256"), content.get("command", {})
    if not isinstance(digests, dict) or not isinstance(commands, dict):
        return None
    return {
        name: (digest, str(commands.get(name, STUDY)))
        for name, digest in digests.items()
        if _is_plain(name) and isinstance(digest, str) and digest
    }


def record_bytes(entries: Entries) -> bytes:
    """A record as JSON."""
    content = {
        "program": PROGRAM,
        "file_sha256": {name: digest for name, (digest, _) in sorted(entries.items())},
        "command": {name: command for name, (_, command) in sorted(entries.items())},
    }
    return json.dumps(content, indent=1).encode()


def _is_plain(name: str) -> bool:
    """Whether a name is that of a file in the folder or in a sub-folder, and not of our own book-keeping."""
    try:
        os.fsencode(name)
    except UnicodeEncodeError:
        return False
    path = Path(name)
    parts = path.parts
    plain = len(parts) in (1, 2) and "/".join(parts) == name and not path.anchor and "\0" not in name
    return plain and ".." not in parts and parts[0] not in (RECORD, WAITING, LOCK)


def checksum_in(folder: Path, name: str) -> str | None:
    """The SHA-256 of a file; None when there is none, '' for what is no plain file in a plain folder, or is
    longer than any of ours."""
    parent = (folder / name).parent
    if parent != folder and os.path.lexists(parent) and not stat.S_ISDIR(parent.lstat().st_mode):
        return ""
    try:
        about = (folder / name).lstat()
    except FileNotFoundError:
        return None
    ours = stat.S_ISREG(about.st_mode) and about.st_size <= _MOST_HASHED_BYTES
    return checksum(folder / name) if ours else ""


def checksum(path: Path) -> str:
    """The SHA-256 of a file, hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
