"""Key files for tests: the header and a right row, written as text or as a workbook."""

import io
from pathlib import Path

import openpyxl

from chairgap.answer_key.files.books import book_bytes

HEADER = "item,molecule,quantity,carbon,chair,claimed,unit,tolerance,points,conventions\n"
ROW = '1,"1 up CH3, 2 down CH3",relation,1-2,,trans,,,,\n'


def key(folder: Path, text: str | bytes, name: str = "key.csv") -> Path:
    path = folder / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def in_a_workbook(book: openpyxl.Workbook) -> openpyxl.Workbook:
    """A workbook written and read again."""
    return openpyxl.load_workbook(io.BytesIO(book_bytes(book)))


def workbook(folder: Path, carbon: object, claimed: object = "trans") -> Path:
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Week 3"
    page.append(["Key of week 3"])
    page.append([])
    page.append([" Item ", "MOLECULE", "quantity", "Carbon", "claimed"])
    page.append(["1", "1 up CH3, 2 down CH3", "relation", carbon, claimed])
    page.append([None, None, "position", 1, "equatorial"])
    page.append([None, None, "gap", None, 2.61])
    page.merge_cells("B4:B6")
    hidden = book.create_sheet("old")
    hidden.append(["item", "molecule", "quantity", "claimed"])
    hidden.sheet_state = "hidden"
    path = folder / "key.xlsx"
    book.save(path)
    return path
