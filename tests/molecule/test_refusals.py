"""Each refusal with its exact text."""

import pytest

from chairgap.errors import MoleculeError
from chairgap.molecule.build import build_molecules
from molecule.making import TABLE, build, request

GIVE_CYCLOHEXANE = "give a substituted cyclohexane."
SHARES_ATOMS = (
    "The six-membered ring shares atoms with another ring (fused, bridged or spiro), and only a ring of its "
    "own "
    "is treated; leave the molecule out."
)
NUMBERS = "numbers 1 to 6 on the carbons of one ring, each used once, fix its numbering; remove the others."
NO_RING = "There is no ring of six sp3 carbons: "
FRAGMENT_RULE = (
    "write a SMILES with one * in place of the ring carbon, joined by one single bond, for example *CCO."
)
ORDINARY = "which the force field would type as an ordinary "

SMILES = {
    # text
    "": "The SMILES is empty; write one, for example CC1CCCCC1.",
    "CC1CCCCC1 toluene": (
        "SMILES 'CC1CCCCC1 toluene' has a blank in it; write the SMILES alone and the name in its own field."
    ),
    "CC1CC(": "SMILES 'CC1CC(' cannot be read: syntax error near character 6; correct it there.",
    "CC1CCCCC": "SMILES 'CC1CCCCC' cannot be read: unclosed ring; correct it there.",
    "CC1CCCCC1)": (
        "SMILES 'CC1CCCCC1)' cannot be read: extra close parentheses near character 10; correct it there."
    ),
    "C[Q]C1CCCCC1": "SMILES 'C[Q]C1CCCCC1' cannot be read: syntax error near character 3; correct it there.",
    "CC(C)(C)(C)C1CCCCC1": (
        "Atom 2 (C) has 5 bonds, more than its valence allows; correct the bonds or write its charge."
    ),
    "c1cccc1C1CCCCC1": (
        "The aromatic atoms 1, 2, 3, 4, 5 cannot be given alternating double bonds; write the hydrogen of an "
        "[nH], or write the double bonds out."
    ),
    "cC1CCCCC1": "Atom 1 (C) is marked aromatic but is in no ring; write it with a capital letter.",
    "c1(C)CCCCC1": (
        "Atom 1 (C) is marked aromatic but has single bonds only; write it with a capital letter."
    ),
    # the ring
    "CCCCCC": f"{NO_RING}the molecule has no ring; {GIVE_CYCLOHEXANE}",
    "CC1CCCC1": f"{NO_RING}the ring sizes are 5; {GIVE_CYCLOHEXANE}",
    "Cc1ccccc1": f"{NO_RING}the six-membered ring is aromatic; {GIVE_CYCLOHEXANE}",
    "C1CCNCC1": f"{NO_RING}the six-membered ring contains N; {GIVE_CYCLOHEXANE}",
    "CC1CCC=CC1": f"{NO_RING}the six-membered ring has a double or aromatic bond in it; {GIVE_CYCLOHEXANE}",
    "CC1CCCC(=O)C1": (
        f"{NO_RING}ring carbon atom 6 (C) has a double bond to O (a ketone is not treated); "
        f"{GIVE_CYCLOHEXANE}"
    ),
    "C=C1CCCCC1": f"{NO_RING}ring carbon atom 2 (C) has a double bond to C; {GIVE_CYCLOHEXANE}",
    "C1CCC2CCCCC2C1": SHARES_ATOMS,
    "C1CC2CCC1CC2": SHARES_ATOMS,
    "C1CCC2(CC1)CCCC2": SHARES_ATOMS,
    "CC1CCC(C2CCCCC2)CC1": (
        "2 rings could be meant (atoms 2, 3, 4, 5, 12, 13; atoms 6, 7, 8, 9, 10, 11); mark "
        "carbon 1 "
        "of the one you mean with the atom-map number 1, for example [CH2:1] or [C@H:1]."
    ),
    "C[CH:7]1CCCCC1": f"The atom-map number 7 on atom 2 (C) is not a locant; {NUMBERS}",
    "C[CH:1]1[CH2:1]CCCC1": f"An atom-map number is on two atoms; {NUMBERS}",
    "[CH3:1]C1CCCCC1": (
        f"The atom-map numbers (1 on atom 1 (C)) are not all on one ring of six sp3 carbons; {NUMBERS}"
    ),
    "C[CH:1]1[CH2:3]CCCC1": (
        "The atom-map numbers 1, 3 do not follow the ring; number its carbons in the order they are bonded."
    ),
    "[CH2:1]1CCC2CCCCC2C1": SHARES_ATOMS,
    # composition
    "CC1CCCCC1.O": (
        "There are 2 separate molecules or ions (C7H14, H2O); give one, without counter-ion or solvent."
    ),
    "[Na+].[O-]C(=O)C1CCCCC1": (
        "There are 2 separate molecules or ions (Na+, C7H11O2-); give one, without counter-ion or solvent."
    ),
    "*C1CCCCC1": "There is a placeholder at atom 1 (*); write a real element there.",
    "N->[Fe]C1CCCCC1": (
        "2 problems: (1) The bond between atom 1 (N) and atom 2 (Fe) is no single, double, triple or "
        "aromatic bond; draw one of these, or leave the molecule out. (2) MMFF94 has no parameters for iron "
        "(atom 2 (Fe)); leave the molecule out."
    ),
    "[2H]C1CCCCC1": (
        "Isotopes are marked (2H at atom 1), which the force field's energies do not distinguish; write the "
        "plain "
        "element."
    ),
    "[13CH3]C1CCCCC1": (
        "Isotopes are marked (13C at atom 1), which the force field's energies do not distinguish; write the "
        "plain "
        "element."
    ),
    "[CH2]C1CCCCC1": (
        f"Radical or carbene: unpaired electrons at atom 1 (C), {ORDINARY}atom; add the missing hydrogens "
        f"or leave "
        "the molecule out."
    ),
    "[O]C1CCCCC1": (
        f"Radical or carbene: unpaired electrons at atom 1 (O), {ORDINARY}atom; add the missing hydrogens "
        f"or leave "
        "the molecule out."
    ),
    "[CH2+]C1CCCCC1": (
        f"Carbocation at atom 1 (C), {ORDINARY}neutral carbon; give an uncharged carbon or leave the "
        f"molecule out."
    ),
    "[CH2-]C1CCCCC1": (
        f"Carbanion at atom 1 (C), {ORDINARY}neutral carbon; give an uncharged carbon or leave the molecule "
        f"out."
    ),
    "C[S+](C)C1CCCCC1": (
        "MMFF94 does not know this ion: its atom charges add up to +0.00 and the formal charge is +1 "
        "(formal charges "
        "at S +1); leave the molecule out or give its neutral form."
    ),
    "C[Se]C1CCCCC1": (
        'MMFF94 has no parameters for selenium (atom 2 (Se)); set force_field = "UFF" or leave the molecule '
        "out."
    ),
    "OB(O)C1CCCCC1": (
        'MMFF94 has no parameters for boron (atom 2 (B)); set force_field = "UFF" or leave the molecule out.'
    ),
    "FS(F)(F)(F)(F)C1CCCCC1": (
        "MMFF94 has no parameters for the group *S(F)(F)(F)(F)F; choose another force field or leave the "
        "molecule "
        "out."
    ),
    "C[C@SP1H](O)C1CCCCC1": (
        "There is a stereo mark that is not tetrahedral at atom 2 (C); write @ or @@, or no mark."
    ),
    # stereo
    "CC=C=CC1CCCCC1": (
        "The group *C=C=CC has an allene with two different ends; this kind of handedness is not treated, "
        "leave "
        "the molecule out."
    ),
    "OC(O)C(O)C(F)C(Cl)C(Br)C(I)C(O)C(F)C(Cl)C(Br)C1CCCCC1": (
        "The group *C(Br)C(Cl)C(F)C(O)C(I)C(Br)C(Cl)C(F)C(O)C(O)O leaves 9 stereocentres open, more than 8; "
        "write "
        "the configuration of some."
    ),
    "CC1CCCC(O)C1": (
        "The configuration at C1 and at C3 is not given. The molecule could be one of 2:\n"
        "  1 up OH, 3 up CH3    C[C@H]1CCC[C@@H](O)C1    (and its mirror image)\n"
        "  1 up OH, 3 down CH3    C[C@@H]1CCC[C@@H](O)C1    (and its mirror image)\n"
        'Write one of them, or set stereo = "all" to take every one.'
    ),
    "C[C@H]1CCC(O)CC1": (
        "The configuration at C1 is not given. The molecule could be one of 2:\n"
        "  1 up OH, 4 up CH3    C[C@H]1CC[C@@H](O)CC1\n"
        "  1 up OH, 4 down CH3    C[C@H]1CC[C@H](O)CC1\n"
        'Write one of them, or set stereo = "all" to take every one.'
    ),
    "CC=CC1CCCCC1": (
        "The configuration in the group at C1 is not given. The molecule could be one of 2:\n"
        "  1 up */C=C/C    C/C=C/C1CCCCC1\n"
        "  1 up */C=C\\C    C/C=C\\C1CCCCC1\n"
        'Write one of them, or set stereo = "all" to take every one.'
    ),
    # several at once
    "[2H]C1=CCCCC1": (
        "2 problems: (1) Isotopes are marked (2H at atom 1), which the force field's energies do not "
        "distinguish; "
        "write the plain element. (2) There is no ring of six sp3 carbons: the six-membered ring has a "
        "double or "
        f"aromatic bond in it; {GIVE_CYCLOHEXANE}"
    ),
}

SPOKEN = {
    "7 up CH3": "'7 up CH3': ring carbons are numbered 1 to 6; correct the number.",
    "0 up CH3": "'0 up CH3': ring carbons are numbered 1 to 6; correct the number.",
    "1 up CH3, 1 up OH": "'1 up OH': carbon 1 already has a group up; each face holds one.",
    "1 up mehtyl": (
        "Group 'mehtyl' is not in table 'chairgap'. Did you mean methyl, ethyl or acetyl? Write a group of "
        "the table, "
        "or a fragment SMILES with * for the ring carbon, for example *CCO."
    ),
    "1 up *C*": f"The fragment '*C*' does not have one end at the ring; {FRAGMENT_RULE}",
    "1 up *=O": f"The fragment '*=O' is not joined by a single bond; {FRAGMENT_RULE}",
    "1 up *C(": f"The fragment '*C(' cannot be read as SMILES; {FRAGMENT_RULE}",
    "1 up *C.O": f"The fragment '*C.O' is in several pieces; {FRAGMENT_RULE}",
    "9 up CH3, 1 up CH3, 1 up OH": (
        "2 problems: (1) '9 up CH3': ring carbons are numbered 1 to 6; correct the number. (2) '1 up OH': "
        "carbon 1 "
        "already has a group up; each face holds one."
    ),
    "1 up *[CH2]": (
        f"Radical or carbene: unpaired electrons at atom 7 (C), {ORDINARY}atom; add the missing hydrogens "
        f"or leave "
        "the molecule out."
    ),
    "1 up C6H5, 3 up SePh": (
        'MMFF94 has no parameters for selenium (atom 13 (Se)); set force_field = "UFF" or leave the '
        "molecule out."
    ),
}


@pytest.mark.parametrize("smiles", SMILES)
def test_smiles_is_refused_with_this_text(smiles: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        build(smiles=smiles)
    assert caught.value.message == SMILES[smiles]
    assert str(caught.value) == f"study.toml, field 'smiles': {SMILES[smiles]}"
    assert caught.value.exit_code == 1


@pytest.mark.parametrize("groups_by_face", SPOKEN)
def test_typed_list_is_refused_with_this_text(groups_by_face: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        build(groups_by_face=groups_by_face)
    assert caught.value.message == SPOKEN[groups_by_face]
    assert caught.value.place.field == "substituents"


def test_too_many_atoms() -> None:
    with pytest.raises(MoleculeError) as caught:
        build(smiles="CC1CCCCC1", atom_limit=20)
    assert caught.value.message == (
        "The molecule has 21 atoms, hydrogens included, and the limit is 20; take a smaller one or raise "
        "atom_limit."
    )
    assert build(smiles="CC1CCCCC1", atom_limit=21).name == "m"


def test_uff_takes_elements_mmff94_does_not_know_and_refuses_what_it_lacks() -> None:
    assert build(smiles="C[Se]C1CCCCC1", force_field="UFF").topology.symbols[6] == "Se"
    with pytest.raises(MoleculeError) as caught:
        build(smiles="FS(F)(F)(F)(F)C1CCCCC1", force_field="UFF")
    assert caught.value.message == (
        "UFF has no parameters for the group *S(F)(F)(F)(F)F; choose another force field or leave the "
        "molecule out."
    )


def test_too_many_permutations() -> None:
    with pytest.raises(MoleculeError) as caught:
        build(groups_by_face=", ".join(f"{carbon} up tBu" for carbon in range(1, 7)), atom_limit=200)
    assert caught.value.message == (
        "The molecule has more than 200,000 permutations of equal atoms, too many to count the "
        "degeneracies of its conformers; take fewer tert-butyl-like groups."
    )


def test_isocyanide_carries_a_charged_carbon_and_is_no_carbanion() -> None:
    assert build(smiles="[C-]#[N+]C1CCCCC1").groups_by_face == "1 up NC"


@pytest.mark.parametrize("smiles", ["[O-]C(=O)C1CCCCC1", "[NH3+]C1CCCCC1", "O=[N+]([O-])C1CCCCC1"])
def test_ions_the_force_field_knows_are_taken(smiles: str) -> None:
    assert build(smiles=smiles).name == "m"


def test_more_isomers_than_fit_are_counted() -> None:
    with pytest.raises(MoleculeError) as caught:
        build(smiles="CC1C(F)C(Cl)C(Br)C(O)C1N")
    lines = caught.value.message.splitlines()
    # Six different centres: 2^6 = 64 configurations, 32 pairs of mirror images.
    assert lines[0].endswith("could be one of 32:")
    assert lines[17] == "  and 16 more"


def test_nothing_reaches_the_terminal(capfd: pytest.CaptureFixture[str]) -> None:
    for text in ("CC1CC(", "CC(C)(C)(C)C1CCCCC1", "c1cccc1C1CCCCC1", "C[Se]C1CCCCC1", "[2H]C1CCCCC1"):
        with pytest.raises(MoleculeError):
            build(smiles=text)
    with pytest.raises(MoleculeError):
        build(molblock="nonsense")
    assert capfd.readouterr() == ("", "")


def test_control_characters_and_long_text_are_not_echoed() -> None:
    with pytest.raises(MoleculeError) as caught:
        build(smiles="C\x1b[2J" + "C" * 500)
    assert "\x1b" not in caught.value.message
    assert len(caught.value.message) < 250


def test_a_request_without_any_molecule() -> None:
    with pytest.raises(MoleculeError, match="no SMILES, no groups and no structure record; give one of them"):
        build_molecules(request(), TABLE, force_field="MMFF94", atom_limit=100)
