"""The store of a study: one SQLite file beside its results.

entry: the molecules of the plan in order. task: the tasks that these need, each once. record: what became of
tasks, by their checksum. note: the account of the run, for `chairgap status`. Each record is committed by
itself in write-ahead mode, so a process that is killed loses what it was computing and nothing else.
"""

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from chairgap.batch.codec import packed, unpacked
from chairgap.batch.store_files import check_files
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.records import NotPlanned, Planned, Record, Task

STORE = "computed.sqlite"
_APPLICATION = 0x63686772  # marks the file as ours, in the place that SQLite keeps for it
_FORM = 1  # of the tables below
_HEAD = 100  # bytes of SQLite's header
_PAGE = 200
_VERSIONS = "versions"
_TABLES = """
CREATE TABLE note (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE entry (position INTEGER PRIMARY KEY, content BLOB NOT NULL, key TEXT);
CREATE INDEX entry_key ON entry (key);
CREATE TABLE task (number INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, content BLOB NOT NULL);
CREATE TABLE record (
    key TEXT PRIMARY KEY, state TEXT NOT NULL, content BLOB NOT NULL, message TEXT NOT NULL,
    seconds REAL NOT NULL, atoms INTEGER NOT NULL
);
"""


_ENTRY = (
    "SELECT position, entry.key, entry.content, state, record.content, message, seconds, atoms "
    "FROM entry LEFT JOIN record ON record.key = entry.key"
)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A molecule of the plan at its position, and the record of its task, if there is one."""

    position: int
    molecule: Planned | NotPlanned
    record: Record | None


@dataclass(frozen=True, kw_only=True)
class Counts:
    """How many tasks and molecules the plan has, and how many of them are what."""

    tasks: int
    done: int
    failed: int
    lost: int
    molecules: int
    finished: int

    @property
    def left(self) -> int:
        """Tasks that a run still has to do."""
        return self.tasks - self.done - self.failed


NOTHING = Counts(tasks=0, done=0, failed=0, lost=0, molecules=0, finished=0)


class Store:
    """An open store; made by `open_store`. Methods raise ChairgapError when the file does not let them."""

    def __init__(self, connection: sqlite3.Connection, file: str):
        self._connection, self._file = connection, file

    def close(self) -> None:
        self._connection.close()

    # --- the plan ----------------------------------------------------------------------------------------

    def begin_plan(self) -> None:
        """Forget the old plan; records and notes stay."""
        with self._writing() as database:
            database.execute("DELETE FROM entry")
            database.execute("DELETE FROM task")

    def add_entries(self, entries: Iterable[Planned | NotPlanned]) -> None:
        """Molecules behind those that are there, with the tasks they need."""
        with self._writing() as database:
            for entry in entries:
                key = entry.task.key if isinstance(entry, Planned) else None
                database.execute("INSERT INTO entry (content, key) VALUES (?, ?)", (packed(entry), key))
                for task in (entry.task, *entry.parts, *entry.at_level) if isinstance(entry, Planned) else ():
                    database.execute(
                        "INSERT OR IGNORE INTO task (key, content) VALUES (?, ?)", (task.key, packed(task))
                    )

    def entries(self, after: int = 0) -> Iterator[Entry]:
        """The molecules behind a position, in the order of the study."""
        yield from map(
            self._entry, self._pages(f"{_ENTRY} WHERE position > ? ORDER BY position LIMIT ?", after)
        )

    def not_done(self) -> Iterator[Entry]:
        """The molecules that are not computed, in the order of the study."""
        where = "position > ? AND (state IS NULL OR state != 'done') ORDER BY position LIMIT ?"
        yield from map(self._entry, self._pages(f"{_ENTRY} WHERE {where}"))

    def entry(self, position: int) -> Entry:
        """The molecule at a position."""
        (row,) = self._all(f"{_ENTRY} WHERE position = ?", (position,))
        return self._entry(row)

    def positions_done(self) -> list[int]:
        """Positions of the molecules that are computed, in the order of the study."""
        question = "SELECT position FROM entry JOIN record USING (key) WHERE state = 'done' ORDER BY position"
        return [position for (position,) in self._all(question)]

    # --- tasks and records -------------------------------------------------------------------------------

    def todo(self) -> Iterator[Task]:
        """Tasks without a record, and those lost before this was asked, in the order of the plan."""
        question = (
            "SELECT number, task.content FROM task LEFT JOIN record ON record.key = task.key "
            "WHERE number > ? AND (state IS NULL OR state = 'lost') ORDER BY number LIMIT ?"
        )
        for _, content in self._pages(question):
            yield self._unpacked(content, Task)

    def put(self, key: str, record: Record) -> None:
        """Keep what became of a task."""
        row = (key, record.state, record.content, record.message, record.seconds, record.atoms)
        with self._writing() as database:
            database.execute("INSERT OR REPLACE INTO record VALUES (?, ?, ?, ?, ?, ?)", row)

    def record(self, key: str) -> Record | None:
        """What became of a task."""
        question = "SELECT state, content, message, seconds, atoms FROM record WHERE key = ?"
        return next((_record(*row) for row in self._all(question, (key,))), None)

    def counts(self) -> Counts:
        """How far the plan is done."""
        states = dict(
            self._all("SELECT state, COUNT(*) FROM task JOIN record ON record.key = task.key GROUP BY state")
        )
        ((tasks,),) = self._all("SELECT COUNT(*) FROM task")
        ((molecules,),) = self._all("SELECT COUNT(*) FROM entry WHERE key IS NOT NULL")
        ((finished,),) = self._all(
            "SELECT COUNT(*) FROM entry JOIN record ON record.key = entry.key WHERE state != 'lost'"
        )
        by_state = {state: states.get(state, 0) for state in ("done", "failed", "lost")}
        return Counts(tasks=tasks, **by_state, molecules=molecules, finished=finished)

    def is_empty(self) -> bool:
        """Whether there is nothing in it: no task, and no record of one."""
        return not self._all("SELECT 1 FROM record UNION SELECT 1 FROM task LIMIT 1")

    def costs(self) -> list[tuple[int, float]]:
        """Atoms and CPU seconds of every task of the plan that is done."""
        return self._all(
            "SELECT atoms, seconds FROM task JOIN record ON record.key = task.key WHERE state = 'done'"
        )

    def forget_other_versions(self, current: str) -> None:
        """After a change of version, drop the records that the plan does not need: nothing asks for them any
        more. Records of the same version stay, so that a setting can be changed back."""
        if self.noted(_VERSIONS) not in ("", current):
            with self._writing() as database:
                database.execute("DELETE FROM record WHERE key NOT IN (SELECT key FROM task)")
        self.note(_VERSIONS, current)

    # --- notes -------------------------------------------------------------------------------------------

    def note(self, name: str, value: str) -> None:
        """Write down a fact of the run."""
        with self._writing() as database:
            database.execute("INSERT OR REPLACE INTO note VALUES (?, ?)", (name, value))

    def noted(self, name: str) -> str:
        """A fact of the run, or ''."""
        return next((value for (value,) in self._all("SELECT value FROM note WHERE name = ?", (name,))), "")

    # --- below -------------------------------------------------------------------------------------------

    def _all(self, question: str, values: tuple[Any, ...] = ()) -> list[Any]:
        with _told(self._file), closing(self._connection.execute(question, values)) as rows:
            return rows.fetchall()

    def _pages(self, question: str, last: int = 0) -> Iterator[tuple[Any, ...]]:
        """Rows by rising number, a page at a time: nothing is held open while a page is worked on."""
        while rows := self._all(question, (last, _PAGE)):
            yield from rows
            last = rows[-1][0]

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with _told(self._file), self._connection:
            yield self._connection

    def _entry(self, row: tuple[Any, ...]) -> Entry:
        position, key, content, *record = row
        molecule = self._unpacked(content, NotPlanned if key is None else Planned)
        kept = _record(*record) if record[0] is not None else None
        return Entry(position=position, molecule=molecule, record=kept)

    def _unpacked(self, content: bytes, kind: Any) -> Any:
        try:
            return unpacked(content, kind)
        except ValueError:
            raise damaged(self._file) from None


def _record(state: Any, content: bytes, message: str, seconds: float, atoms: int) -> Record:
    return Record(state=state, content=content, message=message, seconds=seconds, atoms=atoms)


def open_store(path: Path | None, *, read_only: bool = False) -> Store:
    """The store in a file, made when it is not there; in memory without a path.

    Raises InputError when the file is none of ours or of another form, ChairgapError when it cannot be read
    or written.
    """
    file = str(path) if path else "memory"
    mode = "ro" if read_only else "rwc"
    where = ":memory:" if path is None else f"{path.absolute().as_uri()}?mode={mode}"
    if path is not None:
        check_files(path)
    with _told(file):
        connection = sqlite3.connect(where, uri=path is not None, timeout=30.0)
        try:
            ((mark,),) = connection.execute("PRAGMA application_id").fetchall()
            ((form,),) = connection.execute("PRAGMA user_version").fetchall()
            ((tables,),) = connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchall()
            if not tables and read_only:
                message = "The run there has only just begun. Ask again in a moment."
                raise InputError(message, place=Place(file=file))
            if not tables:
                _make(connection)
            elif (mark, form) != (_APPLICATION, _FORM):
                raise _foreign(file)
            # A power cut may then take the last records, but never leaves a damaged file.
            connection.execute("PRAGMA synchronous = NORMAL")
        except BaseException:
            connection.close()
            raise
    return Store(connection, file)


def _make(connection: sqlite3.Connection) -> None:
    # The mark first: in write-ahead mode the file itself may not show it for long (see `is_ours`).
    connection.execute(f"PRAGMA application_id = {_APPLICATION}")
    connection.execute("PRAGMA journal_mode = WAL")
    connection.executescript(f"BEGIN; {_TABLES} PRAGMA user_version = {_FORM}; COMMIT;")


def is_ours(path: Path) -> bool:
    """Whether a file is a store, of whatever version and state, or has nothing in it yet."""
    if not path.is_file():
        return False  # a pipe would keep us waiting
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except OSError:
        return False
    # https://www.sqlite.org/fileformat.html, section 1.3
    marked = head[68:72] == _APPLICATION.to_bytes(4, "big")
    return not head or (head.startswith(b"SQLite format 3\0") and marked)


def _foreign(file: str) -> InputError:
    return InputError(
        "The file is no store of this version of chairgap. Move it away, or name another folder with "
        "--output; if an older version made it, start over with --fresh.",
        place=Place(file=file),
    )


def damaged(file: str) -> ChairgapError:
    """What to say of a store that holds what was never put into it."""
    return ChairgapError(
        "The store of the study is damaged. Start over with --fresh.", place=Place(file=file)
    )


@contextmanager
def _told(file: str) -> Iterator[None]:
    """SQLite's errors in our words."""
    try:
        yield
    except sqlite3.Error as error:
        code, place = getattr(error, "sqlite_errorcode", 0) & 0xFF, Place(file=file)
        if code == sqlite3.SQLITE_NOTADB:
            raise _foreign(file) from None
        if code == sqlite3.SQLITE_CORRUPT:
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
