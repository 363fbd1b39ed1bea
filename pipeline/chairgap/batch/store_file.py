"""The file of a store: opened, known as ours, and what is said when it is not as we made it.

Nothing in the file is trusted: it may be cut short, damaged, made by another program, or made to mislead. Its
tables must be the ones we make, with no view or trigger beside them; values are bounded (`codec`), and each
has a checksum (`store`).
"""

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from functools import cache
from pathlib import Path
from shutil import copyfile

from chairgap.batch.store_paths import LOG_ENDS, check_files
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files import reason

_APPLICATION = 0x63686772  # marks the file as ours, in the place that SQLite keeps for it
_FORM = 3  # of the tables below
_HEAD = 100  # bytes of SQLite's header
_FIRST_PAGE = 4096
_MAGIC = b"SQLite format 3\0"
_LARGEST_VALUE = 100_000_000  # bytes
# Write-ahead mode shares memory between processes, which these cannot (https://www.sqlite.org/wal.html).
_NETWORK = (
    "nfs",
    "cifs",
    "smb",
    "lustre",
    "gpfs",
    "beegfs",
    "ceph",
    "afs",
    "9p",
    "fuse.",
    "gfs",
    "ocfs",
    "davfs",
)
_TABLES = """
CREATE TABLE note (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE entry (position INTEGER PRIMARY KEY, content BLOB NOT NULL, key TEXT, checksum BLOB NOT NULL);
CREATE INDEX entry_key ON entry (key);
CREATE TABLE task (
    number INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, content BLOB NOT NULL, expected_s REAL NOT NULL,
    checksum BLOB NOT NULL
);
CREATE TABLE record (
    key TEXT PRIMARY KEY, state TEXT NOT NULL, content BLOB NOT NULL, message TEXT NOT NULL,
    seconds REAL NOT NULL, atoms INTEGER NOT NULL, checksum BLOB NOT NULL
);
"""


def opened(path: Path | None) -> sqlite3.Connection:
    """The file open for reading and writing, made when it is not there; in memory without a path.

    Raises InputError when it is none of ours or of another form, ChairgapError when it cannot be used.
    """
    file = str(path) if path else "memory"
    with said(file):
        if path is None:
            connection = sqlite3.connect(":memory:")
            _make(connection, network=False)
            return connection
        check_files(path)
        if not path.exists():
            _remove_logs(path)  # of a store that was removed: SQLite would read them into the new one
        connection = sqlite3.connect(_uri(path, "mode=rwc"), uri=True, timeout=30.0)
        try:
            network = on_network(path)
            if _is_empty(connection):
                _make(connection, network=network)
            _see_that_it_is_ours(connection, file)
            _set_journal(connection, network=network)
        except BaseException:
            connection.close()
            raise
    return connection


@contextmanager
def opened_for_reading(path: Path) -> Iterator[sqlite3.Connection]:
    """The file open for reading, also where nothing may be written. Raises as `opened` does."""
    file = str(path)
    check_files(path)
    connection = None
    # SQLite makes files of its own beside one in write-ahead mode, if it may, and reading leaves them there:
    # where none are, no run has it open, and it is read as a file that does not change.
    waiting = any(path.with_name(path.name + end).exists() for end in LOG_ENDS)
    for mode in ("mode=ro",) if waiting else ("immutable=1",):
        with suppress(sqlite3.Error):
            connection = _connected(path, mode)
            break
    if connection is not None:
        with closing(connection):
            with said(file):
                _see_that_something_is_there(connection, file)
            yield connection
        return
    with said(file), _copying(file), tempfile.TemporaryDirectory() as copy:
        for end in ("", "-wal", "-journal"):
            source = path.with_name(path.name + end)
            if source.exists():
                copyfile(source, Path(copy) / f"store{end}")
        with closing(_connected(Path(copy) / "store", "mode=rw")) as connection:
            _see_that_something_is_there(connection, file)
            yield connection


@contextmanager
def _copying(file: str) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        message = f"The store cannot be read ({reason(error)}). Ask whoever owns it, or try again later."
        raise ChairgapError(message, place=Place(file=file)) from None


def _connected(path: Path, mode: str) -> sqlite3.Connection:
    connection = sqlite3.connect(_uri(path, mode), uri=True, timeout=30.0)
    try:
        connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchall()
    except BaseException:
        connection.close()
        raise
    return connection


def _see_that_something_is_there(connection: sqlite3.Connection, file: str) -> None:
    if _is_empty(connection):
        message = "The run there has only just begun. Ask again in a moment."
        raise InputError(message, place=Place(file=file))
    _see_that_it_is_ours(connection, file)


def _uri(path: Path, mode: str) -> str:
    return f"{path.absolute().as_uri()}?{mode}"


def _is_empty(connection: sqlite3.Connection) -> bool:
    return not connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchall()


def _see_that_it_is_ours(connection: sqlite3.Connection, file: str) -> None:
    connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, _LARGEST_VALUE)
    connection.execute("PRAGMA trusted_schema = OFF")
    ((mark,),) = connection.execute("PRAGMA application_id").fetchall()
    ((form,),) = connection.execute("PRAGMA user_version").fetchall()
    if (mark, form) != (_APPLICATION, _FORM):
        raise _foreign(file)
    if _schema(connection) != _our_schema():
        raise damaged(file)


def _schema(connection: sqlite3.Connection) -> list[tuple[str, str, str, str]]:
    return connection.execute("SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY name").fetchall()


@cache
def _our_schema() -> list[tuple[str, str, str, str]]:
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.executescript(_TABLES)
        return _schema(connection)


def _make(connection: sqlite3.Connection, *, network: bool) -> None:
    # The mark first: in write-ahead mode the file itself may not show it for long (see `is_ours`).
    connection.execute(f"PRAGMA application_id = {_APPLICATION}")
    _set_journal(connection, network=network)
    connection.executescript(f"BEGIN; {_TABLES} PRAGMA user_version = {_FORM}; COMMIT;")


def _set_journal(connection: sqlite3.Connection, *, network: bool) -> None:
    """Write-ahead mode, but on a network file system, where it may damage the file, a journal."""
    connection.execute(f"PRAGMA journal_mode = {'TRUNCATE' if network else 'WAL'}")
    # In write-ahead mode a power cut may then take the last records, but never leaves a damaged file.
    connection.execute(f"PRAGMA synchronous = {'FULL' if network else 'NORMAL'}")


def on_network(path: Path) -> bool:
    """Whether a file stands on a file system that several machines share, as far as the system says so."""
    import psutil  # when a study runs; its account does without

    place = path.absolute().resolve()
    try:
        mounts = [(Path(part.mountpoint), part.fstype) for part in psutil.disk_partitions(all=True)]
    except (OSError, psutil.Error):
        return False
    above = [(len(mount.parts), kind) for mount, kind in mounts if place.is_relative_to(mount)]
    return bool(above) and max(above)[1].lower().startswith(_NETWORK)


def is_ours(path: Path) -> bool:
    """Whether a file is a store, of whatever version and state, or has nothing in it: cut short within
    SQLite's header, or nothing but zeros there."""
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            page = file.read(_FIRST_PAGE)
    except OSError:
        return False
    head = page[:_HEAD]
    if len(head) < _HEAD:
        return _MAGIC.startswith(head[: len(_MAGIC)]) or not any(head)
    # https://www.sqlite.org/fileformat.html, section 1.3; the first page keeps the names of the tables
    marked = head.startswith(_MAGIC) and head[68:72] == _APPLICATION.to_bytes(4, "big")
    return marked or not any(head) or b"CREATE TABLE note (name TEXT PRIMARY KEY, value" in page


def remove_store(path: Path) -> None:
    """Take away a store with what SQLite keeps beside it. Raises InputError when it is none of ours."""
    if path.exists() and not is_ours(path):
        message = (
            f"{path.name} is no store of chairgap, and is not removed. Move it away, or name another folder."
        )
        raise InputError(message, place=Place(file=str(path)))
    path.unlink(missing_ok=True)
    _remove_logs(path)


def _remove_logs(path: Path) -> None:
    for end in LOG_ENDS:
        path.with_name(path.name + end).unlink(missing_ok=True)


def _foreign(file: str) -> InputError:
    return InputError(
        "The file is no store of this version of chairgap. Move it away, or name another folder with "
        "--output; if an older version made it, start over with chairgap study --fresh.",
        place=Place(file=file),
    )


def damaged(file: str) -> ChairgapError:
    """What to say of a store that holds what was never put into it."""
    return ChairgapError(
        "The store of the study is damaged. Start over with chairgap study --fresh.", place=Place(file=file)
    )


def removed(file: str) -> ChairgapError:
    """What to say of a store that is no longer where it was made."""
    return ChairgapError(
        "The store of the study was removed or replaced while it ran, and what was computed is lost with it. "
        "Run the same command again, with chairgap study --fresh if something else stands there now.",
        place=Place(file=file),
    )


@contextmanager
def said(file: str) -> Iterator[None]:
    """SQLite's errors in our words."""
    try:
        yield
    except (sqlite3.ProgrammingError, sqlite3.InterfaceError):
        raise  # a slip of ours, not a matter of the file
    except sqlite3.Error as error:
        whole, place = getattr(error, "sqlite_errorcode", 0), Place(file=file)
        code = whole & 0xFF
        if whole == sqlite3.SQLITE_READONLY_DBMOVED:
            raise removed(file) from None
        if code == sqlite3.SQLITE_NOTADB:
            raise (damaged(file) if is_ours(Path(file)) else _foreign(file)) from None
        # Of our own tables and questions, other codes than those below come from what the file holds.
        if code in (0, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_TOOBIG) or (
            whole == sqlite3.SQLITE_IOERR_SHORT_READ
        ):
            raise damaged(file) from None
        if code == sqlite3.SQLITE_BUSY:
            message = (
                "Another program has the store of the study open. Close it, and run the same command again."
            )
        elif code in (sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM):
            message = f"The store cannot be opened for writing ({error}). Name another folder with --output."
        else:
            message = (
                f"The store cannot be written ({error}). What was computed before is kept: make room, then "
                "run the same command again."
            )
        raise ChairgapError(message, place=place) from None
