"""Every hostile workbook in turn, between two good sheets: it is refused or read, within bounds that the
system keeps (a hang or a hunger for memory ends the process and fails), and costs no other sheet."""

import resource
import subprocess
import sys
from pathlib import Path

import pytest
from hostile_books import BOOKS

KEY = "item,molecule,quantity,claimed\n1,1 up CH3,gap,1.74\n"
SHEET = "item,quantity,claimed\n1,gap,1.74\n"
MOST_CPU_S, MOST_BYTES = 25, 3_000_000_000


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_CPU, (MOST_CPU_S, MOST_CPU_S))
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def ran(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "chairgap", *words],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=_bounded,
    )


@pytest.mark.parametrize("name", BOOKS)
def test_a_hostile_workbook_costs_itself_alone(tmp_path: Path, name: str) -> None:
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    (tmp_path / "key.csv").write_text(KEY)
    for good in ("a", "c"):
        (sheets / f"{good}.csv").write_text(SHEET)
    (sheets / "b.xlsx").write_bytes(BOOKS[name]())
    done = ran(tmp_path, "key", "students", "key.csv", "sheets", "--output", "out")
    assert done.returncode in (0, 1), (done.returncode, done.stderr[-500:])
    assert "Traceback" not in done.stderr and "root:" not in done.stdout
    marks = (tmp_path / "out" / "students_summary.csv").read_text()
    assert "\na,1," in marks and "\nc,1," in marks
    assert ("\nb," in marks) or "b.xlsx" in done.stdout


def test_there_are_enough_of_them() -> None:
    assert len(BOOKS) >= 60
