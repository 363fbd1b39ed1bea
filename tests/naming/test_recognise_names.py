"""What is a name, what a SMILES, what a list of groups by face."""

import pytest

from chairgap.naming.recognise import looks_like_a_name
from chairgap.tables.shipped import read_whole_table
from naming.typed_names import AWKWARD, COMMON, rows


@pytest.mark.parametrize("name", [name for name, _ in (*rows(COMMON), *rows(AWKWARD))])
def test_names(name: str) -> None:
    assert looks_like_a_name(name)


@pytest.mark.parametrize(
    "text",
    [
        *("I", "CO", "CN", "C", "B", "[Na+]", "CC1CCCCC1", "c1ccccc1", "Clc1ccccc1Br", "CC(", "C[Q]C1CCCCC1"),
        *("[nH]1cccc1", "C[Si](C)(C)C1CCCCC1", "[CH3:1]C", "F/C=C/F", "CC1CCCCC1 methylcyclohexane"),
        *("1 up CH3, 2 down OH", "1 up methyl", "2 down ethyl, 1 up propan-2-yl", "", " ", "[Se]C1CCCCC1"),
        *("1 wedge methyl", "1 alpha methyl, 3 beta hydroxy", "1α methyl, 3β hydroxy"),
        *("cis 4: methyl, tert-butyl", "trans-1,4: methyl, hydroxy"),
    ],
)
def test_no_names(text: str) -> None:
    assert not looks_like_a_name(text)


def test_no_fragment_of_the_table_looks_like_a_name() -> None:
    for row in read_whole_table("chairgap").a_values:
        assert not looks_like_a_name(row.fragment)


@pytest.mark.parametrize(
    ("text", "is_name"),
    [
        ("C" * 1_000_000, False),
        ("1" * 1_000_000 + "x a", False),
        ("- " * 300_000, False),
        ("dl" * 500_000 + "x a", True),
    ],
)
def test_long_texts_take_time_in_proportion(text: str, is_name: bool) -> None:
    """A tenth of the first took minutes: the test would not end."""
    assert looks_like_a_name(text) == is_name
