"""Mutations of bytes, text, lines and cells. Pure: what comes out depends on the random generator alone.

Each takes a `random.Random` and the good text and returns the spoilt one. What is known about a kind of input
(words of TOML, of SMILES, of a table) comes in as `words`.
"""

import re
import tomllib
from collections.abc import Callable, Sequence
from pathlib import Path
from random import Random

BytesMutation = Callable[[Random, bytes], bytes]
TextMutation = Callable[[Random, str, Sequence[str]], str]

MATERIAL: dict[str, list[str]] = tomllib.loads(
    Path(__file__).with_name("material.toml").read_text(encoding="utf-8")
)
ODD_BYTES = tuple(bytes.fromhex(digits) for digits in MATERIAL["odd_bytes"])
ODD_TEXT = tuple(MATERIAL["odd_text"])
ODD_NUMBERS = (*MATERIAL["odd_numbers"], "9" * 4400, "0." + "3" * 500)
LONG = (300, 3_000, 40_000, 140_000)


# --- bytes -----------------------------------------------------------------------------------------------


def _place(rng: Random, raw: bytes) -> int:
    return rng.randint(0, len(raw))


def delete_bytes(rng: Random, raw: bytes) -> bytes:
    start = _place(rng, raw)
    return raw[:start] + raw[start + rng.choice((1, 1, 1, 2, 5, 40)) :]


def duplicate_bytes(rng: Random, raw: bytes) -> bytes:
    start = _place(rng, raw)
    end = start + rng.choice((1, 2, 5, 40, 400))
    return raw[:end] + raw[start:end] * rng.choice((1, 1, 3)) + raw[end:]


def swap_bytes(rng: Random, raw: bytes) -> bytes:
    if len(raw) < 2:
        return raw
    one, two = sorted(rng.sample(range(len(raw)), 2))
    return raw[:one] + raw[two : two + 1] + raw[one + 1 : two] + raw[one : one + 1] + raw[two + 1 :]


def flip_bits(rng: Random, raw: bytes) -> bytes:
    changed = bytearray(raw)
    for _ in range(rng.choice((1, 1, 2, 8)) if raw else 0):
        changed[rng.randrange(len(changed))] ^= 1 << rng.randrange(8)
    return bytes(changed)


def insert_odd_bytes(rng: Random, raw: bytes) -> bytes:
    start = _place(rng, raw)
    return raw[:start] + rng.choice(ODD_BYTES) + raw[start:]


def insert_random_bytes(rng: Random, raw: bytes) -> bytes:
    start = _place(rng, raw)
    return raw[:start] + rng.randbytes(rng.choice((1, 3, 30))) + raw[start:]


def truncate(rng: Random, raw: bytes) -> bytes:
    return raw[: _place(rng, raw)]


def empty(rng: Random, raw: bytes) -> bytes:
    return rng.choice((b"", b"\n", b" ", b"\xef\xbb\xbf", b"\n\n\n", b"\x00", b"#", raw[:1]))


def other_encoding(rng: Random, raw: bytes) -> bytes:
    text = raw.decode("utf-8", errors="replace")
    encoding = rng.choice(("utf-16", "utf-16-le", "utf-32", "latin-1", "cp1252", "utf-8-sig", "utf-7"))
    return text.encode(encoding, errors="replace")


def line_ends(rng: Random, raw: bytes) -> bytes:
    return raw.replace(b"\n", rng.choice((b"\r\n", b"\r", b"\n\r", b"\n\n", b"\x0b", b"\xe2\x80\xa8")))


def twice(rng: Random, raw: bytes) -> bytes:
    return raw + rng.choice((b"", b"\n", b"\x00")) + raw


BYTES: tuple[BytesMutation, ...] = (
    delete_bytes,
    delete_bytes,
    duplicate_bytes,
    swap_bytes,
    flip_bits,
    insert_odd_bytes,
    insert_odd_bytes,
    insert_random_bytes,
    truncate,
    empty,
    other_encoding,
    line_ends,
    twice,
)


# --- text ------------------------------------------------------------------------------------------------

_TOKEN = re.compile(r"\w+|\s+|[^\w\s]")


def _tokens(text: str) -> list[str]:
    return _TOKEN.findall(text)


def delete_token(rng: Random, text: str, words: Sequence[str]) -> str:
    tokens = _tokens(text)
    if tokens:
        del tokens[rng.randrange(len(tokens))]
    return "".join(tokens)


def swap_tokens(rng: Random, text: str, words: Sequence[str]) -> str:
    tokens = _tokens(text)
    if len(tokens) > 1:
        one, two = rng.randrange(len(tokens)), rng.randrange(len(tokens))
        tokens[one], tokens[two] = tokens[two], tokens[one]
    return "".join(tokens)


def duplicate_token(rng: Random, text: str, words: Sequence[str]) -> str:
    tokens = _tokens(text)
    if tokens:
        place = rng.randrange(len(tokens))
        tokens[place] *= rng.choice((2, 2, 3, 50))
    return "".join(tokens)


def replace_token(rng: Random, text: str, words: Sequence[str]) -> str:
    tokens = _tokens(text)
    if tokens:
        tokens[rng.randrange(len(tokens))] = rng.choice(words)
    return "".join(tokens)


def replace_number(rng: Random, text: str, words: Sequence[str]) -> str:
    found = list(re.finditer(r"[-+]?\d+(?:\.\d+)?(?:e[-+]?\d+)?", text))
    if not found:
        return text + rng.choice(ODD_NUMBERS)
    one = rng.choice(found)
    return text[: one.start()] + rng.choice(ODD_NUMBERS) + text[one.end() :]


def insert_word(rng: Random, text: str, words: Sequence[str]) -> str:
    place = rng.randint(0, len(text))
    return text[:place] + rng.choice(words) + text[place:]


def insert_odd_text(rng: Random, text: str, words: Sequence[str]) -> str:
    place = rng.randint(0, len(text))
    return text[:place] + rng.choice(ODD_TEXT) + text[place:]


def insert_long(rng: Random, text: str, words: Sequence[str]) -> str:
    place = rng.randint(0, len(text))
    what = rng.choice(("a", "C", "(", "[", "C(", "9", " ", ",", '"', "\u00e9", "1e", "*", "\n"))
    return text[:place] + what * rng.choice(LONG) + text[place:]


def nest(rng: Random, text: str, words: Sequence[str]) -> str:
    place = rng.randint(0, len(text))
    left, right = rng.choice(("()", "[]", "{}", ("C(", ")"), ("[[", "]]"), ("a.", ""), ("{a=", "}")))
    depth = rng.choice((2, 20, 200, 2_000))
    return text[:place] + left * depth + right * rng.choice((depth, depth, depth - 1)) + text[place:]


TEXT: tuple[TextMutation, ...] = (
    delete_token,
    swap_tokens,
    duplicate_token,
    replace_token,
    replace_token,
    replace_number,
    replace_number,
    insert_word,
    insert_word,
    insert_odd_text,
    insert_odd_text,
    insert_long,
    nest,
)


# --- lines -----------------------------------------------------------------------------------------------


def delete_line(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    del lines[rng.randrange(len(lines))]
    return "\n".join(lines)


def duplicate_line(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    place = rng.randrange(len(lines))
    lines[place:place] = [lines[place]] * rng.choice((1, 1, 2, 60))
    return "\n".join(lines)


def swap_lines(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    one, two = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return "\n".join(lines)


def shuffle_lines(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    rng.shuffle(lines)
    return "\n".join(lines)


def join_lines(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    place = rng.randrange(len(lines))
    lines[place : place + 2] = ["".join(lines[place : place + 2])]
    return "\n".join(lines)


def insert_line(rng: Random, text: str, words: Sequence[str]) -> str:
    lines = text.split("\n")
    lines.insert(rng.randint(0, len(lines)), rng.choice(words))
    return "\n".join(lines)


LINES: tuple[TextMutation, ...] = (
    delete_line,
    duplicate_line,
    swap_lines,
    shuffle_lines,
    join_lines,
    insert_line,
)


# --- cells -----------------------------------------------------------------------------------------------


def in_cell(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    """Change one cell: by a mutation of its text, a word, an odd number, or nothing left in it."""
    row = rng.choice(rows)
    column = rng.randrange(len(row)) if row else 0
    if not row:
        return
    row[column] = rng.choice(
        (
            lambda: rng.choice(words),
            lambda: rng.choice(words),
            lambda: rng.choice(TEXT)(rng, row[column], words),
            lambda: rng.choice(ODD_NUMBERS),
            lambda: rng.choice(ODD_TEXT),
            lambda: "",
        )
    )()


def swap_columns(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    wide = max(len(row) for row in rows)
    one, two = rng.randrange(wide), rng.randrange(wide)
    whole = rng.random() < 0.5
    for row in rows if whole else rows[1:]:
        if max(one, two) < len(row):
            row[one], row[two] = row[two], row[one]


def delete_cell(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    row = rng.choice(rows)
    if row:
        del row[rng.randrange(len(row))]


def add_cell(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    row = rng.choice(rows)
    place = rng.randint(0, len(row))
    row[place:place] = [rng.choice(("", *words))] * rng.choice((1, 1, 400))


def delete_column(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    column = rng.randrange(max(len(row) for row in rows))
    for row in rows:
        del row[column : column + 1]


def duplicate_column(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    column = rng.randrange(max(len(row) for row in rows))
    for row in rows:
        row[column:column] = row[column : column + 1]


def move_row(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    rows.insert(rng.randrange(len(rows)), rows.pop(rng.randrange(len(rows))))


def duplicate_row(rng: Random, rows: list[list[str]], words: Sequence[str]) -> None:
    place = rng.randrange(len(rows))
    rows[place:place] = [list(rows[place]) for _ in range(rng.choice((1, 2, 30)))]


CELLS = (
    in_cell,
    in_cell,
    in_cell,
    in_cell,
    swap_columns,
    delete_cell,
    add_cell,
    delete_column,
    duplicate_column,
    move_row,
    duplicate_row,
)
