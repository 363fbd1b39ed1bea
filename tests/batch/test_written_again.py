"""What has not changed is not written again, and what is written again has the bytes of a first writing; the
same by any number of workers; tables only."""

import gzip
import json
import shutil
import sqlite3
import subprocess
import sys
from contextlib import chdir
from pathlib import Path

import pytest
from running import contents

from chairgap import running
from chairgap.batch import made_from, stages
from chairgap.errors import InputError
from chairgap.files import MANIFEST, shipped_folder
from chairgap.records import Record, Study, Task
from chairgap.running import FinishedRun, RunOptions, ran_in_folder
from chairgap.study.reading import read_study
from chairgap.study_output.unchanged import unchanged
from study_files import STUDY_FILES

STUDY = """title = "{title}"
[verdict]
undecided_below_kcal_mol = {undecided}
[estimate]
table = "course.csv"
[search]
effort = "quick"
[output]
page = {page}
[[molecule]]
name = "one"
substituents = ["1 up F"]
[[molecule]]
name = "two"
substituents = ["1 up Cl"]
{more}"""
THIRD = '[[molecule]]\nname = "three"\nsubstituents = ["1 up F", "1 down F"]\n'
REFUSED = '[[molecule]]\nname = "four"\nsubstituents = ["9 up F"]\n'
TABLE = "group,fragment,value_kcal_mol,source\nF,*F,{f},the course\nCl,*Cl,0.5,the course\n"
STRUCTURES = "conformers.sdf.gz"


def write_study(home: Path, *, f: float = 0.25, **changes: str) -> Path:
    values = {"title": "Written once", "undecided": "0.3", "page": "false", "more": ""} | changes
    home.mkdir(exist_ok=True)
    (home / "study.toml").write_text(STUDY.format(**values))
    (home / "course.csv").write_text(TABLE.format(f=f))
    return Path("study.toml")  # from its folder, as a user: the manifest names it


def run(study: Path, output: Path, workers: int = 0, *, fresh: bool = False) -> FinishedRun:
    with ran_in_folder(read_study(study), output, RunOptions(workers=workers, fresh=fresh)) as ran:
        return ran


def files_in(folder: Path) -> dict[str, tuple[int, bytes]]:
    """When each file was last changed, and its bytes; the store is no output."""
    kept = ("computed.sqlite", ".chairgap.unfinished", ".chairgap.lock")
    paths = sorted(path for path in folder.iterdir() if not path.name.startswith(kept))
    return {path.name: (path.stat().st_mtime_ns, path.read_bytes()) for path in paths}


def outputs_in(folder: Path) -> dict[str, bytes]:
    """The bytes of every output; the manifest has the time, and the record its checksum."""
    return {
        name: content
        for name, (_, content) in files_in(folder).items()
        if name not in (MANIFEST, ".chairgap.json")
    }


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A study, run once; tables only."""
    home = tmp_path_factory.mktemp("once")
    with chdir(home):
        assert not run(write_study(home), home / "out").as_before
    return home


@pytest.fixture
def home(once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The same in a folder of its own, and there we are."""
    made = shutil.copytree(once, tmp_path / "home")
    monkeypatch.chdir(made)
    return made


def test_a_run_with_nothing_new_touches_no_file_and_shows_the_same(home: Path) -> None:
    before = files_in(home / "out")
    first = run(write_study(home), home / "out")
    again = run(write_study(home), home / "out")
    assert first.as_before and again.as_before
    assert files_in(home / "out") == before
    assert first.overview == again.overview and [row.name for row in again.overview.rows] == ["one", "two"]
    assert again.overview.tally.molecules == 2
    assert {path.name for path in again.paths} == set(before) - {".chairgap.json"}


@pytest.mark.parametrize(
    "changes",
    [
        {"title": "Another title"},
        {"undecided": "0.6"},
        {"f": 0.75},
        {"more": THIRD},
        {"more": REFUSED},
        {"more": "[conditions]\ntemperature_k = 350.0\n"},
        {"more": "# a remark, which the manifest quotes\n"},
    ],
    ids=["title", "threshold", "table", "molecule", "refused", "temperature", "text"],
)
def test_whatever_the_files_are_made_from_writes_them_anew(home: Path, changes: dict[str, str]) -> None:
    """And anew means the bytes of a study that was never run before."""
    study = write_study(home, **changes)
    before = (home / "out" / MANIFEST).read_bytes()
    assert not run(study, home / "out").as_before
    assert (home / "out" / MANIFEST).read_bytes() != before
    kept = outputs_in(home / "out")
    for name in (*kept, MANIFEST, ".chairgap.json"):
        (home / "out" / name).unlink()
    assert not run(study, home / "out").as_before
    assert outputs_in(home / "out") == kept
    assert run(study, home / "out").as_before


def test_a_file_that_was_removed_is_written_anew(home: Path) -> None:
    before = outputs_in(home / "out")
    for name in ("gaps.csv", MANIFEST):
        (home / "out" / name).unlink()
        assert not run(write_study(home), home / "out").as_before
        assert outputs_in(home / "out") == before


def test_a_file_that_the_user_altered_is_never_written_over_and_written_anew_once_moved(home: Path) -> None:
    before = outputs_in(home / "out")
    gaps = home / "out" / "gaps.csv"
    gaps.write_bytes(gaps.read_bytes() + b"my remark\n")
    with pytest.raises(InputError, match=r"gaps\.csv: This file is not as chairgap left it"):
        run(write_study(home), home / "out")
    gaps.rename(home / "mine.csv")
    assert not run(write_study(home), home / "out").as_before
    assert outputs_in(home / "out") == before


def test_a_result_computed_again_that_comes_out_the_same_writes_nothing(home: Path) -> None:
    """It was altered in the store, which is noticed."""
    before = files_in(home / "out")
    with sqlite3.connect(home / "out" / "computed.sqlite") as store:
        store.execute("UPDATE record SET content = x'00' WHERE rowid = 1")
    store.close()
    ran = run(write_study(home), home / "out")
    assert ran.as_before and ran.notes[0].startswith("The store held 1 value that")
    assert files_in(home / "out") == before


def test_a_fresh_start_writes_all_anew_with_the_same_bytes(home: Path) -> None:
    """What was shown went with the store."""
    before, made = outputs_in(home / "out"), manifest_value(home / "out", "made_from")
    assert not run(write_study(home), home / "out", fresh=True).as_before
    assert outputs_in(home / "out") == before and manifest_value(home / "out", "made_from") == made


def test_a_result_that_comes_out_otherwise_writes_all_anew(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failed(shared: Study, task: Task) -> Record:
        return Record(state="failed", message="made to fail")

    with sqlite3.connect(home / "out" / "computed.sqlite") as store:
        store.execute("DELETE FROM record WHERE rowid = 1")
    store.close()
    monkeypatch.setattr(stages, "compute_task", failed)
    assert not run(write_study(home), home / "out").as_before
    assert b"made to fail" in outputs_in(home / "out")["gaps.csv"]


def test_data_of_another_installation_write_anew(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The parts that ship are in no task, and templates are no sources."""
    data = shutil.copytree(shipped_folder("data") or home, home / "data")
    monkeypatch.setattr(made_from, "shipped_folder", lambda name: data)
    for altered in (False, True):
        if altered:
            with (data / "parts" / "made_with.json").open("a") as file:
                file.write(" ")
        made_from._program.cache_clear()
        assert run(write_study(home), home / "out").as_before == (not altered)
    made_from._program.cache_clear()


@pytest.mark.parametrize("note", ["", "no key at all", "{key} bm90aGluZw==", "{key} \u20ac"])
def test_an_overview_that_is_not_as_it_was_kept_is_made_anew(home: Path, note: str) -> None:
    key = run(write_study(home), home / "out")
    with sqlite3.connect(home / "out" / "computed.sqlite") as store:
        ((kept,),) = store.execute("SELECT value FROM note WHERE name = 'overview'").fetchall()
        value = note.replace("{key}", kept.split()[0])
        store.execute("UPDATE note SET value = ? WHERE name = 'overview'", (value,))
    store.close()
    again = run(write_study(home), home / "out")
    assert not again.as_before and again.overview == key.overview


KILLED = """
import os, sys
from pathlib import Path
from chairgap.files import writing
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study
exchange = writing._exchange
def killed(folder, names, stale):
    exchange(folder, names[: names.index("manifest.json") + 1], stale)
    os._exit(9)
writing._exchange = killed
with ran_in_folder(read_study(Path("study.toml")), Path("out"), RunOptions(workers=0)):
    pass
"""


def test_what_a_run_leaves_that_is_killed_while_it_exchanges_files_is_not_taken_for_whole(home: Path) -> None:
    """The manifest is the new one already, the report still the old one."""
    before = outputs_in(home / "out")
    names = [path.name for path in run(write_study(home), home / "out").paths]
    study = write_study(home, title="Another title")
    assert subprocess.run([sys.executable, "-c", KILLED], cwd=home, check=False).returncode == 9
    mixed = outputs_in(home / "out")
    assert mixed["report.md"] == before["report.md"]
    key = manifest_value(home / "out", "made_from")
    assert not unchanged(home / "out", names, key)
    assert not run(study, home / "out").as_before
    assert manifest_value(home / "out", "made_from") == key and unchanged(home / "out", names, key)
    assert b"Another title" in outputs_in(home / "out")["report.md"]


def manifest_value(folder: Path, name: str) -> str:
    return str(json.loads((folder / MANIFEST).read_text())[name])


# --- tables only -----------------------------------------------------------------------------------------


def test_tables_only_are_the_tables_of_a_run_with_a_page_and_what_is_left_says_so(home: Path) -> None:
    tables = outputs_in(home / "out")
    run(write_study(home, page="true"), home / "out")
    whole = outputs_in(home / "out")
    assert {*whole, MANIFEST, ".chairgap.json", "computed.sqlite"} == STUDY_FILES
    assert set(whole) ^ set(tables) == {"page.html", "conformers.sdf", STRUCTURES}
    for name in tables:
        if name.endswith((".csv", ".bib")):
            assert tables[name] == whole[name], name
    assert gzip.decompress(tables[STRUCTURES]) == whole["conformers.sdf"]
    assert "Tables only, as asked for" in tables["report.md"].decode()
    assert "Tables only" not in whole["report.md"].decode()


@pytest.mark.parametrize(
    ("said", "option", "page"), [("true", "--no-page", False), ("false", "--page", True)]
)
def test_the_command_line_has_the_last_word_on_the_page(
    home: Path, chairgap, monkeypatch: pytest.MonkeyPatch, said: str, option: str, page: bool
) -> None:
    monkeypatch.chdir(home)  # `chairgap` begins in a folder of its own
    write_study(home, page=said)
    code, out, _ = chairgap("study", "study.toml", "--output", "out", "--workers", "0", "--quiet", option)
    assert code == 0 and ("page.html" in out) == page
    assert (home / "out" / "page.html").exists() == page
    assert (home / "out" / STRUCTURES).exists() != page
    code, out, _ = chairgap("study", "study.toml", "--output", "out", "--workers", "0", "--quiet", option)
    assert code == 0 and out.strip().startswith("Nothing is new; as written before to out: ")


# --- by workers ------------------------------------------------------------------------------------------


def test_workers_write_what_the_program_writes_alone(
    home: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Report, page and tables; few molecules, which go to workers here as twenty do. The long form: below."""
    study = write_study(home, page="true", more=THIRD)
    run(study, home / "out")
    alone = contents(home / "out")
    monkeypatch.setattr(running, "_LEAST_SHARED_OUT", 1)
    for name in (*alone, MANIFEST, ".chairgap.json"):
        (home / "out" / name).unlink()
    assert not run(study, home / "out", workers=2).as_before
    assert contents(home / "out") == alone


@pytest.mark.long
def test_any_number_of_workers_writes_twenty_molecules_alike(tmp_path: Path) -> None:
    study = tmp_path / "study.toml"
    study.write_text(
        'title = "More"\n[search]\neffort = "quick"\n[[pattern]]\ngroups = ["F", "Cl"]\ncarbons = [1, 2]\n'
    )
    found = [run(study, tmp_path / f"out{workers}", workers) for workers in (0, 1, 3)]
    assert len(found[0].overview.rows) >= running._LEAST_SHARED_OUT
    assert found[0].overview == found[1].overview == found[2].overview
    alone, *shared = (contents(tmp_path / f"out{workers}") for workers in (0, 1, 3))
    assert shared == [alone, alone]
