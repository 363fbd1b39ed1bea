"""What was computed of single groups and pairs, kept for the user over all studies.

A folder of files, one for each part, called by its task (`content.task_of`: ring, names of groups, settings
of search and surface, versions of program and libraries), so that whatever matters makes another name, and
any temperature the same one. It is the user's cache folder, as the system has it; CHAIRGAP_CACHE names
another one, or 'off'.

* A file is written beside its place and renamed, so that several processes, also on a network file system,
  see it whole or not at all. Its checksum covers its name: one that is damaged, cut short or renamed is taken
  away and its part computed again.
* Where the folder cannot be read or written the part is computed; the reason is said once, before the work.
* The files together stay below a bound: after a run that added some, those longest not used go first.

Rejected: the SQLite file of a study (one damaged page costs all parts, and write-ahead mode shares memory,
which a home folder on a network cannot), diskcache (the same, and it reads pickles, which may run code).
"""

import hashlib
import os
import re
import secrets
import stat
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import msgspec

from chairgap.files import reason
from chairgap.molecule.numbering import HYDROGEN
from chairgap.records import Record, Task

VARIABLE, OFF = "CHAIRGAP_CACHE", "off"
MOST_BYTES = 100_000_000
# After taking parts away so much of the bound is left filled.
_FILLED = 0.8
_MOST_GROUPS = 2
_WHOLE, _UNFINISHED = re.compile(r"[0-9a-f]{64}\.part"), re.compile(r"[0-9a-f]{64}\.\d+\.[0-9a-f]{8}\.new")
_TRIAL = 64 * "0"
_LARGEST = 20_000_000  # bytes of one file; the largest part takes 0.7 million
_CHECKSUM_BYTES = 32
_LEFT_BEHIND_S = 3600.0


def user_cache() -> "PartCache | None":
    """The cache of whoever runs the program; None where it is switched off."""
    named = os.environ.get(VARIABLE, "").strip()
    if named.casefold() == OFF:
        return None
    if named:
        return PartCache(Path(named).expanduser())
    from platformdirs import user_cache_path  # where nothing is named

    return PartCache(user_cache_path("chairgap", appauthor=False) / "parts")


def is_part(task: Task) -> bool:
    """Whether a task is a ring with at most two groups, of the model alone: what molecules share."""
    groups = sum(fragment != HYDROGEN for pair in task.ring for fragment in pair)
    return task.level == "none" and groups <= _MOST_GROUPS


class PartCache:
    """The parts kept in a folder, which is made when it is first needed. Nothing here raises: what cannot be
    read is not there, and what cannot be written is not kept."""

    def __init__(self, folder: Path, most_bytes: int = MOST_BYTES):
        self.folder, self.most_bytes = folder, most_bytes
        self._added = False

    def problem(self) -> str:
        """Why nothing can be kept, for people; '' when it can."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            trial = self._unfinished(_TRIAL)
            trial.write_bytes(b"")
            trial.unlink()
        except OSError as error:
            return (
                f"Groups and pairs cannot be kept in {self.folder} ({reason(error)}) and are computed anew "
                f"each time. Name another folder in the environment variable {VARIABLE}, or '{OFF}'."
            )
        return ""

    def record(self, key: str) -> Record | None:
        """What became of a task that is done, if it is kept."""
        path = self._path(key)
        try:
            status = path.lstat()
            if not stat.S_ISREG(status.st_mode) or status.st_size > _LARGEST:
                raise ValueError("it is no part")
            found = _unpacked(key, path.read_bytes())
        except FileNotFoundError:
            return None
        except (OSError, ValueError):
            with suppress(OSError):
                path.unlink()
            return None
        with suppress(OSError):
            os.utime(path)
        return found

    def keep(self, key: str, record: Record) -> None:
        """Keep what became of a task, if it is done."""
        if record.state != "done":
            return
        unfinished = self._unfinished(key)
        try:
            unfinished.write_bytes(_packed(key, record))
            unfinished.replace(self._path(key))
        except OSError:
            with suppress(OSError):
                unfinished.unlink()
            return
        self._added = True

    def tidy(self) -> None:
        """Where parts were added, take away what a process left behind unfinished, and of the parts those
        longest not used until all of them are well below the bound."""
        if not self._added:
            return
        self._added = False
        for path, _, used in self._files(_UNFINISHED):
            if time.time() - used > _LEFT_BEHIND_S:
                with suppress(OSError):
                    path.unlink()
        kept = sorted(self._files(_WHOLE), key=lambda file: -file[2])
        total, most = sum(size for _, size, _ in kept), self.most_bytes
        if total > most:
            most = int(_FILLED * most)
        while kept and total > most:
            path, size, _ = kept.pop()
            total -= size
            with suppress(OSError):
                path.unlink()

    def filled(self) -> tuple[int, int]:
        """How many parts there are, and their bytes together."""
        sizes = [size for _, size, _ in self._files(_WHOLE)]
        return len(sizes), sum(sizes)

    def clear(self) -> tuple[int, int]:
        """Take away every part. Gives how many there were, and their bytes."""
        count = freed = 0
        for path, size, _ in (*self._files(_WHOLE), *self._files(_UNFINISHED)):
            with suppress(OSError):
                path.unlink()
                count, freed = count + (path.suffix == ".part"), freed + size
        return count, freed

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.part"

    def _unfinished(self, key: str) -> Path:
        return self.folder / f"{key}.{os.getpid()}.{secrets.token_hex(4)}.new"

    def _files(self, name: re.Pattern[str]) -> Iterator[tuple[Path, int, float]]:
        """Files of ours with such a name: path, bytes, and when each was last used."""
        with suppress(OSError), os.scandir(self.folder) as entries:
            for entry in entries:
                if name.fullmatch(entry.name) and entry.is_file(follow_symlinks=False):
                    with suppress(FileNotFoundError):
                        status = entry.stat(follow_symlinks=False)
                        yield Path(entry.path), status.st_size, status.st_mtime


def _packed(key: str, record: Record) -> bytes:
    content = msgspec.msgpack.encode(record)
    return _checksum(key, content) + content


def _unpacked(key: str, whole: bytes) -> Record:
    """Raises ValueError when it is not what was packed under that name."""
    checksum, content = whole[:_CHECKSUM_BYTES], whole[_CHECKSUM_BYTES:]
    if checksum != _checksum(key, content):
        raise ValueError("it is not as it was kept")
    return msgspec.msgpack.decode(content, type=Record)


def _checksum(key: str, content: bytes) -> bytes:
    return hashlib.blake2b(key.encode() + content, digest_size=_CHECKSUM_BYTES).digest()
