"""The one writer: everything that a command writes for a person goes through here.

All files of a command are written into a folder beside their places and put in place together; when that
fails the old ones come back. No file that the command reads is written over, by whatever path or link it is
reached, nor any that is not as chairgap left it (`record.py`).
"""

import errno
import os
import secrets
import shutil
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files.record import (
    AFTER,
    BEFORE,
    LOCK,
    RECORD,
    WAITING,
    Entries,
    Known,
    as_they_are,
    checksum,
    checksum_in,
    known_in,
    read_record,
    record_bytes,
)
from chairgap.files.system import reason

_NEW, _OLD = f"{WAITING}/new", f"{WAITING}/old"
_LONGEST_WAIT_S = 10.0


@dataclass(frozen=True, kw_only=True)
class OutputFolder:
    """A folder, the command that writes there, and the files that it reads.

    Of an earlier run of the same command no file is left that the new one does not make. advice says how to
    name another place. once: what to do about a file that is there already, where files are the user's as
    soon as they are written, so that none is ever written over.
    """

    path: Path
    command: str
    inputs: tuple[Path, ...] = ()
    advice: str = "name another folder with --output"
    once: str = ""


def check_output(output: OutputFolder, names: Iterable[str]) -> None:
    """See that these files (with / for a sub-folder) may be written; asked before anything long is computed.
    Nothing is made or changed.

    Raises InputError when the folder cannot be written to, and for the first file that the command reads or
    that is not as chairgap left it.
    """
    try:
        home = next(here for here in (output.path, *output.path.absolute().parents) if here.exists())
        probe = home / f".{secrets.token_hex(8)}"
        probe.touch(exist_ok=False)
        probe.unlink()
    except (OSError, ValueError) as error:
        message = f"The folder cannot be written to ({reason(error)}). {_sentence(output.advice)}"
        raise InputError(message, place=Place(file=str(output.path))) from None
    _check(output, names, known_in(output.path))


def write_files(output: OutputFolder, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files by name (with / for a sub-folder) into a folder, all or none; returns their paths.

    Raises InputError as `check_output` does, and ChairgapError when writing fails.
    """
    with staging(output) as waiting:
        for name, content in contents.items():
            (waiting / name).parent.mkdir(exist_ok=True)
            (waiting / name).write_bytes(content)
    return tuple(output.path / name for name in contents)


@contextmanager
def staging(output: OutputFolder) -> Iterator[Path]:
    """A folder for new files, which are put in place together when the block ends; when it ends with an error
    nothing is changed. Raises as `write_files` does."""
    folder, here = output.path, output.path.absolute()
    made = [path for path in (here, *here.parents) if not os.path.lexists(path)]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _locked(output), _waiting(folder):
            yield folder / _NEW
            _put_in_place(output)
    except OSError as error:
        message = f"It cannot be written ({reason(error)}). Make room, or {output.advice}."
        raise ChairgapError(message, place=Place(file=str(folder))) from None
    finally:
        for path in made:
            with suppress(OSError):  # not when anything is in it
                path.rmdir()


# --- what may be written over ----------------------------------------------------------------------------


def _check(output: OutputFolder, names: Iterable[str], known: Known) -> dict[str, str]:
    """The SHA-256 of those of the names, and of the earlier files of the command, that are there."""
    written = tuple(names)
    found: dict[str, str] = {}
    for name in written:
        path = output.path / name
        read = next((read for read in output.inputs if _is_same(path, read)), None)
        if read is not None:
            called = "" if path.absolute() == read.absolute() else f" as {read}"
            message = (
                f"The command reads this file{called} and does not overwrite it. {_sentence(output.advice)}"
            )
            raise InputError(message, place=Place(file=str(path)))
        digest = _digest(output, name)
        if digest is not None and output.once:
            message = f"The file exists already and is not overwritten. {_sentence(output.once)}"
            raise InputError(message, place=Place(file=str(path)))
        if digest is not None:
            found[name] = digest
    if output.once:
        return found
    for name in sorted(set(known.of(output.command)).difference(written)):
        digest = _digest(output, name)
        if digest is not None and not any(_is_same(output.path / name, read) for read in output.inputs):
            found[name] = digest
    wrong = [name for name, digest in found.items() if digest not in known.checksums.get(name, ())]
    if os.path.lexists(output.path / RECORD) and read_record(output.path / RECORD) is None:
        wrong.append(RECORD)
    if wrong:
        message = (
            f"This file is not as chairgap left it and is not overwritten. Move it away, or {output.advice}."
        )
        raise InputError(message, place=Place(file=str(output.path / wrong[0])))
    return found


def _digest(output: OutputFolder, name: str) -> str | None:
    try:
        return checksum_in(output.path, name)
    except (OSError, ValueError) as error:
        message = f"It cannot be read ({reason(error)}). {_sentence(output.advice)}"
        raise InputError(message, place=Place(file=str(output.path / name))) from None


def _is_same(one: Path, other: Path) -> bool:
    """Whether two paths lead to one file: by another spelling, or by a symbolic or hard link."""
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False  # one of them is not there


def _sentence(advice: str) -> str:
    return f"{advice[0].upper()}{advice[1:]}."


# --- writing ---------------------------------------------------------------------------------------------


@contextmanager
def _locked(output: OutputFolder) -> Iterator[None]:
    """One command at a time writes in a folder."""
    # Here and not above: most commands write nothing.
    from filelock import FileLock, Timeout

    path = output.path / LOCK
    lock = FileLock(path, timeout=_LONGEST_WAIT_S)
    try:
        with suppress(NotImplementedError):  # a file system without locks
            lock.acquire()
    except Timeout:
        message = f"Another command is writing in this folder. Wait for it, or {output.advice}."
        raise InputError(message, place=Place(file=str(output.path))) from None
    try:
        yield
    finally:
        with suppress(OSError):  # Windows removes no file that is open
            path.unlink()
        lock.release()


@contextmanager
def _waiting(folder: Path) -> Iterator[None]:
    """The folders for new and old files, empty; thrown away at the end, but for the records of a run that was
    killed while it put files in place."""

    waiting, parts = folder / WAITING, (folder / _NEW, folder / _OLD)

    def clear() -> None:
        for path in parts if not waiting.is_symlink() else ():
            shutil.rmtree(path, ignore_errors=True)
        with suppress(OSError):  # not when anything is in it
            waiting.rmdir()

    clear()
    try:
        waiting.mkdir(exist_ok=True)
        if waiting.is_symlink():
            raise FileExistsError(errno.EEXIST, f"{WAITING} is a link", str(waiting))
        for path in parts:
            path.mkdir()
        yield
    finally:
        clear()


def _put_in_place(output: OutputFolder) -> None:
    """Check the folder once more, and exchange the old files for the new ones."""
    folder, new = output.path, output.path / _NEW
    names = sorted(path.relative_to(new).as_posix() for path in new.rglob("*") if path.is_file())
    known = known_in(folder)
    found = _check(output, names, known)
    stale = [name for name in found if name not in names]
    was_killed = (folder / BEFORE).exists()
    if not output.once:
        names.append(RECORD)
    added = [name for name in names if not os.path.lexists(folder / name)]
    try:
        if not output.once:
            _write_records(output, names[:-1], as_they_are(folder, known, found), stale)
        _exchange(folder, names, stale)
    except BaseException:
        _take_back(folder, added)
        if not was_killed:
            _forget(folder)
        raise
    finally:
        for home in {(folder / name).parent for name in (*stale, *names)} - {folder}:
            with suppress(OSError):  # not when anything is in it
                home.rmdir()
    if not output.once:
        _forget(folder)


def _write_records(output: OutputFolder, names: Sequence[str], before: Entries, stale: Sequence[str]) -> None:
    """What is in the folder before and after, as records that wait, and the new record."""
    folder, new = output.path, output.path / _NEW
    after = {name: entry for name, entry in before.items() if name not in stale}
    after |= {name: (checksum(new / name), output.command) for name in names}
    for place, entries in ((BEFORE, before), (AFTER, after), (f"{_NEW}/{RECORD}", after)):
        (new / f"{RECORD}.part").write_bytes(record_bytes(entries))
        (new / f"{RECORD}.part").replace(folder / place)


def _forget(folder: Path) -> None:
    for name in (BEFORE, AFTER):
        (folder / name).unlink(missing_ok=True)


def _exchange(folder: Path, names: Sequence[str], stale: Sequence[str]) -> None:
    """Take the stale files away, and put the new ones in place; the old ones are kept beside."""
    new, old = folder / _NEW, folder / _OLD
    for name in (*stale, *names):
        (old / name).parent.mkdir(exist_ok=True)
        (folder / name).parent.mkdir(exist_ok=True)
        if name in stale:
            (folder / name).replace(old / name)
            continue
        if os.path.lexists(folder / name):
            _keep(folder / name, old / name)
        (new / name).replace(folder / name)


def _take_back(folder: Path, added: Sequence[str]) -> None:
    """The old files come back, and what was added goes. Raises OSError when one cannot, after all others."""
    new, old = folder / _NEW, folder / _OLD
    failed = None
    for kept in [path for path in old.rglob("*") if not path.is_dir()]:
        try:
            kept.replace(folder / kept.relative_to(old))
        except OSError as error:
            failed = error
    for name in added:
        try:
            if not os.path.lexists(new / name):
                (folder / name).unlink(missing_ok=True)
        except OSError as error:
            failed = error
    if failed is not None:
        raise failed


def _keep(path: Path, copy: Path) -> None:
    """A second name for a file; where the file system has no such thing, a copy."""
    try:
        copy.hardlink_to(path)
    except OSError:
        shutil.copy2(path, copy, follow_symlinks=False)
