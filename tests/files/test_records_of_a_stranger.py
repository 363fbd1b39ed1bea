"""The one writer and the records of a stranger: none opens more than its folder."""

import json
import os
from pathlib import Path
from typing import Any

import pytest

from chairgap.errors import ChairgapError, InputError
from chairgap.files import MANIFEST, RECORD, check_output, write_files
from chairgap.files.record import AFTER, BEFORE, WAITING
from files.written_folders import NEW, OLD, digest, output, state


def record(files: Any, **more: Any) -> str:
    commands = dict.fromkeys(files, "test") if isinstance(files, dict) else {}
    return json.dumps({"program": "chairgap", "file_sha256": files, "command": commands} | more)


@pytest.mark.parametrize("place", [RECORD, MANIFEST, BEFORE, AFTER])
@pytest.mark.parametrize(
    "name", ["../mine.txt", "{outside}/mine.txt", "link/mine.txt", "a/../../mine.txt", ".."]
)
def test_a_record_opens_nothing_outside_its_folder(tmp_path: Path, place, name) -> None:
    """It names the file with its true checksum, as one of this command that the new run does not make."""
    folder = tmp_path / "out"
    (folder / ".chairgap.unfinished").mkdir(parents=True)
    mine = tmp_path / "mine.txt"
    mine.write_bytes(b"mine")
    (folder / "link").symlink_to(tmp_path)
    (folder / place).write_text(record({name.format(outside=tmp_path): digest(b"mine")}))
    for command in ("test", "study"):
        try:
            write_files(output(folder, command), {"a.csv": b"new"})
        except InputError as error:
            assert "not as chairgap left it" in error.message
        assert mine.read_bytes() == b"mine"


def test_a_folder_of_the_user_called_unfinished_is_not_ours(tmp_path: Path) -> None:
    """Its folders 'new' and 'old' were taken for those of a run that was killed."""
    mine = {f"{folder}/thesis.txt": b"mine" for folder in (".unfinished/new", ".unfinished/old")}
    for name, content in mine.items():
        (tmp_path / name).parent.mkdir(parents=True)
        (tmp_path / name).write_bytes(content)
    write_files(output(tmp_path), NEW)
    assert mine.items() <= state(tmp_path).items()


def test_a_file_far_longer_than_any_of_ours_is_not_read_through(tmp_path: Path) -> None:
    """A hole of 8 TB takes no room in a folder handed on, and hours to add up."""
    tmp_path.joinpath(RECORD).write_text(record({"a.csv": digest(b"")}))
    with (tmp_path / "a.csv").open("wb") as file:
        file.truncate(8_000_000_000_000)
    with pytest.raises(InputError, match="not as chairgap left it"):
        write_files(output(tmp_path), {"a.csv": b"new"})


def test_files_are_not_written_through_a_link_to_another_folder(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    (elsewhere / "new").mkdir(parents=True)
    (elsewhere / "new" / "mine.txt").write_bytes(b"mine")
    for link in ("drawings", ".chairgap.unfinished"):
        folder = tmp_path / f"out{link}"
        folder.mkdir()
        (folder / link).symlink_to(elsewhere)
        with pytest.raises(ChairgapError):
            write_files(output(folder), OLD)
        assert state(elsewhere) == {"new/mine.txt": b"mine"} and (folder / link).is_symlink()
    folder = tmp_path / "locked"
    folder.mkdir()
    (tmp_path / "mine.txt").write_bytes(b"mine")
    (folder / ".chairgap.lock").symlink_to(tmp_path / "mine.txt")
    with pytest.raises(ChairgapError):
        write_files(output(folder), OLD)
    assert (tmp_path / "mine.txt").read_bytes() == b"mine"


ODD_RECORDS = [
    "mine",
    "[]",
    '{"program": "other", "file_sha256": {}}',
    '{"program": "chairgap"}',
    record([]),
    record({}, command=[]),
    "[" * 100_000,
    "9" * 10_000,
    "\0",
    '{"program": "chairgap", "file_sha256": {}, "command": {}}' + " " * 16_000_000,
]


@pytest.mark.parametrize("text", ODD_RECORDS, ids=range(len(ODD_RECORDS)))
def test_a_record_that_is_none_of_ours_is_not_written_over(tmp_path: Path, text) -> None:
    (tmp_path / RECORD).write_text(text)
    (tmp_path / MANIFEST).write_text(text)
    for name in (RECORD, MANIFEST):
        with pytest.raises(InputError, match=rf"{name}: This file is not as chairgap left it"):
            check_output(output(tmp_path), [name])
    with pytest.raises(InputError, match=rf"{RECORD}: This file is not as chairgap left it"):
        write_files(output(tmp_path), NEW)
    assert (tmp_path / RECORD).read_text() == text


@pytest.mark.parametrize("name", ["", ".", "a\0b", "\ud800", "x" * 5000, f"{WAITING}/new", "a/b/c", RECORD])
@pytest.mark.parametrize("value", [digest(b""), "", 5, None, ["x"]])
def test_odd_entries_of_a_record_are_passed_over(tmp_path: Path, name, value) -> None:
    (tmp_path / RECORD).write_text(record({name: value}))
    try:
        write_files(output(tmp_path), OLD)
    except InputError as error:
        assert "It cannot be read" in error.message
    else:
        assert state(tmp_path) == OLD


def test_a_name_that_is_no_text_is_known_again(tmp_path: Path) -> None:
    name = os.fsdecode(b"caf\xe9.svg")
    for content in (b"one", b"two"):
        write_files(output(tmp_path), {name: content})
    assert (tmp_path / name).read_bytes() == b"two"
