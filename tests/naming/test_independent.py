"""Every name of our lists against an independent open-source reader of IUPAC names (needs Java; test only).

Exceptions, with the rule that decides, are those which it does not read at all: r/c/t (P-31.1.4.3.4), letters
of pseudoasymmetric carbons (P-91.2.1.3), alpha/beta of index names, all-cis, and retained names that it does
not have; and where it ignores what a name says (signs, the configuration of menthol).
"""

import shutil
import warnings
from pathlib import Path

import pytest

from chairgap import parse_name
from machine import library, missing
from naming.test_typed_names import inchi, other_hand
from naming.typed_names import AWKWARD, COMMON, LETTERED, rows

NAMES = [name for name, _ in (*rows(COMMON), *rows(AWKWARD))] + LETTERED.strip().splitlines()
IGNORES_CONFIGURATION = {
    "menthol",
    "(-)-menthol",
    "(+)-menthol",
    "L-menthol",
    "neomenthol",
    "menthyl acetate",
    "(-)-menthyl chloride",
}
NOT_READ = {
    "r/c/t": ("r-1", "cyclohexan-r-1"),
    "alpha and beta": ("α",),
    "small letters of pseudoasymmetric carbons": ("(1r", "(1s"),
    "all-cis, cis,cis": ("all-cis", "cis,cis"),
    "retained": ("menth", "inositol", "quinic", "lindane", "tranexamic", "gabapentin", "hexahydro"),
}


@pytest.fixture(scope="module")
def read_independently(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    if shutil.which("java") is None:
        missing(
            "Java",
            "no java on the path (Debian: apt-get install default-jre-headless).",
        )
    py2opsin = library("py2opsin", "pip install -e '.[dev]'").py2opsin
    scratch: Path = tmp_path_factory.mktemp("names") / "names.txt"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = py2opsin(NAMES, output_format="SMILES", tmp_fpath=str(scratch))
    return dict(zip(NAMES, found, strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_same_structure(name: str, read_independently: dict[str, str]) -> None:
    theirs = read_independently[name]
    if not theirs:
        assert any(part in name for parts in NOT_READ.values() for part in parts)
        return
    parsed = parse_name(name)
    if name in IGNORES_CONFIGURATION:
        assert "@" not in theirs and inchi(theirs).split("/")[1:4] == inchi(parsed.smiles).split("/")[1:4]
        return
    meant = {inchi(parsed.smiles)} | ({inchi(other_hand(parsed.smiles))} if parsed.relative else set())
    assert inchi(theirs) in meant


def test_most_names_were_compared(read_independently: dict[str, str]) -> None:
    assert sum(map(bool, read_independently.values())) >= 165
