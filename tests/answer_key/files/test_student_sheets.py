"""Student sheets: right, another convention, carried forward, wrong, missing."""

import csv
import io
from pathlib import Path

import pytest

from chairgap.answer_key.files.students import CLAIMS, SUMMARY, mark_folder
from chairgap.errors import InputError

KEY = (
    "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
    '1,"1 up CH3, 2 down CH3",gap,,,2.61,kcal/mol,0.05,2,\n'
    "2,,K,,,82,,1,1,\n"
    "3,,percent,,,98.8,%,0.2,1,\n"
    "4,,stable chair,,,1e 2e,,,1,\n"
    "5,,relation,1-2,,trans,,,1,\n"
)
SHEET = "item,quantity,carbon,claimed\n"
STUDENTS = {
    "s01": "1,gap,,2.61\n2,K,,82\n3,percent,,98.8\n4,stable chair,,1e 2e\n5,relation,1-2,trans\n",
    # gauche dropped: 3.48, from which K = 355.6 and 99.7 % follow
    "s02": "1,gap,,3.48\n2,K,,355\n3,percent,,99.7\n4,stable chair,,1e 2e\n5,relation,1-2,cis\n",
    # another table, and a sign error that carries the other chair
    "s03": "1,gap,,2.70\n5,relation,1-2,tarns\n",
    "s04": "1,gap,,-2.61\n4,stable chair,,1a 2a\n",
}
EXPECTED = {
    "s01": ["right"] * 5,
    "s02": ["wrong", "carried", "carried", "right", "wrong"],
    "s03": ["convention", "missing", "missing", "missing", "unreadable"],
    "s04": ["wrong", "missing", "missing", "carried", "missing"],
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "key.csv").write_text(KEY)
    sheets = tmp_path / "sheets"
    sheets.mkdir()
    for name, text in STUDENTS.items():
        (sheets / f"{name}.csv").write_text(SHEET + text)
    return tmp_path


def test_outcomes(folder: Path) -> None:
    marked = mark_folder(folder / "key.csv", folder / "sheets")
    assert not marked.problems
    found = {name: [item.outcome for item in marked.marks if item.student == name] for name in STUDENTS}
    assert found == EXPECTED
    wrong = next(item for item in marked.marks if item.student == "s02")
    assert "gauche-dropped" in wrong.slips


def test_points_are_the_keys_and_doubtful_ones_are_left_to_a_person(folder: Path) -> None:
    marks = mark_folder(folder / "key.csv", folder / "sheets").marks
    rows = list(csv.DictReader(io.StringIO(SUMMARY.csv_text(marks))))
    points = {
        row["student"]: (row["points_of_right_claims"], row["points_for_a_person_to_decide"]) for row in rows
    }
    assert points == {"s01": ("6", "0"), "s02": ("1", "2"), "s03": ("0", "2"), "s04": ("0", "1")}
    assert {row["points_of_the_key"] for row in rows} == {"6"}


def test_a_step_that_follows_from_nothing_is_not_carried(folder: Path) -> None:
    (folder / "sheets" / "s02.csv").write_text(SHEET + "1,gap,,3.48\n2,K,,200\n")
    marks = mark_folder(folder / "key.csv", folder / "sheets").marks
    assert [item.outcome for item in marks if item.student == "s02"][:2] == ["wrong", "wrong"]


@pytest.mark.parametrize("name", ["Meier, Anna", "anna@example.org", "Anna Meier"])
def test_names_of_persons_are_refused_and_the_other_sheets_go_on(name: str, folder: Path) -> None:
    (folder / "sheets" / f"{name}.csv").write_text(SHEET + "1,gap,,2.61\n")
    marked = mark_folder(folder / "key.csv", folder / "sheets")
    (problem,) = marked.problems
    assert "name the sheet by an anonymous id" in str(problem)
    assert {item.student for item in marked.marks} == set(STUDENTS)


def test_hostile_cells_come_back_as_text(folder: Path) -> None:
    (folder / "sheets" / "s01.csv").write_text(SHEET + "1,gap,,=1+1\n")
    text = CLAIMS.csv_text(mark_folder(folder / "key.csv", folder / "sheets").marks)
    assert "'=1+1" in text


def test_no_folder_and_no_sheets_are_reported(folder: Path) -> None:
    with pytest.raises(InputError, match="no such folder"):
        mark_folder(folder / "key.csv", folder / "nowhere")
    (folder / "empty").mkdir()
    with pytest.raises(InputError, match="has no sheet"):
        mark_folder(folder / "key.csv", folder / "empty")
