"""A folder of sheets as students hand it in: rows twice or astray, empty cells, ids used twice."""

import csv
import io
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from chairgap.answer_key.files.students import (
    CLAIMS,
    PER_CLAIM,
    SUMMARY,
    MarkedFolder,
    mark_folder,
)
from chairgap.cli import app as cli

KEY = (
    "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points\n"
    '1,"1 up CH3, 2 down CH3",gap,,,2.61,kcal/mol,0.05,2\n'
    ",,position,2,1e 2e,equatorial,,,1\n"
    ",,position,2,1a 2a,axial,,,1\n"
    ",,flip,,1e 2e,1a 2a,,,1\n"
    ",,relation,1-2,,trans,,,1.5\n"
)
HEADER = "item,quantity,carbon,chair,claimed\n"
FULL = (
    "1,gap,,,2.61\n1,position,2,1e 2e,e\n1,position,2,1a 2a,a\n1,flip,,1e 2e,1a 2a\n1,relation,1-2,,trans\n"
)


def marked(folder: Path, **sheets: str) -> MarkedFolder:
    (folder / "key.csv").write_text(KEY)
    home = folder / "sheets"
    home.mkdir(exist_ok=True)
    for name, text in sheets.items():
        (home / f"{name}.csv").write_text(HEADER + text)
    return mark_folder(folder / "key.csv", home)


def outcomes(found: MarkedFolder, student: str = "s1") -> list[str]:
    return [item.outcome for item in found.marks if item.student == student]


def test_rows_match_in_any_order_spelling_and_order_of_carbons(tmp_path: Path) -> None:
    text = (
        '1,relation,2-1,,trans\n1,FLIP,,2e 1e,1a 2a\n1,position,2,"1A, 2A",a\n'
        "1,position,2,1e2e,e\n1,gap,,stable,2.61\n"
    )
    found = marked(tmp_path, s1=text)
    assert not found.problems and outcomes(found) == ["right"] * 5


def test_a_row_without_chair_matches_the_only_claim_of_its_kind(tmp_path: Path) -> None:
    found = marked(tmp_path, s1="1,flip,,,1a 2a\n1,position,2,,e\n")
    assert outcomes(found) == ["missing", "missing", "missing", "right", "missing"]
    (problem,) = found.problems
    assert "asks for no 'position' of item '1'" in str(problem) and "s1.csv" in str(problem)


def test_different_answers_to_one_claim_are_never_chosen_from(tmp_path: Path) -> None:
    found = marked(tmp_path, s1=FULL + "1,gap,,,3.48\n1,relation,1-2,,trans\n")
    assert outcomes(found) == ["unreadable", *["right"] * 4]
    assert found.marks[0].given == "2.61; 3.48" and found.marks[0].points == 0.0
    assert "s1.csv, row 2, column claimed, s1.csv, row 7, column claimed" in found.marks[0].words


def test_an_empty_cell_is_an_answer_not_given(tmp_path: Path) -> None:
    found = marked(tmp_path, s1="1,gap,,,\n1,flip,,1e 2e, \n", s2=FULL)
    assert not found.problems
    assert outcomes(found) == ["missing"] * 5 and outcomes(found, "s2") == ["right"] * 5


def test_an_unreadable_row_is_reported_and_the_others_go_on(tmp_path: Path) -> None:
    found = marked(tmp_path, s1="1,gap,9,,2.61\n1,relation,1-2,,trans\n")
    assert outcomes(found) == ["missing"] * 4 + ["right"]
    (problem,) = found.problems
    assert "s1.csv, row 2, column carbon" in str(problem) and "is not a ring carbon" in str(problem)


def test_an_id_counts_once_and_left_over_files_are_passed_over(tmp_path: Path) -> None:
    marked(tmp_path, s1=FULL)
    book = openpyxl.Workbook()
    book.active.append(["item", "quantity", "claimed"])
    book.active.append(["1", "gap", 2.61])
    for name in ("S1.xlsx", "t2.xlsx"):
        book.save(tmp_path / "sheets" / name)
    (tmp_path / "sheets" / "~$t2.xlsx").write_bytes(b"lock")
    (tmp_path / "sheets" / ".s3.csv").write_text("no")
    found = mark_folder(tmp_path / "key.csv", tmp_path / "sheets")
    (problem,) = found.problems
    assert "only S1.xlsx was marked" in str(problem) and "s1.csv" in str(problem)
    assert outcomes(found, "t2") == ["right"] + ["missing"] * 4


def test_one_row_for_each_claim_with_its_most_frequent_slip(tmp_path: Path) -> None:
    found = marked(
        tmp_path,
        s1=FULL,
        s2=FULL.replace("2.61", "3.48"),
        s3=FULL.replace("2.61", "3.48"),
        s4="1,gap,,,9.99\n",
    )
    rows = list(csv.DictReader(io.StringIO(PER_CLAIM.csv_text(found.marks))))
    assert [row["quantity"] for row in rows] == ["gap", "position", "position", "flip", "relation"]
    gap = rows[0]
    assert (gap["students"], gap["right"], gap["wrong"], gap["missing"]) == ("4", "1", "3", "0")
    assert (gap["most_frequent_slip"], gap["students_with_it"]) == ("gauche-dropped", "2")
    assert (gap["most_frequent_wrong_answer"], gap["students_who_gave_it"]) == ("3.48", "2")
    assert rows[4]["right"] == "3" and rows[4]["missing"] == "1" and rows[4]["most_frequent_slip"] == ""


def test_points_are_summed_as_the_key_states_them(tmp_path: Path) -> None:
    (row,) = csv.DictReader(io.StringIO(SUMMARY.csv_text(marked(tmp_path, s1=FULL).marks)))
    assert (row["points_of_right_claims"], row["points_of_the_key"]) == ("6.5", "6.5")


def test_same_sheets_same_bytes(tmp_path: Path) -> None:
    texts = [
        [table.csv_text(marked(tmp_path, b=FULL, a=FULL).marks) for table in (CLAIMS, SUMMARY, PER_CLAIM)]
        for _ in range(2)
    ]
    assert texts[0] == texts[1]


def test_hostile_ids_and_answers_come_back_as_text(tmp_path: Path) -> None:
    found = marked(tmp_path, **{"=cmd": "1,gap,,,@SUM(1)\n1,flip,,1e 2e,+1a\n"})
    for table in (CLAIMS, SUMMARY, PER_CLAIM):
        for row in csv.reader(io.StringIO(table.csv_text(found.marks))):
            assert not any(cell[:1] in {"=", "+", "@", "-"} for cell in row), row


def test_what_is_wrong_in_the_key_is_reported_and_nobody_is_marked_by_it(tmp_path: Path) -> None:
    marked(tmp_path, s1="1,gap,,,2.61\n1,relation,1-2,,trans\n")
    text = KEY.replace(",trans,", ",cis,").replace("flip,,1e 2e", "flap,,1e 2e")
    (tmp_path / "key.csv").write_text(text)
    found = mark_folder(tmp_path / "key.csv", tmp_path / "sheets")
    assert outcomes(found) == ["right", "missing", "missing", "right"]
    unread, wrong = (str(problem) for problem in found.problems)
    assert "There is no quantity 'flap'" in unread
    assert (
        "key.csv, row 6, column claimed" in wrong
        and "says cis, but the students are marked by trans" in wrong
    )


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.text(st.characters(codec="utf-8", exclude_characters="/\0"), min_size=1, max_size=40))
def test_any_file_name_is_an_id_or_is_refused_with_advice(tmp_path_factory, name: str) -> None:
    folder = tmp_path_factory.mktemp("ids")
    try:
        found = marked(folder, **{name: "1,gap,,,2.61\n", "kept": FULL})
    except OSError:  # the name is too long for the file system
        return
    assert outcomes(found, "kept") == ["right"] * 5
    students = {item.student for item in found.marks}
    refused = [problem for problem in found.problems if "anonymous id" in str(problem)]
    if any(sign in name for sign in "@, "):
        assert students == {"kept"} and len(refused) == 1
    elif not name.startswith((".", "~$")) and name.casefold() != "kept":
        assert students == {"kept", name} and not refused


@pytest.mark.parametrize("word", ["students_claims.csv", "students_summary.csv", "students_per_claim.csv"])
def test_command_writes_the_files_and_leaves_grades_to_a_person(
    word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    marked(tmp_path, s1=FULL)
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(cli.app, ["key", "mark", "key.csv", "sheets", "--output", "out"])
    assert done.exit_code == 0, done.output
    assert "A person decides a grade." in done.output and word in done.output
    assert (tmp_path / "out" / word).is_file()
