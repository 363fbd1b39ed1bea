"""Names typed by hand against structures derived without the reader of names (`typed_names`)."""

import re
from typing import cast

import pytest
from rdkit import Chem

from chairgap import parse_name
from chairgap.errors import Place
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import MoleculeRequest
from chairgap.tables.shipped import read_estimate_table
from naming.typed_names import AWKWARD, COMMON, rows

TABLE = read_estimate_table("chairgap")


def inchi(smiles: str) -> str:
    return cast(str, Chem.MolToInchi(Chem.MolFromSmiles(smiles)))


def other_hand(smiles: str) -> str:
    return re.sub("@@?", lambda mark: "@" if mark[0] == "@@" else "@@", smiles)


def smiles_of(structure: str) -> str:
    """A SMILES as it is; the SMILES that chairgap gives groups by face."""
    if not structure[0].isdigit():
        return structure
    request = MoleculeRequest(name="", place=Place(), substituents=read_group_list(structure).groups)
    (molecule,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=400)
    return molecule.smiles


def test_how_many() -> None:
    names = [name for block in (COMMON, AWKWARD) for name, _ in rows(block)]
    assert len(names) >= 150 and len(rows(AWKWARD)) >= 40
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(("name", "structure"), [*rows(COMMON), *rows(AWKWARD)])
def test_a_name_is_its_structure(name: str, structure: str) -> None:
    parsed = parse_name(name)
    relative, flat = structure.startswith("~"), structure.startswith("flat ")
    wanted = inchi(smiles_of(structure.removeprefix("~").removeprefix("flat ")))
    meant = {inchi(parsed.smiles), inchi(other_hand(parsed.smiles))} if relative else {inchi(parsed.smiles)}
    assert wanted in meant
    assert parsed.relative == relative
    assert bool(parsed.open_sites) == flat


@pytest.mark.parametrize(("name", "structure"), [*rows(COMMON), *rows(AWKWARD)])
def test_locants_are_those_of_the_name(name: str, structure: str) -> None:
    parsed = parse_name(name)
    numbered = Chem.MolFromSmiles(parsed.numbered_smiles)
    plain = Chem.MolFromSmiles(parsed.smiles)
    ring = {atom.GetAtomMapNum(): atom.GetIdx() for atom in numbered.GetAtoms() if atom.GetAtomMapNum()}
    assert sorted(ring) == [1, 2, 3, 4, 5, 6]
    for locant in range(1, 7):
        assert numbered.GetBondBetweenAtoms(ring[locant], ring[locant % 6 + 1]) is not None
        here, there = parsed.numbering[locant - 1], parsed.numbering[locant % 6]
        assert plain.GetBondBetweenAtoms(here, there) is not None
        carbon = plain.GetAtomWithIdx(here)
        assert carbon.GetDegree() == numbered.GetAtomWithIdx(ring[locant]).GetDegree()
        here_groups = [group for group in parsed.groups if group.locant == locant]
        assert len(here_groups) == carbon.GetDegree() - 2
    for atom in numbered.GetAtoms():
        atom.SetAtomMapNum(0)
    assert Chem.MolToInchi(numbered) == inchi(parsed.smiles)


@pytest.mark.parametrize(("name", "structure"), [pair for pair in rows(COMMON) if pair[1][0] in "1~"])
def test_locants_and_faces_of_groups(name: str, structure: str) -> None:
    """Where the hand-written structure numbers the ring as the name does, groups stand as they do there."""
    parsed = parse_name(name)
    written = read_group_list(structure.removeprefix("~")).groups
    assert sorted(group.locant for group in parsed.groups) == sorted(group.carbon for group in written)
    faces = sorted((group.locant, group.face) for group in parsed.groups if group.face)
    given = {(group.carbon, group.face) for group in written}
    turned = {(carbon, "down" if face == "up" else "up") for carbon, face in given}
    assert set(faces) <= given or set(faces) <= turned


@pytest.mark.parametrize(
    ("name", "smiles"),
    [
        ("stannylcyclohexane", "[SnH3]C1CCCCC1"),
        ("(methylstannyl)cyclohexane", "C[SnH2]C1CCCCC1"),
        ("(trimethylstannyl)cyclohexane", "C[Sn](C)(C)C1CCCCC1"),
    ],
)
def test_tin_has_four_bonds(name: str, smiles: str) -> None:
    """RDKit is content with two: 'stannyl' was SnH, and trimethylstannyl was refused."""
    assert inchi(parse_name(name).smiles) == inchi(smiles)
