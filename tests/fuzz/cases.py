"""One case from (seed, number): the files and the command line. A case depends on nothing else, so that one
that fails can be made again alone.
"""

import csv
import datetime
import io
import os
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from random import Random

import openpyxl
from fuzz_smiles import GROUPS, NAMES, SMILES, molecule_text, ring_with_groups, spoken
from mutations import BYTES, CELLS, LINES, ODD_NUMBERS, ODD_TEXT, TEXT
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from rdkit import Chem
from rdkit.Chem import rdDepictor, rdDistGeom

REPOSITORY = Path(__file__).parents[2]
# Of a thousand cases so many of each kind; and the share in which up to one molecule is computed for real.
KINDS = {"smiles": 350, "toml": 250, "csv": 140, "sdf": 100, "table": 80, "key": 80}
REAL_SHARE = 0.05
OUTPUT = "out"


@dataclass(kw_only=True)
class Case:
    """files: what lies in the folder before; words: the command line after `chairgap`; steps: what was done to
    the good material; encoding: that of the terminal; real: one molecule may be computed for real."""

    seed: int
    number: int
    kind: str
    files: dict[str, bytes] = field(default_factory=dict)
    words: list[str] = field(default_factory=list)
    steps: list[str] = field(default_factory=list)
    encoding: str = "utf-8"
    real: bool = False


def make_case(seed: int, number: int) -> Case:
    rng = Random(f"chairgap {seed} {number}")
    (kind,) = rng.choices(tuple(KINDS), tuple(KINDS.values()))
    case = Case(seed=seed, number=number, kind=kind)
    case.real = rng.random() < REAL_SHARE
    case.encoding = rng.choice(("utf-8",) * 18 + ("ascii", "cp1252"))
    _MAKERS[kind](rng, case)
    # No operating system hands over a NUL in an argument.
    case.words = [word.replace("\0", "") for word in case.words]
    return case


# --- spoiling --------------------------------------------------------------------------------------------


def _spoilt_text(
    rng: Random, case: Case, text: str, words: Sequence[str], own: Sequence[Callable[..., str]]
) -> bytes:
    """Up to three mutations of a text, then perhaps one of its bytes. One case in twelve stays good."""
    for _ in range(rng.choice((0, 1, 1, 1, 1, 1, 1, 2, 2, 2, 3, 3))):
        step = rng.choice(rng.choice((TEXT, LINES, own)))
        case.steps.append(step.__name__)
        text = step(rng, text, words)
    raw = text.encode("utf-8", errors="surrogatepass")
    if rng.random() < 0.2:
        last = rng.choice(BYTES)
        case.steps.append(last.__name__)
        raw = last(rng, raw)
    return raw


def _spoilt_rows(rng: Random, case: Case, rows: list[list[str]], words: Sequence[str]) -> bytes:
    """Mutations of cells, written as CSV; then perhaps some of the text."""
    for _ in range(rng.choice((0, 1, 1, 1, 2, 2, 4))):
        if not rows or not any(rows):
            break
        step = rng.choice(CELLS)
        case.steps.append(step.__name__)
        step(rng, rows, words)
    out = io.StringIO()
    delimiter = rng.choice((",",) * 8 + (";", "\t", "|"))
    csv.writer(
        out, delimiter=delimiter, lineterminator=rng.choice(("\n", "\n", "\r\n")), escapechar="\\"
    ).writerows(rows)
    text = out.getvalue()
    if rng.random() < 0.4:
        return _spoilt_text(rng, case, text, words, LINES)
    return text.encode("utf-8", errors="surrogatepass")


def _file_name(rng: Random, ending: str) -> str:
    """Mostly plain; the odd ones begin with 'odd', which the checks look for."""
    if rng.random() < 0.95:
        return "study" + ending
    return (
        rng.choice(
            ("odd name", "odd\u00e9\u202e", "odd\x1b[31m", "odd\nline", os.fsdecode(b"odd\xff"), "odd'\"")
        )
        + ending
    )


# --- SMILES on the command line --------------------------------------------------------------------------


def _smiles(rng: Random, case: Case) -> None:
    text = molecule_text(rng)
    if rng.random() < 0.05:
        text += rng.choice((*ODD_TEXT, "\udcff"))
    if rng.random() < 0.04:
        case.words = ["key", "template", text, "--file", f"{OUTPUT}/key.xlsx"]
        return
    case.words = ["molecule", text]
    options: tuple[Callable[[], list[str]], ...] = (
        lambda: ["--stereo", rng.choice(("all", "all", "all", "some", ""))],
        lambda: ["--stereo", "all"],
        lambda: ["--force-field", rng.choice(("UFF", "MMFF94s", "mmff94", "x"))],
        lambda: ["--name", rng.choice((*ODD_TEXT, "n" * 90, "\udcff"))],
        lambda: ["--temperature", rng.choice(ODD_NUMBERS)],
        lambda: ["--seed", rng.choice(ODD_NUMBERS)],
        lambda: ["--table", rng.choice(("textbook", "chairgp", "", "."))],
        lambda: ["--solvent", rng.choice(("water", "watr", "\x1b", ""))],
        lambda: ["--output", rng.choice((OUTPUT, OUTPUT, "a/b/c", "\x1b[31m", "n" * 300))],
    )
    for _ in range(rng.choice((0, 0, 1, 2))):
        case.words += rng.choice(options)()


# --- studies ---------------------------------------------------------------------------------------------

_TOML_VALUES = (
    *["true", "false", "[]", "{}", "[[]]", "[1]", "[{}]", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z", "''", '""', "'''", "''''''", "nan", "inf", "-inf"],
    *["MMFF94", "'MMFF94'", "'UFF'", "'openmm'", "'GFN2-xTB'", "'quick'", "'thorough'", "'all'", "'water'", "'textbook'", "'course.csv'"],
    *["['more.csv']", "['one.sdf']", "['.']", "['nowhere.csv']", "['more.csv','more.csv']", '["\\u001b[31m.csv"]', "['/dev/null']"],
    *["[1,2,nan]", "[200,'x']", "['gas", "phase','water']", "['water','water']", "[1,['a']]", "{a=1}", "{a.b=1}", "'.'", "'..'", "'/dev/null/x'"],
    '"\\u0000"',
    '"\\u001b[31m"',
    '"\\ud800"',
    "'a\tb'",
    '["1 up CH3", "1 up CH3"]',
    '["1 up CH3", 2]',
    '"1 up OH, 2 down OH"',
    "'''\n'C1CCCCC1'\n'''",
    *ODD_NUMBERS,
)
_TOML_KEYS = (
    *["title", "molecules_csv", "molecules_sdf", "conditions", "model", "estimate", "verdict", "search", "output", "molecule", "name", "smiles"],
    *["substituents", "stereo", "temperature_k", "temperature_series_k", "solvent", "solvent_series", "force_field", "engine", "quantum"],
    *["table", "undecided_below_kcal_mol", "size_tolerance_kcal_mol", "effort", "most_starts", "window_kcal_mol", "seed", "atom_limit"],
    *['folder', 'tittle', '""', '"\\u001b"', 'a.b', 'conditions.temperature_k', 'molecule.name', "'x'", '__class__', '1', '-'],
)
_TOML_WORDS = (
    *_TOML_VALUES,
    *_TOML_KEYS,
    "[[molecule]]",
    "[molecule]",
    "[search]",
    "[[search]]",
    "[x]",
    "=",
    "#",
)


def _other_value(rng: Random, text: str, words: Sequence[str]) -> str:
    found = list(re.finditer(r"(?m)^(\s*[\w.]+\s*=\s*)(.*)$", text))
    if not found:
        return text
    one = rng.choice(found)
    return text[: one.start(2)] + rng.choice(_TOML_VALUES) + text[one.end(2) :]


def _other_key(rng: Random, text: str, words: Sequence[str]) -> str:
    found = list(re.finditer(r"(?m)^\s*([\w.]+)\s*=", text))
    if not found:
        return text
    one = rng.choice(found)
    return text[: one.start(1)] + rng.choice(_TOML_KEYS) + text[one.end(1) :]


def _added_setting(rng: Random, text: str, words: Sequence[str]) -> str:
    line = f"{rng.choice(_TOML_KEYS)} = {rng.choice(_TOML_VALUES)}\n"
    section = rng.choice(("", "", f"[{rng.choice(_TOML_KEYS)}]\n", f"[[{rng.choice(_TOML_KEYS)}]]\n"))
    return line + text if rng.random() < 0.4 else f"{text}\n{section}{line}"


def _odd_molecule(rng: Random, text: str, words: Sequence[str]) -> str:
    return f"{text}\n{_block(rng, 'odd molecule')}"


_TOML = (_other_value, _other_value, _other_value, _other_key, _added_setting, _odd_molecule)


def _block(rng: Random, name: str) -> str:
    lines = ["[[molecule]]", f"name = '{name}'"]
    if rng.random() < 0.3:
        lines.append(f"substituents = ['{spoken(rng)}']")
    else:
        lines.append(f"smiles = '{rng.choice((*SMILES, ring_with_groups(rng), ring_with_groups(rng)))}'")
    if rng.random() < 0.3:
        lines.append("stereo = 'all'")
    return "\n".join(lines) + "\n"


@cache
def _shipped(name: str) -> tuple[str, tuple[str, ...]]:
    """Head and [[molecule]] blocks of a study that ships."""
    head, *blocks = (REPOSITORY / "configs" / name).read_text(encoding="utf-8").split("[[molecule]]")
    return head, tuple(f"[[molecule]]{block}" for block in blocks)


def _study_text(rng: Random, *, blocks: int, files: str = "") -> str:
    """A good study: the head of one that ships, a few of its molecules and some of ours."""
    head, shipped = _shipped(rng.choice(("demo.toml", "demo.toml", "dimethyls.toml", "alkyls.toml")))
    head = head.replace("demo_molecules.csv", "more.csv")
    if rng.random() < 0.3 or files:
        head = f'title = "Week 3"\n{files}'
    chosen = rng.sample(shipped, min(blocks, len(shipped)))
    own = _block(rng, "our own") if rng.random() < 0.5 else ""
    return head + "".join([*chosen, own])


def _toml(rng: Random, case: Case) -> None:
    name = _file_name(rng, ".toml")
    text = _study_text(rng, blocks=rng.choice((0, 1, 2)))
    case.files = {
        name: _spoilt_text(rng, case, text, _TOML_WORDS, _TOML),
        "more.csv": b"name,smiles\nmethoxycyclohexane,COC1CCCCC1\n",
        "one.sdf": _records((SMILES[1],), rng.choice(_STYLES)).encode(),
        "course.csv": _COURSE.encode(),
    }
    if rng.random() < 0.06:
        case.words = ["flip", name, "--name", "there is no such molecule"]
        return
    case.words = ["study", name, "--output", OUTPUT]
    if rng.random() < 0.05:
        # Somebody else's work, or no folder at all, where the files should go.
        case.files[rng.choice((f"{OUTPUT}/gaps.csv", f"{OUTPUT}/manifest.json", OUTPUT))] = b"mine\n"


_CSV_WORDS = (
    *SMILES,
    *GROUPS,
    *NAMES,
    "name",
    "smiles",
    "substituents",
    "stereo",
    "all",
    "1 up CH3",
    '"',
    '""',
    ",",
    ";",
)


def _csv(rng: Random, case: Case) -> None:
    rows = [["name", "smiles", "substituents", "stereo"]]
    for number in range(rng.choice((1, 2, 3))):
        said = rng.random() < 0.4
        smiles = "" if said else rng.choice((*SMILES, ring_with_groups(rng)))
        rows.append([f"row {number}", smiles, spoken(rng) if said else "", rng.choice(("", "", "all"))])
    # The study itself is good here, and holds one molecule more, so that most cases go on.
    case.files = {
        "study.toml": _study_text(rng, blocks=1, files='molecules_csv = ["more.csv"]\n').encode(),
        "more.csv": _spoilt_rows(rng, case, rows, _CSV_WORDS),
    }
    case.words = ["study", "study.toml", "--output", OUTPUT]


# --- structure files -------------------------------------------------------------------------------------

_STYLES = ("flat", "spatial", "V3000")
_SDF_WORDS = (
    *["M  END", "M  CHG  1   1   1", "M  CHG  8   1   9", "M  CHG  1 999   1", "M  RAD  1   1   2", "M  ISO  1   1  13"],
    *["M  RGP  1   1   1", "M  STY  1   1 SRU", "M  SAL   1  1   1", "M  ALS   1  2 F C   N   ", "M  LIN  1   1   4   2   0"],
    *["$$$$", ">  <name>", "> <NAME>  (1)", "M  V30 BEGIN CTAB", "M  V30 COUNTS 99999999 1 0 0 0", "M  V30 END ATOM", "V3000", "V2000"],
    *["999999  0  0  0  0  0  0  0  0999 V2000", "  0  0  0     0  0            999 V2000", "-1 -1  0  0", "  1999  4  0"],
    *["L  ", "A  ", "Q  ", "*  ", "R# ", "R1 ", "D  ", "T  ", "Xx ", "LP ", "Pol", "C   0  0", "nan", "inf", "-1e30", "1e308", "M  V30 1 C nan nan nan 0"],
    "    0.0000    0.0000    0.0000 C   0  0  0  0  0  0  0  0  0  0  0  0",
    "  1  1  1  0",
    "  1  9  9  9",
    "  0  1  1  0",
    "  1  2  4  1",
    "A    1\nlabel",
    "V    1 value",
    "G    1  2\nMe",
    "M  V30 BEGIN COLLECTION\nM  V30 MDLV30/STERAC1 ATOMS=(1 1)\nM  V30 END COLLECTION",
    "M  V30 1 1 1 999 ENDPTS=(3 1 2 3) ATTACH=ANY",
    *ODD_NUMBERS,
)


def _records(smiles: Sequence[str], style: str) -> str:
    return "".join(_record(text, style) for text in smiles)


@cache
def _record(smiles: str, style: str) -> str:
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    if style == "flat":
        mol = Chem.RemoveHs(mol)
        rdDepictor.Compute2DCoords(mol)
    elif rdDistGeom.EmbedMolecule(mol, randomSeed=7) < 0:
        rdDepictor.Compute2DCoords(mol)
    mol.SetProp("_Name", smiles)
    block = Chem.MolToV3KMolBlock(mol) if style == "V3000" else Chem.MolToMolBlock(mol)
    return f"{block}>  <name>\n{smiles}\n\n$$$$\n"


def _sdf(rng: Random, case: Case) -> None:
    readable = [text for text in SMILES if ":" not in text]
    text = _records(rng.sample(readable, rng.choice((1, 1, 2))), rng.choice(_STYLES))
    case.files = {
        "study.toml": _study_text(rng, blocks=1, files='molecules_sdf = ["some.sdf"]\n').encode(),
        "some.sdf": _spoilt_text(rng, case, text, _SDF_WORDS, LINES),
    }
    case.words = ["study", "study.toml", "--output", OUTPUT]


# --- A-value tables --------------------------------------------------------------------------------------

_COURSE = (
    "group,names,fragment,value_kcal_mol,low_kcal_mol,high_kcal_mol,note\n"
    "CH3,Me;methyl,*C,1.7,1.6,1.8,lecture 4\nOH,hydroxy,*O,0.9,,,in alcohol\n"
)
_EXTREMES = ("10", "-10", "0", "-0.0", "9.999999999999", "1e-300", "0.005", "-4.9")


def _extreme_course(rng: Random) -> str:
    """A table that is sound, of numbers no source has."""
    rows = [("CH3", "*C"), ("OH", "*O"), ("Cl", "*Cl"), ("CH(CH3)2", "*C(C)C")]
    lines = [f"{group},{fragment},{rng.choice(_EXTREMES)}" for group, fragment in rows]
    return "\n".join(["group,fragment,value_kcal_mol", *lines]).replace("CH3,*C,10", "CH3,*C,4.9") + "\n"


_TABLE_WORDS = (
    *NAMES,
    *ODD_NUMBERS,
    "syn-diaxial",
    "vicinal gauche",
    "replacing",
    "excess",
    "primary",
    ";",
    "Me;Me",
    "5.4",
)


def _rows_of(path: str) -> list[list[str]]:
    with (REPOSITORY / path).open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file))


def _some_rows(rng: Random, path: str, most: int) -> list[list[str]]:
    head, *rows = _rows_of(path)
    return [head, *rng.sample(rows, min(most, len(rows)))]


def _table(rng: Random, case: Case) -> None:
    values = _some_rows(rng, rng.choice(("data/a_values.csv", "data/textbook_values.csv")), 6)
    if rng.random() < 0.4:
        values = [line.split(",") for line in _COURSE.splitlines()]
    pairs = _some_rows(rng, "data/interactions.csv", 3)
    both = rng.random() < 0.3
    case.files = {"course.csv": _spoilt_rows(rng, case, values, _TABLE_WORDS)}
    if rng.random() < 0.3:
        case.files["course.csv"] = _extreme_course(rng).encode()
    if both:
        case.files["course_interactions.csv"] = _spoilt_rows(rng, case, pairs, _TABLE_WORDS)
    study = _study_text(rng, blocks=2, files="[estimate]\ntable = 'course.csv'\n")
    case.words = rng.choice(
        (
            ["tables", "course.csv"],
            ["tables", "course.csv", "--check"],
            ["tables", "course.csv", "--group", rng.choice((*NAMES, *ODD_TEXT))],
            ["molecule", rng.choice(("1 up CH3", "1 up Me, 2 up OH", "CC1CCCCC1")), "--table", "course.csv"],
            ["study", "study.toml", "--output", OUTPUT],
        )
    )
    if case.words[0] == "study":
        case.files["study.toml"] = study.encode()


# --- answer keys -----------------------------------------------------------------------------------------

_KEY_WORDS = (
    *SMILES[:20],
    *ODD_NUMBERS,
    *["position", "face", "relation", "flip", "diaxial count", "diaxial pairs", "gauche count", "term", "gap", "stable chair", "K", "percent"],
    *["ranking", "R/S", "chirality", "newman", "flip stages", "twist-boat", "conventions", "item", "molecule", "claimed", "A", "B", "stable", "other"],
    *["1-2", "1-1", "1-7", "1(CH3)", "2-Jan", "1.3", "3,5", "1a 2e", "1e", "1a(CH3)", "axial", "e", "up", "cis", "equal", "none", "yes", "meso", "R", "chiral"],
    *["1 < 2 = 3", "2 < 1", "1 < 1", "front: CH3, C6, H; back: C3, H, H", "kJ/mol", "kcal/mol", "%", "eV", "0.0", "1e308", "-5", "100.0001"],
    *["table=course.csv", "table=nowhere", "gauche=1e300", "gauche=0", "temperature_k=50", "temperature_k=2000", "syn=excess"],
    *["direction=A-B", "direction=axial-equatorial", "percent_of=axial", "meso=chair", "diaxial=group-group", "x=y", "=", "*"],
    "1 up CH3 | 2 down OH",
    "1 up CH3, 1 down OH",
    "1 up CH3 | 1 up OH | 1 up Cl",
    "1 up C(CH3)3, 4 up C(CH3)3",
)


_BOOK_VALUES = (
    *(
        None,
        True,
        False,
        0,
        -1,
        1e308,
        1.3,
        10**300,
        12345678901234567890,
        "=1+1",
        "=A1",
        "#N/A",
        "#REF!",
        "1-2",
    ),
    datetime.datetime(2024, 1, 2),
    datetime.date(1900, 1, 1),
    datetime.time(1, 2),
    datetime.timedelta(days=400),
)


def _key(rng: Random, case: Case) -> None:
    head, *told = _rows_of("configs/demo_key.csv")
    molecules = ""
    for row in told:
        row[1] = molecules = row[1] or molecules
    rows = [head, *rng.sample(told, 6)]
    case.files["course.csv"] = rng.choice((_COURSE, _extreme_course(rng))).encode()
    if rng.random() < 0.2:
        row = rng.choice(rows[1:])
        extreme = "1 up OH, 1 down OH, 2 up OH, 3 up Cl, 3 down CH3, 4 up OH, 5 up OH, 6 up Cl"
        cold = "table=course.csv; temperature_k=50"
        row[1], row[9] = (
            rng.choice((extreme, "1 up OH, 3 up OH, 5 up OH")),
            rng.choice((cold, "gauche=1e300")),
        )
    if rng.random() < 0.25:
        case.files["key.csv"] = _as_csv(rows)
        sheet = [[cell for column, cell in enumerate(row) if column != 1] for row in rows]
        for number in range(rng.choice((1, 2))):
            own = [list(row) for row in sheet]
            case.files[f"sheets/s{number}.csv"] = _spoilt_rows(rng, case, own, _KEY_WORDS)
        case.words = ["key", "students", "key.csv", "sheets", "--output", OUTPUT]
        return
    name = rng.choice(("key.csv",) * 4 + ("key.xlsx",))
    case.files[name] = (_workbook if name == "key.xlsx" else _spoilt_rows)(rng, case, rows, _KEY_WORDS)
    case.words = ["key", rng.choice(("check", "check", "export")), name, "--output", OUTPUT]


def _workbook(rng: Random, case: Case, rows: list[list[str]], words: Sequence[str]) -> bytes:
    """Mutations of cells, some of them no text, as a workbook; one in five with spoilt bytes."""
    for _ in range(rng.choice((0, 1, 2, 4))):
        step = rng.choice(CELLS)
        case.steps.append(step.__name__)
        step(rng, rows, words)
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
    raw = out.getvalue()
    if rng.random() < 0.2:
        last = rng.choice(BYTES)
        case.steps.append(last.__name__)
        raw = last(rng, raw)
    return raw


def _as_csv(rows: list[list[str]]) -> bytes:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue().encode()


_MAKERS: dict[str, Callable[[Random, Case], None]] = {
    "smiles": _smiles,
    "toml": _toml,
    "csv": _csv,
    "sdf": _sdf,
    "table": _table,
    "key": _key,
}
