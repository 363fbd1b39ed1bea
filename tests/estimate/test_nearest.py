"""Which row of several a sum takes: the rule by cases worked out by hand; what must hold for any table."""

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.estimate.nearest import rows_for
from chairgap.records import AValueRow, EstimateTable, InteractionRow
from chairgap.tables.shipped import read_whole_table

CHAIRGAP = read_whole_table("chairgap")
# Places of the classes on the scale gas - apolar - polar - hydrogen bonding.
PLACE = {
    "gas phase": 0,
    "cyclohexane": 1,
    "toluene": 1,
    "acetone": 2,
    "dimethyl sulfoxide": 2,
    "methanol": 3,
    "water": 3,
}
MEDIA = tuple(PLACE)
GROUP = CHAIRGAP.a_values[0]
PAIR = CHAIRGAP.interactions[0]


def made(*rows: tuple[str, float | None], group: str = "X") -> tuple[AValueRow, ...]:
    """Rows of one group by medium and temperature; their values are 0.0, 0.1, ..."""
    return tuple(
        replace(GROUP, group=group, value_kcal_mol=number / 10, medium=medium, temperature_k=temperature_k)
        for number, (medium, temperature_k) in enumerate(rows)
    )


def table_of(a_values: tuple[AValueRow, ...], pairs: tuple[InteractionRow, ...] = ()) -> EstimateTable:
    return replace(CHAIRGAP, a_values=a_values, interactions=pairs)


@pytest.mark.parametrize(
    ("rows", "medium", "temperature_k", "taken"),
    [
        # the study's own medium goes before everything, however far the temperature
        ([("", 298.0), ("toluene", 298.0), ("acetone", 150.0)], "acetone", 298.0, 2),
        # the same class before another; no medium counts as of the study's class
        ([("water", None), ("cyclohexane", None)], "toluene", 298.0, 1),
        ([("water", None), ("", None)], "acetone", 298.0, 1),
        # one class away before two: gas - apolar - polar - hydrogen bonding
        ([("water", None), ("acetone", None)], "gas phase", 298.0, 1),
        ([("gas phase", None), ("cyclohexane", None)], "water", 298.0, 1),
        ([("gas phase", None), ("acetone", None)], "water", 298.0, 1),
        # on a tie the first: two media of one class, one class on either side, no medium beside the class
        ([("toluene", None), ("cyclohexane", None)], "gas phase", 298.0, 0),
        ([("cyclohexane", None), ("water", None)], "acetone", 298.0, 0),
        ([("water", None), ("cyclohexane", None)], "acetone", 298.0, 0),
        ([("", None), ("toluene", None)], "cyclohexane", 298.0, 0),
        ([("toluene", None), ("", None)], "cyclohexane", 298.0, 0),
        # the temperature decides within one medium only; a row without one comes last
        ([("toluene", 193.0), ("toluene", 298.0)], "toluene", 300.0, 1),
        ([("toluene", 193.0), ("toluene", 298.0)], "gas phase", 200.0, 0),
        ([("toluene", 193.0), ("cyclohexane", 298.0)], "gas phase", 298.0, 0),
        ([("toluene", None), ("toluene", 193.0)], "toluene", 400.0, 1),
        ([("toluene", 290.0), ("toluene", 310.0)], "toluene", 300.0, 0),
    ],
)
def test_the_rule(
    rows: list[tuple[str, float | None]], medium: str, temperature_k: float, taken: int
) -> None:
    found = rows_for(table_of(made(*rows)), medium, temperature_k)
    assert [row.value_kcal_mol for row in found.a_values] == [taken / 10]
    assert found.chosen == found.a_values


def test_a_pair_is_chosen_like_a_group_whatever_the_order_of_its_groups() -> None:
    pairs = (
        replace(PAIR, group_1="X", group_2="Y", value_kcal_mol=1.0, medium="water"),
        replace(PAIR, group_1="Y", group_2="X", value_kcal_mol=2.0, medium="toluene"),
        replace(PAIR, kind="vicinal gauche", group_1="X", group_2="Y", value_kcal_mol=3.0, medium="water"),
    )
    found = rows_for(table_of((), pairs), "gas phase", 298.15)
    assert [row.value_kcal_mol for row in found.interactions] == [2.0, 3.0]
    assert found.chosen == (pairs[1],)


@pytest.mark.parametrize(
    ("medium", "hydroxyl", "amine", "diol"),
    [
        ("gas phase", 0.70, 1.23, -0.60),
        ("tetrachloromethane", 0.70, 1.23, -0.60),
        ("toluene", 0.70, 1.49, -0.60),
        (
            "acetone",
            0.80,
            1.23,
            1.80,
        ),  # diol: water and tetrachloromethane are one class away, water is first
        ("ethanol", 0.90, 1.23, 1.80),
    ],
)
def test_shipped_rows(medium: str, hydroxyl: float, amine: float, diol: float) -> None:
    """Abraham 1993 (OH, and its cis-1,3 pair), Booth & Jozefowicz 1976 (NH2 in toluene)."""
    table = rows_for(CHAIRGAP, medium, 298.15)
    values = {row.group: row.value_kcal_mol for row in table.a_values}
    (pair,) = (
        row
        for row in table.interactions
        if (row.kind, row.group_1, row.group_2) == ("syn-diaxial", "OH", "OH")
    )
    assert (values["OH"], values["NH2"], pair.value_kcal_mol) == (hydroxyl, amine, diol)


# --- any table -------------------------------------------------------------------------------------------

RowsOfGroup = list[tuple[str, float | None]]
several_rows = st.lists(
    st.tuples(st.sampled_from(("", *MEDIA)), st.sampled_from([None, 193.0, 250.0, 298.15])),
    min_size=1,
    unique=True,
)
tables = st.lists(several_rows, min_size=1, max_size=4)
of_a_study = (st.sampled_from(MEDIA), st.sampled_from([200.0, 298.15, 400.0]))


def a_values_and_pairs(groups: list[RowsOfGroup]) -> EstimateTable:
    a_values = tuple(row for n, rows in enumerate(groups) for row in made(*rows, group=f"X{n}"))
    pairs = tuple(
        replace(
            PAIR,
            group_1=row.group,
            group_2="Y",
            value_kcal_mol=row.value_kcal_mol,
            medium=row.medium,
            temperature_k=row.temperature_k,
        )
        for row in a_values
    )
    return table_of(a_values, pairs)


@given(tables, *of_a_study)
def test_each_group_and_each_pair_has_exactly_one_row_and_it_is_one_of_its_own(
    groups: list[RowsOfGroup], medium: str, temperature_k: float
) -> None:
    table = a_values_and_pairs(groups)
    found = rows_for(table, medium, temperature_k)
    assert [row.group for row in found.a_values] == list(dict.fromkeys(row.group for row in table.a_values))
    assert [row.group_1 for row in found.interactions] == [row.group for row in found.a_values]
    assert set(found.a_values) <= set(table.a_values) and set(found.interactions) <= set(table.interactions)
    # Groups and pairs have the same rows here, so the choice is the same.
    assert [row.value_kcal_mol for row in found.interactions] == [
        row.value_kcal_mol for row in found.a_values
    ]
    assert len(found.chosen) == 2 * sum(len(rows) > 1 for rows in groups)
    assert rows_for(found, medium, temperature_k) is found


@given(several_rows, *of_a_study, st.randoms(use_true_random=False))
def test_the_order_of_rows_matters_only_on_a_tie(
    rows: RowsOfGroup, medium: str, temperature_k: float, shuffler: random.Random
) -> None:
    """No tie: one medium stands nearest. No two temperatures of rows here are equally far from one of a study
    (193, 250, 298.15 K from 200, 298.15, 400 K)."""

    def steps(name: str) -> int:
        return 0 if name == medium else 1 + (abs(PLACE[name] - PLACE[medium]) if name else 0)

    least = min(steps(name) for name, _ in rows)
    nearest = {name for name, _ in rows if steps(name) == least}
    shuffled = list(made(*rows))
    shuffler.shuffle(shuffled)
    one = rows_for(table_of(made(*rows)), medium, temperature_k).a_values[0]
    other = rows_for(table_of(tuple(shuffled)), medium, temperature_k).a_values[0]
    assert one.medium in nearest and other.medium in nearest
    if len(nearest) == 1:
        assert one == other


@given(st.sampled_from(MEDIA), st.floats(100.0, 500.0))
def test_a_table_with_one_row_for_everything_is_returned_as_it_is(medium: str, temperature_k: float) -> None:
    textbook = read_whole_table("textbook")
    assert rows_for(textbook, medium, temperature_k) is textbook
