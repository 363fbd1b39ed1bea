"""A store cut short, damaged, altered, removed, or made to mislead: one line with the cure, which works."""

import os
import sqlite3
import zlib
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from types import SimpleNamespace

import psutil
import pytest
from running import FEW, contents, finish, start, wait_for_records

from chairgap.batch import store_file
from chairgap.batch.codec import packed, unpacked
from chairgap.batch.folder import store_in
from chairgap.batch.status import status_lines
from chairgap.batch.store import STORE, open_store
from chairgap.batch.store_file import is_ours
from chairgap.errors import ChairgapError, InputError
from chairgap.records import Computed, Record, Task
from machine import missing

STUDY = "[[molecule]]".join(FEW.split("[[molecule]]")[:2])


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The store of a small study that was run."""
    folder = tmp_path_factory.mktemp("made")
    assert finish(folder, "--workers", "0", "--quiet", study=STUDY)[0] == 0
    return (folder / "out" / STORE).read_bytes()


@pytest.fixture
def folder(tmp_path: Path, made: bytes) -> Path:
    """A folder with a study and its store, and nothing else written."""
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / STORE).write_bytes(made)
    return tmp_path


def execute(folder: Path, *questions: str) -> None:
    with closing(sqlite3.connect(folder / "out" / STORE)) as database:
        for question in questions:
            database.execute(question)
        database.commit()


RUN = ("study", "study.toml", "--output", "out", "--workers", "0", "--quiet")


def shown_and_cured(chairgap: Callable[..., tuple[int, str, str]], *, code: int) -> None:
    """The run and its account end with one line that names --fresh, and with it the study runs."""
    for words, cure in ((RUN, "--fresh"), (("status", "out"), "--fresh")):
        left, out, err = chairgap(*words)
        assert (left, out) == (code, "") and err.count("\n") == 1, (out, err)
        assert err.startswith("Error: out/computed.sqlite: ") and cure in err and "internal" not in err
    assert chairgap(*RUN, "--fresh")[::2] == chairgap(*RUN)[::2] == (0, "")


@pytest.mark.parametrize("kept", [20, 90, 150, 4096, 9000])
def test_a_store_cut_short(folder: Path, made: bytes, chairgap, kept: int) -> None:
    (folder / "out" / STORE).write_bytes(made[:kept])
    shown_and_cured(chairgap, code=3)


def test_a_store_of_which_only_the_last_value_is_cut_goes_on(folder: Path, made: bytes, chairgap) -> None:
    (folder / "out" / STORE).write_bytes(made[:-1000])
    code, _, err = chairgap(*RUN)
    assert (code, err) == (
        0,
        "Note: The store held 1 value that the program had not put there so; computed again.\n",
    )


@pytest.mark.parametrize(
    "spoilt", [slice(0, 100), slice(0, 16), slice(4096, 12288), slice(100, 300)], ids=str
)
@pytest.mark.parametrize("with_what", [b"\0", b"\xff"])
def test_a_store_damaged(folder: Path, made: bytes, chairgap, spoilt: slice, with_what: bytes) -> None:
    held = bytearray(made)
    held[spoilt] = with_what * (spoilt.stop - spoilt.start)
    (folder / "out" / STORE).write_bytes(bytes(held))
    shown_and_cured(chairgap, code=3)


@pytest.mark.parametrize(
    "question",
    [
        "CREATE VIEW v AS WITH RECURSIVE r(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM r) SELECT x FROM r",
        "CREATE TRIGGER t AFTER INSERT ON note BEGIN DELETE FROM record; END",
        "CREATE TABLE more (x)",
        "DROP INDEX entry_key",
        "ALTER TABLE record ADD COLUMN more TEXT",
    ],
)
def test_tables_that_are_not_ours(folder: Path, chairgap, question: str) -> None:
    execute(folder, question)
    shown_and_cured(chairgap, code=3)


def test_a_view_without_end_in_the_place_of_a_table_is_not_read(folder: Path, chairgap) -> None:
    """It was counted for ever."""
    execute(
        folder,
        "DROP TABLE note",
        "CREATE VIEW note AS WITH RECURSIVE r(name, value) AS "
        "(SELECT 'x', 'y' UNION ALL SELECT name, value FROM r) SELECT name, value FROM r",
    )
    shown_and_cured(chairgap, code=3)


def test_a_database_of_another_program_is_left_and_the_cure_is_named(folder: Path, chairgap) -> None:
    (folder / "out" / STORE).unlink()
    execute(folder, "CREATE TABLE mine (x)")
    before = (folder / "out" / STORE).read_bytes()
    for words in (RUN, (*RUN, "--fresh"), ("status", "out")):
        code, out, err = chairgap(*words)
        assert (code, out) == (2, "") and err.count("\n") == 1 and "Move it away" in err
    assert (folder / "out" / STORE).read_bytes() == before
    (folder / "out" / STORE).rename(folder / "moved")
    assert chairgap(*RUN)[0] == 0


def test_a_pipe_as_a_store_is_refused_and_not_waited_for(folder: Path, chairgap) -> None:
    if not hasattr(os, "mkfifo"):
        missing("mkfifo", "Windows has no named pipes")
    (folder / "out" / STORE).unlink()
    os.mkfifo(folder / "out" / STORE)
    for words in (RUN, (*RUN, "--fresh")):
        code, _, err = chairgap(*words)
        assert code == 2 and "Move it away" in err and err.count("\n") == 1


@pytest.mark.parametrize(
    "name", ["title", "host", "process", "began", "stage", "stage_done", "finished", "plan"]
)
@pytest.mark.parametrize("value", ["'\x1b[31m\x07red\u202e'", "x'ff'", "1e300", "''", "'nan'"])
def test_notes_that_are_none_of_ours(folder: Path, chairgap, name: str, value: str) -> None:
    execute(folder, f"UPDATE note SET value = {value} WHERE name = '{name}'")
    code, out, err = chairgap("status", "out")
    assert code in (0, 3) and "internal" not in err and "Error inside" not in err
    assert all(line.isprintable() for line in (out + err).splitlines())
    assert chairgap(*RUN, "--fresh")[0] == 0


# --- altered values ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "question",
    [
        "UPDATE record SET content = substr(content, 1, length(content) - 9) WHERE rowid = 1",
        "UPDATE record SET state = 'failed', message = 'made up'",
        "UPDATE record SET state = 'other'",
        "UPDATE record SET seconds = 'x', atoms = x'00'",
        "UPDATE record SET content = zeroblob(3000000)",
        "UPDATE entry SET content = x'00'",
        "UPDATE task SET key = 'another'",
        "UPDATE task SET expected_s = 9.0",
    ],
)
def test_an_altered_value_is_computed_again_and_said(folder: Path, chairgap, question: str) -> None:
    """Some of these were written into the tables as results."""
    assert chairgap(*RUN)[0] == 0
    before = contents(folder / "out")
    execute(folder, question)
    code, _, err = chairgap(*RUN)
    assert code == 0 and err.startswith("Note: The store held ") and err.endswith("; computed again.\n")
    assert contents(folder / "out") == before
    assert chairgap(*RUN) == (0, chairgap(*RUN)[1], "")


@pytest.mark.parametrize("table", ["entry", "task", "record"])
def test_rows_that_are_missing_are_made_again(folder: Path, chairgap, table: str) -> None:
    """A molecule whose row was gone was missing from the tables, and nothing said so."""
    assert chairgap(*RUN)[0] == 0
    before = contents(folder / "out")
    execute(folder, f"DELETE FROM {table} WHERE rowid = 1")
    assert chairgap(*RUN)[0] == 0
    assert contents(folder / "out") == before


def test_little_that_unpacks_to_much_is_refused_before_it_is_unpacked() -> None:
    """3 MB of store asked for 3 GB."""
    opening = zlib.compressobj(9)
    bomb = b"".join(opening.compress(b"\x90" * 10_000_000) for _ in range(30)) + opening.flush()
    assert len(bomb) < 500_000
    with pytest.raises(ValueError, match="larger than any record"):
        unpacked(bomb, Computed)


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00", zlib.compress(b"\x91" * 100_000), packed(Task(key="a", ring=()))[:-4]],
)
def test_content_that_is_no_record_is_refused(content: bytes) -> None:
    with pytest.raises(ValueError):
        unpacked(content, Computed)


# --- while it runs -----------------------------------------------------------------------------------------


def test_a_store_removed_while_a_study_runs_is_said_and_the_next_run_is_whole(tmp_path: Path) -> None:
    """The run went on into a file that no longer had a name."""
    process = start(tmp_path, "--workers", "1", "--quiet", study=FEW)
    wait_for_records(tmp_path / "out", 1, process)
    (tmp_path / "out" / STORE).unlink()
    out, err = process.communicate(timeout=120)
    assert (process.returncode, out) == (3, "") and err.count("\n") == 1
    assert err.startswith("Error: out/computed.sqlite: The store of the study was removed or replaced while")
    assert finish(tmp_path, "--workers", "0", "--quiet", study=FEW)[0] == 0
    assert finish(tmp_path, "--workers", "0", "--quiet", study=FEW, output="peace")[0] == 0
    assert contents(tmp_path / "out") == contents(tmp_path / "peace")


def test_a_file_put_in_its_place_while_it_is_open_is_not_written_to_nor_removed(tmp_path: Path) -> None:
    with store_in(tmp_path, fresh=False) as store:
        (tmp_path / STORE).unlink()
        (tmp_path / STORE).write_text("mine")
        with pytest.raises(ChairgapError, match="removed or replaced while it ran"):
            store.put("a", Record(state="done"))
    assert (tmp_path / STORE).read_text() == "mine"


def test_what_sqlite_kept_beside_a_removed_store_is_not_read_into_a_new_one(tmp_path: Path) -> None:
    store = open_store(tmp_path / STORE)
    store.put("a", Record(state="done", content=b"old"))
    (tmp_path / STORE).unlink()
    again = open_store(tmp_path / STORE)
    assert again.record("a") is None
    again.close()
    store.close()


# --- folders that may only be read, and network file systems -----------------------------------------------


def as_nobody(folder: Path) -> str:
    """What status says of a folder in a process of a user to whom nothing there belongs; split off, since
    that user may not start this Python."""
    reading, writing = os.pipe()
    if (child := os.fork()) == 0:
        try:
            os.setgid(65534)
            os.setuid(65534)
            found = "\n".join(status_lines(folder))
        except BaseException as error:
            found = repr(error)
        os.write(writing, found.encode())
        os._exit(0)
    os.close(writing)
    os.waitpid(child, 0)
    with os.fdopen(reading, "rb") as shown:
        return shown.read().decode()


@pytest.mark.parametrize("killed", [False, True])
def test_status_reads_a_folder_that_it_may_not_write(folder: Path, monkeypatch, killed: bool) -> None:
    """SQLite makes files beside a store in write-ahead mode and could not, which was said as an error of
    writing. Where nothing may be written is stood in for by its answer."""
    if killed:
        store = open_store(folder / "out" / STORE)
        store.note("title", "Killed")
    connected = store_file._connected

    def refused(path: Path, mode: str) -> sqlite3.Connection:
        if mode == "mode=ro":
            raise sqlite3.OperationalError("unable to open database file")
        return connected(path, mode)

    monkeypatch.setattr(store_file, "_connected", refused)
    before = sorted(folder.rglob("*"))
    assert status_lines(folder / "out")[0] == ("Study: Killed" if killed else "Study: A few")
    assert sorted(folder.rglob("*")) == before


def test_status_leaves_nothing_behind(folder: Path) -> None:
    before = sorted(folder.rglob("*"))
    assert status_lines(folder / "out")[0] == "Study: A few"
    assert sorted(folder.rglob("*")) == before


def test_status_of_another_users_folder(folder: Path) -> None:
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        missing("root", "only root may act as another user.")
    for path in (*folder.parents, folder):
        if path != Path("/") and path.is_relative_to("/tmp"):
            path.chmod(path.stat().st_mode | 0o055)
    with store_in(folder / "out", fresh=False) as store:
        store.note("title", "Held")
        store.note("stage", "computing")
        running = as_nobody(folder / "out")
    assert "Study: Held\nRunning since" in running
    assert "Study: Held\nFinished" in as_nobody(folder / "out")


@pytest.mark.parametrize(
    ("kind", "mode"),
    [("nfs4", "truncate"), ("cifs", "truncate"), ("fuse.sshfs", "truncate"), ("ext4", "wal")],
)
def test_a_store_on_a_network_file_system_keeps_a_journal(tmp_path: Path, monkeypatch, kind, mode) -> None:
    """Write-ahead mode needs memory that processes share; its files may be damaged there. The mounts are made
    up: no test can mount."""
    places = {"/": "ext4", str(tmp_path): kind, str(tmp_path / "elsewhere"): "nfs"}
    mounts = [SimpleNamespace(mountpoint=place, fstype=name) for place, name in places.items()]
    open_store(tmp_path / STORE).close()  # made in write-ahead mode, on another machine
    monkeypatch.setattr(psutil, "disk_partitions", lambda all: mounts)
    with store_in(tmp_path, fresh=False) as store:
        store.put("a", Record(state="done", content=b"kept"))
        assert store._all("PRAGMA journal_mode") == [(mode,)]
    with store_in(tmp_path, fresh=False) as store:
        assert store.record("a") is not None


def test_what_is_ours_is_known_by_its_mark_alone(tmp_path: Path) -> None:
    for content in (b"notes of a person", b"SQLite format 3\0" + b"\1" * 200, b"x" * 5000):
        (tmp_path / STORE).write_bytes(content)
        assert not is_ours(tmp_path / STORE)
        with pytest.raises(InputError), store_in(tmp_path, fresh=True):
            pass
        assert (tmp_path / STORE).read_bytes() == content
