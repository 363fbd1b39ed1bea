"""Hostile workbooks among good sheets: each is refused or read, within bounds that the system keeps (a hang
or a hunger for memory ends the process and fails), and costs no other sheet."""

import resource
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from hostile_books import BOOKS

KEY = "item,molecule,quantity,claimed\n1,1 up CH3,gap,1.74\n"
SHEET = "item,quantity,claimed\n1,gap,1.74\n"
MOST_CPU_S, MOST_BYTES = 60, 3_000_000_000


def _bounded() -> None:
    # Of each process by itself; the one that reads workbooks sets its own, which are closer.
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, resource.RLIM_INFINITY))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def class_marked(folder: Path, names: Sequence[str]) -> None:
    sheets = folder / "sheets"
    sheets.mkdir()
    (folder / "key.csv").write_text(KEY)
    good = ("a", *(f"b{number:03}-good" for number in range(len(names))), "c")
    for name in good:
        (sheets / f"{name}.csv").write_text(SHEET)
    for number, name in enumerate(names):
        (sheets / f"b{number:03}.xlsx").write_bytes(BOOKS[name]())
    done = subprocess.run(
        [sys.executable, "-m", "chairgap", "key", "mark", "key.csv", "sheets", "--output", "out"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=_bounded,
    )
    assert done.returncode in (0, 1), (done.returncode, done.stderr[-500:])
    assert "Traceback" not in done.stderr and "root:" not in done.stdout
    marks = (folder / "out" / "students_summary.csv").read_text()
    for name in good:
        assert f"\n{name},1," in marks
    for number, name in enumerate(names):
        assert f"\nb{number:03}," in marks or f"b{number:03}.xlsx" in done.stdout, name


def test_hostile_workbooks_cost_nobody_else(tmp_path: Path) -> None:
    class_marked(tmp_path, list(BOOKS))


@pytest.mark.long
@pytest.mark.parametrize("name", BOOKS)
def test_a_hostile_workbook_costs_itself_alone(tmp_path: Path, name: str) -> None:
    class_marked(tmp_path, [name])


def test_there_are_enough_of_them() -> None:
    assert len(BOOKS) >= 60


_READ = """
import sys
from pathlib import Path
from chairgap.errors import StudyError
from chairgap.study.reading import read_study
try:
    study = read_study(Path("study.toml"))
except StudyError as error:
    print(error)
else:
    print(*study.notes, *(request.name for request in study.requests), sep="\\n")
"""


def study_read(folder: Path, names: Sequence[str]) -> None:
    """Each workbook in a list of a study's tables is named as no table, or passed over, within the bounds."""
    files = [f"b{number:03}.xlsx" for number in range(len(names))]
    for file, name in zip(files, names, strict=True):
        (folder / file).write_bytes(BOOKS[name]())
    for good in ("a.csv", "c.csv"):
        (folder / good).write_text(f"name,smiles\n{good},CC1CCCCC1\n")
    listed = ", ".join(f'"{file}"' for file in ("a.csv", *files, "c.csv"))
    (folder / "study.toml").write_text(f'title = "Week 3"\nmolecules_csv = [{listed}]\n')
    done = subprocess.run(
        [sys.executable, "-c", _READ],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=_bounded,
    )
    assert done.returncode == 0 and not done.stderr, (done.returncode, done.stderr[-500:])
    assert "root:" not in done.stdout
    for file, name in zip(files, names, strict=True):
        assert file in done.stdout, name
    assert "a.csv, row" not in done.stdout and "c.csv, row" not in done.stdout


QUICK = (
    *("merged sheet", "entities in entities", "entity of a file", "cell far away", "encrypted", "nothing"),
    *("text renamed", "archive cut short", "sizes that lie", "two thousand sheets on one part"),
)


def test_hostile_workbooks_are_no_tables_of_molecules(tmp_path: Path) -> None:
    study_read(tmp_path, QUICK)


@pytest.mark.long
def test_no_hostile_workbook_is_a_table_of_molecules(tmp_path: Path) -> None:
    study_read(tmp_path, list(BOOKS))
