"""The one writer: all or nothing, and a killed run is known."""

import os
import stat
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest
from filelock import FileLock

from chairgap.errors import ChairgapError, InputError
from chairgap.files import RECORD, check_output, staging, write_files, writing
from files.written_folders import NEW, OLD, output, state


@contextmanager
def stopped_at(monkeypatch: pytest.MonkeyPatch, number: int, stop: Any) -> Iterator[None]:
    """Within it, the renaming of that number (from 1) does something else."""
    real, count = Path.replace, 0

    def replace(self: Path, target: Path) -> Path:
        nonlocal count
        count += 1
        if count == number:
            stop()
        return real(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", replace)
        yield


def full() -> None:
    raise OSError(28, "No space left on device")


def interrupted() -> None:
    raise KeyboardInterrupt


def renamings(folder: Path, *, first: bool = False) -> int:
    """How many files are renamed when new ones are put in place, records and stale files among them."""
    real, count = Path.replace, 0

    def counted(self: Path, target: Path) -> Path:
        nonlocal count
        count += 1
        return real(self, target)

    with pytest.MonkeyPatch.context() as patched:
        if not first:
            write_files(output(folder), OLD)
        patched.setattr(Path, "replace", counted)
        write_files(output(folder), NEW)
    return count


# --- all or nothing --------------------------------------------------------------------------------------


def test_files_take_the_place_of_those_of_the_run_before(tmp_path: Path) -> None:
    paths = write_files(output(tmp_path / "out"), OLD)
    assert [path.relative_to(tmp_path / "out").as_posix() for path in paths] == list(OLD)
    write_files(output(tmp_path / "out"), NEW)
    assert state(tmp_path / "out") == NEW
    assert {path.name for path in (tmp_path / "out").iterdir()} == {
        *("a.csv", "b.md", "drawings", "pages", RECORD),
    }


@pytest.mark.parametrize("stop, raised", [(full, ChairgapError), (interrupted, KeyboardInterrupt)])
@pytest.mark.parametrize("first", [True, False])
def test_when_one_file_cannot_be_put_in_place_the_old_ones_come_back(
    tmp_path: Path, monkeypatch, stop, raised, first
) -> None:
    count = renamings(tmp_path / "counted", first=first)
    assert count > len(NEW) + 2
    for number in range(1, count + 1):
        folder = tmp_path / str(number)
        if not first:
            write_files(output(folder), OLD)
        before = (folder / RECORD).read_bytes() if not first else b""
        with stopped_at(monkeypatch, number, stop), pytest.raises(raised) as caught:
            write_files(output(folder), NEW)
        if raised is ChairgapError:
            assert str(caught.value) == (
                f"{folder}: It cannot be written (no space left on device). "
                "Make room, or name another folder with --output."
            )
        if first:
            assert not folder.exists()
        else:
            assert state(folder) == OLD and (folder / RECORD).read_bytes() == before
            assert {path.name for path in folder.iterdir()} == {"a.csv", "b.md", "drawings", RECORD}


def test_an_error_while_files_are_made_changes_nothing(tmp_path: Path) -> None:
    write_files(output(tmp_path), OLD)
    with pytest.raises(ZeroDivisionError), staging(output(tmp_path)) as waiting:
        (waiting / "a.csv").write_bytes(b"half")
        raise ZeroDivisionError
    assert state(tmp_path) == OLD
    with pytest.raises(ChairgapError), staging(output(tmp_path / "deep" / "er")):
        full()
    assert not (tmp_path / "deep").exists()


def test_without_hard_links_old_files_are_copied(tmp_path: Path, monkeypatch) -> None:
    def none(self: Path, target: Path) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(Path, "hardlink_to", none)
    write_files(output(tmp_path), OLD)
    with stopped_at(monkeypatch, 5, full), pytest.raises(ChairgapError):
        write_files(output(tmp_path), NEW)
    assert state(tmp_path) == OLD
    write_files(output(tmp_path), NEW)
    assert state(tmp_path) == NEW


def test_files_that_cannot_come_back_are_still_known(tmp_path: Path, monkeypatch) -> None:
    """The disk fails while files are put in place, and goes on failing."""
    write_files(output(tmp_path), OLD)
    real, count = Path.replace, 0

    def failing(self: Path, target: Path) -> Path:
        nonlocal count
        count += 1
        if count > 5:
            full()
        return real(self, target)

    with monkeypatch.context() as patched, pytest.raises(ChairgapError):
        patched.setattr(Path, "replace", failing)
        write_files(output(tmp_path), NEW)
    assert (tmp_path / "a.csv").read_bytes() == NEW["a.csv"]
    write_files(output(tmp_path), NEW)
    assert state(tmp_path) == NEW


# --- killed ----------------------------------------------------------------------------------------------


def killed_at(number: int, folder: Path, contents: dict[str, bytes]) -> None:
    """Write in another process, which is killed at that renaming."""
    child = os.fork()
    if child == 0:
        with stopped_at(pytest.MonkeyPatch(), number, lambda: os._exit(9)):
            write_files(output(folder), contents)
        os._exit(0)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9


def test_a_run_that_was_killed_is_known_by_the_next(tmp_path: Path) -> None:
    count = renamings(tmp_path / "counted")
    mixed = 0
    for number in range(1, count + 1):
        folder = tmp_path / str(number)
        write_files(output(folder), OLD)
        killed_at(number, folder, NEW)
        mixed += (folder / "a.csv").read_bytes() == NEW["a.csv"] and not (folder / "pages").exists()
        check_output(output(folder), NEW)
        write_files(output(folder), {"a.csv": b"third"})
        assert state(folder) == {"a.csv": b"third"}, number
    assert mixed, "the loop has been through a folder of new files beside old ones"


def test_a_first_run_that_was_killed_and_others_after_it_are_known(tmp_path: Path) -> None:
    """Killed again and again, at another file each time; then an error; then all is well."""
    for number in (4, 5, 6, 4, 7):
        killed_at(number, tmp_path, {name: f"{number}".encode() for name in NEW})
    with pytest.raises(ZeroDivisionError), staging(output(tmp_path)):
        raise ZeroDivisionError
    write_files(output(tmp_path), OLD)
    assert state(tmp_path) == OLD


def test_after_a_killed_run_neither_a_failure_nor_another_command_bars_the_next(
    tmp_path: Path, monkeypatch
) -> None:
    for number in range(3, renamings(tmp_path / "counted") + 1):
        folder = tmp_path / str(number)
        write_files(output(folder), OLD)
        killed_at(number, folder, NEW)
        mixed = {name: content for name, content in state(folder).items() if not name.startswith(".")}
        for failing in (1, 2, 4):
            with stopped_at(monkeypatch, failing, full), pytest.raises(ChairgapError):
                write_files(output(folder), {"a.csv": b"third"})
        assert {name: folder.joinpath(name).read_bytes() for name in mixed} == mixed
        write_files(output(folder, "another"), {"c.csv": b"c"})
        write_files(output(folder), {"a.csv": b"fourth"})
        assert state(folder) == {"a.csv": b"fourth", "c.csv": b"c"}, number


def test_a_file_changed_after_a_run_was_killed_is_kept(tmp_path: Path) -> None:
    write_files(output(tmp_path), OLD)
    killed_at(5, tmp_path, NEW)
    (tmp_path / "a.csv").write_bytes(b"mine")
    with pytest.raises(InputError, match=r"a\.csv: This file is not as chairgap left it"):
        write_files(output(tmp_path), NEW)
    assert (tmp_path / "a.csv").read_bytes() == b"mine"


# --- what is not as it was left --------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["a.csv", "drawings/2.svg"])
def test_a_file_that_was_changed_by_hand_stops_everything(tmp_path: Path, name) -> None:
    """Also one of an earlier run that the new one does not make."""
    write_files(output(tmp_path), OLD)
    (tmp_path / name).write_bytes(b"mine")
    for write in (check_output, write_files):
        with pytest.raises(InputError, match=rf"{name}: This file is not as chairgap left it"):
            write(output(tmp_path), NEW)
    assert state(tmp_path) == OLD | {name: b"mine"}


def test_a_file_changed_while_the_new_ones_are_made_is_kept(tmp_path: Path) -> None:
    write_files(output(tmp_path), OLD)
    check_output(output(tmp_path), NEW)
    with pytest.raises(InputError, match="not as chairgap left it"), staging(output(tmp_path)) as waiting:
        (waiting / "a.csv").write_bytes(b"new")
        (tmp_path / "a.csv").write_bytes(b"mine")
    assert state(tmp_path) == OLD | {"a.csv": b"mine"}


def test_files_of_another_command_stay(tmp_path: Path) -> None:
    write_files(output(tmp_path, "one"), OLD)
    write_files(output(tmp_path, "two"), {"c.csv": b"c"})
    write_files(output(tmp_path, "one"), {"a.csv": b"again"})
    assert state(tmp_path) == {"a.csv": b"again", "c.csv": b"c"}
    write_files(output(tmp_path, "two"), {"d.csv": b"d"})
    assert state(tmp_path) == {"a.csv": b"again", "d.csv": b"d"}


def test_an_earlier_file_that_is_read_now_is_not_taken_away(tmp_path: Path) -> None:
    write_files(output(tmp_path), OLD)
    write_files(output(tmp_path, inputs=(tmp_path / "b.md",)), {"a.csv": b"new"})
    assert state(tmp_path) == {"a.csv": b"new", "b.md": OLD["b.md"]}


@pytest.mark.parametrize("kind", ["folder", "pipe", "dangling link", "link to a file of ours"])
def test_what_is_no_plain_file_is_left_alone(tmp_path: Path, kind) -> None:
    write_files(output(tmp_path), OLD)
    place = tmp_path / "a.csv"
    place.rename(tmp_path / "moved.csv")
    if kind == "folder":
        place.mkdir()
    elif kind == "pipe":
        os.mkfifo(place)
    else:
        place.symlink_to(tmp_path / ("nowhere" if kind == "dangling link" else "moved.csv"))
    before = stat.S_IFMT(place.lstat().st_mode)
    with pytest.raises(InputError, match=r"a\.csv: This file is not as chairgap left it"):
        write_files(output(tmp_path), NEW)
    assert stat.S_IFMT(place.lstat().st_mode) == before


# --- several at once -------------------------------------------------------------------------------------


def save(folder: Path, number: int) -> None:
    write_files(output(folder, f"drawing {number}"), {f"{number}.svg": b"x" * number})


def test_commands_that_write_in_one_folder_wait_for_each_other(tmp_path: Path, monkeypatch) -> None:
    with ProcessPoolExecutor(4, mp_context=get_context("fork")) as pool:
        list(pool.map(save, [tmp_path] * 24, range(24)))
    assert state(tmp_path) == {f"{number}.svg": b"x" * number for number in range(24)}
    for number in range(24):
        save(tmp_path, number)  # all are known
    monkeypatch.setattr(writing, "_LONGEST_WAIT_S", 0.05)
    with FileLock(tmp_path / ".chairgap.lock"), pytest.raises(InputError) as caught:
        save(tmp_path, 1)
    assert str(caught.value) == (
        f"{tmp_path}: Another command is writing in this folder. Wait for it, or name another folder with "
        "--output."
    )
