"""The store of a study: one SQLite file beside its results.

entry: the molecules of the plan in order. task: the tasks that these need, each once. record: what became of
tasks, by their checksum. note: the account of the run, for `chairgap status`. Each record is committed by
itself in write-ahead mode, so a process that is killed loses what it was computing and nothing else.
"""

import hashlib
import math
import sqlite3
from array import array
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from typing import Any

import msgspec

from chairgap.batch.codec import packed, unpacked
from chairgap.batch.store_file import damaged, opened, opened_for_reading, removed, said
from chairgap.records import NotPlanned, Planned, Record, Task
from chairgap.text import one_line

STORE = "computed.sqlite"
_PAGE = 200
_VERSIONS = "versions"
PLAN = "plan"  # the note of what the plan was made for
_RECORDS = "SELECT rowid, key, state, content, message, seconds, atoms, checksum FROM record"
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
    """How many tasks and molecules the plan has, and how many of them are what; the CPU seconds that all
    tasks, and those done or failed, are expected to take."""

    tasks: int
    done: int
    failed: int
    lost: int
    molecules: int
    finished: int
    expected_s: float
    expected_done_s: float

    @property
    def left(self) -> int:
        """Tasks that a run still has to do."""
        return self.tasks - self.done - self.failed


NOTHING = Counts(
    tasks=0, done=0, failed=0, lost=0, molecules=0, finished=0, expected_s=0.0, expected_done_s=0.0
)


class Store:
    """An open store; made by `open_store`. Methods raise ChairgapError when the file does not let them."""

    def __init__(self, connection: sqlite3.Connection, path: Path | None, file: str = "memory"):
        self._connection, self._path, self._file = connection, path, str(path) if path else file
        self._identity = _identity(path)

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
                content = packed(entry)
                database.execute(
                    "INSERT INTO entry (content, key, checksum) VALUES (?, ?, ?)",
                    (content, key, _checksum(content, key)),
                )
                for task in (entry.task, *entry.parts, *entry.at_level) if isinstance(entry, Planned) else ():
                    row = (task.key, packed(task), task.expected_s)
                    database.execute(
                        "INSERT OR IGNORE INTO task (key, content, expected_s, checksum) VALUES (?, ?, ?, ?)",
                        (*row, _checksum(*row)),
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

    def not_planned(self) -> Iterator[NotPlanned]:
        """The molecules that have no task, in the order of the study."""
        where = "position > ? AND entry.key IS NULL ORDER BY position LIMIT ?"
        for row in self._pages(f"{_ENTRY} WHERE {where}"):
            found: NotPlanned = self._unpacked(row[2], NotPlanned)
            yield found

    def entry(self, position: int) -> Entry:
        """The molecule at a position."""
        (row,) = self._all(f"{_ENTRY} WHERE position = ?", (position,))
        return self._entry(row)

    def positions_done(self) -> "array[int]":
        """Positions of the molecules that are computed, in the order of the study."""
        question = (
            "SELECT position FROM entry JOIN record USING (key) WHERE position > ? AND state = 'done' "
            "ORDER BY position LIMIT ?"
        )
        return array("q", (position for (position,) in self._pages(question)))

    def made_from(self) -> Iterator[bytes]:
        """Checksums of everything that the results are made from: of the molecules in their order, and of the
        tasks with what became of them, but for the time that it took."""
        entries = self._pages(
            "SELECT position, checksum FROM entry WHERE position > ? ORDER BY position LIMIT ?"
        )
        tasks = self._pages(
            "SELECT number, task.key, state, record.content, message FROM task LEFT JOIN record "
            "ON record.key = task.key WHERE number > ? ORDER BY number LIMIT ?"
        )
        for _, *facts in chain(entries, tasks):
            yield _checksum(*facts)

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
            database.execute(
                "INSERT OR REPLACE INTO record VALUES (?, ?, ?, ?, ?, ?, ?)", (*row, _checksum(*row))
            )

    def record(self, key: str) -> Record | None:
        """What became of a task."""
        question = "SELECT state, content, message, seconds, atoms FROM record WHERE key = ?"
        return next((self._record(row) for row in self._all(question, (key,))), None)

    def plan_mark(self, key: str) -> str:
        """What is noted of a whole plan: its checksum, and how much of it stands here."""
        ((entries, tasks),) = self._all("SELECT (SELECT COUNT(*) FROM entry), (SELECT COUNT(*) FROM task)")
        return f"{key} {entries} {tasks}"

    def drop_altered(self) -> int:
        """Take away the records that are not as they were put here, so that they are computed again; where
        an entry or task is not, the mark of the plan, so that it is made again. Gives how many these were."""
        altered = [
            number
            for number, *row, checksum in self._pages(f"{_RECORDS} WHERE rowid > ? ORDER BY rowid LIMIT ?")
            if not _is_record(*row) or checksum != _checksum(*row)
        ]
        with self._writing() as database:
            database.executemany("DELETE FROM record WHERE rowid = ?", ((number,) for number in altered))
        entries = self._pages(
            "SELECT position, content, key, checksum FROM entry WHERE position > ? ORDER BY position LIMIT ?"
        )
        tasks = self._pages(
            "SELECT number, key, content, expected_s, checksum FROM task "
            "WHERE number > ? ORDER BY number LIMIT ?"
        )
        planned: int = sum(checksum != _checksum(*row) for _, *row, checksum in chain(entries, tasks))
        if planned:
            self.note(PLAN, "")
        return len(altered) + planned

    def counts(self) -> Counts:
        """How far the plan is done."""
        question = (
            "SELECT state, COUNT(*), TOTAL(expected_s) FROM task JOIN record ON record.key = task.key "
            "GROUP BY state"
        )
        states = {state: (count, expected_s) for state, count, expected_s in self._all(question)}
        ((tasks, expected_s),) = self._all("SELECT COUNT(*), TOTAL(expected_s) FROM task")
        ((molecules,),) = self._all("SELECT COUNT(*) FROM entry WHERE key IS NOT NULL")
        ((finished,),) = self._all(
            "SELECT COUNT(*) FROM entry JOIN record ON record.key = entry.key WHERE state != 'lost'"
        )
        by_state = {state: states.get(state, (0, 0.0))[0] for state in ("done", "failed", "lost")}
        return Counts(
            tasks=tasks,
            **by_state,
            molecules=molecules,
            finished=finished,
            expected_s=expected_s,
            expected_done_s=sum(states.get(state, (0, 0.0))[1] for state in ("done", "failed")),
        )

    def is_empty(self) -> bool:
        """Whether it stands where it was made with nothing in it: no task, and no record of one."""
        there = self._identity == _identity(self._path)
        return there and not self._all("SELECT 1 FROM record UNION SELECT 1 FROM task LIMIT 1")

    def costs(self) -> list[tuple[int, float, float]]:
        """Atoms, CPU seconds and expected CPU seconds of every task of the plan that is done."""
        found = self._all(
            "SELECT atoms, seconds, expected_s FROM task JOIN record ON record.key = task.key "
            "WHERE state = 'done'"
        )
        if not all(_is_cost(atoms, seconds) and _is_seconds(usual) for atoms, seconds, usual in found):
            raise damaged(self._file)
        return found

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
        question = "SELECT value FROM note WHERE name = ?"
        found = next((value for (value,) in self._all(question, (name,))), "")
        if not isinstance(found, str):
            raise damaged(self._file)
        return one_line(found)

    # --- below -------------------------------------------------------------------------------------------

    def _all(self, question: str, values: tuple[Any, ...] = ()) -> list[Any]:
        with said(self._file), closing(self._connection.execute(question, values)) as rows:
            return rows.fetchall()

    def _pages(self, question: str, last: int = 0) -> Iterator[tuple[Any, ...]]:
        """Rows by rising number, a page at a time: nothing is held open while a page is worked on."""
        while rows := self._all(question, (last, _PAGE)):
            yield from rows
            last = rows[-1][0]

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        if self._identity != _identity(self._path):
            raise removed(self._file)
        with said(self._file), self._connection:
            yield self._connection

    def _entry(self, row: tuple[Any, ...]) -> Entry:
        position, key, content, *record = row
        molecule = self._unpacked(content, NotPlanned if key is None else Planned)
        kept = self._record(record) if record[0] is not None else None
        return Entry(position=position, molecule=molecule, record=kept)

    def _record(self, row: Sequence[Any]) -> Record:
        if not _is_record("", *row):
            raise damaged(self._file)
        return _record(*row)

    def _unpacked(self, content: bytes, kind: Any) -> Any:
        try:
            return unpacked(content, kind)
        except ValueError:
            raise damaged(self._file) from None


def _identity(path: Path | None) -> tuple[int, int] | None:
    """Which file stands there; None for memory, or when none does."""
    try:
        found = path.stat() if path else None
    except OSError:
        return None
    return (found.st_dev, found.st_ino) if found else None


def _is_record(key: Any, state: Any, content: Any, message: Any, seconds: Any, atoms: Any) -> bool:
    """Whether values are of the kinds that SQLite was given; it keeps any kind in any column."""
    texts = all(isinstance(text, str) for text in (key, state, message))
    known = state in ("done", "failed", "lost")
    return texts and known and isinstance(content, bytes) and _is_cost(atoms, seconds)


def _is_cost(atoms: Any, seconds: Any) -> bool:
    return isinstance(atoms, int) and atoms >= 0 and _is_seconds(seconds)


def _is_seconds(value: Any) -> bool:
    return isinstance(value, float) and 0.0 <= value < math.inf


def _record(state: Any, content: Any, message: Any, seconds: Any, atoms: Any) -> Record:
    return Record(state=state, content=content, message=message, seconds=seconds, atoms=atoms)


def _checksum(*values: object) -> bytes:
    return hashlib.blake2b(msgspec.msgpack.encode(values), digest_size=16).digest()


def open_store(path: Path | None) -> Store:
    """The store in a file, made when it is not there; in memory without a path.

    Raises InputError when the file is none of ours or of another form, ChairgapError when it cannot be read
    or written.
    """
    return Store(opened(path), path)


@contextmanager
def reading_store(path: Path) -> Iterator[Store]:
    """The store in a file, which is not written to. Raises as `open_store` does, and when it is empty."""
    with opened_for_reading(path) as connection:
        yield Store(connection, None, file=str(path))
