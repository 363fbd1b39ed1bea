"""What odd input may show, and with which exit code; found by `tests/fuzz/`."""

import json
import os
from pathlib import Path

import pytest

from chairgap.cli.app import MOST_PROBLEMS_SHOWN

STUDY = "title = 'Week 3'\n[search]\neffort = 'quick'\n[[molecule]]\nname = 'methyl'\nsmiles = 'CC1CCCCC1'\n"
TABLE = "group,fragment,value_kcal_mol\n"


@pytest.mark.parametrize(
    "words",
    [
        ["molecule", "CC1CCCCC1", "--solvent", "\x1b[31m"],
        ["tables", "\x1b[31m.csv"],
        ["study", "\x1b[31m.toml"],
        ["molecule", "1 up CH3", "--table", "\u202e.csv"],
        ["key", "check", "\x07.csv"],
    ],
)
def test_no_error_steers_the_terminal(chairgap, words) -> None:
    code, out, err = chairgap(*words)
    assert (code, out) == (2, "") and err.startswith("Error: ")
    assert all(letter.isprintable() for letter in err.replace("\n", ""))


def test_folders_and_tables_are_reported_by_code_points(chairgap, tmp_path: Path) -> None:
    (tmp_path / "study.toml").write_text(STUDY, encoding="utf-8")
    code, out, _ = chairgap("molecule", "1 up CH3", "--effort", "quick", "--output", "\x1b[31mout")
    assert code == 0 and "\x1b" not in out and "Written to \\u001b[31mout: gaps.csv" in out
    (tmp_path / "\x1b.csv").write_text(f"{TABLE}CH3,*C,1.7\n", encoding="utf-8")
    code, out, _ = chairgap("tables", "\x1b.csv", "--check")
    assert code == 0 and out.startswith("Table '\\u001b.csv' is sound: 1 groups, ")


def test_a_file_name_that_is_no_utf_8_stops_no_study(chairgap, tmp_path: Path) -> None:
    name = os.fsdecode(b"week\xff.toml")
    (tmp_path / name).write_text(STUDY, encoding="utf-8")
    code, _, err = chairgap("study", name, "--output", "out", "--workers", "0")
    assert (code, err) == (0, "")
    manifest = json.loads((tmp_path / "out" / "manifest.json").read_text(encoding="utf-8"))
    assert manifest["study_file"] == name


def test_of_many_problems_the_first_are_shown_and_the_rest_counted(chairgap, tmp_path: Path) -> None:
    (tmp_path / "own.csv").write_text(TABLE + ",,\n,*C\n" * 200, encoding="utf-8")
    code, _, err = chairgap("tables", "own.csv")
    *shown, last = err.splitlines()
    assert code == 2 and len(shown) == MOST_PROBLEMS_SHOWN == 50
    assert last == "Error: 150 more are not shown. Correct these first, and run again."


def test_problems_of_a_table_keep_their_file_and_row_on_the_command_line(chairgap, tmp_path: Path) -> None:
    """They were told as if they stood on the command line."""
    (tmp_path / "own.csv").write_text(f"{TABLE}CH3,*C,much\n", encoding="utf-8")
    code, _, err = chairgap("molecule", "1 up CH3", "--table", "own.csv")
    assert code == 2 and err.startswith(
        "Error: own.csv, row 2, column value_kcal_mol: 'much' is not a number."
    )


def test_a_check_of_a_table_reads_its_fragments(chairgap, tmp_path: Path) -> None:
    """Such a table was called sound, and stopped every study that named it."""
    (tmp_path / "own.csv").write_text(f"{TABLE}CH3,*C,1.7\nodd,*C(,1.0\n", encoding="utf-8")
    code, out, err = chairgap("tables", "own.csv", "--check")
    assert (code, out) == (2, "")
    assert err.startswith("Error: own.csv, field 'fragment': Group 'odd': The fragment '*C(' cannot be read")


@pytest.mark.parametrize(
    "words",
    [
        ["study", "n" * 300],
        ["tables", "n" * 300],
        ["molecule", "1 up CH3", "--table", "n" * 300],
        ["key", "check", "n" * 300 + ".csv"],
        ["key", "mark", "key.csv", "n" * 300],
        ["key", "template", "1 up CH3", "--file", "n" * 300],
        ["demo", "n" * 300],
    ],
)
def test_a_name_that_no_file_can_have_is_an_error_of_the_user(chairgap, words) -> None:
    """The file system says so by an OSError, which some commands took for a slip of ours."""
    code, out, err = chairgap(*words)
    assert (code, out) == (2, "") and err.splitlines()[-1].startswith("Error: ") and err.endswith(".\n")


def test_a_key_with_characters_of_a_terminal_is_checked_to_the_end(chairgap, tmp_path: Path) -> None:
    header = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
    rows = '1\x1b,"1 up CH3, 2 down CH3",relation,1-2,,trans,,,,\n2,,relation,1-2,,\x07cis,,,,\n'
    (tmp_path / "key.csv").write_text(header + rows, encoding="utf-8")
    code, out, err = chairgap("key", "check", "key.csv", "--output", "out")
    assert code == 1 and "\x1b" not in out + err and "\x07" not in out + err
    assert (tmp_path / "out" / "key_annotated.xlsx").is_file()
