"""Files far too large or made to keep a parser busy, and text that would steer a terminal.

Found by `tests/fuzz/`; each is refused within a second here, and took minutes, all memory or the terminal.
"""

import os
from pathlib import Path

import pytest

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files.reading import read_text
from chairgap.study import molecules as study_molecules
from chairgap.study.reading import read_study, study_from_text
from chairgap.study.toml_text import key_lines, shown_path
from chairgap.text import readable
from machine import missing

TITLE = 'title = "Week 3"\n'
ROW = "name,smiles\n"


def told(path: Path) -> str:
    with pytest.raises(ChairgapError) as caught:
        read_study(path)
    return str(caught.value)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path()


def test_a_study_is_at_most_10_mb(folder: Path) -> None:
    (folder / "study.toml").write_bytes(b"# x\n" * 2_500_001)
    assert told(folder / "study.toml") == "study.toml: The file is larger than 10 MB. Split it into several."


def test_a_file_that_is_nearly_all_hole_is_read_up_to_the_bound(folder: Path) -> None:
    with (folder / "hole").open("wb") as file:
        file.truncate(2**40)
    with pytest.raises(InputError, match="hole: The file is larger than 1 MB"):
        read_text(folder / "hole", instead_of_folder="", at_most_mb=1)


def test_a_device_is_no_file() -> None:
    if not Path("/dev/zero").exists():
        missing("/dev/zero", "the system has no such device.")
    with pytest.raises(InputError, match="/dev/zero: This is no plain file"):
        read_text(Path("/dev/zero"), instead_of_folder="", at_most_mb=1)


@pytest.mark.parametrize(
    ("key", "content"),
    [
        ("molecules_csv", ROW + "a,CC1CCCCC1\n" * 4),
        ("molecules_sdf", "x\n\n\n  0  0\nM  END\n$$$$\n" * 4),
    ],
)
def test_rows_and_records_of_a_file_are_bounded(
    folder: Path, key: str, content: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "more").write_text(content, encoding="utf-8")
    (folder / "study.toml").write_text(f'{TITLE}{key} = ["more"]\n', encoding="utf-8")
    monkeypatch.setattr(study_molecules, "MOST_MOLECULES", 3)
    assert "more: The file has more than 3 r" in told(folder / "study.toml")
    monkeypatch.setattr(study_molecules, "MOST_MOLECULES", 4)
    assert len(read_study(folder / "study.toml").requests) == 1  # the names of the others are taken


@pytest.mark.parametrize(
    "line", ["a." * 5000 + "b = 1\n", "x = {" + "a." * 5000 + "b = 1}\n", "[" + "a . " * 5000 + "b]\n"]
)
def test_a_key_of_thousands_of_parts_is_refused_before_it_is_parsed(line: str) -> None:
    """The parser, and our own list of lines, took time and memory by the square of the parts."""
    with pytest.raises(InputError) as caught:
        study_from_text(TITLE + line, Path("study.toml"))
    assert str(caught.value) == (
        "study.toml, line 2: A key has far too many parts with full stops between. Remove them."
    )


def test_lines_of_keys_are_kept_to_a_depth() -> None:
    assert max(map(len, key_lines("a." * 100 + "b = 1\n"))) == 20


def test_full_stops_in_text_and_numbers_are_no_key() -> None:
    numbers = ", ".join(["298.15"] * 300)
    sentence = "Heat. Cool. " * 300 + "." * 900
    with pytest.raises(StudyError, match="has no molecule"):
        study_from_text(
            f"{TITLE}# {sentence}\n[conditions]\ntemperature_series_k = [{numbers}]\n", Path("s.toml")
        )


def test_thousands_of_unknown_keys_are_reported_up_to_a_bound() -> None:
    text = TITLE + "".join(f"[a{number}]\n" for number in range(1500))
    with pytest.raises(StudyError) as caught:
        study_from_text(text, Path("study.toml"))
    assert len(caught.value.problems) == 1000
    assert str(caught.value.problems[0]).startswith("study.toml, line 2, field 'a0': Unknown key.")


# --- text that would steer a terminal ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain, caf\u00e9", "plain, caf\u00e9"),
        ("\x1b[31mred\x07", "\\u001b[31mred\\u0007"),
        ("two\nlines", "two\nlines"),
        ("\u202egnp.exe\u2028", "\\u202egnp.exe\\u2028"),
        ("\udcff", "\\udcff"),
        ("a" * 10 + "b" * 40, "a" * 10 + "b" * 10 + " [...] " + "b" * 10),
        ("c" * 31 + "\n" + "d", "c" * 20 + " [...] " + "c" * 10 + "\nd"),
    ],
)
def test_messages_are_readable(text: str, shown: str) -> None:
    assert readable(text, longest_line=30) == shown


def test_every_message_and_place_is_readable() -> None:
    error = InputError("There is no '\x1b[2J'. Go.", place=Place(file="a\x1b.csv", row=1, field="x" * 900))
    assert str(error).startswith("a\\u001b.csv, row 1, column xxx")
    assert str(error).endswith("xxx: There is no '\\u001b[2J'. Go.") and len(str(error)) < 500
    assert len(str(InputError("x" * 200_000 + ". Go."))) < 4000
    assert str(InputError("x" * 200_000 + ". Go.")).endswith(". Go.")


def test_many_problems_are_not_shortened_together() -> None:
    problems = [InputError(f"Problem {number}. " + "x" * 100 + " Go.") for number in range(300)]
    assert str(StudyError(problems)).count("Problem") == 300


def test_a_file_name_that_steers_a_terminal_is_reported_by_code_points(folder: Path) -> None:
    """The file is looked for before the schema refuses the name."""
    (folder / "study.toml").write_text(TITLE + 'molecules_csv = ["\\u001b[31m.csv"]\n', encoding="utf-8")
    assert "\x1b" not in told(folder / "study.toml") and "\\u001b[31m.csv" in told(folder / "study.toml")


def test_the_place_of_a_file_name_that_is_no_utf_8_can_be_written() -> None:
    """Such a name stopped the run when its places were stored."""
    assert Place(file=os.fsdecode(b"\xff.toml")).file.encode() == b"\\udcff.toml"


def test_a_key_far_too_long_is_reported_by_its_beginning() -> None:
    assert shown_path(("molecule", 0, "k" * 5000)) == f"molecule[1].{'k' * 88}..."
