"""A study with a completed sum and a declared pair, from its file to its output: every file says where a term
comes from, and a changed value counts in the next run."""

import csv
import json
import re
from pathlib import Path

import pytest

from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.reading import read_study
from chairgap.text import typeset

STUDY = """title = "Completed"
[conditions]
temperature_k = 310.0
temperature_series_k = []
[search]
effort = "quick"
most_starts = 20
[estimate]
pairs = "{pairs}"
[[pair]]
groups = ["F", "Cl"]
relation = "trans-1,2"
value_kcal_mol = {value}
uncertainty_kcal_mol = 0.2
source = "lecture 4; page 2"
[[molecule]]
name = "declared"
substituents = ["1 up F, 2 down Cl"]
[[molecule]]
name = "computed"
substituents = ["1 up Cl, 4 down Cl"]
[[molecule]]
name = "published"
substituents = ["1 up CH3, 2 down CH3"]
"""


def run(home: Path, output: Path, value: float, pairs: str = "completed") -> None:
    home.mkdir(exist_ok=True)
    (home / "study.toml").write_text(STUDY.format(value=value, pairs=pairs))
    with ran_in_folder(read_study(home / "study.toml"), output, RunOptions(workers=0)):
        pass


def rows(output: Path, name: str) -> list[dict[str, str]]:
    with (output / name).open(newline="") as file:
        return list(csv.DictReader(file))


def column(row: dict[str, str], start: str) -> str:
    return next(cell for header, cell in row.items() if header.startswith(start))


@pytest.fixture(scope="module")
def output(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("completed")
    run(home / "study", home / "out", -0.9)
    return home / "out"


def test_the_ledger_says_where_each_term_comes_from_and_adds_up(output: Path) -> None:
    ledger = rows(output, "ledger.csv")
    gaps = {row["name"]: row for row in rows(output, "gaps.csv")}
    added = {row["name"]: row for row in ledger if row["chair"] == ""}
    assert set(added) == {"declared", "computed"}
    mine, mp2 = added["declared"], added["computed"]
    assert (mine["origin"], mine["source"], mine["medium"]) == ("declared by you", "lecture 4; page 2", "")
    assert (mp2["origin"], mp2["kind"]) == ("computed, MP2/def2-TZVP", "pair, trans-1,4")
    assert (mp2["medium"], mp2["temperature_k"]) == ("gas phase", "298.15")
    for name, row in gaps.items():
        of_name = [line for line in ledger if line["name"] == name]
        for sums, total in (("hand sum", "estimate_gap"), ("completed sum", "completed_sum_gap")):
            lines = [line for line in of_name if line["counts_in"] in (sums, "both sums")]
            contributions = (float(column(line, "contribution_to")) for line in lines)
            assert float(column(row, total)) == pytest.approx(sum(contributions), abs=1e-4), (name, sums)


def test_hand_sum_as_taught_stays_and_the_anchored_gap_takes_the_declared_value(output: Path) -> None:
    gaps = {row["name"]: row for row in rows(output, "gaps.csv")}
    assert gaps["declared"]["estimate_complete"] == "no"
    assert gaps["published"]["completed_sum_gap_B_minus_A_kcal_mol_positive_favours_A"] == column(
        gaps["published"], "estimate_gap"
    )
    (part,) = [row for row in rows(output, "anchored.csv") if row["part"] == "declared pair"]
    assert float(column(part, "contribution_to")) == pytest.approx(-0.9)
    assert (part["name"], part["origin"]) == ("declared", "lecture 4; page 2")


@pytest.mark.parametrize("name", ["report.md", "page.html"])
def test_report_and_page_show_lines_and_subtotals(output: Path, name: str) -> None:
    text = re.sub(r"<[^>]*>|\\", " ", (output / name).read_text())
    for words in (
        "Completed sum G(B) - G(A)",
        "computed, MP2/def2-TZVP",
        "gas phase, 298.15 K",
        "declared by you: lecture 4; page 2",
        "subtotal: A-values, published",
        "subtotal: pairs, declared by you",
        "Nothing was added",
        "F/Cl trans-1,2 as you declared it",
    ):
        assert typeset(words) in text, words


def test_the_manifest_holds_what_was_declared(output: Path) -> None:
    settings = json.loads((output / "manifest.json").read_text())["settings"]
    assert settings["pairs"] == "completed"
    assert settings["declared_pairs"] == [
        {
            "group_1": "F",
            "group_2": "Cl",
            "relation": "trans-1,2",
            "value_kcal_mol": -0.9,
            "uncertainty_kcal_mol": 0.2,
            "source": "lecture 4; page 2",
            "medium": "",
        }
    ]


def test_another_declared_value_counts_in_the_next_run_in_the_same_folder(tmp_path: Path) -> None:
    run(tmp_path / "study", tmp_path / "out", -0.9)
    before = {row["name"]: row for row in rows(tmp_path / "out", "gaps.csv")}
    run(tmp_path / "study", tmp_path / "out", -0.4)
    after = {row["name"]: row for row in rows(tmp_path / "out", "gaps.csv")}
    for total in ("anchored_gap", "completed_sum_gap"):
        moved = float(column(after["declared"], total)) - float(column(before["declared"], total))
        assert moved == pytest.approx(0.5, abs=2e-4)
    assert after["computed"] == before["computed"] and after["published"] == before["published"]
    assert column(after["declared"], "gibbs_gap") == column(before["declared"], "gibbs_gap")


def test_with_published_pairs_alone_only_the_declared_one_is_added(output: Path, tmp_path: Path) -> None:
    run(tmp_path / "study", tmp_path / "out", -0.9, "published")
    completed = [row for row in rows(tmp_path / "out", "ledger.csv") if row["chair"] == ""]
    assert [row["name"] for row in completed] == ["declared"]
    before, after = (
        {row["name"]: row for row in rows(folder, "gaps.csv")} for folder in (output, tmp_path / "out")
    )
    for name, row in after.items():
        for total in ("anchored_gap", "estimate_gap", "gibbs_gap"):
            assert column(row, total) == column(before[name], total)
