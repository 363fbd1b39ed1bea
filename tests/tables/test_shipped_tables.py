"""The shipped tables as data: every row complete, sourced, chemically the group its key says."""

import re

import pytest
from rdkit import Chem
from rdkit.Chem.rdMolDescriptors import CalcMolFormula

from chairgap.records import AValueRow, EstimateTable
from chairgap.tables.shipped import SHIPPED_TABLES, read_sources, read_whole_table

TABLES = {name: read_whole_table(name) for name in SHIPPED_TABLES}
ROWS = [(name, row) for name, table in TABLES.items() for row in table.a_values]
ids = [f"{name}-{row.group}-{row.medium}".removesuffix("-") for name, row in ROWS]
every_row = pytest.mark.parametrize("row", [row for _, row in ROWS], ids=ids)
every_table = pytest.mark.parametrize("table", TABLES.values(), ids=TABLES.keys())


def test_number_of_groups() -> None:
    groups = {name: {row.group for row in table.a_values} for name, table in TABLES.items()}
    assert {name: len(keys) for name, keys in groups.items()} == {"chairgap": 74, "textbook": 11}


@every_row
def test_range_holds_the_value(row: AValueRow) -> None:
    assert row.low_kcal_mol <= row.value_kcal_mol <= row.high_kcal_mol


@every_row
def test_range_runs_over_the_numbers_in_the_note(row: AValueRow) -> None:
    evidence = row.note.split(". ")[0]
    numbers = [float(number) for number in re.findall(r"(?<![\d-])\d\.\d\d+", evidence)]
    if row.source == "openstax_organic":
        assert numbers == [row.value_kcal_mol / 2]
    else:
        assert (min(numbers), max(numbers)) == (row.low_kcal_mol, row.high_kcal_mol)
        assert row.value_kcal_mol in numbers


@every_row
def test_a_range_of_zero_width_is_explained(row: AValueRow) -> None:
    if row.low_kcal_mol == row.high_kcal_mol:
        assert re.search("One value only|No spread|gives no spread", row.note)


@every_row
def test_a_primary_value_has_a_method_and_a_temperature_or_says_that_none_is_stated(row: AValueRow) -> None:
    if row.known == "primary":
        assert row.method
        assert row.temperature_k or "is not in the abstract" in row.note


def test_sources_all_resolve_and_are_fully_described() -> None:
    sources = read_sources()
    used = {row.source for _, row in ROWS} | {
        row.source for table in TABLES.values() for row in table.interactions
    }
    assert used <= sources.keys()
    for source in sources.values():
        assert source.citation.endswith(".") and source.how_seen
        _, *names, year = re.findall(r"[A-Za-z]+|[0-9]{4}", f"_ {source.short}")
        if year.isdigit():  # each author named stands in the citation, and so does the year
            assert all(name in source.citation for name in names if name not in ("et", "al"))
            assert year in source.citation
        assert bool(source.doi) == bool(source.doi_known)


def test_a_source_seen_only_in_memory_is_not_called_seen() -> None:
    for _, row in ROWS:
        how_seen = read_sources()[row.source].how_seen
        if row.known == "primary":
            assert how_seen.startswith("abstract seen")
        if how_seen.startswith("not seen"):
            assert row.known == "from memory"


# --- chemistry of the rows, by an independent reading of the condensed formula -----------------------------


def composition(condensed: str) -> dict[str, int]:
    """Element counts of a condensed formula such as OSi(CH(CH3)2)3."""
    stack: list[dict[str, int]] = [{}]
    tokens = re.findall(r"[A-Z][a-z]?|\(|\)|\d+", re.sub(r"[=#+-]", "", condensed))
    position = 0
    while position < len(tokens):
        token = tokens[position]
        following = tokens[position + 1] if position + 1 < len(tokens) else ""
        times = int(following) if following.isdigit() else 1
        position += 2 if following.isdigit() and token != "(" else 1
        if token == "(":
            stack.append({})
            continue
        counted = stack.pop() if token == ")" else {token: 1}
        for element, count in counted.items():
            stack[-1][element] = stack[-1].get(element, 0) + times * count
    (whole,) = stack
    return whole


def test_composition_reads_nested_brackets() -> None:
    assert composition("OSi(CH(CH3)2)3") == {"O": 1, "Si": 1, "C": 9, "H": 21}
    assert composition("CO2-") == {"C": 1, "O": 2}


@every_row
def test_fragment_is_the_group_its_key_names(row: AValueRow) -> None:
    molecule = Chem.MolFromSmiles(row.fragment)
    assert molecule is not None
    (dummy,) = (atom for atom in molecule.GetAtoms() if atom.GetAtomicNum() == 0)
    assert dummy.GetDegree() == 1
    assert dummy.GetBonds()[0].GetBondType() == Chem.BondType.SINGLE
    assert sum(atom.GetNumRadicalElectrons() for atom in molecule.GetAtoms()) == 0
    dummy.SetAtomicNum(1)
    dummy.SetNoImplicit(True)
    with_hydrogen = composition(re.sub(r"[+-]\d*$", "", CalcMolFormula(molecule)))
    expected = composition(row.group)
    expected["H"] = expected.get("H", 0) + 1
    assert with_hydrogen == expected
    charge = {"+": 1, "-": -1}.get(row.group[-1], 0)
    assert Chem.GetFormalCharge(molecule) == charge


@every_row
def test_fragment_is_attached_by_the_first_atom_of_its_key(row: AValueRow) -> None:
    molecule = Chem.MolFromSmiles(row.fragment)
    (dummy,) = (atom for atom in molecule.GetAtoms() if atom.GetAtomicNum() == 0)
    first = re.match("[A-Z][a-z]?", row.group)
    assert first is not None and dummy.GetNeighbors()[0].GetSymbol() == first[0]


@every_table
def test_no_two_keys_are_the_same_group(table: EstimateTable) -> None:
    fragments = {row.group: Chem.CanonSmiles(row.fragment) for row in table.a_values}
    assert len(set(fragments.values())) == len(fragments)


@every_table
def test_no_name_is_ambiguous_even_without_capitals(table: EstimateTable) -> None:
    owner: dict[str, str] = {}
    for row in table.a_values:
        for name in (row.group, *row.names):
            assert owner.setdefault(name.casefold(), row.group) == row.group


@every_table
def test_groups_of_the_interactions_have_a_values(table: EstimateTable) -> None:
    groups = {row.group for row in table.a_values}
    for row in table.interactions:
        assert {row.group_1, row.group_2} <= groups
        assert row.low_kcal_mol <= row.value_kcal_mol <= row.high_kcal_mol
        assert row.kind != "vicinal gauche" or row.form == "excess"


def test_the_pairs_that_ship() -> None:
    pairs = {(row.kind, row.group_1, row.group_2) for row in TABLES["chairgap"].interactions}
    assert pairs == {
        ("syn-diaxial", "CH3", "CH3"),
        ("syn-diaxial", "OH", "OH"),
        ("syn-diaxial", "OH", "CH3"),
        ("syn-diaxial", "OH", "OC2H5"),
        ("syn-diaxial", "OH", "NH2"),
        ("syn-diaxial", "OH", "N(CH3)2"),
        ("syn-diaxial", "Cl", "Cl"),
        ("syn-diaxial", "Cl", "CH3"),
        ("syn-diaxial", "OCOCH3", "OCOCH3"),
        ("syn-diaxial", "CN", "CH3"),
        ("syn-diaxial", "CN", "CN"),
        ("syn-diaxial", "CO2C2H5", "CH3"),
        ("vicinal gauche", "CH3", "CH3"),
        ("vicinal gauche", "OH", "OH"),
        ("vicinal gauche", "OH", "CH3"),
        ("vicinal gauche", "OH", "CO2CH3"),
        ("vicinal gauche", "F", "F"),
        ("vicinal gauche", "Cl", "Cl"),
        ("vicinal gauche", "OCOCH3", "F"),
        ("vicinal gauche", "OCOCH3", "Br"),
    }


def test_groups_outside_the_force_field_are_in_the_table_all_the_same() -> None:
    groups = {row.group for row in TABLES["chairgap"].a_values}
    assert {"Sn(CH3)3", "Ge(CH3)3", "Pb(CH3)3", "SeC6H5", "TeC6H5", "HgBr", "MgBr"} <= groups
    assert not {"H", "D"} & groups


def test_textbook_fragments_are_those_of_the_main_table() -> None:
    main = {row.group: (row.fragment, row.names) for row in TABLES["chairgap"].a_values}
    for row in TABLES["textbook"].a_values:
        assert (row.fragment, row.names) == main[row.group]
