"""The sample under reports/ is what this version makes of its study.

`chairgap study configs/dimethyls.toml --output reports/sample/dimethyls` writes it anew.
"""

import csv
import hashlib
import io
import json
from pathlib import Path

import pytest

from chairgap.batch.store import STORE
from chairgap.run import run_study
from chairgap.study.reading import read_study
from chairgap.tables.shipped import read_tables
from texts_written import texts_written

ROOT = Path(__file__).resolve().parents[2]
STUDY = ROOT / "configs" / "dimethyls.toml"
SAMPLE = ROOT / "reports" / "sample" / "dimethyls"
MANIFEST = json.loads((SAMPLE / "manifest.json").read_text(encoding="utf-8"))


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def as_number(cell: str) -> float | None:
    try:
        return float(cell)
    except ValueError:
        return None


def test_manifest_belongs_to_the_files_the_study_and_the_tables() -> None:
    files = [file for file in SAMPLE.iterdir() if not file.name.startswith((STORE, "."))]
    kept = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in files}
    del kept["manifest.json"]
    assert kept == MANIFEST["file_sha256"]
    assert MANIFEST["study_text"] == STUDY.read_text(encoding="utf-8")
    assert MANIFEST["table_sha256"] == read_tables().checksums
    assert "/" not in MANIFEST["study_file"].removeprefix("configs/"), "no folder of the maker's machine"


@pytest.fixture(scope="module")
def fresh() -> dict[str, str]:
    return texts_written(run_study(read_study(STUDY), progress=lambda tick: None))


@pytest.mark.parametrize("name", ["gaps.csv", "ledger.csv", "positions.csv"])
def test_tables_are_those_of_this_version(name: str, fresh: dict[str, str]) -> None:
    kept, made = rows((SAMPLE / name).read_text(encoding="utf-8")), rows(fresh[name])
    assert len(kept) == len(made) > 6
    for before, now in zip(kept, made, strict=True):
        assert list(before) == list(now)
        for column, cell in before.items():
            number = as_number(cell)
            # Other library versions may move the last figures; words may not change.
            same = now[column] if number is None else pytest.approx(float(now[column]), rel=0.01, abs=0.01)
            assert (cell if number is None else number) == same, (before["name"], column)
