"""Key files: what spreadsheets do to them, what is wrong with them, and what comes out."""

import contextlib
import csv
import datetime
import hashlib
import io
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from answer_key.files.key_files import HEADER, ROW, in_a_workbook, key, workbook
from chairgap.answer_key.files.books import annotated, book_bytes, corrected_csv, template
from chairgap.answer_key.files.checking import KEY_CHECK, check_file, files_read, solutions_text
from chairgap.answer_key.files.facts import FactsLookup
from chairgap.answer_key.files.read_key import read_key
from chairgap.answer_key.files.sheets import COLUMNS, MOST_ROWS
from chairgap.cli import app as cli
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.tables.shipped import read_estimate_table

DEMO = Path(__file__).parents[3] / "configs" / "demo_key.csv"


def test_shipped_key_has_no_error_and_at_least_25_items() -> None:
    checked = check_file(DEMO)
    assert len(checked.report.findings) >= 25
    assert checked.count("ERROR") == 0 and not checked.problems
    assert checked.count("RIGHT") >= 30


@pytest.mark.parametrize(
    "conventions",
    [
        "gauche=0.9",
        "gauche=0.8",
        "temperature_k=300",
        "diaxial=group-group",
        "gauche_count=vicinal",
        "syn=excess",
        "direction=other-stable",
        "direction=axial-equatorial",
        "table=textbook",
        "meso=chair",
        "percent_of=A",
    ],
)
def test_shipped_key_under_other_declared_conventions_is_never_called_wrong(
    conventions: str, tmp_path: Path
) -> None:
    """What was right under the old convention is then a CONVENTION, not an ERROR."""
    text = DEMO.read_text().replace("table=chairgap; temperature_k=298.15", conventions)
    text = text.replace("syn=replacing", "")
    checked = check_file(key(tmp_path, text))
    wrong = [str(f.claim.cell) + f.words for f in checked.report.findings if f.verdict == "ERROR"]
    assert not wrong and not checked.problems


@pytest.mark.parametrize(("old", "new"), [(",", ";"), (",", "\t")])
def test_other_separators(old: str, new: str, tmp_path: Path) -> None:
    rows = list(csv.reader(io.StringIO(HEADER + ROW)))
    out = io.StringIO()
    csv.writer(out, delimiter=new).writerows(rows)
    (claim,) = read_key(key(tmp_path, out.getvalue())).claims
    assert (claim.carbons, claim.claimed) == ((1, 2), "trans")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "cp1252"])
def test_encodings_minus_signs_and_decimal_commas(encoding: str, tmp_path: Path) -> None:
    minus = "\u2212" if encoding == "utf-8-sig" else "\u2013"
    text = HEADER + f'é,"1 up CH3, 2 down CH3",gap,,,"{minus}2,61 ",kcal/mol,"0,05",,direction=A-B\n'
    checked = check_file(key(tmp_path, text.encode(encoding)))
    (finding,) = checked.report.findings
    assert finding.verdict == "RIGHT"
    assert finding.claim.tolerance == 0.05


@pytest.mark.parametrize(
    "cell", ["1-2", "1/2", "1 2", "C1-C2", "02. Jan", "2-Jan", "Jan 02", "2026-01-02", "1/2/2026", "1–2"]
)
def test_pairs_and_what_spreadsheets_make_of_them(cell: str, tmp_path: Path) -> None:
    sheet = read_key(key(tmp_path, HEADER + ROW.replace("1-2", cell)))
    assert set(sheet.claims[0].carbons) == {1, 2}
    assert bool(sheet.notes) == (any(word in cell for word in ("Jan", "2026")))


@pytest.mark.parametrize("carbon", ["1-2", datetime.datetime(2026, 1, 2), 1.2])
def test_workbook_with_title_merged_cells_and_dates(carbon: object, tmp_path: Path) -> None:
    path = workbook(tmp_path, carbon)
    before = hashlib.sha256(path.read_bytes()).hexdigest()
    checked = check_file(path)
    assert [finding.verdict for finding in checked.report.findings] == ["RIGHT"] * 3
    assert str(checked.report.findings[0].claim.cell) == "Week 3!E4"
    assert bool(checked.sheet.notes) == (carbon != "1-2")
    assert files_read(checked.sheet, path) == (path,)
    assert hashlib.sha256(path.read_bytes()).hexdigest() == before


BROKEN_FILES: list[tuple[bytes, str, str]] = [
    (b"", "key.csv", "The file has no rows; fill in at least a header and one claim."),
    (b"\x00\x01", "key.csv", "The file is not text; save it as CSV in UTF-8."),
    (b"\x81\x8d\xff", "key.csv", "The file is not text; save it as CSV in UTF-8."),
    (b"a,b\n1,2\n", "key.csv", "No row is a header of a key; the columns are item, molecule,"),
    (b"x", "key.ods", "'.ods' is not a file type of a key; save it as .xlsx or .csv."),
    (b"x", "key.xls", "'.xls' is not a file type of a key; save it as .xlsx or .csv."),
    (b"x", "key.xlsm", "'.xlsm' is not a file type of a key; save it as .xlsx or .csv."),
    (b"no zip", "key.xlsx", "The workbook cannot be opened (damaged, encrypted, no .xlsx); save it anew,"),
    (
        b"PK\x03\x04",
        "key.xlsx",
        "The workbook cannot be opened (damaged, encrypted, no .xlsx); save it anew,",
    ),
    (b"item,molecule,quantity,claimd\n", "key.csv", "Column 'claimd' is not known. Did you mean 'claimed'?"),
    (b"item,molecule,claimed\n", "key.csv", "Column 'quantity' is missing. Add it (what is asked for"),
    (b"item,item,molecule,quantity,claimed\n", "key.csv", "Column 'item' is there twice. Keep one."),
    (b"item,molecule,quantity,claimed\n", "key.csv", "The key has no claim."),
    (
        HEADER.encode() + b'1,"1 up CH3",gap,,,"1.74\n',
        "key.csv",
        "key.csv, row 2: The quoting of cells breaks in this row (unexpected end of data)",
    ),
]


@pytest.mark.parametrize(("content", "name", "message"), BROKEN_FILES, ids=range(len(BROKEN_FILES)))
def test_broken_file(content: bytes, name: str, message: str, tmp_path: Path) -> None:
    try:
        checked = check_file(key(tmp_path, content, name))
        told = " ".join(str(error) for error in checked.problems)
    except ChairgapError as error:
        told = str(error)
    assert message in told


BROKEN_ROWS = [
    ("1,1 up CH3,gapp,,,1,,,,", "There is no quantity 'gapp'. Did you mean 'gap'?"),
    ("1,1 up CH3,,,,1,,,,", "There is no quantity ''."),
    ("1,1 up CH3,gap,,,,,,,", "The cell is empty; fill it in."),
    ("1,1 up CH3,position,7,,axial,,,,", "'7' is not a ring carbon; write 1, 1-2 or 1(CH3),"),
    ("1,1 up CH3,position,,,axial,,,,", "'position' needs one ring carbon in column 'carbon', such as 1."),
    ("1,1 up CH3,position,2,,axial,,,,", "C2 of 1 up CH3 has no group (C1 has CH3); correct the carbon"),
    ("1,1 up CH3,relation,1,,cis,,,,", "'relation' needs two ring carbons in column 'carbon', such as 1-2."),
    ("1,1 up CH3,position,1,,axail,,,,", "'axail' is no answer to 'position'; write axial or equatorial."),
    ("1,1 up CH3,gap,,,big,,,,", "'big' is no number; write one such as 1.74 or 1,74."),
    ("1,1 up CH3,gap,,,1.7,eV,,,", "The unit 'eV' is no energy unit known here; write kcal/mol or kJ/mol."),
    ("1,1 up CH3,gap,,,1.7,,x,,", "'x' is not a number of 0 or more; correct it or leave it empty."),
    ("1,1 up CH3,gap,,,1.7,,-1,,", "'-1' is not a number of 0 or more; correct it or leave it empty."),
    ("1,1 up CH3,gap,,,1.7,,,,gauch=1", "There is no convention 'gauch'. Did you mean 'gauche'?"),
    ("1,1 up CH3,gap,,,1.7,,,,gauche", "'gauche' does not read as name=value; write for example gauche=0.9."),
    ("1,1 up CH3,gap,,,1.7,,,,gauche=x", "Convention 'gauche' needs a number above 0, not 'x'."),
    ("1,1 up CH3,gap,,,1.7,,,,meso=x", "Convention 'meso' cannot be 'x'; write one of average, chair."),
    ("1,1 up CHH3,gap,,,1.7,,,,", "Group 'CHH3' is not in table 'chairgap'."),
    ("1,C1CC,gap,,,1.7,,,,", "C1CC:"),
    ("1,1 up CH3,flip,,A,what,,,,", "'what' cannot be read as a chair; write for example 1e or 1a."),
    (
        "1,1 up CH3,flip,,3a,1e,,,,",
        "'3a' names no single chair of 1 up CH3; write A, B, stable, other, 1e or 1a.",
    ),
    ("1,1 up CH3,newman,1-3,A,front: a,,,,", "C1 and C3 share no ring bond; name neighbours such as 1-2."),
    (
        "1,1 up CH3,K,,,18.9,,,,temperature_k=25",
        "Convention 'temperature_k' is in kelvin, 50 to 2000, not '25'",
    ),
    ("1,1 up CH3,R/S,1,,Q,,,,", "'Q' is no CIP label; write R, S, r, s or none."),
    (
        "1,1 up CH3,chirality,,,handed,,,,",
        "'handed' is no answer to 'chirality'; write chiral, achiral, meso",
    ),
    (
        "1,1 up CH3,ranking,,,1,,,,",
        "A ranking needs several molecules in column 'molecule', separated by ' | '.",
    ),
    ("1,1 up CH3 | 1 up OH,ranking,,,1 < 2,,,,", "Only isomers (one molecular formula) can be ranked;"),
    # Both sums are 0, which does not make ethylcyclohexane and cis-1,3-dimethylcyclohexane equal.
    (
        '1,"1 up C2H5 | 1 up CH3, 3 up CH3",ranking,,,1 = 2,,,,',
        "Sums of A-values compare isomers with the same groups alone,",
    ),
    ("1,1 up SH | 1 up SH,gap,,,1,,,,", "'gap' needs one molecule in column 'molecule'."),
]


@pytest.mark.parametrize(("row", "message"), BROKEN_ROWS, ids=[message[:30] for _, message in BROKEN_ROWS])
def test_broken_row_is_reported_with_its_cell_and_the_others_go_on(
    row: str, message: str, tmp_path: Path
) -> None:
    checked = check_file(key(tmp_path, HEADER + ROW + row + "\n"))
    assert [finding.verdict for finding in checked.report.findings] == ["RIGHT"]
    (problem,) = checked.problems
    assert problem.message.startswith(message) or message in problem.message
    assert "key.csv" in str(problem) and "NOT CHECKED" in KEY_CHECK.csv_text(checked)


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("1,1 up CH3,gap,,,1.7,,,,gauche=0.9; gauche=0.8", "Convention 'gauche' is given twice; keep one"),
        ("1,1 up CH3,gap,,,1.7,,,,table=textbook; table=textbook", "Convention 'table' is given twice;"),
        ("1,1 up CH3,gap,,,1.7,,1e308,,", "'1e308' is more than 1,000, which no tolerance of a key is;"),
        ("1,1 up CH3,gap,,,1.7,,1001,,", "'1001' is more than 1,000, which no tolerance of a key is;"),
        ("1,1 up CH3,gap,,,1.7,,,1e308,", "'1e308' is more than 1,000, which no points of a key is;"),
    ],
)
def test_what_is_given_twice_or_is_out_of_this_world_is_refused(
    row: str, message: str, tmp_path: Path
) -> None:
    """A tolerance of 1e308 made every claim right."""
    (problem,) = check_file(key(tmp_path, HEADER + ROW + row + "\n")).problems
    assert problem.message.startswith(message)


def test_solutions_show_just_the_characters_of_the_key(tmp_path: Path) -> None:
    """Item, chair and file name were headings as they stood: links, pictures, HTML."""
    rows = '"[x](http://example.invalid) <b>![y](z)",1 up CH3,gap,,,1.74,,,,\n'
    text = solutions_text(check_file(key(tmp_path, HEADER + rows)), "*a* <script>.csv")
    assert "### \\[x\\](http://example.invalid) &lt;b&gt;\\!\\[y\\](z): gap" in text
    assert text.startswith("# Worked solutions: \\*a\\* &lt;script&gt;.csv\n")


@pytest.mark.parametrize("title", ["Key of week 3", "Key of week 3, Tuesday, room 2", "Key; week 3"])
def test_title_lines_do_not_say_what_separates_the_cells(title: str, tmp_path: Path) -> None:
    text = f"{title}\n\nitem;molecule;quantity;claimed\n1;1 up CH3, 2 down CH3;gap;2,61\n"
    (finding,) = check_file(key(tmp_path, text)).report.findings
    assert finding.verdict == "RIGHT" and str(finding.claim.cell) == "key.csv, row 4, column claimed"


def test_too_many_rows_are_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"more than 50,000 rows\. Split it"):
        read_key(key(tmp_path, HEADER + ROW * (MOST_ROWS + 1)))


def test_formulas_come_back_as_text(tmp_path: Path) -> None:
    """A cell that a spreadsheet would run is written so that it shows as text."""
    evil = '=HYPERLINK("http://example.invalid","x")'
    text = HEADER + f'"{evil.replace(chr(34), chr(34) * 2)}","1 up CH3, 2 down CH3",relation,1-2,,trans,,,,\n'
    checked = check_file(key(tmp_path, text))
    (row,) = csv.DictReader(io.StringIO(KEY_CHECK.csv_text(checked)))
    assert row["item"] == "'" + evil
    assert "\\[" in solutions_text(checked, "[x](y)") or "HYPERLINK" in solutions_text(checked, "t")


def test_worked_solution_names_its_rules(tmp_path: Path) -> None:
    checked = check_file(key(tmp_path, HEADER + '1,"1 up CH3, 2 down CH3",gap,,,2.61,,,,\n'))
    text = solutions_text(checked, "key.csv")
    for words in ("Chair A (1e 2e)", "gauche", "A-value of CH3 1.74", "**Answer:** 2.61 kcal/mol"):
        assert words in text


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.text(max_size=60), st.integers(0, 400))
def test_mutated_keys_raise_nothing_but_our_own_errors(tmp_path_factory, noise: str, at: int) -> None:
    text = HEADER + ROW * 3
    mutated = text[: at % len(text)] + noise + text[at % len(text) :]
    path = tmp_path_factory.mktemp("fuzz") / "key.csv"
    path.write_text(mutated, encoding="utf-8", errors="replace", newline="")
    with contextlib.suppress(ChairgapError):
        KEY_CHECK.csv_text(check_file(path))


WRONG_KEY = (
    HEADER
    + '1,"1 up CH3, 3 up CH3",gap,,,7.18,kcal/mol,,,\n'
    + "2,,stable chair,,,1e 3e,,,,\n"
    + '"=1+1",,relation,1-3,,trans,,,,\n'
)


def test_annotated_copy_marks_cells_in_words_and_keeps_formulas_as_text(tmp_path: Path) -> None:
    path = key(tmp_path, WRONG_KEY)
    before = path.read_bytes()
    book = in_a_workbook(annotated(check_file(path), path))
    sheet = book.worksheets[0]
    assert "ERROR" in sheet["F2"].comment.text and "on top of the A-values" in sheet["F2"].comment.text
    assert sheet["F3"].comment is None
    assert [sheet.cell(row, 11).value for row in (2, 3, 4)] == ["ERROR", "RIGHT", "ERROR"]
    assert (sheet["A4"].value, sheet["A4"].data_type) == ("=1+1", "s")
    assert path.read_bytes() == before


def test_text_like_a_formula_in_a_workbook_is_text_in_the_copy(tmp_path: Path) -> None:
    path = workbook(tmp_path, "1-2")
    book = openpyxl.load_workbook(path)
    cell = book.worksheets[0]["G4"]
    cell.value, cell.data_type = '=HYPERLINK("http://example.invalid","x")', "s"
    book.save(path)
    copy = in_a_workbook(annotated(check_file(path), path))
    assert copy.worksheets[0]["G4"].data_type == "s" and copy.worksheets[0]["G4"].value.startswith("=HYP")


def test_corrected_key_changes_wrong_numbers_and_labels_only_when_asked(tmp_path: Path) -> None:
    path = key(tmp_path, WRONG_KEY)
    corrected = corrected_csv(check_file(path), path)
    assert corrected.changed == ("key.csv, row 2, column claimed",) and corrected.left == (
        ("key.csv, row 4, column claimed", "cis"),
    )
    again = check_file(key(tmp_path, corrected.text, "again.csv"))
    assert [finding.verdict for finding in again.report.findings] == ["RIGHT", "RIGHT", "ERROR"]
    assert again.report.findings[0].claim.claimed == "5.44"
    assert "'=1+1" in corrected.text
    asked = corrected_csv(check_file(path), path, labels=True)
    assert asked.changed == ("key.csv, row 2, column claimed", "key.csv, row 4, column claimed")
    assert not asked.left
    again = check_file(key(tmp_path, asked.text, "again.csv"))
    assert [finding.verdict for finding in again.report.findings] == ["RIGHT"] * 3


def test_template_is_a_key_once_it_is_filled_in(tmp_path: Path) -> None:
    text = "1 up CH3, 2 down OH"
    desk = FactsLookup(read_estimate_table("chairgap"), place=Place(file="t"))
    path = key(tmp_path, book_bytes(template([(text, desk.facts_of(text))])), "key.xlsx")
    book = openpyxl.load_workbook(path)
    sheet = book.worksheets[0]
    assert [cell.value for cell in sheet[1]] == list(COLUMNS) and all(cell.comment for cell in sheet[1])
    names = [row[COLUMNS.index("systematic_name")].value for row in sheet.iter_rows(min_row=2)]
    assert names[0] == "(1R,2R)-2-methylcyclohexan-1-ol (trans); C1 of the name is C2 here, C2 is C1"
    assert not any(names[1:])
    answers = {
        "position": "equatorial",
        "relation": "trans",
        "stable chair": "1e 2e",
        "gap": "1.99",  # 1.74 + 0.70 - 0.45 (Angyal's C/O gauche)
        "percent": "97",  # 100 / (1 + exp(-1.99 / 0.5925)) = 96.64
    }
    for row in range(2, sheet.max_row + 1):
        sheet.cell(row, 6).value = answers[sheet.cell(row, 3).value]
    book.save(path)
    checked = check_file(path)
    assert not checked.problems
    assert {finding.verdict for finding in checked.report.findings} <= {"RIGHT", "REVIEW", "CONVENTION"}


def test_command_line_of_the_key_check(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    key(tmp_path, WRONG_KEY, "mine.csv")
    done = CliRunner().invoke(cli.app, ["key", "check", "mine.csv"])
    assert done.exit_code == 1
    assert "mine.csv, row 2, column claimed" in done.output and "2 wrong" in done.output
    names = {"key_check.csv", "solutions.md", "key_annotated.xlsx", "key_corrected.csv", ".chairgap.json"}
    assert {path.name for path in (tmp_path / "reports" / "mine-check").iterdir()} == names
    made = CliRunner().invoke(cli.app, ["key", "template", "1 up CH3", "--file", "new.xlsx"])
    assert made.exit_code == 0 and (tmp_path / "new.xlsx").is_file()
    again = CliRunner().invoke(cli.app, ["key", "template", "1 up CH3", "--file", "new.xlsx"])
    assert isinstance(again.exception, InputError)


def test_a_measured_value_is_never_doubted_by_a_force_field_that_is_wrong(tmp_path: Path) -> None:
    """MMFF94 has +0.12 kcal/mol for CO2CH3 and the wrong sign for F; the A-values are measured."""
    rows = "1,1 up CO2CH3,gap,,,1.27,,,,\n2,1 up CH3,gap,,,1.74,,,,\n3,1 up F,K,,,1.60,,,,\n"
    checked = check_file(key(tmp_path, HEADER + rows), compute=True)
    assert [finding.verdict for finding in checked.report.findings] == ["RIGHT"] * 3
