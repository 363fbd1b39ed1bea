"""Mutated names: no traceback, no silent misreading.

    python tests/fuzz/fuzz_names.py --cases 20000 --seed 1

Each case mutates a name of tests/naming/typed_names.py. What is read must give the same structure again from
its numbered SMILES, and from the name that is written for it; with --independent (needs Java) all that is
read is also compared with an independent reader of names. Prints what differs and the slowest name.
"""

import argparse
import contextlib
import random
import re
import sys
import time
import warnings
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from rdkit import Chem, RDLogger

from chairgap import MoleculeError, ParsedName, parse_name
from chairgap.errors import Place
from chairgap.molecule.build import build_molecules, writing_of
from chairgap.molecule.named import named_ring
from chairgap.records import MoleculeRequest
from naming.ring_makers import TABLE
from naming.typed_names import AWKWARD, COMMON, rows

NAMES = [name for name, _ in (*rows(COMMON), *rows(AWKWARD))]
_LETTERS = "abcehilmnoprtyxz-,()[]0123456789RSN "
_PIECES = (
    *("methyl", "di", "tri", "bis", "cis-", "trans-", "1,2-", "1-", "(1R,2S)-", "chloro", "yl", "ol", "an"),
    *(
        "cyclohexane",
        "ethyl",
        "tert-butyl",
        "-1-",
        "(",
        ")",
        "oxy",
        " acetate",
        "-1-ol",
        "2-",
        "rel-",
        "rac-",
    ),
)


def mutated(seed: int) -> str:
    """One to three mutations of a name."""
    chance = random.Random(seed)
    text = chance.choice(NAMES)
    for _ in range(chance.randint(1, 3)):
        place = chance.randrange(len(text) + 1)
        end = min(len(text), place + chance.randint(1, 6))
        other = chance.choice(NAMES)
        start = chance.randrange(len(other))
        text = chance.choice(
            (
                text[:place] + text[place + 1 :],
                text[:place] + chance.choice(_LETTERS) + text[place:],
                text[:place] + chance.choice(_LETTERS) + text[place + 1 :],
                text[:place] + text[place:end] * 2 + text[end:],
                text[:place] + text[end:],
                text[:place] + chance.choice(_PIECES) + text[place:],
                text[:place] + other[start : start + 12] + text[place:],
                re.sub(r"\d", lambda _: str(chance.randint(1, 7)), text, count=1),
                text.translate(str.maketrans("RS", "SR")),
                text.replace("cis", "trans") if "cis" in text else text.replace("trans", "cis"),
                text.upper() if chance.random() < 0.3 else text.replace("-", "", 1),
            )
        )
    return text


def read(name: str) -> ParsedName | None:
    """What a name says, checked against its own numbered SMILES; None when it is refused in one sentence."""
    try:
        parsed = parse_name(name)
    except MoleculeError as error:
        assert error.message.endswith("."), error.message
        assert "\n" not in error.message
        return None
    numbered = Chem.MolFromSmiles(parsed.numbered_smiles)
    for atom in numbered.GetAtoms():
        atom.SetAtomMapNum(0)
    structure = Chem.MolToInchi(Chem.MolFromSmiles(parsed.smiles))
    assert Chem.MolToInchi(numbered) == structure, name
    if (written := written_again(parsed)) is not None:
        again = parse_name(written)
        assert not again.relative and not again.open_sites, (name, written)
        assert Chem.MolToInchi(Chem.MolFromSmiles(again.smiles)) == structure, (name, written)
    return parsed


def written_again(parsed: ParsedName) -> str | None:
    """The systematic name of what a name means; None where it means several molecules or none that can be
    treated, or where there is no such name."""
    if parsed.open_sites:
        return None
    request = MoleculeRequest(name="", place=Place(), smiles=parsed.numbered_smiles)
    try:
        molecules = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=400)
    except MoleculeError:
        return None
    return named_ring(writing_of(molecules[0].topology)).name.name or None


def _differences(found: dict[str, ParsedName]) -> Iterator[str]:
    from py2opsin import py2opsin

    names = [name for name in found if name.isascii()]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = py2opsin(names, output_format="SMILES", tmp_fpath="/tmp/fuzz_names.txt")
    compared = 0
    for name, smiles in zip(names, theirs, strict=True):
        mol = Chem.MolFromSmiles(smiles) if smiles else None
        if mol is None:
            continue
        compared += 1
        parsed = found[name]
        other = re.sub("@@?", lambda mark: "@" if mark[0] == "@@" else "@@", parsed.smiles)
        meant = {Chem.MolToInchi(Chem.MolFromSmiles(one)) for one in (parsed.smiles, other)}
        exact = Chem.MolToInchi(Chem.MolFromSmiles(parsed.smiles))
        if Chem.MolToInchi(mol) not in (meant if parsed.relative else {exact}):
            yield f"differs: {name!r} is {parsed.smiles} here and {smiles} there"
    yield f"{compared} compared with the independent reader"


def main() -> None:
    reader = argparse.ArgumentParser()
    reader.add_argument("--cases", type=int, default=20_000)
    reader.add_argument("--seed", type=int, default=1)
    reader.add_argument("--independent", action="store_true")
    given = reader.parse_args()
    RDLogger.DisableLog("rdApp.*")
    slowest, found = (0.0, ""), {}
    read("methylcyclohexane")
    for number in range(given.cases):
        name = mutated(given.seed * 1_000_000 + number)
        start = time.process_time()
        with contextlib.suppress(MoleculeError):
            parse_name(name)
        slowest = max(slowest, (time.process_time() - start, name))
        if parsed := read(name):
            found[name] = parsed
    print(
        f"{given.cases} names, {len(found)} different ones read; slowest {slowest[0] * 1e3:.1f} ms CPU: "
        f"{slowest[1]!r}"
    )
    if given.independent:
        for line in _differences(found):
            print(line)


if __name__ == "__main__":
    main()
