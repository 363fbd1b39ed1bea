"""The list of groups by face: its form, its names, and the way there and back."""

import pytest

from chairgap.errors import InputError
from chairgap.molecule.group_lists import read_group_list
from chairgap.molecule.substituents import resolve_group
from chairgap.records import GroupOnCarbon
from molecule.making import TABLE, build

FORM = "'carbon face group', for example '1 up CH3, 2 down OH'"


def test_commas_semicolons_and_capitals() -> None:
    wanted = (
        GroupOnCarbon(carbon=1, face="up", group="CH3"),
        GroupOnCarbon(carbon=2, face="down", group="OH"),
    )
    for text in ("1 up CH3, 2 down OH", "1 UP CH3;2 Down OH", " 1  up CH3 ,2 down  OH "):
        assert read_group_list(text).groups == wanted


def test_a_name_may_hold_a_comma() -> None:
    groups = read_group_list("1 up 2,2-dimethylpropyl, 3 down OH,4 up Cl").groups
    assert [group.group for group in groups] == ["2,2-dimethylpropyl", "OH", "Cl"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", f"The list of groups is empty; write {FORM}."),
        ("1 CH3 up", f"'1 CH3 up' does not read {FORM}; correct this piece."),
        ("1 up CH3, CH3", f"'CH3' does not read {FORM}; correct this piece."),
        (
            "1 axial CH3",
            "'1 axial CH3' says axial or equatorial, which a ring flip exchanges, and no face; write up or "
            f"down: {FORM}.",
        ),
        ("one up CH3", f"'one up CH3' does not read {FORM}; correct this piece."),
        ("1 up", f"'1 up' does not read {FORM}; correct this piece."),
        (
            "1 up CH3,, 2 up OH",
            f"There is nothing between two commas; each piece reads {FORM}; correct this piece.",
        ),
        ("1 up CH3 2 down OH", f"'1 up CH3 2 down OH' holds two groups without a comma; write {FORM}."),
    ],
)
def test_bad_form_names_the_piece(text: str, message: str) -> None:
    with pytest.raises(InputError) as caught:
        read_group_list(text)
    assert caught.value.message == message
    assert caught.value.exit_code == 2


def test_names_and_fragments_mean_the_same_group() -> None:
    for name in ("CH(CH3)2", "iPr", "isopropyl", "ISOPROPYL", "*C(C)C", "CC(*)C"):
        assert resolve_group(name, TABLE) == "*C(C)C"


def test_hydrogen_may_be_spoken() -> None:
    assert build(groups_by_face="1 up CH3, 1 down H").inchi == build(smiles="CC1CCCCC1").inchi
    assert build(groups_by_face="1 up H").inchi == build(smiles="C1CCCCC1").inchi


@pytest.mark.parametrize(
    ("groups_by_face", "smiles"),
    [
        ("1 up CH3, 2 down OH", "C[C@@H]1CCCC[C@H]1O"),
        ("1 up CH3, 1 down CH3, 3 down OH", "CC1(C)CCC[C@@H](O)C1"),
        ("1 up tBu, 4 up tBu", "CC(C)(C)[C@H]1CC[C@@H](C(C)(C)C)CC1"),
        ("2 down *[C@H](O)C(=O)O", "OC(=O)[C@@H](O)C1CCCCC1"),
        ("5 up */C=C/C", "C/C=C/C1CCCCC1"),
    ],
)
def test_list_and_smiles_are_one_molecule(groups_by_face: str, smiles: str) -> None:
    from_list, from_smiles = build(groups_by_face=groups_by_face), build(smiles=smiles)
    assert from_list.inchi == from_smiles.inchi
    assert from_list.smiles == from_smiles.smiles
    assert build(groups_by_face=from_smiles.groups_by_face).inchi == from_smiles.inchi
    assert build(groups_by_face=from_list.groups_by_face).rdkit_binary == from_list.rdkit_binary
