"""What a case is, and how good material is spoilt for it."""

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random

from fuzz_smiles import NAMES, SMILES, TABULATED_NAMES, groups_by_face, ring_with_groups
from mutations import BYTES, CELLS, LINES, TEXT

REPOSITORY = Path(__file__).parents[2]
OUTPUT = "out"
# Worker processes would not know of the stand-in for what is computed.
RUN_STUDY = ["study", "study.toml", "--output", OUTPUT, "--workers", "0"]


@dataclass(kw_only=True)
class Case:
    """files: what lies in the folder before; words: the command line after `chairgap`; steps: what was done
    to the good material; encoding: that of the terminal; real: one molecule may be computed for real."""

    seed: int
    number: int
    kind: str
    files: dict[str, bytes] = field(default_factory=dict)
    words: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    encoding: str = "utf-8"
    real: bool = False


# --- spoiling --------------------------------------------------------------------------------------------


def spoilt_text(
    rng: Random, case: Case, text: str, words: Sequence[str], own: Sequence[Callable[..., str]]
) -> bytes:
    """Up to three mutations of a text, then perhaps one of its bytes. One case in twelve stays good."""
    for _ in range(rng.choice((0, 1, 1, 1, 1, 1, 1, 2, 2, 2, 3, 3))):
        step = rng.choice(rng.choice((TEXT, LINES, own)))
        case.steps.append(step.__name__)
        text = step(rng, text, words)
    return spoilt_bytes(rng, case, text.encode("utf-8", errors="surrogatepass"))


def spoilt_bytes(rng: Random, case: Case, raw: bytes) -> bytes:
    """The bytes; one time in five a mutation of them."""
    if rng.random() >= 0.2:
        return raw
    step = rng.choice(BYTES)
    case.steps.append(step.__name__)
    return step(rng, raw)


def spoil_cells(rng: Random, case: Case, rows: list[list[str]], words: Sequence[str]) -> None:
    """Up to four mutations of the cells, in place."""
    for _ in range(rng.choice((0, 1, 1, 1, 2, 2, 4))):
        if not rows or not any(rows):
            return
        step = rng.choice(CELLS)
        case.steps.append(step.__name__)
        step(rng, rows, words)


def spoilt_rows(rng: Random, case: Case, rows: list[list[str]], words: Sequence[str]) -> bytes:
    """Mutations of cells, written as CSV; then perhaps some of the text."""
    spoil_cells(rng, case, rows, words)
    delimiter = rng.choice((",",) * 8 + (";", "\t", "|"))
    text = csv_text(rows, delimiter=delimiter, line_end=rng.choice(("\n", "\n", "\r\n")))
    if rng.random() < 0.4:
        return spoilt_text(rng, case, text, words, LINES)
    return text.encode("utf-8", errors="surrogatepass")


def csv_text(rows: list[list[str]], *, delimiter: str = ",", line_end: str = "\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=line_end, escapechar="\\").writerows(rows)
    return out.getvalue()


# --- good studies ----------------------------------------------------------------------------------------


@cache
def _shipped(name: str) -> tuple[str, tuple[str, ...]]:
    """Head and [[molecule]] blocks of a study that ships."""
    head, *blocks = (REPOSITORY / "configs" / name).read_text(encoding="utf-8").split("[[molecule]]")
    return head, tuple(f"[[molecule]]{block}" for block in blocks)


def study_text(rng: Random, *, blocks: int, settings: str = "") -> str:
    """A good study: the head of one that ships, or title and `settings`; molecules of that one and ours."""
    head, shipped = _shipped(rng.choice(("demo.toml", "demo.toml", "dimethyls.toml", "alkyls.toml")))
    head = head.replace("demo_molecules.csv", "more.csv")
    if settings or rng.random() < 0.3:
        head = f'title = "Week 3"\n{settings}'
    chosen = rng.sample(shipped, min(blocks, len(shipped)))
    own = molecule_block(rng, "our own") if rng.random() < 0.5 else ""
    return head + "".join([*chosen, own])


def pattern_block(rng: Random) -> str:
    """A pattern of few molecules, with one slip in five."""
    groups = ", ".join(
        f"'{name}'" for name in rng.sample(NAMES if rng.random() < 0.2 else TABULATED_NAMES, 2)
    )
    carbons = rng.choice(("[1]", "[1]", "[1]", "[1, 1]", "[0]", "[7]", "[]", "[1, 2]", "['1']"))
    lines = ["[[pattern]]", f"groups = [{groups}]", f"carbons = {carbons}"]
    lines += [f"mirror_images = '{rng.choice(('once', 'both', 'none'))}'"] if rng.random() < 0.3 else []
    return "\n".join(lines) + "\n"


def molecule_block(rng: Random, name: str) -> str:
    lines = ["[[molecule]]", f"name = '{name}'"]
    if rng.random() < 0.3:
        lines.append(f"substituents = ['{groups_by_face(rng)}']")
    else:
        lines.append(f"smiles = '{rng.choice((*SMILES, ring_with_groups(rng), ring_with_groups(rng)))}'")
    if rng.random() < 0.3:
        lines.append("stereo = 'all'")
    return "\n".join(lines) + "\n"
