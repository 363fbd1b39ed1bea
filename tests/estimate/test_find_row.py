"""Finding the row a person means, and what to suggest when there is none."""

from dataclasses import replace

import pytest

from chairgap.estimate.groups import find_row, suggest
from chairgap.tables.shipped import read_estimate_table

TABLE = read_estimate_table("chairgap")


@pytest.mark.parametrize(
    ("name", "group"),
    [
        ("CH3", "CH3"),
        ("Me", "CH3"),
        ("methyl", "CH3"),
        ("METHYL", "CH3"),
        (" me ", "CH3"),
        ("t-Bu", "C(CH3)3"),
        ("tBu", "C(CH3)3"),
        ("tert-butyl", "C(CH3)3"),
        ("iPr", "CH(CH3)2"),
        ("i-Pr", "CH(CH3)2"),
        ("isopropyl", "CH(CH3)2"),
        ("Ph", "C6H5"),
        ("phenyl", "C6H5"),
        ("hydroxy", "OH"),
        ("OMe", "OCH3"),
        ("methoxy", "OCH3"),
        ("COOH", "CO2H"),
        ("carboxy", "CO2H"),
        ("vinyl", "CH=CH2"),
        ("CH=CH2", "CH=CH2"),
        ("CN", "CN"),
        ("NC", "NC"),
        ("CO2 Me", "CO2CH3"),
        ("PPh2", "P(C6H5)2"),
        ("PH2", "PH2"),
    ],
)
def test_keys_aliases_capitals_and_spaces(name: str, group: str) -> None:
    row = find_row(TABLE, name)
    assert row is not None and row.group == group


@pytest.mark.parametrize("name", ["", "mehtyl", "C", "*C", "Bu", "H"])
def test_no_row_is_none(name: str) -> None:
    assert find_row(TABLE, name) is None


def test_capitals_that_would_be_ambiguous_are_not_guessed() -> None:
    first, second = TABLE.a_values[:2]
    table = replace(TABLE, a_values=(replace(first, names=("Ab",)), replace(second, names=("aB",))))
    assert find_row(table, "Ab").group == first.group
    assert find_row(table, "aB").group == second.group
    assert find_row(table, "AB") is None


def test_a_key_goes_before_an_alias_of_another_row() -> None:
    first, second = TABLE.a_values[:2]
    table = replace(TABLE, a_values=(replace(first, names=("X",)), replace(second, group="X", names=())))
    assert find_row(table, "X").fragment == second.fragment


@pytest.mark.parametrize(
    ("typo", "expected"),
    [("mehtyl", "methyl"), ("isoproply", "isopropyl"), ("phenil", "phenyl"), ("metoxy", "methoxy")],
)
def test_suggestions_name_the_nearest_first(typo: str, expected: str) -> None:
    assert suggest(TABLE, typo)[0] == expected


def test_suggestions_hold_one_name_for_each_group_and_at_most_three() -> None:
    found = suggest(TABLE, "methylsulfanil")
    assert 1 <= len(found) <= 3
    assert len({find_row(TABLE, name).group for name in found}) == len(found)


def test_nothing_near_gives_no_suggestion() -> None:
    assert suggest(TABLE, "qqqqqqqq") == ()
