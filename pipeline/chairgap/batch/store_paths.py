"""The files of a store, looked at before SQLite opens them: a folder handed on may lead out of itself."""

import stat
from contextlib import suppress
from pathlib import Path

from chairgap.errors import InputError, Place
from chairgap.files.reading import is_plain

# SQLite's own files beside the store.
JOURNAL = "-journal"
LOG_ENDS = ("-wal", "-shm", JOURNAL)
_NAMES_ANOTHER = bytes.fromhex("d9d505f920a163d7")


def check_files(store: Path) -> None:
    """See that all files of a store are plain ones, and none a journal that ends with the name of a further
    one, which SQLite reads, and removes wherever it is; ours never has one
    (https://www.sqlite.org/fileformat.html, section 3; the mark from memory of SQLite's source).

    Raises InputError for the first that is otherwise.
    """
    for end in ("", *LOG_ENDS):
        path = store.with_name(f"{store.name}{end}")
        # SQLite makes and removes its files while a run goes on: one may vanish between two looks.
        with suppress(FileNotFoundError):
            plain = stat.S_ISREG(path.lstat().st_mode) and is_plain(path, path)
            if not plain or (end == JOURNAL and _names_another(path)):
                message = (
                    "This is no plain file of a store, and is not opened. Move it away, or name another "
                    "folder."
                )
                raise InputError(message, place=Place(file=str(path)))


def _names_another(journal: Path) -> bool:
    with journal.open("rb") as file:
        file.seek(max(0, journal.stat().st_size - len(_NAMES_ANOTHER)))
        return file.read(len(_NAMES_ANOTHER)) == _NAMES_ANOTHER
