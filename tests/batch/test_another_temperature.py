"""A study computed at one temperature and run again at another: nothing is searched or minimised, and every
file has the bytes of a run at that temperature alone."""

from pathlib import Path

import pytest

from chairgap.batch import jobs
from chairgap.records import COMPUTING, RunState
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study
from study_files import SAME_BYTES

# Parts of three groups, a medium, and a search that its budget ends, whose late minima weigh by temperature.
STUDY = """title = "Warmer"
[search]
effort = "quick"
most_starts = 30
[conditions]
temperature_k = {kelvin}
medium_series = ["water"]
[[molecule]]
name = "three groups"
substituents = ["1 up F", "3 up Cl", "4 down F"]
[[molecule]]
name = "butyl"
substituents = ["1 up *CCCC"]
"""


def run(folder: Path, output: str, kelvin: float) -> list[RunState]:
    (folder / "study.toml").write_text(STUDY.format(kelvin=kelvin))
    seen: list[RunState] = []
    study = read_study(folder / "study.toml")
    with ran_in_folder(study, folder / output, RunOptions(workers=0), seen.append) as run:
        (_, butyl) = run.outcome.results
        assert butyl.late_shift_kcal_mol > 0.0
    return [state for state in seen if state.stage == COMPUTING]


def test_a_run_at_another_temperature_has_the_bytes_of_a_fresh_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run(tmp_path, "fresh", 350.0)
    run(tmp_path, "again", 298.15)
    before = {name: (tmp_path / "again" / name).read_bytes() for name in SAME_BYTES}
    monkeypatch.setattr(jobs, "computed_for_all", None)
    (only,) = run(tmp_path, "again", 350.0)
    assert only.kept == only.total == 7
    for name in SAME_BYTES:
        assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "fresh" / name).read_bytes(), name
    assert {name for name in SAME_BYTES if (tmp_path / "again" / name).read_bytes() != before[name]} >= {
        "gaps.csv",
        "anchored.csv",
        "conformers.csv",
        "solvents.csv",
    }
