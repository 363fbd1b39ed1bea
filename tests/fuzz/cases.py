"""One case from (seed, number): the files and the command line. A case depends on nothing else, so that one
that fails can be made again alone. Here are SMILES, studies, their CSV and SDF files.
"""

import os
import re
from collections.abc import Callable, Sequence
from functools import cache
from random import Random

from case import OUTPUT, RUN_STUDY, Case, molecule_block, pattern_block, spoilt_rows, spoilt_text, study_text
from case_tables import COURSE, key_case, table_case, workbook
from fuzz_smiles import GROUPS, NAMES, SMILES, groups_by_face, molecule_text, ring_with_groups
from mutations import LINES, MATERIAL, ODD_NUMBERS, ODD_TEXT
from rdkit import Chem
from rdkit.Chem import rdDepictor, rdDistGeom

# Of a thousand cases so many of each kind; and the share in which one molecule is computed for real.
KINDS = {"smiles": 350, "toml": 250, "csv": 140, "sdf": 100, "table": 80, "key": 80}
REAL_SHARE = 0.05
# Every so many a case is valid as it stands and is computed for real: that chemistry is reached hangs neither
# on luck nor on the tables, and a program that refuses good input shows.
VALID_EVERY = 20
_VALID = ("1 up CH3", "1 up OH", "1 up F", "1 up CH3, 2 down OH", "1 up CH3, 3 up CH3")


def make_case(seed: int, number: int) -> Case:
    rng = Random(f"chairgap {seed} {number}")
    (kind,) = rng.choices(tuple(KINDS), tuple(KINDS.values()))
    case = Case(seed=seed, number=number, kind=kind)
    case.real = rng.random() < REAL_SHARE
    case.encoding = rng.choice(("utf-8",) * 18 + ("ascii", "cp1252"))
    if number % VALID_EVERY == VALID_EVERY // 2:
        case.kind, case.real = "valid", True
        _valid(rng, case)
    else:
        _MAKERS[kind](rng, case)
    # No operating system hands over a NUL in an argument.
    case.words = [word.replace("\0", "") for word in case.words]
    return case


def _valid(rng: Random, case: Case) -> None:
    groups = ", ".join(f'"{group}"' for group in rng.choice(_VALID).split(", "))
    text = f'title = "Valid"\n[[molecule]]\nname = "valid"\nsubstituents = [{groups}]\n'
    case.files = {"study.toml": text.encode()}
    case.words = list(RUN_STUDY)


# --- SMILES on the command line --------------------------------------------------------------------------


def _smiles(rng: Random, case: Case) -> None:
    text, case.steps = molecule_text(rng)
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
        lambda: ["--table", rng.choice(("textbook", "chairgp", "", ".", "t" * 300))],
        lambda: ["--solvent", rng.choice(("water", "watr", "\x1b", ""))],
        lambda: ["--output", rng.choice((OUTPUT, OUTPUT, "a/b/c", "\x1b[31m", "n" * 300))],
    )
    for _ in range(rng.choice((0, 0, 1, 2))):
        case.words += rng.choice(options)()


# --- studies ---------------------------------------------------------------------------------------------

_VALUES = (*MATERIAL["toml_values"], *ODD_NUMBERS)
_KEYS = tuple(MATERIAL["toml_keys"])
_TOML_WORDS = (*_VALUES, *_KEYS, "[[molecule]]", "[molecule]", "[search]", "[[search]]", "[x]", "=", "#")


def _other_value(rng: Random, text: str, words: Sequence[str]) -> str:
    found = list(re.finditer(r"(?m)^(\s*[\w.]+\s*=\s*)(.*)$", text))
    if not found:
        return text
    one = rng.choice(found)
    return text[: one.start(2)] + rng.choice(_VALUES) + text[one.end(2) :]


def _other_key(rng: Random, text: str, words: Sequence[str]) -> str:
    found = list(re.finditer(r"(?m)^\s*([\w.]+)\s*=", text))
    if not found:
        return text
    one = rng.choice(found)
    return text[: one.start(1)] + rng.choice(_KEYS) + text[one.end(1) :]


def _added_setting(rng: Random, text: str, words: Sequence[str]) -> str:
    line = f"{rng.choice(_KEYS)} = {rng.choice(_VALUES)}\n"
    section = rng.choice(("", "", f"[{rng.choice(_KEYS)}]\n", f"[[{rng.choice(_KEYS)}]]\n"))
    return line + text if rng.random() < 0.4 else f"{text}\n{section}{line}"


def _odd_molecule(rng: Random, text: str, words: Sequence[str]) -> str:
    return f"{text}\n{molecule_block(rng, 'odd molecule')}"


def _pattern(rng: Random, text: str, words: Sequence[str]) -> str:
    return f"{text}\n{pattern_block(rng)}"


_OWN = (_other_value, _other_value, _other_value, _other_key, _added_setting, _odd_molecule, _pattern)


def _file_name(rng: Random) -> str:
    """Mostly plain; the odd ones begin with 'odd', which the checks look for."""
    odd = ("odd name", "odd\u00e9\u202e", "odd\x1b[31m", "odd\nline", os.fsdecode(b"odd\xff"), "odd'\"")
    return "study.toml" if rng.random() < 0.95 else f"{rng.choice(odd)}.toml"


def _toml(rng: Random, case: Case) -> None:
    name = _file_name(rng)
    text = study_text(rng, blocks=rng.choice((0, 1, 2)))
    case.files = {
        name: spoilt_text(rng, case, text, _TOML_WORDS, _OWN),
        "more.csv": b"name,smiles\nmethoxycyclohexane,COC1CCCCC1\n",
        "one.sdf": _record(SMILES[1], rng.choice(_STYLES)).encode(),
        "course.csv": COURSE.encode(),
    }
    if rng.random() < 0.06:
        case.words = ["flip", name, "--only", "there is no such molecule"]
        return
    case.words = ["study", name, *RUN_STUDY[2:]]
    if rng.random() < 0.05:
        # Somebody else's work, or no folder at all, where the files should go.
        taken = (f"{OUTPUT}/gaps.csv", f"{OUTPUT}/manifest.json", f"{OUTPUT}/computed.sqlite", OUTPUT)
        case.files[rng.choice(taken)] = b"mine\n"
        if rng.random() < 0.3:
            case.words = ["status", OUTPUT]


# --- CSV and SDF files of a study ------------------------------------------------------------------------

_HEADER = ["name", "smiles", "substituents", "stereo"]
_CSV_WORDS = (*SMILES, *GROUPS, *NAMES, *_HEADER, "all", "1 up CH3", '"', '""', ",", ";")


def _csv(rng: Random, case: Case) -> None:
    rows = [list(_HEADER)]
    for number in range(rng.choice((1, 2, 3))):
        said = rng.random() < 0.4
        smiles = "" if said else rng.choice((*SMILES, ring_with_groups(rng)))
        rows.append(
            [f"row {number}", smiles, groups_by_face(rng) if said else "", rng.choice(("", "", "all"))]
        )
    # The study itself is good here, and holds one molecule more, so that most cases go on.
    name = rng.choice(("more.csv",) * 6 + ("more.xlsx",))
    case.files = {
        "study.toml": study_text(rng, blocks=1, settings=f'molecules_csv = ["{name}"]\n').encode(),
        name: (workbook if name == "more.xlsx" else spoilt_rows)(rng, case, rows, _CSV_WORDS),
    }
    case.words = list(RUN_STUDY)


_STYLES = ("flat", "spatial", "V3000")
_SDF_WORDS = (*MATERIAL["sdf_lines"], *ODD_NUMBERS)


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
    style = rng.choice(_STYLES)
    text = "".join(_record(smiles, style) for smiles in rng.sample(readable, rng.choice((1, 1, 2))))
    case.files = {
        "study.toml": study_text(rng, blocks=1, settings='molecules_sdf = ["some.sdf"]\n').encode(),
        "some.sdf": spoilt_text(rng, case, text, _SDF_WORDS, LINES),
    }
    case.words = list(RUN_STUDY)


_MAKERS: dict[str, Callable[[Random, Case], None]] = {
    "smiles": _smiles,
    "toml": _toml,
    "csv": _csv,
    "sdf": _sdf,
    "table": table_case,
    "key": key_case,
}
