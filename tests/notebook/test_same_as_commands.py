"""What Python offers and the commands do is one thing: the same files, to the last byte."""

import threading
from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from threadpoolctl import threadpool_info

import chairgap
from chairgap.cli import app as cli
from chairgap.errors import InputError, StudyError
from chairgap.files import RECORD
from chairgap.minimise.threads import one_native_thread

STUDY = """title = "Both ways"
[search]
effort = "quick"
[output]
folder = "{folder}"
[[molecule]]
name = "chlorocyclohexane"
smiles = 'ClC1CCCCC1'
[[molecule]]
name = "fluorocyclohexane"
smiles = 'FC1CCCCC1'
[[molecule]]
name = "benzene"
smiles = 'c1ccccc1'
"""
KEY = (
    "item,molecule,quantity,carbon,chair,claimed,unit\n"
    "1,1 up CH3,gap,,,1.74,kcal/mol\n"
    "2,1 up CH3,gap,,,2.9,kcal/mol\n"
    "3,1 up QQ,gap,,,1,kcal/mol\n"
)
# Zipped files and manifests hold the time, and the record of a folder has their checksums.
WITH_TIME = {"manifest.json", "computed.sqlite", "key_annotated.xlsx", RECORD}


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "key.csv").write_text(KEY)
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "s1.csv").write_text(KEY.replace("2.9", "1.74"))
    return tmp_path


@pytest.fixture
def command(monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    """Runs a command; its exit code."""

    def run(*words: str) -> int:
        monkeypatch.setattr("sys.argv", ["chairgap", *words])
        with pytest.raises(SystemExit) as left:
            cli.main()
        return int(left.value.code or 0)

    return run


def files_in(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): b"" if path.name in WITH_TIME else path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_study(here: Path, command: Callable[..., int]) -> None:
    (here / "study.toml").write_text(STUDY.format(folder="out"))
    assert command("study", "study.toml", "--output", "command", "--quiet") == 1
    found = chairgap.run_study("study.toml", output="python")
    assert files_in(here / "command") == files_in(here / "python")
    assert found.names == ("chlorocyclohexane", "fluorocyclohexane") and len(found.refused) == 1


def test_key_check(here: Path, command: Callable[..., int]) -> None:
    assert command("key", "check", "key.csv", "--output", "command") == 1
    checked = chairgap.check_key("key.csv", output="python")
    assert files_in(here / "command") == files_in(here / "python")
    assert {path.name for path in checked.paths} == set(files_in(here / "python")) - {RECORD}
    assert checked.counts == {"ERROR": 1, "REVIEW": 0, "CONVENTION": 0, "RIGHT": 1}
    assert len(checked.problems) == 1 and "QQ" in checked.problems[0].message
    assert list(checked.to_frame()["verdict"]) == ["RIGHT", "ERROR", "NOT CHECKED"]
    assert (here / "python" / "solutions.md").read_text() == checked.solutions
    assert repr(checked) == "<key.csv: 1 ERROR, 0 REVIEW, 0 CONVENTION, 1 RIGHT; 1 rows not checked>"


def test_key_check_writes_nothing_unless_asked(here: Path) -> None:
    before = files_in(here)
    assert chairgap.check_key("key.csv").paths == ()
    assert chairgap.mark_students("key.csv", "sheets").paths == ()
    assert files_in(here) == before


def test_students(here: Path, command: Callable[..., int]) -> None:
    command("key", "mark", "key.csv", "sheets", "--output", "command")
    marked = chairgap.mark_students("key.csv", "sheets", output="python")
    assert files_in(here / "command") == files_in(here / "python")
    assert list(marked.claims["student"]) == ["s1"] * len(marked.claims)
    assert list(marked.summary["right"]) == [2] and len(marked.per_claim) == 3
    assert marked.problems


def test_questions(here: Path, command: Callable[..., int]) -> None:
    command("key", "export", "key.csv", "--output", "command")
    exported = chairgap.export_questions("key.csv", output="python")
    assert files_in(here / "command") == files_in(here / "python")
    assert [cell for cell, _ in exported.left_out]


def cells_of(path: Path) -> list[tuple[object, ...]]:
    return [row for sheet in openpyxl.load_workbook(path) for row in sheet.iter_rows(values_only=True)]


def test_template(here: Path, command: Callable[..., int]) -> None:
    assert command("key", "template", "1 up CH3", "CC1CCCCC1", "--file", "command.xlsx") == 0
    assert chairgap.make_key(["1 up CH3", "CC1CCCCC1"], "python.xlsx") == Path("python.xlsx")
    one, other = (cells_of(here / f"{name}.xlsx") for name in ("command", "python"))
    assert one == other and len(one) > 8
    with pytest.raises(
        InputError, match=r"The file exists already and is not overwritten\. Name another one\."
    ):
        chairgap.make_key("1 up CH3", "python.xlsx")


def test_handout(here: Path, command: Callable[..., int]) -> None:
    (here / "study.toml").write_text(STUDY.format(folder="out"))
    assert command("handout", "study.toml", "--no-pdf", "--seed", "3") == 0
    (here / "out").rename(here / "command")
    made = chairgap.make_handout("study.toml", pdf=False, seed=3)
    assert files_in(here / "command") == files_in(here / "out")
    assert {path.parent for path in made.paths} == {Path("out/handout")}
    assert [item.name for item in made.refused] == ["benzene"]


@pytest.mark.parametrize(
    ("keywords", "words"),
    [
        ({"paper": "leter"}, "There is no paper 'leter'. Did you mean 'Letter'? Write A4 or Letter."),
        ({"versions": 0}, "0 is out of bounds; give 1 to "),
        ({"questions": 31}, "31 is out of bounds; give 1 to 30."),
    ],
)
def test_a_bad_option_of_a_handout_is_named(here: Path, keywords: dict[str, object], words: str) -> None:
    (here / "study.toml").write_text(STUDY.format(folder="out"))
    with pytest.raises(InputError) as caught:
        chairgap.make_handout("study.toml", **keywords)
    assert str(caught.value).startswith(f"make_handout(), field '{next(iter(keywords))}': {words}")


@pytest.mark.long
def test_flip(here: Path, command: Callable[..., int]) -> None:
    assert command("flip", "1 up CH3", "--step", "45", "--output", "command") == 0
    found = chairgap.compute_flip("1 up CH3", step_deg=45.0, output="python")
    assert files_in(here / "command") == files_in(here / "python")
    assert found.name == "1 up CH3" and found.note == ""
    assert found.rates is not None and found.rates.a_to_b_per_s > 1.0
    assert set(found.stationary["kind"]) == {"minimum", "saddle"}
    assert len(found.path) > 10 and len(found.map) > 10
    assert "<svg" in found.draw().svg and "Chair A to chair B" in repr(found)


def test_what_a_flip_cannot_take_is_named(here: Path) -> None:
    (here / "study.toml").write_text('title = "a"\n[[molecule]]\nname = "b"\nsmiles = "CC1CCCCC1"\n')
    study = chairgap.read_study(Path("study.toml"))
    for arguments, keywords, words in (
        (("1 up CH3",), {"dynamics": 5}, "field 'dynamics': 5 steps are too few"),
        (("1 up CH3",), {"step_deg": 1.0}, "field 'step_deg': 1 is out of bounds; give 5 to 45."),
        (("study.toml",), {}, "Give the file of a study as pathlib.Path"),
        ((study,), {"temperature_k": 300.0}, "A study has its own temperature"),
        ((study,), {"only": "c"}, "There is no molecule 'c'; there are: 'b'."),
    ):
        with pytest.raises(InputError) as caught:
            chairgap.compute_flip(*arguments, **keywords)
        assert str(caught.value).startswith("compute_flip()") and words in str(caught.value)
    with pytest.raises(StudyError, match="There is no ring of six sp3 carbons"):
        chairgap.compute_flip("c1ccccc1")


def test_two_runs_at_once_in_threads(here: Path) -> None:
    """Neither in the main thread; the numbers are those of each alone, and the native libraries are given
    back the threads they had."""
    (here / "study.toml").write_text(STUDY.format(folder="out"))
    alone, threads_before = chairgap.run_study("study.toml"), native_threads()
    found: dict[str, chairgap.StudyResult] = {}

    def run(name: str) -> None:
        found[name] = chairgap.run_study("study.toml", output=name)

    threads = [threading.Thread(target=run, args=(name,)) for name in ("one", "two")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for name in ("one", "two"):
        assert found[name].to_frame().equals(alone.to_frame())
    assert native_threads() == threads_before


def native_threads() -> dict[str, int]:
    return {library["filepath"]: library["num_threads"] for library in threadpool_info()}


def test_the_last_thread_to_leave_gives_the_native_threads_back() -> None:
    """Else the first would free the other, which leaves its own limit behind for good."""
    before = native_threads()
    one, two = one_native_thread(), one_native_thread()
    one.__enter__()
    two.__enter__()
    one.__exit__(None, None, None)
    assert set(native_threads().values()) == {1}
    two.__exit__(None, None, None)
    assert native_threads() == before
