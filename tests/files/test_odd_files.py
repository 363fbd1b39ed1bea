"""Inputs and stores that are no plain files: a pipe that nobody writes into, a device, what the system makes,
a link. Each runs in a process with few CPU seconds and no way to wait: one that hangs is killed and fails."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from chairgap.files.reading import is_plain

LIMITED = """
import resource, signal, sys
resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
signal.alarm(60)
from chairgap.cli.app import main
main()
"""
PIPE, DEVICE, SYSTEM = "a pipe", "a device", "made by the system"
STUDY = 'title = "t"\nmolecules_{} = ["{}"]\n'
KEY = "item,molecule,quantity,claimed,conventions\n1,1 up CH3,gap,1.74,{}\n"


def ran(*words: str | Path) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "-c", LIMITED, *map(str, words)], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stdout + done.stderr


def odd(kind: str, path: Path) -> Path:
    if kind == PIPE:
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/zero" if kind == DEVICE else "/proc/self/environ")
    return path


@pytest.mark.parametrize("kind", [PIPE, DEVICE, SYSTEM])
@pytest.mark.parametrize("what", ["study", "csv", "sdf", "key.csv", "key.xlsx", "table"])
def test_an_input_that_is_no_plain_file_is_refused(tmp_path: Path, kind: str, what: str) -> None:
    out = ("--output", tmp_path / "out")
    if what == "study":
        code, told = ran("study", odd(kind, tmp_path / "study.toml"), *out)
    elif what in ("csv", "sdf"):
        path = odd(kind, tmp_path / f"more.{what}")
        (tmp_path / "study.toml").write_text(STUDY.format(what, path))
        code, told = ran("study", tmp_path / "study.toml", *out, "--workers", "0")
    elif what == "table":
        code, told = ran("tables", odd(kind, tmp_path / "mine.csv"))
    else:
        code, told = ran("key", "check", odd(kind, tmp_path / what), *out)
    assert code == 2 and "Traceback" not in told
    known = ("no plain file", "There is no A-value table", "Neither")
    assert any(words in " ".join(told.split()) for words in known), told
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("kind", [PIPE, DEVICE, SYSTEM])
def test_a_sheet_that_is_no_plain_file_costs_that_student_only(tmp_path: Path, kind: str) -> None:
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    (tmp_path / "key.csv").write_text(KEY.format(""))
    for name in ("s1", "s3"):
        (sheets / f"{name}.csv").write_text("item,quantity,claimed\n1,gap,1.74\n")
    odd(kind, sheets / "s2.csv")
    code, told = ran("key", "mark", tmp_path / "key.csv", sheets, "--output", tmp_path / "out")
    marks = (tmp_path / "out" / "students_claims.csv").read_text()
    assert "s1,1,gap" in marks and "s3,1,gap" in marks and "s2" not in marks
    # A pipe or a device is none of the folder's files to begin with.
    assert (code, "no plain file" in told) == ((1, True) if kind == SYSTEM else (0, False))


@pytest.mark.parametrize("end", ["", "-wal", "-shm", "-journal"])
@pytest.mark.parametrize("kind", [PIPE, DEVICE, SYSTEM])
def test_a_store_that_is_no_plain_file_is_refused(tmp_path: Path, kind: str, end: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    if end:
        (out / "computed.sqlite").write_bytes(b"")
    odd(kind, out / f"computed.sqlite{end}")
    (tmp_path / "study.toml").write_text('title = "t"\n[[molecule]]\nname = "a"\nsmiles = "CC1CCCCC1"\n')
    code, told = ran("study", tmp_path / "study.toml", "--output", out, "--workers", "0")
    assert code == 2 and "no plain file of a store" in " ".join(told.split()), told
    code, told = ran("status", out)
    assert code == 2 and "Traceback" not in told


def test_the_journal_of_a_store_removes_no_file_outside(tmp_path: Path) -> None:
    """A journal that ends with the name of a further one: SQLite reads that file and removes it."""
    from chairgap.batch.store_paths import check_files
    from chairgap.errors import InputError

    mine, store = tmp_path / "mine.txt", tmp_path / "out" / "computed.sqlite"
    mine.write_bytes(b"mine")
    store.parent.mkdir()
    store.write_bytes(b"")
    name = str(mine).encode()
    mark = bytes.fromhex("d9d505f920a163d7")
    tail = name + len(name).to_bytes(4, "big") + (sum(name) % 2**32).to_bytes(4, "big") + mark
    store.with_name("computed.sqlite-journal").write_bytes(mark + bytes(504) + tail)
    with pytest.raises(InputError, match="no plain file of a store"):
        check_files(store)
    (tmp_path / "study.toml").write_text('title = "t"\n[[molecule]]\nname = "a"\nsmiles = "CC1CCCCC1"\n')
    for more in ((), ("--fresh",)):
        ran("study", tmp_path / "study.toml", "--output", store.parent, "--workers", "0", *more)
        assert mine.read_bytes() == b"mine"


def test_a_file_of_a_running_store_may_vanish_between_two_looks(tmp_path: Path, monkeypatch) -> None:
    """SQLite removes its journal when it likes; it was an internal error of whoever looked on."""
    from chairgap.batch import store_paths

    store, journal = tmp_path / "computed.sqlite", tmp_path / "computed.sqlite-journal"
    store.write_bytes(b"")
    journal.write_bytes(b"")

    def looks_late(file: Path, path: Path) -> bool:
        path.unlink()
        return is_plain(file, path)

    monkeypatch.setattr(store_paths, "is_plain", looks_late)
    store_paths.check_files(store)
    assert not journal.exists()
