"""The store of a study in its output folder, and the lock that lets one run at a time work there."""

from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path

from filelock import FileLock, Timeout

from chairgap.batch.store import NOTHING, STORE, Counts, Store, is_ours, open_store
from chairgap.batch.store_files import ENDS
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files import reason

_LOCK = ".running"
_SHORT_S = 1.0  # `chairgap status` holds the lock for a moment


@contextmanager
def store_in(folder: Path, *, fresh: bool) -> Iterator[Store]:
    """The store of a folder, locked; made, with the folder, when it is not there; emptied with `fresh`. Where
    there was nothing to compute nothing is left behind.

    Raises InputError when another run works there, the folder cannot be written to, or the store is none of
    ours.
    """
    with _locked(folder):
        if fresh:
            _remove_store(folder)
        store, empty = open_store(folder / STORE), False
        try:
            yield store
        finally:
            with suppress(ChairgapError):
                empty = store.is_empty()
            store.close()
            if empty:
                _remove_store(folder)


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    place, made = Place(file=str(folder)), not folder.exists()
    lock = FileLock(folder / _LOCK, timeout=_SHORT_S)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock.acquire()
    except Timeout:
        message = (
            "Another run is working in this folder. Wait for it ('chairgap status' shows how far it is), or "
            "name another folder with --output."
        )
        raise InputError(message, place=place) from None
    except OSError as error:
        message = f"The folder cannot be written to ({reason(error)}). Name another one with --output."
        raise InputError(message, place=place) from None
    try:
        yield
    finally:
        with suppress(OSError):  # Windows removes no file that is open
            (folder / _LOCK).unlink()
        lock.release()
        if made:
            with suppress(OSError):  # not when anything is in it
                folder.rmdir()


def counts_in(folder: Path) -> Counts:
    """How far the store of a folder is; nothing where none can be read."""
    try:
        with closing(open_store(folder / STORE, read_only=True)) as store:
            return store.counts()
    except ChairgapError:
        return NOTHING


def is_running(folder: Path) -> bool:
    """Whether a run works in the folder now."""
    lock = FileLock(folder / _LOCK, timeout=0)
    if not (folder / _LOCK).exists():
        return False
    try:
        lock.acquire()
    except Timeout:
        return True
    except OSError:
        return False  # a folder we may not write to: nobody of us runs there
    lock.release()
    return False


def _remove_store(folder: Path) -> None:
    path = folder / STORE
    if path.exists() and not is_ours(path):
        message = (
            f"{STORE} is no store of chairgap, and is not removed. Move it away, or name another folder."
        )
        raise InputError(message, place=Place(file=str(path)))
    for end in ENDS:
        (folder / f"{STORE}{end}").unlink(missing_ok=True)
