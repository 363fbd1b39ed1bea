"""Inputs that are small to write and endless to treat: each must be refused, in seconds and little memory."""

import io
import zipfile
from collections.abc import Callable

import openpyxl
from case import OUTPUT, RUN_STUDY, Case

_TITLE = b'title = "Week 3"\n'
_STUDY = list(RUN_STUDY)
_CHECK = ["key", "check", "key.csv", "--output", OUTPUT]
_KEY_HEAD = b"item,molecule,quantity,claimed\n"
_ATOM = "    0.0000    0.0000    0.0000 C   0  0"
_V3000 = "x\n\n\n  0  0  0     0  0            999 V3000\nM  V30 BEGIN CTAB\n"
_PATTERN = b"[[pattern]]\ngroups = ['CH3', 'OH', 'Cl', 'F', 'Br', 'I', 'CN']\ncarbons = [1, 2, 3, 4, 5, 6]\n"
Bomb = tuple[dict[str, bytes], list[str]]


def _toml(text: bytes) -> Bomb:
    return {"study.toml": _TITLE + text}, _STUDY


def _smiles(smiles: str, *more: str) -> Bomb:
    return _toml("\n".join(["[[molecule]]", "name = 'a'", f"smiles = '{smiles}'", *more]).encode())


def _csv(text: str) -> Bomb:
    return {"study.toml": _TITLE + b'molecules_csv = ["more.csv"]\n', "more.csv": text.encode()}, _STUDY


def _sdf(text: str) -> Bomb:
    return {"study.toml": _TITLE + b'molecules_sdf = ["one.sdf"]\n', "one.sdf": text.encode()}, _STUDY


def _untitled_records() -> Bomb:
    """A scan of the whole text for each record would take time by the square of their number."""
    record = ["", "", "", "  1  0  0  0  0  0  0  0  0  0999 V2000", _ATOM, "M  END", "$$$$", ""]
    return _sdf("\n".join(record * 5_000))


def _large_molblock() -> Bomb:
    atoms = [f"M  V30 {number} C {number} 0 0 0" for number in range(1, 100_001)]
    bonds = [f"M  V30 {number} 1 {number} {number + 1}" for number in range(1, 100_000)]
    lines = ["M  V30 COUNTS 100000 99999 0 0 0", "M  V30 BEGIN ATOM", *atoms, "M  V30 END ATOM"]
    lines += ["M  V30 BEGIN BOND", *bonds, "M  V30 END BOND", "M  V30 END CTAB", "M  END"]
    return _sdf(_V3000 + "\n".join(lines) + "\n")


def _book(far: str = "", merged: str = "") -> Bomb:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["item", "molecule", "quantity", "claimed"])
    sheet.append(["1", "1 up CH3", "gap", "1.74"])
    if far:
        sheet[far] = 1
    out = io.BytesIO()
    book.save(out)
    raw = out.getvalue() if not merged else _with_merged(out, merged)
    return {"key.xlsx": raw}, ["key", "check", "key.xlsx", "--output", OUTPUT]


def _with_merged(book: io.BytesIO, block: str) -> bytes:
    """The workbook with a merged block put into its text; openpyxl itself would take hours to make it."""
    out = io.BytesIO()
    with zipfile.ZipFile(book) as before, zipfile.ZipFile(out, "w") as after:
        for name in before.namelist():
            cells = f'</sheetData><mergeCells count="1"><mergeCell ref="{block}"/></mergeCells>'.encode()
            after.writestr(name, before.read(name).replace(b"</sheetData>", cells))
    return out.getvalue()


BOMBS: dict[str, Callable[[], Bomb]] = {
    "study of 12 MB": lambda: _toml(b"# comment\n" * 1_200_000),
    "NUL bytes": lambda: ({"study.toml": b"\0" * 12_000_000}, _STUDY),
    "dotted key": lambda: _toml(b"a." * 100_000 + b"b = 1\n"),
    "dotted key in a table": lambda: _toml(b"x = {" + b"a." * 100_000 + b"b = 1}\n"),
    "lists in lists": lambda: _toml(b"a = " + b"[" * 500_000),
    "tables in tables": lambda: _toml(b"a = " + b"{a = " * 50_000),
    "patterns": lambda: _toml(_PATTERN * 500),
    "sections": lambda: _toml(b"".join(b"[a%d]\n" % number for number in range(20_000))),
    "rows": lambda: _csv("name,smiles\n" + "".join(f"{n},C(={n}\n" for n in range(250_000))),
    "cells in a row": lambda: _csv("name,smiles\n" + "," * 1_000_000 + "\n"),
    "columns": lambda: _csv(",".join(f"c{number}" for number in range(20_000)) + "\na,b\n"),
    "quote not closed": lambda: _csv('name,smiles\na,"' + "C,C\n" * 500_000),
    "no end": lambda: _toml(b'molecules_csv = ["/dev/zero"]\n'),
    "records without title": _untitled_records,
    "molblock of 900 million atoms": lambda: _sdf(_V3000 + "M  V30 COUNTS 900000000 1 0 0 0\n"),
    "molblock of 100,000 atoms": _large_molblock,
    "chain": lambda: _smiles("C" * 100_000),
    "parentheses": lambda: _smiles("C(" * 50_000 + "C" + ")" * 50_000),
    "parentheses that fit": lambda: _smiles("C(" * 3_000 + "C" + ")" * 3_000),
    "brackets": lambda: _smiles("[" * 100_000),
    "small rings": lambda: _smiles("C1CC1" * 20_000),
    "small rings that fit": lambda: _smiles("C1CC1" * 1_900),
    "ring closures": lambda: _smiles("C" + "".join(f"%{number}" for number in range(10, 100)) * 30),
    "nested fragment": lambda: _toml(
        b"[[molecule]]\nname = 'a'\nsubstituents = ['1 up *" + b"C(" * 3_000 + b"C" + b")" * 3_000 + b"']\n"
    ),
    "twelve large groups": lambda: _toml(
        b"[[molecule]]\nname = 'a'\nsubstituents = ["
        + b", ".join(b"'%d %s *%s'" % (n, f, b"C" * 390) for n in range(1, 7) for f in (b"up", b"down"))
        + b"]\n"
    ),
    "open centres": lambda: _smiles("C1CCCCC1" + "C(F)(Cl)" * 30 + "C", "stereo = 'all'"),
    "open centres around the ring": lambda: _smiles(
        "C1(C(O)C)C(C(F)C)C(C(Cl)C)C(C(N)C)C(C(S)C)C1C(Br)C", "stereo = 'all'"
    ),
    "equal groups": lambda: _smiles("C1CCCCC1" + "C(C(C)(C)C)(C(C)(C)C)" * 4 + "C"),
    "table of 6 MB": lambda: ({"course.csv": b"group,fragment,value_kcal_mol\n" * 200_000}, _TABLE),
    "rows of a table": lambda: (
        {"course.csv": b"group,fragment,value_kcal_mol\n" + b"".join(b"%d,,\n" % n for n in range(30_000))},
        _TABLE,
    ),
    "rows of a key": lambda: ({"key.csv": _KEY_HEAD + b"1,1 up CH3,gap,1\n" * 60_000}, _CHECK),
    "cells of a key": lambda: ({"key.csv": _KEY_HEAD + b"1,1 up CH3,gap,1" + b"," * 20_000 + b"\n"}, _CHECK),
    "cell far away": lambda: _book(far="XFD40000"),
    "merged cells": lambda: _book(merged="A1:XFD1048576"),
}
_TABLE = ["tables", "course.csv"]


def make_bomb(number: int) -> Case:
    """The bomb of that number, as a case."""
    name = list(BOMBS)[number]
    files, words = BOMBS[name]()
    return Case(seed=0, number=number, kind=name, files=files, words=words)
