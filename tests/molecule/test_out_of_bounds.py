"""Texts beyond what any molecule is: told in words before RDKit takes minutes, or another molecule for it.

Found by `tests/fuzz/`. What RDKit does with each stands in its test (seen with 2026.09.1).
"""

import pytest
from rdkit import Chem

from chairgap.errors import InputError, MoleculeError, StudyError
from chairgap.molecule.group_lists import read_group_list
from chairgap.molecule.isomers import MOST_WRITINGS
from chairgap.molecule.reading import MOST_ATOMS, read_molblock, read_smiles
from chairgap.molecule.sdf import read_sdf_blocks
from chairgap.molecule.substituents import read_fragment, row_names
from chairgap.records import AValueRow, EstimateTable
from molecule.making import TABLE, build, build_every


@pytest.mark.parametrize(
    ("smiles", "message"),
    [
        (
            "C" * 10_001,
            "The SMILES has 10,001 characters, and at most 10,000 are read; take a smaller molecule.",
        ),
        (
            "C1CC1" * 200,
            "The molecule has 600 atoms as it is written, and at most 400 can be treated; take a smaller "
            "one.",
        ),
    ],
)
def test_a_molecule_far_too_large_is_refused_before_it_is_looked_at(smiles: str, message: str) -> None:
    """20,000 rings in a row take RDKit more than a minute."""
    with pytest.raises(MoleculeError) as caught:
        read_smiles(smiles)
    assert str(caught.value) == message
    with pytest.raises(MoleculeError) as caught:
        read_fragment(f"*{smiles}")
    assert "take a smaller" in str(caught.value)


def test_the_largest_molecule_a_study_can_ask_for_is_still_read() -> None:
    assert read_smiles("C" * MOST_ATOMS).mol.GetNumHeavyAtoms() == MOST_ATOMS


def test_a_molblock_far_too_large_is_refused() -> None:
    mol = Chem.MolFromSmiles("C" * (MOST_ATOMS + 1))
    with pytest.raises(MoleculeError, match="401 atoms as it is written, and at most 400"):
        read_molblock(Chem.MolToV3KMolBlock(mol))


@pytest.mark.parametrize(
    "atom",
    ["[CH259]", "[C+256]", "[C-999]", "[65536C]", "[1000C]", "[#262]", "[#119]", "[13CH3+257]", "[C@H300]"],
)
def test_numbers_that_rdkit_would_cut_are_refused(atom: str) -> None:
    """RDKit keeps the last bits of a number: [CH259] is CH3, [C+256] a plain carbon, [#262] carbon."""
    with pytest.raises(MoleculeError, match="has a number that no atom can have; correct it"):
        read_smiles(f"{atom}C1CCCCC1")
    with pytest.raises(MoleculeError, match="has a number that no atom can have"):
        read_fragment(f"*{atom}")


def test_why_such_numbers_are_refused() -> None:
    """Should RDKit come to refuse them by itself, the check can go."""
    assert Chem.MolFromSmiles("[CH259]C", sanitize=False).GetAtomWithIdx(0).GetNumExplicitHs() == 3


@pytest.mark.parametrize(
    "smiles", ["[13CH3:1000]C", "[CH2:65536]C", "[235U+6]", "[#118]", "[#99]", "C[C@TB20]"]
)
def test_large_numbers_that_can_be_are_read_as_before(smiles: str) -> None:
    try:
        read_smiles(smiles)
    except MoleculeError as error:
        assert "no atom can have" not in str(error)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("M  END", "M  CHG  1   2 257\nM  END"),
        ("M  END", "M  CHG  2   1   1   2 256\nM  END"),
    ],
)
def test_charges_of_a_molblock_that_rdkit_would_cut_are_refused(before: str, after: str) -> None:
    block = Chem.MolToMolBlock(Chem.MolFromSmiles("CN")).replace(before, after)
    with pytest.raises(MoleculeError, match=r"charge or isotope 25\d, which no atom can have; correct it"):
        read_molblock(block)


@pytest.mark.parametrize("words", ["CHG=257", "MASS=65549", "CHG=-255"])
def test_the_same_in_a_v3000_molblock(words: str) -> None:
    lines = Chem.MolToV3KMolBlock(Chem.MolFromSmiles("CN")).splitlines()
    lines = [f"{line} {words}" if line.startswith("M  V30 2 N") else line for line in lines]
    with pytest.raises(MoleculeError, match="which no atom can have; correct it"):
        read_molblock("\n".join(lines) + "\n")


def test_an_atom_of_more_neighbours_than_rdkit_can_count() -> None:
    """128 neighbours overflow the valence, and RDKit throws a RuntimeError that nothing caught."""
    with pytest.raises(MoleculeError) as caught:
        read_smiles("C1CCCCC1" + "C" + "(C)" * 130)
    assert (
        str(caught.value) == "Atom 7 (C) has 131 neighbours, more than any atom can have; correct its bonds."
    )
    with pytest.raises(MoleculeError, match="more than any atom can have"):
        read_fragment("*C" + "(C)" * 130)


def test_what_breaks_an_invariant_of_rdkit_loses_one_molecule(monkeypatch: pytest.MonkeyPatch) -> None:
    """Thrown as a RuntimeError, which stopped a whole study."""

    def broken(text: str) -> None:
        raise RuntimeError(
            "Pre-condition Violation\n\tAtomic number not found\n\tViolation occurred on line 9"
        )

    monkeypatch.setattr("chairgap.molecule.build.read_smiles", broken)
    with pytest.raises(MoleculeError) as caught:
        build(smiles="CC1CCCCC1")
    assert str(caught.value) == (
        "study.toml, field 'smiles': RDKit cannot work with this structure (Atomic number not found); "
        "correct it, or leave the molecule out."
    )


@pytest.mark.parametrize("title", ["", "caf\u00e9 " * 20])
def test_letters_that_are_no_ascii_break_no_structure_record(title: str) -> None:
    """RDKit quotes lines by bytes and cuts letters in two; this came out as a SystemError."""
    block = Chem.MolToMolBlock(Chem.MolFromSmiles("CC1CCCCC1")).replace("\n", f"{title}\n", 1)
    assert read_molblock(block).mol.GetNumHeavyAtoms() == 7
    with pytest.raises(MoleculeError, match=r"cannot be read: .+; write a V2000 or V3000 molblock"):
        read_molblock(block.replace("  7  7  0", "  \u00e97\u00e9  7\u00e9 \u00e9\u00e9 0"))


def test_the_place_of_an_error_counts_characters() -> None:
    with pytest.raises(MoleculeError, match="near character 3; correct"):
        read_smiles("C\u00e9\u00e9C1CCCCC1".replace("\u00e9", "C", 1))


def test_a_message_of_rdkit_that_is_no_text_breaks_no_structure_record(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Met once in some 10,000 damaged records, by what lay in memory: RDKit logged bytes that are no UTF-8,
    and Python's SystemError came of it."""

    def logged(*_: object, **__: object) -> None:
        raise SystemError("returned a result with an exception set") from UnicodeDecodeError(
            "utf-8", b"\xd6", 0, 1, "invalid continuation byte"
        )

    monkeypatch.setattr(Chem, "MolFromMolBlock", logged)
    with pytest.raises(MoleculeError, match="cannot be read: no reason was given; write a V2000 or V3000"):
        read_molblock(Chem.MolToMolBlock(Chem.MolFromSmiles("CC1CCCCC1")))


@pytest.mark.parametrize(
    ("bonds", "reason"),
    [
        ("  1  2  1  0\n  1  2  1  0\n", "two bond lines join the same two atoms"),
        ("  1  2  1  0\n  1  9  1  0\n", "a line names an atom that is not there"),
    ],
)
def test_broken_invariants_of_a_molblock_are_reported_in_words(bonds: str, reason: str) -> None:
    """RDKit prints a frame of stars above its reason, and the reason was empty."""
    atom = "    {x}.0000    0.0000    0.0000 C   0  0  0  0  0  0  0  0  0  0  0  0\n"
    block = (
        "x\n\n\n  2  2  0  0  0  0  0  0  0  0999 V2000\n"
        + atom.format(x=0)
        + atom.format(x=1)
        + bonds
        + "M  END\n"
    )
    with pytest.raises(MoleculeError) as caught:
        read_molblock(block)
    assert (
        str(caught.value)
        == f"The structure record cannot be read: {reason}; write a V2000 or V3000 molblock."
    )


def test_a_carbon_number_of_thousands_of_digits_is_a_slip_like_others() -> None:
    """Python refuses to make a number of it, by a ValueError."""
    with pytest.raises(InputError, match="does not read 'carbon face group'"):
        read_group_list("9" * 5000 + " up CH3")


def test_more_writings_than_can_be_gone_through_are_refused() -> None:
    """4,096 of them took 22 s, and would have been 2,048 molecules."""
    crowded = "C1(C(O)C)C(C(F)C)C(C(Cl)C)C(C(N)C)C(C(S)C)C1C(Br)C"
    with pytest.raises(MoleculeError, match=f"4,096 ways to write it, more than {MOST_WRITINGS:,}"):
        build_every(crowded)


def test_a_table_is_looked_up_by_itself_and_not_by_its_rows() -> None:
    """Its hash over all rows was asked for at every comparison of two numberings: 85 % of building."""
    copied = EstimateTable(name=TABLE.name, a_values=TABLE.a_values, interactions=TABLE.interactions)
    assert copied != TABLE and hash(copied) != hash(TABLE)


def _row(group: str, fragment: str) -> AValueRow:
    energies = {"value_kcal_mol": 1.0, "low_kcal_mol": 1.0, "high_kcal_mol": 1.0}
    words = {"medium": "", "solvent": "", "method": "", "source": "", "known": "compilation", "note": ""}
    return AValueRow(group=group, names=(), fragment=fragment, temperature_k=None, **energies, **words)


def test_all_fragments_of_a_table_that_are_no_group_are_reported() -> None:
    rows = (_row("CH3", "*C"), _row("bad", "*C("), _row("Et", "*CC"), _row("ethyl again", "CC*"))
    with pytest.raises(StudyError) as caught:
        row_names(EstimateTable(name="course.csv", a_values=rows, interactions=()))
    bad, twice = (str(problem) for problem in caught.value.problems)
    assert bad.startswith(
        "course.csv, field 'fragment': Group 'bad': The fragment '*C(' cannot be read as SMILES;"
    )
    assert twice == (
        "course.csv, field 'fragment': The fragments of 'Et' and 'ethyl again' are the same group; "
        "keep one of the two rows."
    )


def test_names_of_records_are_found_within_the_record() -> None:
    """For each record without a title the whole file was gone through: 100,000 records took hours."""
    first = "\n\n\n  0  0\nM  END\n> <name>\nfirst\n\n$$$$\n"
    second = "\n\n\n  0  0\nM  END\n$$$$\n"
    text = f"{first}{second}third\n\n\nM  END\n>  <NAME>\nx\n"
    records = read_sdf_blocks(text)
    assert [(record.title, record.name_tag) for record in records] == [
        ("", "first"),
        ("", ""),
        ("third", "x"),
    ]
