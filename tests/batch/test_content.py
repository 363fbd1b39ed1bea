"""What a task is called: everything its result depends on changes the name, and nothing else does."""

from dataclasses import replace

import pytest

from chairgap.batch import content
from chairgap.batch.content import plan_key, task_of, versions
from chairgap.records import Limits, Medium, SearchSettings
from chairgap.tables.shipped import TableReader, find_medium, read_estimate_table
from pipeline_helpers import SETTINGS, TABLE

RING = (("*C", "*[H]"), *((("*[H]", "*[H]"),) * 5))
WATER = Medium(name="water", dielectric=78.4)


def key(settings=SETTINGS, table=TABLE, ring=RING) -> str:
    return task_of(ring, table, settings).key


@pytest.mark.parametrize(
    "changed",
    [
        {"medium": WATER},
        {"medium_series": (WATER,)},
        {"force_field": "MMFF94s"},
        {"engine": "openmm"},
        {"quantum_method": "GFN2-xTB"},
        {"search": SearchSettings(seed=2)},
        {"search": SearchSettings(most_starts=600)},
        {"search": SearchSettings(window_kcal_mol=5.0)},
    ],
)
def test_what_the_computation_depends_on_changes_the_key(changed: dict[str, object]) -> None:
    assert key(replace(SETTINGS, **changed)) != key()


@pytest.mark.parametrize(
    "changed",
    [
        {"title": "other"},
        {"output": "elsewhere"},
        {"undecided_below_kcal_mol": 0.1},
        {"size_tolerance_kcal_mol": 1.0},
        {"temperature_k": 300.0},
        {"temperature_series_k": (300.0,)},
        {"limits": Limits(time_s=5.0)},
        {"parquet": True},
        {"page": False},
        {"atom_limit": 50},
    ],
)
def test_what_only_judges_or_writes_does_not(changed: dict[str, object]) -> None:
    assert key(replace(SETTINGS, **changed)) == key()


def test_another_radius_of_an_element_against_the_solvent_counts() -> None:
    water = find_medium("water")
    first, *others = water.born_radii
    wider = replace(water, born_radii=(replace(first, radius_angstrom=9.0), *others))
    assert key(replace(SETTINGS, medium=wider)) != key(replace(SETTINGS, medium=water))


def test_another_ring_has_another_key_and_another_value_in_the_table_has_not() -> None:
    assert key(ring=(("*[H]", "*C"), *RING[1:])) != key()
    first, *others = TABLE.a_values
    dearer = replace(TABLE, a_values=(replace(first, value_kcal_mol=9.0), *others))
    assert key(table=dearer) == key()


def test_the_rows_that_a_medium_chooses_do_not_count() -> None:
    reader = TableReader()
    gas, water = (reader.estimate_table("chairgap", medium) for medium in ("gas phase", "water"))
    diol = (("*[H]", "*O"), ("*[H]", "*[H]"), ("*[H]", "*O"), *RING[3:])
    assert gas.a_values != water.a_values
    assert key(table=gas, ring=diol) == key(table=water, ring=diol)
    assert plan_key((), gas, SETTINGS) == plan_key((), water, SETTINGS)


def test_another_name_for_the_group_counts_since_chairs_carry_it() -> None:
    textbook = read_estimate_table("textbook")
    renamed = replace(
        textbook,
        a_values=tuple(
            replace(row, group="methyl group") if row.fragment == "*C" else row for row in textbook.a_values
        ),
    )
    assert key(table=renamed) != key(table=textbook)


def test_the_groups_by_face_counts_since_molecules_carry_it() -> None:
    """A row for one hand, or for either, gives that hand the same name; only the first is spoken of by it."""
    first, *others = TABLE.a_values
    one_hand, either = (
        replace(TABLE, a_values=(replace(first, group="CHFCH3", fragment=text), *others))
        for text in ("*[C@H](C)F", "*C(C)F")
    )
    ring = (("*[C@H](C)F", "*[H]"), *RING[1:])
    assert key(table=one_hand, ring=ring) != key(table=either, ring=ring)


def test_another_version_of_a_library_or_of_the_source_changes_every_key(monkeypatch) -> None:
    before = key()
    versions.cache_clear()
    monkeypatch.setattr(content, "_version", lambda name: "0" if name == "rdkit" else content.version(name))
    try:
        assert key() != before
    finally:
        monkeypatch.undo()
        versions.cache_clear()
    assert key() == before


def test_a_task_knows_what_it_is_likely_to_take() -> None:
    """More for more atoms, more for a rotor (OH, three states) than without (F), more by quanta."""

    def expected_s(fragment: str, **changed: object) -> float:
        ring = ((fragment, "*[H]"), *RING[1:])
        return task_of(ring, TABLE, replace(SETTINGS, **changed)).expected_s

    assert expected_s("*C") / expected_s("*F") == pytest.approx((21 / 18) ** 1.17)
    assert expected_s("*O") / expected_s("*F") == pytest.approx((19 / 18) ** 1.17 * 3**0.69)
    assert expected_s("*C", quantum_method="GFN2-xTB") == pytest.approx(237.0 * expected_s("*C"))
