"""Key files of which tests/fuzz found that something went wrong."""

import csv
import io
import math
import zipfile
from pathlib import Path

import openpyxl
import pytest

from answer_key.files.key_files import HEADER, ROW, in_a_workbook, key, workbook
from chairgap.answer_key.files.books import annotated
from chairgap.answer_key.files.checking import check_file
from chairgap.answer_key.files.read_key import read_key
from chairgap.errors import InputError, StudyError


def test_characters_that_no_workbook_holds_become_blanks(tmp_path: Path) -> None:
    """openpyxl refuses them by an exception of its own, after the other files were written."""
    text = HEADER + '1,"1 up CH3, 2 down CH3",relation,1-2,,\x0bcis\x0c,,,,x\x07\x1b=\ufffe\n'
    path = key(tmp_path, text + ROW)
    checked = check_file(path)
    sheet = in_a_workbook(annotated(checked, path)).worksheets[0]
    assert sheet["F2"].value == " cis " and sheet["J2"].value == "x  = "


def test_a_claim_in_a_merged_block_is_annotated_without_a_comment(tmp_path: Path) -> None:
    """Only the first cell of a merged block takes one."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in csv.reader(io.StringIO(HEADER + ROW.replace("trans", "cis") * 2)):
        sheet.append(row)
    sheet.merge_cells("F2:F3")
    book.save(tmp_path / "key.xlsx")
    checked = check_file(tmp_path / "key.xlsx")
    assert checked.count("ERROR") == 2
    made = annotated(checked, tmp_path / "key.xlsx").worksheets[0]
    assert made["F2"].comment is not None and made["K3"].value == "ERROR"


def test_a_cell_far_beyond_a_key_is_refused(tmp_path: Path) -> None:
    """A sheet that reaches there is one of 800 million cells."""
    book = openpyxl.Workbook()
    book.worksheets[0]["XFD49000"] = "x"
    book.save(tmp_path / "key.xlsx")
    with pytest.raises(InputError, match="reaches far beyond a table"):
        read_key(tmp_path / "key.xlsx")


def test_a_merged_block_over_a_whole_sheet_costs_nothing(tmp_path: Path) -> None:
    """Only its cells within the filled part of the sheet are filled."""
    book = openpyxl.Workbook()
    for row in csv.reader(io.StringIO(HEADER + ROW)):
        book.worksheets[0].append(row)
    cells = b'</sheetData><mergeCells count="1"><mergeCell ref="A3:XFD1048576"/></mergeCells>'
    path = repacked(book, tmp_path / "key.xlsx", b"</sheetData>", cells)
    assert len(read_key(path).claims) == 1


def test_a_row_of_thousands_of_cells_is_refused(tmp_path: Path) -> None:
    """Columns beyond the 18,278th have no letters."""
    with pytest.raises(InputError) as caught:
        read_key(key(tmp_path, HEADER + ROW.strip() + "," * 20_000 + "\n"))
    assert str(caught.value).endswith(
        "key.csv, row 2: The row has more than 1000 cells; leave the columns of the key."
    )


def test_a_row_of_a_workbook_that_cannot_be_read_is_reported_with_its_cell(tmp_path: Path) -> None:
    (problem,) = check_file(workbook(tmp_path, 9)).problems
    assert str(problem).startswith("Week 3!D4: ")


def test_a_table_that_is_not_there_is_reported_with_its_row(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        check_file(key(tmp_path, HEADER + ROW + ROW.replace(",,,,\n", ",,,,table=nowhere\n")))
    assert "key.csv, row 3, column conventions: There is no A-value table" in str(caught.value)


def test_numbers_beyond_all_numbers_are_none(tmp_path: Path) -> None:
    text = HEADER + "1,1 up CH3,gap,,,1e999,,,,\n2,1 up CH3,gap,,,1.74,,1e999,,\n3,1 up CH3,gap,,,1.74,,,,\n"
    checked = check_file(key(tmp_path, text))
    assert [str(problem) for problem in checked.problems] == [
        "key.csv, row 3, column tolerance: '1e999' is not a number of 0 or more; correct it or leave it "
        "empty.",
        "key.csv, row 2, column claimed: '1e999' is no number; write one such as 1.74 or 1,74.",
    ]


def test_an_infinite_cell_of_a_workbook_is_no_pair_of_carbons(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in csv.reader(io.StringIO(HEADER + ROW)):
        book.worksheets[0].append(row)
    book.worksheets[0]["D2"] = 12345
    path = repacked(book, tmp_path / "key.xlsx", b"<v>12345</v>", b"<v>1E999</v>")
    with pytest.raises(StudyError, match="'inf' is not a ring carbon"):
        read_key(path)


def repacked(book: openpyxl.Workbook, path: Path, before: bytes, after: bytes) -> Path:
    """The workbook with some of its XML replaced, which openpyxl itself would not write."""
    out = io.BytesIO()
    book.save(out)
    with zipfile.ZipFile(out) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(before, after))
    return path


def test_a_k_that_no_number_holds_is_given_as_its_logarithm_and_its_percent_is_100(tmp_path: Path) -> None:
    """Own tables of large values at 50 K: exp(gap / RT) overflowed and stopped the whole check."""
    (tmp_path / "course.csv").write_text("group,fragment,value_kcal_mol\nOH,*O,10\n", encoding="utf-8")
    pairs = "syn-diaxial,OH,OH,excess,10\nvicinal gauche,OH,OH,excess,0\n"
    pairs = f"kind,group_1,group_2,form,value_kcal_mol\n{pairs}"
    (tmp_path / "course_interactions.csv").write_text(pairs, encoding="utf-8")
    crowded = '"1 up OH, 2 down OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH"'
    declared = "table=course.csv; temperature_k=50"
    rows = [
        f"{n},{crowded},{quantity},,,{claimed},,,,{declared}\n"
        for n, quantity, claimed in ((1, "K", 3), (2, "percent", 50))
    ]
    checked = check_file(key(tmp_path, HEADER + "0,1 up OH,gap,,,10,,,,table=course.csv\n" + "".join(rows)))
    answers = [finding.answer.text for finding in checked.report.findings]
    assert not checked.problems and "100.00 %" in answers
    gap = 6 * 10 + 6 * 10  # six A-values and six syn-diaxial pairs of 10, kcal/mol
    logarithm = gap / (1.987204e-3 * 50.0 * math.log(10.0))
    assert f"10^{logarithm:.1f}" in answers
    assert checked.report.findings[1].verdict == "ERROR"


def test_a_gauche_energy_is_one_of_this_world(tmp_path: Path) -> None:
    (problem,) = check_file(
        key(tmp_path, HEADER + ROW + ROW.replace(",,,,\n", ",,,,gauche=1e300\n"))
    ).problems
    assert (
        problem.message
        == "Convention 'gauche' is an energy in kcal/mol of at most 10, not '1e300'; correct it."
    )
