"""Tables of molecules in a study: CSV, tab-separated text and workbooks hold the same molecules, a name alone
is enough, and what is wrong in a cell is named with file, sheet, row and column while the others go on."""

import datetime
from pathlib import Path

import openpyxl
import pytest

from chairgap.errors import ChairgapError, InputError, StudyError
from chairgap.records import MoleculeRequest, Refusal, Study
from chairgap.study.reading import read_study

HEADER = ["name", "smiles", "substituents", "stereo"]
ROWS = [
    ["a", "C[C@H]1CCCC[C@@H]1O |&1:1,6|", "", ""],
    ["b", "", "1 up CH3, 2 down OH", ""],
    ["c", "", "cis-1,3: CH3, Br", ""],
    ["d", "CC1CCCCC1O", "", "all"],
    ["cis-1-bromo-3-methylcyclohexane", "", "", ""],
    ["", "", "", ""],
    ["1-up-Me, 4-down-OH", "", "", ""],
    ["e", "trans-4-tert-butylcyclohexanol", "", ""],
    ["f", "Me(1,β), OH(2,α)", "", ""],
]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return Path()


def study_of(*files: str) -> Study:
    listed = ", ".join(f'"{file}"' for file in files)
    Path("study.toml").write_text(f'title = "Week 3"\nmolecules_csv = [{listed}]\n', encoding="utf-8")
    return read_study(Path("study.toml"))


def told(*files: str) -> str:
    with pytest.raises(ChairgapError) as caught:
        study_of(*files)
    return str(caught.value)


def as_text(rows: list[list[str]], separator: str) -> str:
    quoted = ([f'"{cell}"' if separator in cell else cell for cell in row] for row in rows)
    return "\n".join(map(separator.join, quoted)) + "\n"


def workbook(path: str, *sheets: list[list[object]], titles: tuple[str, ...] = ("Molecules", "More")) -> str:
    book = openpyxl.Workbook()
    for number, rows in enumerate(sheets):
        sheet = book.worksheets[0] if not number else book.create_sheet()
        sheet.title = titles[number]
        for row in rows:
            sheet.append(row)
    book.save(path)
    return path


def meant(study: Study) -> list[tuple[object, ...]]:
    """What the requests hold, but for the files they are from."""
    return [
        (item.name, item.smiles, item.substituents, item.every_stereoisomer, item.mirror_too, item.notes)
        for item in study.requests
    ]


# --- the same molecules from every kind of file -----------------------------------------------------------


def test_all_kinds_of_tables_hold_the_same_molecules(folder: Path) -> None:
    for name, separator in (
        ("m.csv", ","),
        ("m2.csv", ";"),
        ("m.tsv", "\t"),
        ("m.txt", "\t"),
        ("n.txt", ";"),
    ):
        Path(name).write_text(as_text([HEADER, *ROWS], separator), encoding="utf-8")
    workbook("m.xlsx", [list(HEADER), *map(list, ROWS)])
    Path("m.table").write_bytes(Path("m.xlsx").read_bytes())  # a workbook by its content
    wanted = study_of("m.csv")
    assert [item.name for item in wanted.requests] == [row[0] for row in ROWS if row[0]]
    assert wanted.refused == () and wanted.notes == ()
    for name in ("m2.csv", "m.tsv", "m.txt", "n.txt", "m.xlsx", "m.table"):
        assert meant(study_of(name)) == meant(wanted), name


def test_rows_are_counted_as_the_spreadsheet_does(folder: Path) -> None:
    workbook("m.xlsx", [["Week 3"], [], list(HEADER), ["a", "CC1CCCCC1"], [], ["b", "", "1 up OH"]])
    study = study_of("m.xlsx")
    assert [str(item.place) for item in study.requests] == [
        "m.xlsx, sheet 'Molecules', row 4, column smiles",
        "m.xlsx, sheet 'Molecules', row 6, column substituents",
    ]


@pytest.mark.parametrize("header", ["Name,SMILES", " NAME , Smiles ", "_name,smiles_", "name,smiles,,"])
def test_columns_in_any_writing(folder: Path, header: str) -> None:
    Path("m.csv").write_text(f"{header}\na,CC1CCCCC1\n", encoding="utf-8")
    assert [(item.name, item.smiles) for item in study_of("m.csv").requests] == [("a", "CC1CCCCC1")]


@pytest.mark.parametrize("head", ["name\n", "Name\r\n", "Week 3\n\nname\n", '"name"\n'])
def test_a_column_of_names_is_enough(folder: Path, head: str) -> None:
    names = ("menthol", "cis-1,3-dimethylcyclohexane", "(1R,2S)-2-methylcyclohexan-1-ol")
    Path("m.txt").write_text(head + "\n".join(names) + "\n", encoding="utf-8")
    study = study_of("m.txt")
    assert [item.name for item in study.requests] == list(names)
    assert all(item.smiles for item in study.requests) and study.refused == ()


def test_numbers_are_names(folder: Path) -> None:
    workbook("m.xlsx", [["name", "smiles"], [1, "CC1CCCCC1"], [2.5, "CCC1CCCCC1"]])
    assert [item.name for item in study_of("m.xlsx").requests] == ["1", "2.5"]


def test_sheets_of_a_workbook(folder: Path) -> None:
    """Every sheet with a column of ours is read; one without is passed over, which is said."""
    sheet = [["name", "smiles"], ["a", "CC1CCCCC1"]]
    other = [["name", "substituents"], ["b", "1 up OH"], ["", "1 up OH"]]
    notes = [["Remarks"], ["to be", "done"]]
    workbook("m.xlsx", sheet, other, notes, titles=("One", "Two", "Remarks"))
    study = study_of("m.xlsx")
    assert [item.name for item in study.requests] == ["a", "b"]
    assert [(item.name, str(item.place)) for item in study.refused] == [
        ("m.xlsx Two row 3", "m.xlsx, sheet 'Two', row 3, column name")
    ]
    assert study.notes == ("m.xlsx, sheet 'Remarks' has no column 'name' and was passed over",)


# --- what is wrong ----------------------------------------------------------------------------------------


def test_a_bad_cell_loses_its_molecule_alone(folder: Path) -> None:
    day = datetime.datetime(2026, 1, 3)
    rows = [
        ["name", "smiles", "substituents"],
        ["good", "CC1CCCCC1"],
        ["both", "CC1CCCCC1", "1 up OH"],
        ["date", None, day],
        [day, "CC1CCCCC1"],
        ["mixed", None, "1 up CH3, 2 beta OH"],
        ["wide", "CC1CCCCC1", None, None, "?"],
        ["good", "CCC1CCCCC1"],
        ["flag", True],
        ["#2", "CCC1CCCCC1"],
    ]
    study = study_of(workbook("m.xlsx", rows))
    assert [item.name for item in study.requests] == ["good", "flag", "#2"]
    at = "m.xlsx, sheet 'Molecules', row "
    date = "The spreadsheet made a date of this cell. Format it as text and write its content anew."
    assert [(item.name, f"{item.place}: {item.message}") for item in study.refused] == [
        ("both", f"{at}3: The molecule has both 'smiles' and 'substituents'. Give one of the two."),
        ("date", f"{at}4, column substituents: {date}"),
        ("m.xlsx row 5", f"{at}5, column name: {date}"),
        (
            "mixed",
            f"{at}6, column substituents: The list says faces in 2 ways, by up and down ('1 up CH3') and by "
            "alpha and beta ('2 beta OH'); understood as '1 up CH3, 2 up OH', with carbons 1 to 6 clockwise. "
            "If that is right, write it so.",
        ),
        (
            "wide",
            f"{at}7: The row has a cell right of the last column. Clear it, or name its column in the "
            "header.",
        ),
        (
            "good",
            f"{at}8, column name: The name 'good' is taken already (m.xlsx, sheet 'Molecules', row 2, column "
            "name). Give each molecule a name of its own.",
        ),
    ]


FIELD = "study.toml, line 2, field 'molecules_csv[1]': "
SHEET = "m.xlsx, sheet 'Molecules'"


@pytest.mark.parametrize(
    ("rows", "message"),
    [
        (
            [],
            f"{FIELD}m.xlsx: The workbook is empty. Write the columns name, smiles, substituents, stereo, "
            "and one row per entry.",
        ),
        (
            [["name", "smiles"]],
            f"{FIELD}{SHEET}: There is no molecule below the header. Write one per row, or remove the file "
            "from the study.",
        ),
        (
            [["name", "colour"], ["a", "red"]],
            f"{SHEET}, row 1, column colour: Column 'colour' is not known. Rename or remove it; the columns "
            "are name, smiles, substituents, stereo.",
        ),
        (
            [["smiles"], ["CC1CCCCC1"]],
            f"{SHEET}, row 1, column name: Column 'name' is missing. Add it (a name of its own "
            "per molecule).",
        ),
        ([["a", "b"], ["c", "d"]], f"{SHEET}, row 1, column a: Column 'a' is not known."),
    ],
)
def test_a_workbook_without_a_header_or_molecules(
    folder: Path, rows: list[list[object]], message: str
) -> None:
    assert told(workbook("m.xlsx", rows)).startswith(message)


@pytest.mark.parametrize(
    ("content", "name"),
    [
        (b"name,smiles\na,CC1CCCCC1\n", "m.xlsx"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "m.xls"),
        (b"PK\x03\x04" + bytes(600), "m.csv"),
    ],
)
def test_what_is_no_workbook(folder: Path, content: bytes, name: str) -> None:
    Path(name).write_bytes(content)
    assert told(name) == (
        f"study.toml, line 2, field 'molecules_csv[1]': {name}: The workbook cannot be opened (damaged, "
        "encrypted, no .xlsx); save it anew, without a password."
    )


def test_a_workbook_is_at_most_20_mb(folder: Path) -> None:
    Path("m.xlsx").write_bytes(b"PK\x03\x04" + bytes(20_000_000))
    assert told("m.xlsx").endswith("m.xlsx: The workbook is larger than 20 MB. Split it into several.")


def test_a_name_that_says_nothing_is_no_molecule(folder: Path) -> None:
    Path("m.txt").write_text("name\nmenthol\n2a\ntoluene\nmenthole\n", encoding="utf-8")
    study = study_of("m.txt")
    assert [item.name for item in study.requests] == ["menthol"]
    assert [(item.name, item.place.row) for item in study.refused] == [
        ("2a", 3),
        ("toluene", 4),
        ("menthole", 5),
    ]
    neither = "The molecule has neither 'smiles' nor 'substituents'. Give one of the two."
    assert study.refused[0].message == neither
    assert study.refused[1].message.startswith(
        f"{neither} The name 'toluene' is that of no substituted cyclohexane"
    )
    assert study.refused[2].message.startswith(f"{neither} The name 'menthole' cannot be read")
    assert all(isinstance(item, Refusal) for item in study.refused)
    assert all(isinstance(item, MoleculeRequest) for item in study.requests)


def test_problems_of_several_files_come_together(folder: Path) -> None:
    Path("a.csv").write_text("name;colour\nx;y\n", encoding="utf-8")
    workbook("b.xlsx", [["name", "price"], ["a", 1]])
    with pytest.raises(StudyError) as caught:
        study_of("a.csv", "b.xlsx", "c.tsv")
    assert [problem.place.file for problem in caught.value.problems] == [
        "study.toml",
        "a.csv",
        "b.xlsx, sheet 'Molecules'",
    ]
    assert all(isinstance(problem, InputError) for problem in caught.value.problems)
