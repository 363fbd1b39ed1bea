"""A study of patterns from the command line: every molecule in the tables, exit codes, nothing half done."""

import csv
from pathlib import Path

QUICK = "title = 'a'\n[search]\neffort = 'quick'\n"


def test_every_molecule_of_a_pattern_is_treated_and_one_refused_stops_none(chairgap, tmp_path: Path) -> None:
    text = QUICK + "[[pattern]]\ngroups = ['CH3', 'F', 'MgBr']\ncarbons = 1\n"
    (tmp_path / "set.toml").write_text(text)
    code, out, _ = chairgap("study", "set.toml", "--output", "made")
    assert code == 1
    assert "refused: 1 up MgBr: MMFF94 has no parameters for magnesium" in " ".join(out.split())
    with (tmp_path / "made" / "gaps.csv").open(encoding="utf-8", newline="") as file:
        rows = {row["name"]: row for row in csv.DictReader(file)}
    assert {name: row["status"] for name, row in rows.items()} == {
        "1 up CH3": "done",
        "1 up F": "done",
        "1 up MgBr": "refused",
    }


def test_too_many_molecules_stop_the_study_with_their_number(chairgap, tmp_path: Path) -> None:
    text = QUICK + "[[pattern]]\ngroups = ['CH3', 'F', 'Cl', 'Br', 'OH', 'CN', 'SH']\ncarbons = [5, 6]\n"
    (tmp_path / "set.toml").write_text(text)
    code, out, err = chairgap("study", "set.toml", "--output", "made")
    assert (code, out) == (2, "")
    assert err == (
        "Error: set.toml, line 4, field 'pattern[1]': This would be 454,608 molecules (135,142 with groups "
        "on 5; 319,466 with groups on 6), and a study takes at most 200,000 from its patterns. Take fewer "
        "groups or fewer carbons, or spread them over several studies.\n"
    )
    assert not (tmp_path / "made").exists()
