"""The store: what is put in comes out, a full or damaged file is told and loses nothing."""

import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from chairgap.batch.codec import packed, unpacked
from chairgap.batch.content import planned
from chairgap.batch.folder import store_in
from chairgap.batch.store import STORE, Store, open_store, reading_store
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.model.treatment import computed_for_all, warmed
from chairgap.records import Computed, NotPlanned, Planned, Record, Refusal, Task
from chairgap.tables.shipped import find_medium
from pipeline_helpers import SETTINGS, TABLE, molecule


def task(name: str) -> Task:
    return Task(key=name, ring=(("*C", "*[H]"),) * 6)


def entry(name: str, *parts: str) -> Planned:
    return Planned(
        name=name,
        place=Place(line=3),
        notes=("a note",),
        smiles="CC1CCCCC1",
        groups_by_face="1 up CH3",
        naming=None,
        numbered="Numbered by IUPAC",
        task=task(name),
        parts=tuple(map(task, parts)),
    )


REFUSED = NotPlanned(status="refused", refusal=Refusal(name="r", message="No ring.", place=Place(row=2)))


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "s.sqlite")


def test_a_computation_comes_back_the_same() -> None:
    settings = replace(SETTINGS, medium_series=(find_medium("water"),))
    computed = computed_for_all(molecule("1 up CH3, 2 down OH"), settings)
    content = packed(computed)
    again = unpacked(content, Computed)
    assert packed(again) == content
    (one, before), (other, after) = warmed(computed, settings), warmed(again, settings)
    assert (one.gaps, one.chairs, before) == (other.gaps, other.chairs, after)
    for one, other in zip(again.ensemble.species, computed.ensemble.species, strict=True):
        assert (one.minimum.positions == other.minimum.positions).all()
        assert one.shape == other.shape and one.ligands == other.ligands


def test_content_of_another_kind_is_refused() -> None:
    with pytest.raises(ValueError):
        unpacked(packed(task("a")), Computed)
    with pytest.raises(ValueError):
        unpacked(b"nonsense", Computed)


def test_entries_come_back_in_order_with_their_records(store: Store) -> None:
    store.add_entries([entry("a", "p"), REFUSED, entry("b", "p", "a"), entry("a")])
    store.put("a", Record(state="done", content=b"x", seconds=1.5, atoms=21))
    found = list(store.entries())
    assert [item.position for item in found] == [1, 2, 3, 4]
    assert [item.molecule for item in found] == [entry("a", "p"), REFUSED, entry("b", "p", "a"), entry("a")]
    assert [item.record.content if item.record else None for item in found] == [b"x", None, None, b"x"]
    assert list(store.positions_done()) == [1, 4]
    assert [item.position for item in store.not_done()] == [2, 3]
    assert store.entry(3).molecule == entry("b", "p", "a")


def test_molecules_without_a_task_come_by_themselves_and_in_order(store: Store) -> None:
    second = replace(REFUSED, status="failed")
    store.add_entries([REFUSED, entry("a"), *[entry(f"{number}") for number in range(300)], second])
    assert list(store.not_planned()) == [REFUSED, second]


def test_each_task_is_there_once_and_lost_ones_are_tried_again(store: Store) -> None:
    store.add_entries([entry("a", "p", "q"), entry("b", "p"), entry("q")])
    assert [item.key for item in store.todo()] == ["a", "p", "q", "b"]
    store.put("a", Record(state="done"))
    store.put("p", Record(state="failed", message="no parameters"))
    store.put("q", Record(state="lost", message="it took longer"))
    assert [item.key for item in store.todo()] == ["q", "b"]
    counts = store.counts()
    assert (counts.tasks, counts.done, counts.failed, counts.lost, counts.left) == (4, 1, 1, 1, 2)
    assert (counts.molecules, counts.finished) == (3, 1)


def test_what_is_lost_while_tasks_are_drawn_is_not_drawn_again(store: Store) -> None:
    store.add_entries(entry(f"{number:04}") for number in range(450))
    drawn = []
    for item in store.todo():
        drawn.append(item.key)
        store.put(item.key, Record(state="lost", message="it died"))
    assert drawn == [f"{number:04}" for number in range(450)]


def test_records_outlive_a_new_plan_and_unused_ones_a_change_of_version(store: Store) -> None:
    store.add_entries([entry("a"), entry("b")])
    for key in "ab":
        store.put(key, Record(state="done", content=key.encode()))
    store.begin_plan()
    store.add_entries([entry("b")])
    assert list(store.todo()) == []
    for version in ("first", "first"):
        store.forget_other_versions(version)
        assert store.record("a") is not None and store.record("b") is not None
    store.forget_other_versions("second")
    assert store.record("a") is None and store.record("b") is not None


def test_a_store_is_read_while_another_writes(tmp_path: Path) -> None:
    writer = open_store(tmp_path / "s.sqlite")
    writer.add_entries([entry("a")])
    with reading_store(tmp_path / "s.sqlite") as reader:
        writer.put("a", Record(state="done"))
        assert reader.counts().done == 1
        with pytest.raises(ChairgapError, match="cannot be opened for writing"):
            reader.note("a", "b")


def test_a_full_disk_is_reported_and_what_was_there_stays(tmp_path: Path) -> None:
    """SQLite's own bound on its pages makes it say 'database or disk is full', as a full disk does."""
    store = open_store(tmp_path / "s.sqlite")
    store.add_entries([entry("a"), entry("b")])
    store.put("a", Record(state="done", content=b"kept"))
    store._connection.execute("PRAGMA max_page_count = 20")
    with pytest.raises(ChairgapError) as caught:
        store.put("b", Record(state="done", content=b"x" * 200_000))
    assert str(caught.value) == (
        f"{tmp_path / 's.sqlite'}: The store cannot be written (database or disk is full). What was computed "
        "before is kept: make room, then run the same command again."
    )
    store.close()
    record = open_store(tmp_path / "s.sqlite").record("a")
    assert record is not None and record.content == b"kept"


def test_a_foreign_or_damaged_file_is_reported_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "text.sqlite").write_text("a person's own notes, more than sixteen bytes of them")
    with sqlite3.connect(tmp_path / "other.sqlite") as other:
        other.execute("CREATE TABLE mine (x)")
    for name in ("text.sqlite", "other.sqlite"):
        before = (tmp_path / name).read_bytes()
        with pytest.raises(InputError, match=r"no store of this version of chairgap. Move it away"):
            open_store(tmp_path / name)
        assert (tmp_path / name).read_bytes() == before
    made = open_store(tmp_path / "s.sqlite")
    made.add_entries(entry(f"{number}") for number in range(2000))
    made.close()
    with (tmp_path / "s.sqlite").open("r+b") as file:
        file.seek(8192)
        file.write(b"\xff" * 40_000)
    with pytest.raises(ChairgapError, match=r"damaged. Start over with chairgap study --fresh"):
        list(open_store(tmp_path / "s.sqlite").entries())


def test_a_planned_molecule_of_three_groups_needs_its_groups_and_pairs() -> None:
    seeded = replace(SETTINGS, search=replace(SETTINGS.search, seed=2))
    found = planned(molecule("1 up CH3, 3 up CH3, 5 down OH"), TABLE, seeded)
    # CH3, OH; cis-1,3 CH3/CH3; trans-1,3 CH3/OH on either side, which is one ring and its mirror image
    assert len(found.parts) == 4
    assert found.task.key not in {part.key for part in found.parts}


@pytest.mark.parametrize("fresh", [False, True])
def test_a_folder_with_a_foreign_file_is_left_as_it_was(tmp_path: Path, fresh: bool) -> None:
    """The lock stayed behind. Found by tests/fuzz."""
    (tmp_path / STORE).write_text("mine", encoding="utf-8")
    with pytest.raises(InputError), store_in(tmp_path, fresh=fresh):
        pass
    assert [(path.name, path.read_text(encoding="utf-8")) for path in tmp_path.iterdir()] == [(STORE, "mine")]
