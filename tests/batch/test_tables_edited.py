"""Tables edited or deleted while a study runs: the run is that of the tables it began with, to the last byte,
and its manifest says so."""

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from chairgap.batch.store import STORE
from chairgap.files import system
from chairgap.records import COMPUTING, READING, WRITING, RunState
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study
from study_files import SAME_BYTES

TABLE = "group,fragment,value_kcal_mol\nMe,*C,{me}\nF,*F,0.36\nCl,*Cl,0.53\nOH,*O,0.9\nCN,*C#N,0.2\n"
INTERACTIONS = "kind,group_1,group_2,form,value_kcal_mol\nvicinal gauche,Me,F,excess,{me}\n"
FEW = ("1 up Me, 2 up F", "1 up F", "1 up Cl", "1 up CN", "1 up OH")
# One ring under 205 names: computed once, read from the store again for each of them.
MANY = ("1 up Me, 2 up F",) * 205


def written(folder: Path, molecules: tuple[str, ...], solvent: str = "gas phase") -> Path:
    """A study with a table of its own; the study file."""
    folder.mkdir()
    (folder / "course.csv").write_text(TABLE.format(me=1.8))
    (folder / "course_interactions.csv").write_text(INTERACTIONS.format(me=0.4))
    blocks = "".join(
        f'[[molecule]]\nname = "no. {number}"\nsubstituents = ["{groups}"]\n'
        for number, groups in enumerate(molecules, start=1)
    )
    (folder / "study.toml").write_text(
        'title = "Edited"\n[estimate]\ntable = "course.csv"\n[search]\neffort = "quick"\nmost_starts = 20\n'
        f'[conditions]\nmedium = "{solvent}"\ntemperature_series_k = []\n{blocks}'
    )
    return folder / "study.toml"


def run(study: Path, output: Path, workers: int, at_first: Callable[[], None], stage: str) -> Path:
    """The study in an output folder, with something done when a stage begins."""
    stages: list[str] = []

    def progress(state: RunState) -> None:
        if state.stage == stage and stage not in stages:
            at_first()
        stages.append(state.stage)

    with ran_in_folder(read_study(study), output, RunOptions(workers=workers), progress):
        assert stage in stages
    return output


def assert_same(one: Path, other: Path) -> None:
    for name in SAME_BYTES:
        assert (one / name).read_bytes() == (other / name).read_bytes(), name
    first, second = (json.loads((folder / "manifest.json").read_text()) for folder in (one, other))
    for changing in ("finished_utc", "wall_seconds"):
        del first[changing], second[changing]
    assert first == second


def edited(study: Path) -> None:
    (study.parent / "course.csv").write_text(TABLE.format(me=3.1))
    (study.parent / "course_interactions.csv").write_text(INTERACTIONS.format(me=1.1))


def deleted(study: Path) -> None:
    (study.parent / "course.csv").unlink()
    (study.parent / "course_interactions.csv").unlink()


def broken(study: Path) -> None:
    (study.parent / "course.csv").write_text("no table\n")


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The study of five and its run in peace."""
    home = tmp_path_factory.mktemp("few")
    study = written(home / "study", FEW)
    return study, run(study, home / "out", 0, lambda: None, READING)


@pytest.mark.parametrize(("edit", "stage"), [(edited, READING), (deleted, COMPUTING), (broken, COMPUTING)])
def test_a_users_table_edited_while_five_molecules_run_changes_nothing(
    few: tuple[Path, Path], tmp_path: Path, edit: Callable[[Path], None], stage: str
) -> None:
    study, peace = few
    before = {name: (study.parent / name).read_bytes() for name in ("course.csv", "course_interactions.csv")}
    try:
        assert_same(run(study, tmp_path / "out", 0, lambda: edit(study), stage), peace)
    finally:
        for name, content in before.items():
            (study.parent / name).write_bytes(content)
    found = json.loads((tmp_path / "out" / "manifest.json").read_text())["table_sha256"]
    for name, content in before.items():
        assert found[str(study.parent / name)] == hashlib.sha256(content).hexdigest()


@pytest.mark.parametrize(
    ("edit", "stage", "workers"),
    [
        pytest.param(deleted, WRITING, 0, marks=pytest.mark.long),
        pytest.param(edited, COMPUTING, 1, marks=pytest.mark.long),
    ],
)
def test_a_users_table_edited_while_205_molecules_run_changes_nothing(
    many: tuple[Path, Path], tmp_path: Path, edit: Callable[[Path], None], stage: str, workers: int
) -> None:
    """More than are held in memory: results are judged when they are written, here or in another process."""
    study, peace = many
    (tmp_path / "out").mkdir()
    shutil.copyfile(peace / STORE, tmp_path / "out" / STORE)  # nothing is computed again
    before = {name: (study.parent / name).read_bytes() for name in ("course.csv", "course_interactions.csv")}
    try:
        assert_same(run(study, tmp_path / "out", workers, lambda: edit(study), stage), peace)
    finally:
        for name, content in before.items():
            (study.parent / name).write_bytes(content)


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The study of 205 and its run in peace."""
    home = tmp_path_factory.mktemp("many")
    study = written(home / "study", MANY)
    return study, run(study, home / "out", 0, lambda: None, READING)


def test_an_edit_between_two_runs_counts(few: tuple[Path, Path], tmp_path: Path) -> None:
    """Else the tests above could not fail."""
    study = written(tmp_path / "study", FEW)
    edited(study)
    out = run(study, tmp_path / "out", 0, lambda: None, READING)
    assert (out / "gaps.csv").read_bytes() != (few[1] / "gaps.csv").read_bytes()


def test_shipped_tables_deleted_while_a_study_runs_change_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sources, radii against the solvent and scorecard, in an installation that is taken away meanwhile."""
    data = tmp_path / "site" / "chairgap" / "data"
    shutil.copytree(Path(__file__).parents[2] / "data", data)
    monkeypatch.setattr(system, "__file__", str(data.parent / "files" / "system.py"))
    study = written(tmp_path / "study", FEW[:2], "water")
    (study.parent / "course_interactions.csv").unlink()
    peace = run(study, tmp_path / "peace", 0, lambda: None, READING)
    assert_same(run(study, tmp_path / "out", 0, lambda: shutil.rmtree(data), READING), peace)
