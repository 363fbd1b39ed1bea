"""Nobody's work is written over, and nothing of an older handout is left beside a new one."""

import json
from pathlib import Path

import pytest

from chairgap.errors import InputError
from chairgap.handout.files import HANDOUT, check_handout_folder, write_handout

OLD = {"questions_A.md": b"old", "drawings/questions_A_1.svg": b"<svg/>", "drawings/questions_A_2.svg": b"2"}
NEW = {"questions_A.md": b"new", "drawings/questions_A_1.svg": b"<svg/>"}


def test_a_new_handout_takes_the_place_of_an_old_one(tmp_path: Path) -> None:
    write_handout(tmp_path, OLD, {"seed": 1})
    paths = write_handout(tmp_path, NEW, {"seed": 2})
    assert [path.name for path in paths] == ["questions_A.md", HANDOUT]
    assert (tmp_path / "questions_A.md").read_bytes() == b"new"
    assert [path.name for path in (tmp_path / "drawings").iterdir()] == ["questions_A_1.svg"]
    told = json.loads((tmp_path / HANDOUT).read_text())
    assert (told["program"], told["seed"], set(told["file_sha256"])) == ("chairgap", 2, set(NEW))


@pytest.mark.parametrize("name", ["questions_A.md", "drawings/questions_A_2.svg"])
def test_a_file_that_was_changed_by_hand_stops_everything(tmp_path: Path, name) -> None:
    write_handout(tmp_path, OLD, {})
    (tmp_path / name).write_bytes(b"mine")
    with pytest.raises(InputError, match=rf"{name}: This file is not as chairgap left it"):
        write_handout(tmp_path, NEW, {})
    assert (tmp_path / name).read_bytes() == b"mine"
    assert (tmp_path / "drawings/questions_A_1.svg").read_bytes() == b"<svg/>"


def test_a_foreign_file_stops_everything(tmp_path: Path) -> None:
    (tmp_path / "matching.csv").write_text("mine")
    with pytest.raises(InputError, match=r"matching.csv: This file is not as chairgap left it"):
        check_handout_folder(tmp_path, ["matching.csv"])


@pytest.mark.parametrize("text", ["mine", "[]", '{"program": "other"}', '{"program": "chairgap"}'])
def test_a_handout_json_that_is_none_of_ours_is_not_written_over(tmp_path: Path, text) -> None:
    (tmp_path / HANDOUT).write_text(text)
    with pytest.raises(InputError, match=r"handout.json: This file is not as chairgap left it"):
        write_handout(tmp_path, NEW, {})
    assert (tmp_path / HANDOUT).read_text() == text


def test_files_outside_the_folder_are_never_removed(tmp_path: Path) -> None:
    outside = tmp_path / "outside.txt"
    outside.write_bytes(b"mine")
    home = tmp_path / "handout"
    write_handout(home, OLD, {})
    told = json.loads((home / HANDOUT).read_text())
    told["file_sha256"] |= {"../outside.txt": "0", str(outside): "0"}
    (home / HANDOUT).write_text(json.dumps(told))
    with pytest.raises(InputError):  # an absolute path is looked at like a file of the handout
        write_handout(home, NEW, {})
    assert outside.read_bytes() == b"mine"
