"""Workbooks that are small to send and endless to read, by name: `BOOKS[name]()` gives the bytes."""

import io
import struct
import zipfile
from collections.abc import Callable, Mapping

import openpyxl

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_REL = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
SHEET, BOOK, STRINGS, STYLES = (
    "xl/worksheets/sheet1.xml",
    "xl/workbook.xml",
    "xl/sharedStrings.xml",
    "xl/styles.xml",
)
_ROW = "<row r='1'><c r='A1' t='inlineStr'><is><t>item</t></is></c></row>"


def _good() -> dict[str, bytes]:
    book = openpyxl.Workbook()
    for row in (["item", "quantity", "claimed"], ["1", "gap", 1.74]):
        book.worksheets[0].append(row)
    out = io.BytesIO()
    book.save(out)
    with zipfile.ZipFile(out) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _zipped(parts: Mapping[str, bytes], *, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", method) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return out.getvalue()


def _with(**parts: bytes) -> bytes:
    names = {"sheet": SHEET, "book": BOOK, "strings": STRINGS, "styles": STYLES}
    return _zipped(_good() | {names[name]: content for name, content in parts.items()})


def _sheet(data: str = _ROW, before: str = "", after: str = "") -> bytes:
    head = f'<worksheet xmlns="{MAIN}" xmlns:r="{_REL}">'
    return f"{head}{before}<sheetData>{data}</sheetData>{after}</worksheet>".encode()


def _after(text: str) -> Callable[[], bytes]:
    return lambda: _with(sheet=_sheet(after=text))


def _data(text: str, before: str = "") -> Callable[[], bytes]:
    return lambda: _with(sheet=_sheet(text, before=before))


def _doctype(entities: str, use: str) -> Callable[[], bytes]:
    head = f"<!DOCTYPE worksheet [{entities}]>".encode()
    cell = f"<row r='1'><c r='A1' t='inlineStr'><is><t>{use}</t></is></c></row>"
    return lambda: _with(sheet=head + _sheet(cell))


def _laughs() -> Callable[[], bytes]:
    levels = "".join(f"<!ENTITY l{n} '" + f"&l{n - 1};" * 10 + "'>" for n in range(1, 12))
    return _doctype('<!ENTITY l0 "lol">' + levels, "&l11;")


def _books(count: int, state: str = "visible") -> bytes:
    sheets = "".join(
        f'<sheet name="s{n}" sheetId="{n + 1}" state="{state}" r:id="rId1"/>' for n in range(count)
    )
    book = f'<workbook xmlns="{MAIN}" xmlns:r="{_REL}"><sheets>{sheets}</sheets></workbook>'
    return _with(book=book.encode())


def _elsewhere() -> bytes:
    """The sheet stands in a part of another name, and its merged block is quoted by apostrophes."""
    parts = _good()
    name = "xl/worksheets/sheet1.xml"
    parts["xl/elsewhere.xml"] = _sheet(after="<mergeCells><mergeCell ref='A1:XFD1048576'/></mergeCells>")
    rels = "xl/_rels/workbook.xml.rels"
    parts[rels] = parts[rels].replace(b"/xl/worksheets/sheet1.xml", b"/xl/elsewhere.xml")
    del parts[name]
    return _zipped(parts)


def _comments(text: str) -> Callable[[], bytes]:
    return lambda: _zipped(_good() | {"xl/worksheets/comments1.xml": text.encode()})


def _strings(items: str, cell: str = "<v>0</v>") -> Callable[[], bytes]:
    table = f'<sst xmlns="{MAIN}" count="1" uniqueCount="1">{items}</sst>'.encode()
    parts = {
        SHEET: _sheet(f"<row r='1'><c r='A1' t='s'>{cell}</c></row>"),
        STRINGS: table,
        "xl/_rels/workbook.xml.rels": (
            f'<Relationships xmlns="{_PACKAGE}"><Relationship Id="rId1" Type="{_REL}/worksheet" '
            f'Target="/xl/worksheets/sheet1.xml"/><Relationship Id="rId9" Type="{_REL}/sharedStrings" '
            'Target="/xl/sharedStrings.xml"/></Relationships>'
        ).encode(),
    }
    return lambda: _zipped(_good() | parts)


def _lying(sizes: int) -> bytes:
    """A part of 200 MB whose directory says that it has few bytes."""
    raw = bytearray(_with(sheet=_sheet(_ROW + " " * 200_000_000)))
    at = raw.rfind(b"PK\x01\x02")
    while at >= 0:
        length = struct.unpack_from("<H", raw, at + 28)[0]
        if bytes(raw[at + 46 : at + 46 + length]) == SHEET.encode():
            struct.pack_into("<I", raw, at + 24, sizes)
        at = raw.rfind(b"PK\x01\x02", 0, at)
    return bytes(raw)


def _members(*more: tuple[str, bytes]) -> bytes:
    out = io.BytesIO(_zipped(_good()))
    with zipfile.ZipFile(out, "a") as archive:
        for name, content in more:
            archive.writestr(name, content)
    return out.getvalue()


def _link() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in _good().items():
            if name == SHEET:
                about = zipfile.ZipInfo(name)
                about.create_system, about.external_attr = 3, 0o120777 << 16
                archive.writestr(about, "/etc/passwd")
            else:
                archive.writestr(name, content)
    return out.getvalue()


def _without(name: str) -> Callable[[], bytes]:
    return lambda: _zipped({part: content for part, content in _good().items() if part != name})


def _cells(value: str, kind: str = "") -> Callable[[], bytes]:
    return _data(f"<row r='1'><c r='A1' {kind}>{value}</c></row>")


def _styles(text: str) -> Callable[[], bytes]:
    return lambda: _with(styles=f'<styleSheet xmlns="{MAIN}">{text}</styleSheet>'.encode())


_MERGE = "<mergeCell ref='{}'/>"
_LINK = "<hyperlink ref='A1:A1048576' location='x'/>"
_UTF16 = "<?xml version='1.0' encoding='UTF-16'?>"
_EMPTY_ROWS = "".join(f"<row r='{n}'>{'<c/>' * 2000}</row>" for n in range(1, 4001))

BOOKS: dict[str, Callable[[], bytes]] = {
    "comments with mergeCell repeated": _comments("<comments>" + "mergeCell " * 100_000),
    "comments without an end": _comments("<comments><comment ref='A1'><text>" * 100_000),
    "sheet with mergeCell repeated": lambda: _with(sheet=b"mergeCell " * 200_000),
    "merged sheet": _after("<mergeCells><mergeCell ref='A1:XFD1048576'/></mergeCells>"),
    "merged sheet, double quotes": _after('<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'),
    "merged sheet, entity in the reference": _after(
        "<mergeCells><mergeCell ref='A1&#58;XFD1048576'/></mergeCells>"
    ),
    "merged sheet, blanks": _after("<mergeCells><mergeCell\n\tref = 'A1:XFD1048576' /></mergeCells>"),
    "merged sheet in another part": _elsewhere,
    "merged whole columns": _after(f"<mergeCells>{_MERGE.format('A:XFD')}</mergeCells>"),
    "merged the wrong way": _after(f"<mergeCells>{_MERGE.format('C9:A1')}</mergeCells>"),
    "merged beyond all cells": _after(f"<mergeCells>{_MERGE.format('A1:ZZZZZ99999999999')}</mergeCells>"),
    "merged blocks by the hundred thousand": _after(
        f"<mergeCells>{_MERGE.format('A1:B2') * 300_000}</mergeCells>"
    ),
    "merged blocks one over the other": lambda: _with(
        sheet=_sheet(
            "".join(f"<row r='{n}'><c r='Z{n}'><v>1</v></c></row>" for n in range(1, 5001)),
            after=f"<mergeCells>{_MERGE.format('A1:Z5000') * 20_000}</mergeCells>",
        )
    ),
    "UTF-16 sheet": lambda: _with(sheet=(_UTF16 + _sheet().decode()).encode("utf-16")),
    "UTF-16 sheet, merged": lambda: _with(
        sheet=(
            _UTF16 + _sheet(after=f"<mergeCells>{_MERGE.format('A1:XFD1048576')}</mergeCells>").decode()
        ).encode("utf-16")
    ),
    "UTF-16 workbook": lambda: _with(book=(_UTF16 + "<workbook/>").encode("utf-16")),
    "UTF-7 sheet": lambda: _with(sheet=b"<?xml version='1.0' encoding='UTF-7'?>" + _sheet()),
    "link over a column": _after(f"<hyperlinks>{_LINK}</hyperlinks>"),
    "links over a column by the thousand": _after(f"<hyperlinks>{_LINK * 5_000}</hyperlinks>"),
    "link over a sheet": _after("<hyperlinks><hyperlink ref='A1:XFD1048576' location='x'/></hyperlinks>"),
    "eight million empty cells": _data(_EMPTY_ROWS),
    "empty rows by the million": _data("<row/>" * 3_000_000),
    "cells without a place": _data(f"<row>{'<c><v>1</v></c>' * 1_500_000}</row>"),
    "cell far away": _data("<row r='1048576'><c r='XFD1048576'><v>1</v></c></row>"),
    "two cells far apart": _data("<row r='1'><c r='A1'><v>1</v></c><c r='XFD49999'><v>1</v></c></row>"),
    "cell beyond all cells": _cells("<v>1</v>", "s='1' t='n' r='ZZZZZZZZ99999999999999'"),
    "row number beyond all numbers": _data("<row r='99999999999999999999'><c><v>1</v></c></row>"),
    "dimension of all cells": _data(_ROW, before="<dimension ref='A1:XFD1048576'/>"),
    "dimension beyond all cells": _data(_ROW, before="<dimension ref='A1:ZZZZZZ9999999999'/>"),
    "columns by the hundred thousand": _data(_ROW, before=f"<cols>{'<col/>' * 100_000}</cols>"),
    "two thousand sheets on one part": lambda: _books(2_000),
    "hidden sheets on one part": lambda: _books(2_000, "hidden"),
    "a hundred thousand sheets": lambda: _books(100_000),
    "no sheet": lambda: _books(0),
    "four million empty strings": _strings("<si/>" * 4_000_000),
    "a million strings": _strings("<si><t>a</t></si>" * 1_000_000),
    "string with a million runs": _strings("<si>" + "<r><t>a</t></r>" * 1_000_000 + "</si>"),
    "one string of 50 MB": _strings(f"<si><t>{'a' * 50_000_000}</t></si>"),
    "string beyond the last": _strings("<si><t>a</t></si>", "<v>99999999</v>"),
    "string before the first": _strings("<si><t>a</t></si>", "<v>-1</v>"),
    "string of no number": _strings("<si><t>a</t></si>", "<v>x</v>"),
    "one long string used often": lambda: _zipped(
        _good()
        | {
            SHEET: _sheet(
                "".join(
                    f"<row r='{n}'><c r='A{n}' t='str'><v>{'a' * 30_000}</v></c></row>"
                    for n in range(1, 1_900)
                )
            )
        }
    ),
    "entities in entities": _laughs(),
    "entity of a file": _doctype('<!ENTITY x SYSTEM "file:///etc/passwd">', "&x;"),
    "entity of a device": _doctype('<!ENTITY x SYSTEM "file:///dev/zero">', "&x;"),
    "long entity used often": _doctype("<!ENTITY x '" + "a" * 1_000_000 + "'>", "&x;" * 10_000),
    "parameter entities": _doctype('<!ENTITY % x SYSTEM "file:///etc/passwd">%x;', "a"),
    "unknown entity": _doctype("", "&nothing;"),
    "deep elements": _data("<row r='1'>" + "<c>" * 1_000_000),
    "deep elements in styles": _styles("<a>" * 1_000_000),
    "styles by the hundred thousand": _styles(f"<cellXfs>{'<xf/>' * 500_000}</cellXfs>"),
    "formats by the hundred thousand": _styles(f"<numFmts>{'<numFmt/>' * 300_000}</numFmts>"),
    "format of a megabyte": _styles(
        f"<numFmts><numFmt numFmtId='200' formatCode='{'[' * 1_000_000}'/></numFmts>"
    ),
    "style beyond the last": _cells("<v>1</v>", "r='A1' s='99999999'"),
    "attributes by the hundred thousand": _data(
        "<row r='1' " + " ".join(f"a{n}='1'" for n in range(200_000)) + "/>"
    ),
    "attribute of 20 MB": _data(f"<row r='1' a='{'a' * 20_000_000}'/>"),
    "date before all dates": _cells("<v>-1e9</v>", "r='A1' t='d'"),
    "date beyond all dates": _cells("<v>1e300</v>", "r='A1' s='1'"),
    "number of a million digits": _cells(f"<v>{'9' * 1_000_000}</v>"),
    "no number": _cells("<v>nan</v>"),
    "error value": _cells("<v>#REF!</v>", "t='e'"),
    "error value of no kind": _cells("<v>#WHAT!</v>", "t='e'"),
    "formula without a value": _cells("<f>1+1</f>"),
    "formula of a megabyte": _cells(f"<f>{'(' * 1_000_000}</f><v>1</v>"),
    "shared formula over all": _cells("<f t='shared' ref='A1:XFD1048576' si='0'>A1</f><v>1</v>"),
    "truth of no kind": _cells("<v>maybe</v>", "t='b'"),
    "kind of no kind": _cells("<v>1</v>", "t='zzz'"),
    "encrypted": lambda: bytes.fromhex("d0cf11e0a1b11ae1") + bytes(4096),
    "older workbook renamed": lambda: bytes.fromhex("d0cf11e0a1b11ae1") + b"\x09\x08\x10\x00" * 1000,
    "text renamed": lambda: b"item,quantity,claimed\n1,gap,1.74\n",
    "open document renamed": lambda: _zipped(
        {
            "mimetype": b"application/vnd.oasis.opendocument.spreadsheet",
            "content.xml": b"<table:table-row table:number-rows-repeated='99999999'/>",
        }
    ),
    "nothing": lambda: b"",
    "archive of nothing": lambda: _zipped({}),
    "archive cut short": lambda: _zipped(_good())[:-300],
    "archive cut at the beginning": lambda: _zipped(_good())[100:],
    "archive in an archive": lambda: _zipped({BOOK: _zipped(_good()), SHEET: _zipped(_good())}),
    "part of 10 GB of zeros": lambda: _with(sheet=b"\0" * 61_000_000),
    "sizes that lie": lambda: _lying(100),
    "size of nothing": lambda: _lying(0),
    "members by the hundred thousand": lambda: _members(*((f"a{n}", b"") for n in range(50_000))),
    "member twice": lambda: _members((SHEET, _sheet()), (BOOK, b"<workbook/>")),
    "member of an absolute name": lambda: _members(("/etc/passwd", b"x"), ("../../x", b"x")),
    "member that is a link": _link,
    "unknown compression": lambda: _zipped(_good()).replace(b"\x08\x00", b"\x63\x00"),
    "packed by LZMA": lambda: _zipped(_good(), method=zipfile.ZIP_LZMA),
    "no sheet part": _without(SHEET),
    "no workbook part": _without(BOOK),
    "no relations": _without("xl/_rels/workbook.xml.rels"),
    "no content types": _without("[Content_Types].xml"),
    "relation to outside": lambda: _zipped(
        {
            name: content.replace(b"/xl/worksheets/sheet1.xml", b"../../../../etc/passwd")
            for name, content in _good().items()
        }
    ),
    "wide sheet name": lambda: _zipped(
        _good() | {BOOK: _good()[BOOK].replace(b'"Sheet"', b'"' + b"[a]:*?" * 5000 + b'"')}
    ),
}
