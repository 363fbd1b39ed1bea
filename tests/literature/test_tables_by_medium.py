"""The columns medium and temperature_k of the A-value and interaction tables, and what each row rests on.

Sources: named in each row. Derived rows are our arithmetic from a row of data/equilibria.csv; each is
redone in the test named after its author and year.
"""

import re

import pytest

from literature.csv_rows import equilibrium, rows

MEDIA = {solvent["name"] for solvent in rows("solvents")} | {"gas phase", ""}
A_ROWS = rows("a_values")
PAIRS = rows("interactions")


def test_rows_of_one_group_stand_together_and_differ_in_medium_or_temperature() -> None:
    order = [row["group"] for row in A_ROWS]
    assert order == sorted(order, key=order.index)
    what = [(row["group"], row["medium"], row["temperature_k"]) for row in A_ROWS]
    assert len(set(what)) == len(what)


def test_only_the_first_row_of_a_group_has_names_and_all_have_its_fragment() -> None:
    first: dict[str, dict[str, str]] = {}
    for row in A_ROWS:
        head = first.setdefault(row["group"], row)
        assert head is row or (row["names"] == "" and row["fragment"] == head["fragment"])
    assert len(first) == 74


def test_rows_of_one_pair_stand_together_and_differ_in_medium_or_temperature() -> None:
    pairs = [(row["kind"], *sorted((row["group_1"], row["group_2"]))) for row in PAIRS]
    assert pairs == sorted(pairs, key=pairs.index)
    what = [(*pair, row["medium"], row["temperature_k"]) for pair, row in zip(pairs, PAIRS, strict=True)]
    assert len(set(what)) == len(what)


@pytest.mark.parametrize("table", ["a_values", "interactions"])
def test_every_row_has_a_medium_of_the_table_a_range_and_a_source(table: str) -> None:
    sources = {source["key"]: source["how_seen"] for source in rows("sources")}
    for row in rows(table):
        assert row["medium"] in MEDIA, row
        low, value, high = (float(row[f"{name}_kcal_mol"]) for name in ("low", "value", "high"))
        assert low <= value <= high, row
        assert row["source"] in sources, row
        assert row["known"] in {"primary", "compilation", "derived", "from memory"}, row
        if sources[row["source"]].startswith("not seen"):
            assert row["known"] == "from memory", row


def test_range_of_an_a_value_runs_over_the_numbers_in_its_note() -> None:
    for row in A_ROWS:
        evidence = row["note"].split(". ")[0]
        numbers = [float(number) for number in re.findall(r"(?<![\d-])\d\.\d\d+", evidence)]
        ends = (float(row["low_kcal_mol"]), float(row["high_kcal_mol"]))
        assert (min(numbers), max(numbers)) == ends and float(row["value_kcal_mol"]) in numbers, row["group"]


def test_every_derived_pair_names_its_equilibrium_and_has_its_medium() -> None:
    derived = [row for row in PAIRS if row["known"] == "derived"]
    assert len(derived) == 19
    for row in derived:
        found = re.match(r"From (\w+):", row["note"])
        assert found is not None, row
        published = equilibrium(found[1])
        assert (published["medium"], published["source"]) == (row["medium"], row["source"])


def test_derived_gauche_terms_say_that_the_anti_interaction_is_lumped_in() -> None:
    for row in PAIRS:
        if row["known"] == "derived" and row["kind"] == "vicinal gauche":
            assert "lumped" in row["note"], row


def test_no_computed_number_is_a_pair_term() -> None:
    assert not [row for row in PAIRS if re.search("comput|CBS|B3LYP|DFT|MP2", row["note"])]
