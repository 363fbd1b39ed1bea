"""Every bad input of `cases` gives exactly the text beside it, and nothing but a ChairgapError comes out."""

import codecs
from pathlib import Path

import pytest
from bad_input import CASES, told

from chairgap.errors import InputError, StudyError
from chairgap.study.reading import read_study

NAMES = sorted(path.stem for path in CASES.glob("*.toml"))
TITLE = b"title = 'Week 3'\n"
MOLECULE = b"[[molecule]]\nname = 'a'\nsmiles = 'CC1CCCCC1'\n"


def test_cases_and_texts_go_in_pairs() -> None:
    assert sorted(path.stem for path in CASES.glob("*.txt")) == NAMES
    assert len(NAMES) >= 32


@pytest.mark.parametrize("name", NAMES)
def test_bad_input_is_reported_word_for_word(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(CASES)
    expected = Path(f"{name}.txt").read_text(encoding="utf-8")
    assert told(Path(f"{name}.toml")) == expected


@pytest.mark.parametrize(
    ("content", "text"),
    [
        pytest.param(
            TITLE + b"# caf\xe9\n" + MOLECULE,
            "study.toml, line 2: Byte 0xe9 is not UTF-8 text. "
            "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again.",
            id="latin-1",
        ),
        pytest.param(
            codecs.BOM_UTF16_LE + (TITLE + MOLECULE).decode().encode("utf-16-le"),
            "study.toml: The file is UTF-16 text. "
            "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again.",
            id="utf-16",
        ),
        pytest.param(b"", "study.toml: The file is empty. Write its content first.", id="no bytes"),
        pytest.param(
            codecs.BOM_UTF8,
            "study.toml: The file is empty. Write its content first.",
            id="byte order mark only",
        ),
        pytest.param(
            TITLE + b"x = " + b"[" * 5000,
            "study.toml: Lists are nested too deeply. Remove the extra brackets.",
            id="lists in lists",
        ),
        pytest.param(
            TITLE + b"[search]\nseed = " + b"1" * 5000 + b"\n",
            "study.toml: This is not valid TOML. A number has too many digits: shorten it.",
            id="more digits than Python reads",
        ),
        pytest.param(
            TITLE + b"\x00\n",
            "study.toml, line 2: This is not valid TOML at column 1. "
            "Write each line as key = value, [section] or # comment.",
            id="null byte",
        ),
    ],
)
def test_content_that_is_no_text(
    content: bytes, text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("study.toml").write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_study(Path("study.toml"))
    assert str(caught.value) == text


def test_study_that_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("week_3.toml").write_bytes(TITLE + MOLECULE)
    with pytest.raises(InputError) as caught:
        read_study(Path("week3.toml"))
    assert str(caught.value) == (
        "week3.toml: There is no such file. Did you mean 'week_3.toml'? Check the name and the folder."
    )


def test_folder_in_place_of_a_study(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("week_3").mkdir()
    with pytest.raises(InputError) as caught:
        read_study(Path("week_3"))
    assert str(caught.value) == (
        "week_3: This is a folder, not a file. Give the study file in it, such as study.toml."
    )


def test_name_that_no_file_can_have(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    name = "n" * 300
    with pytest.raises(InputError) as caught:
        read_study(Path(name))
    assert str(caught.value) == (
        f"{name}: The file cannot be opened. Check the path and that you may read the file."
    )


def test_csv_saved_in_another_encoding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A spreadsheet's plain 'CSV' is often not UTF-8; the row cannot be told, the line can."""
    monkeypatch.chdir(tmp_path)
    Path("more.csv").write_bytes("name,smiles\nméthyl,CC1CCCCC1\n".encode("cp1252"))
    Path("study.toml").write_bytes(TITLE + b"molecules_csv = ['more.csv']\n" + MOLECULE)
    with pytest.raises(StudyError) as caught:
        read_study(Path("study.toml"))
    assert str(caught.value) == (
        "more.csv, line 2: Byte 0xe9 is not UTF-8 text. "
        "Save the file as UTF-8 text (in a spreadsheet program: 'CSV UTF-8') and run again."
    )
