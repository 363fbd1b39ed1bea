"""Pages that go back to students, and the summary of a class."""

import re
import statistics
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from chairgap.answer_key.files.feedback import page_of_class, page_of_student
from chairgap.answer_key.files.students import MarkedFolder, by_claim, by_student, mark_folder
from chairgap.answer_key.rules.feedback import class_summary
from chairgap.cli import app as cli

KEY = (
    "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
    '1,"1 up CH3, 2 down CH3",gap,,,2.61,kcal/mol,0.05,2,\n'
    "2,,K,,,82,,1,1,\n"
    "3,,relation,1-2,,trans,,,1,\n"
)
HEAD = "item,quantity,carbon,claimed\n"


def marked(folder: Path, sheets: dict[str, str]) -> MarkedFolder:
    (folder / "key.csv").write_text(KEY)
    (folder / "sheets").mkdir()
    for name, text in sheets.items():
        (folder / "sheets" / f"{name}.csv").write_text(HEAD + text)
    return mark_folder(folder / "key.csv", folder / "sheets")


def test_a_page_says_what_was_right_what_is_carried_and_one_sentence_to_read(tmp_path: Path) -> None:
    """gauche dropped: 3.48, from which K = exp(3.48 / 0.59248) = 355 follows."""
    found = marked(tmp_path, {"s1": "1,gap,,3.48\n2,K,,355\n3,relation,1-2,trans\n"})
    page = page_of_student(by_student(found.marks)[0])
    gap, k, relation = page.rows
    assert gap[1:] == (
        *("3.48", "x wrong", "0 of 2", "2.61 kcal/mol", "The A-values are right."),
        "The vicinal gauche term was left out.",
    )
    assert k[2:4] == ("> carried forward", "0 of 1 (+1?)") and "own gap of 3.48" in k[-1]
    assert relation[2:4] == ("+ right", "1 of 1") and relation[-1] == ""
    assert page.lines[0] == "1 of 3 answers are right: 1 of 4 points."
    assert "A person decides a grade." in page.markdown() and "A person decides a grade." in page.html()


def test_the_class_page_has_difficulty_and_discrimination_with_the_numbers_behind_them(
    tmp_path: Path,
) -> None:
    sheets = {}
    for n in range(12):
        gap = "2.61" if n < 6 else "3.48"
        relation = "trans" if n < 8 else "cis"
        sheets[f"s{n:02}"] = f"1,gap,,{gap}\n3,relation,1-2,{relation}\n"
    found = marked(tmp_path, sheets)
    gap, k, relation = class_summary(by_claim(found.marks))
    assert (gap.students, gap.answered, gap.right, gap.difficulty) == (12, 12, 6, 0.5)
    assert gap.slips == (("gauche-dropped", 6),) and gap.wrong_answers == (("3.48", 6),)
    rest = [1.0] * 8 + [0.0] * 4  # of the gap: the relation alone, since K was not answered
    assert gap.discrimination == pytest.approx(statistics.correlation([1.0] * 6 + [0.0] * 6, rest))
    assert (k.answered, k.difficulty, k.discrimination) == (0, None, None)
    assert relation.difficulty == pytest.approx(8 / 12)
    rows = page_of_class((gap, k, relation)).rows
    assert rows[0][0] == "1: gap" and rows[0][5] == "0.50 (n = 12)" and rows[2][5] == "none"


def test_few_students_have_no_discrimination(tmp_path: Path) -> None:
    sheets = {f"s{n}": f"1,gap,,{'2.61' if n else '3.48'}\n3,relation,1-2,trans\n" for n in range(9)}
    gap, *_ = class_summary(by_claim(marked(tmp_path, sheets).marks))
    assert gap.discrimination is None and gap.difficulty == pytest.approx(8 / 9)


def test_hostile_cells_are_text_on_the_pages(tmp_path: Path) -> None:
    found = marked(
        tmp_path, {"s1": "1,gap,,<script>alert(1)</script>\n3,relation,1-2,[x](http://example.invalid)\n"}
    )
    page = page_of_student(by_student(found.marks)[0])
    assert "<script>" not in page.html() and "&lt;script&gt;" in page.html()
    assert "\\[x\\]" in page.markdown() and "<script>" not in page.markdown()


def test_key_mark_writes_a_page_for_each_id_and_one_of_the_class(tmp_path: Path, monkeypatch) -> None:
    marked(tmp_path, {"s1": "1,gap,,-2.61\n", "s2": "1,gap,,2.61\n"})
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(cli.app, ["key", "mark", "key.csv", "sheets", "--output", "out"])
    assert done.exit_code == 0, done.output
    names = {path.relative_to("out").as_posix() for path in Path("out").rglob("*.*") if path.name[0] != "."}
    assert {"class_summary.html", "class_summary.md", "pages/s1.html", "pages/s2.md"} <= names
    assert not re.search(r"https?://", Path("out/pages/s1.html").read_text())
    assert ",-2.61," in Path("out/students_claims.csv").read_text()  # a number, no text


def test_negative_numbers_of_a_key_are_numbers_in_the_annotated_copy(tmp_path: Path, monkeypatch) -> None:
    row = '1,"1 up CH3, 2 down CH3",gap,,,-2.61,kcal/mol,,,direction=A-B\n'
    evil = '"=1+1","1 up CH3",gap,,,-x,,,,\n'
    (tmp_path / "key.csv").write_text(KEY.splitlines()[0] + "\n" + row + evil)
    monkeypatch.chdir(tmp_path)
    CliRunner().invoke(cli.app, ["key", "check", "key.csv", "--output", "out"])
    sheet = openpyxl.load_workbook("out/key_annotated.xlsx").worksheets[0]
    assert (sheet["F2"].value, sheet["F2"].data_type, sheet["F2"].number_format) == (-2.61, "n", "0.00")
    assert (sheet["F3"].value, sheet["F3"].data_type) == ("-x", "s")
    assert (sheet["A3"].value, sheet["A3"].data_type) == ("=1+1", "s")
