"""Cases of A-value tables and of answer keys, students' sheets and workbooks."""

import csv
import datetime
import io
import re
import zipfile
from collections.abc import Sequence
from random import Random

import openpyxl
from case import (
    OUTPUT,
    REPOSITORY,
    RUN_STUDY,
    Case,
    csv_text,
    spoil_cells,
    spoilt_bytes,
    spoilt_rows,
    study_text,
)
from fuzz_smiles import NAMES, SMILES
from mutations import MATERIAL, ODD_NUMBERS, ODD_TEXT
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

COURSE = (
    "group,names,fragment,value_kcal_mol,low_kcal_mol,high_kcal_mol,note\n"
    "CH3,Me;methyl,*C,1.7,1.6,1.8,lecture 4\nOH,hydroxy,*O,0.9,,,in alcohol\n"
)


def _rows_of(path: str) -> list[list[str]]:
    with (REPOSITORY / path).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def _some_rows(rng: Random, path: str, most: int) -> list[list[str]]:
    head, *rows = _rows_of(path)
    return [head, *rng.sample(rows, min(most, len(rows)))]


# --- A-value tables --------------------------------------------------------------------------------------

_EXTREMES = ("10", "-10", "0", "-0.0", "9.999999999999", "1e-300", "0.005", "-4.9")
_KINDS_AND_FORMS = ("syn-diaxial", "vicinal gauche", "replacing", "excess", "primary")
_TABLE_WORDS = (*NAMES, *ODD_NUMBERS, *_KINDS_AND_FORMS, ";", "Me;Me", "5.4")


def _extreme_course(rng: Random) -> str:
    """A table that is sound, of numbers no source has."""
    rows = [("CH3", "*C", rng.choice(("4.9", "-10")))]
    rows += [(group, f"*{group}", rng.choice(_EXTREMES)) for group in ("O", "Cl", "CC")]
    return csv_text([["group", "fragment", "value_kcal_mol"], *map(list, rows)])


def table_case(rng: Random, case: Case) -> None:
    values = _some_rows(rng, rng.choice(("data/a_values.csv", "data/textbook_values.csv")), 6)
    if rng.random() < 0.4:
        values = [line.split(",") for line in COURSE.splitlines()]
    case.files = {"course.csv": spoilt_rows(rng, case, values, _TABLE_WORDS)}
    if rng.random() < 0.3:
        case.files["course.csv"] = _extreme_course(rng).encode()
    if rng.random() < 0.3:
        pairs = _some_rows(rng, "data/interactions.csv", 3)
        case.files["course_interactions.csv"] = spoilt_rows(rng, case, pairs, _TABLE_WORDS)
    study = study_text(rng, blocks=2, settings="[estimate]\ntable = 'course.csv'\n")
    case.words = rng.choice(
        (
            ["tables", "course.csv"],
            ["tables", "course.csv", "--check"],
            ["tables", "course.csv", "--group", rng.choice((*NAMES, *ODD_TEXT))],
            ["molecule", rng.choice(("1 up CH3", "1 up Me, 2 up OH", "CC1CCCCC1")), "--table", "course.csv"],
            list(RUN_STUDY),
        )
    )
    if case.words[0] == "study":
        case.files["study.toml"] = study.encode()


# --- answer keys -----------------------------------------------------------------------------------------

_KEY_WORDS = (*SMILES[:20], *ODD_NUMBERS, *MATERIAL["key_words"])
_BOOK_VALUES = (
    *(None, True, False, 0, -1, 1e308, 1.3, 10**300, 12345678901234567890, "=1+1", "=A1", "#N/A", "1-2"),
    datetime.datetime(2024, 1, 2),
    datetime.date(1900, 1, 1),
    datetime.time(1, 2),
    datetime.timedelta(days=400),
)
_CROWDED = "1 up OH, 1 down OH, 2 up OH, 3 up Cl, 3 down CH3, 4 up OH, 5 up OH, 6 up Cl"


def _good_rows(rng: Random) -> list[list[str]]:
    """The header and six rows of the demo key, each with its molecule; sometimes one that strains numbers."""
    head, *told = _rows_of("configs/demo_key.csv")
    molecule = ""
    for row in told:
        row[1] = molecule = row[1] or molecule
    rows = rng.sample(told, 6)
    if rng.random() < 0.2:
        row = rng.choice(rows)
        row[1] = rng.choice((_CROWDED, "1 up OH, 3 up OH, 5 up OH"))
        row[9] = rng.choice(("table=course.csv; temperature_k=50", "gauche=1e300", "gauche=10"))
    return [head, *rows]


def key_case(rng: Random, case: Case) -> None:
    rows = _good_rows(rng)
    case.files["course.csv"] = rng.choice((COURSE, _extreme_course(rng))).encode()
    if rng.random() < 0.25:
        case.files["key.csv"] = csv_text(rows).encode()
        for number in range(rng.choice((1, 2))):
            sheet = [[cell for column, cell in enumerate(row) if column != 1] for row in rows]
            case.files[f"sheets/s{number}.csv"] = spoilt_rows(rng, case, sheet, _KEY_WORDS)
        case.words = ["key", "mark", "key.csv", "sheets", "--output", OUTPUT]
        return
    name = rng.choice(("key.csv",) * 4 + ("key.xlsx",))
    case.files[name] = (workbook if name == "key.xlsx" else spoilt_rows)(rng, case, rows, _KEY_WORDS)
    case.words = ["key", rng.choice(("check", "check", "export")), name, "--output", OUTPUT]


def workbook(rng: Random, case: Case, rows: list[list[str]], words: Sequence[str]) -> bytes:
    """Mutations of cells, some of them no text, as a workbook; one in five with spoilt bytes."""
    spoil_cells(rng, case, rows, words)
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for number, row in enumerate(rows, start=1):
        for column, text in enumerate(row, start=1):
            odd = rng.random() < 0.03
            cell = sheet.cell(number, column)
            cell.value = rng.choice(_BOOK_VALUES) if odd else ILLEGAL_CHARACTERS_RE.sub("", text)
    if rng.random() < 0.3:
        sheet.merge_cells(rng.choice(("A1:B2", "A2:A6", "B2:J9", "A1:A900", "F2:F3")))
    out = io.BytesIO()
    book.save(out)
    return spoilt_bytes(rng, case, _timeless(out))


def _timeless(book: io.BytesIO) -> bytes:
    """The workbook without the time it was made at, which would make another case of every run."""
    out = io.BytesIO()
    with zipfile.ZipFile(book) as before, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as after:
        for name in before.namelist():
            content = re.sub(rb"20\d\d-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2024-01-01T00:00:00Z", before.read(name))
            after.writestr(zipfile.ZipInfo(name, (2024, 1, 1, 0, 0, 0)), content)
    return out.getvalue()
