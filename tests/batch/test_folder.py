"""A store in a folder: where it stands, what --fresh takes away, what is left behind, what status says."""

import pickle
import sqlite3
import time
from dataclasses import replace
from pathlib import Path

import pytest

from chairgap.batch.executors import InProcess
from chairgap.batch.folder import store_in
from chairgap.batch.results import Results
from chairgap.batch.stages import compute, plan
from chairgap.batch.status import noting, status_lines
from chairgap.batch.store import STORE, Store, open_store
from chairgap.batch.store_file import is_ours
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.records import COMPUTING, Lost, NotPlanned, Planned, Record, RunState, Settings, Study, Task
from chairgap.study.typed import study_as_typed
from chairgap.study_output.pieces import OutputOptions

TASK = Task(key="a", ring=(("*C", "*[H]"),) * 6)
PLANNED = Planned(
    name="m",
    place=Place(),
    notes=(),
    smiles="",
    groups_by_face="",
    naming=None,
    numbered="Numbers as given",
    task=TASK,
    parts=(),
)


def left_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def keep_one(store: Store) -> None:
    store.put("a", Record(state="done", content=b"kept"))


def test_the_store_is_in_its_folder_whatever_the_folder_is_called(tmp_path: Path) -> None:
    """'?', '#' and '%41' mean something in an SQLite URI, and nothing here."""
    folder = tmp_path / "a b ?mode=ro #1 %41 é"
    with store_in(folder, fresh=False) as store:
        keep_one(store)
    assert left_in(tmp_path) == [folder.name] and left_in(folder) == [STORE]
    with store_in(folder, fresh=False) as store:
        assert store.record("a") is not None


def test_a_run_leaves_no_lock_and_without_anything_computed_no_folder(tmp_path: Path) -> None:
    with store_in(tmp_path / "made", fresh=False):
        assert left_in(tmp_path / "made") == [".running", STORE, f"{STORE}-shm", f"{STORE}-wal"]
    assert left_in(tmp_path) == []
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / STORE).write_text("a person's own notes, more than sixteen bytes of them")
    with (
        pytest.raises(InputError, match="no store of this version"),
        store_in(tmp_path / "there", fresh=False),
    ):
        pass
    assert left_in(tmp_path / "there") == [STORE]


def test_fresh_removes_no_database_of_another_program_and_no_folder(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / STORE) as other:
        other.execute("CREATE TABLE mine (x)")
    before = (tmp_path / STORE).read_bytes()
    (tmp_path / "b" / STORE).mkdir(parents=True)
    for folder in (tmp_path, tmp_path / "b"):
        with pytest.raises(InputError, match="and is not removed"), store_in(folder, fresh=True):
            pass
    assert (tmp_path / STORE).read_bytes() == before and (tmp_path / "b" / STORE).is_dir()


def test_fresh_starts_over_also_from_a_store_whose_run_was_killed(tmp_path: Path) -> None:
    """Its tables may stand in the write-ahead log alone, beside a file that holds little more than a mark."""
    killed = open_store(tmp_path / STORE)
    keep_one(killed)
    assert is_ours(tmp_path / STORE)
    with store_in(tmp_path, fresh=True) as store:
        assert store.record("a") is None


def test_status_of_a_run_that_has_only_just_begun(tmp_path: Path) -> None:
    with store_in(tmp_path, fresh=False) as store:
        assert status_lines(tmp_path)[1] == "Running; it has only just begun."
        noting(store, Settings(title="Anew", output=""), lambda tick: None)
        assert status_lines(tmp_path)[:2] == ["Study: Anew", "Running; it has only just begun."]


def test_the_time_left_goes_by_what_each_task_is_expected_to_take(tmp_path: Path) -> None:
    """Kept from before 5 s, done since 10 s in 1000 minutes, to do 90 s: 9000 minutes more; by the number of
    tasks it would be 1000."""
    tasks = {
        name: replace(TASK, key=name, expected_s=s) for name, s in (("a", 5.0), ("b", 10.0), ("c", 90.0))
    }
    with store_in(tmp_path, fresh=False) as store:
        store.add_entries([replace(PLANNED, task=tasks["a"], parts=(tasks["b"], tasks["c"]))])
        keep_one(store)
        progress = noting(store, Settings(title="Half way", output=""), lambda tick: None)
        progress(RunState(stage=COMPUTING, done=1, total=3))
        store.put("b", Record(state="failed", message="It cannot be treated."))
        store.note("stage_began", f"{time.time() - 60_000.0}")
        (left,) = (line for line in status_lines(tmp_path) if line.endswith("of what is to do."))
    minutes = int(left.removeprefix("About ").partition(" min left, from the atoms and rotors")[0])
    assert 9000 <= minutes < 9100  # the clock goes on meanwhile


# --- plan and results from a store -------------------------------------------------------------------------


@pytest.fixture(scope="module")
def study() -> Study:
    return study_as_typed("1 up F, 3 up F, 5 up F", settings={"search": {"effort": "quick"}})


@pytest.fixture(scope="module")
def computed(study: Study) -> tuple[Store, Study]:
    store = open_store(None)
    plan(study, store, InProcess(), lambda tick: None)
    compute(study, store, InProcess(), lambda tick: None)
    return store, study.shared


class Losing(InProcess):
    """An executor that loses everything."""

    def run(self, job, items):
        for item in items:
            yield item, Lost(why="time", message="it took too long.", seconds=1.0)


def test_a_molecule_lost_while_it_was_read_is_read_by_the_next_run(study: Study) -> None:
    store = open_store(None)
    plan(study, store, Losing(), lambda tick: None)
    (told,) = store.not_done()
    assert isinstance(told.molecule, NotPlanned)
    assert told.molecule.refusal.message == "it cannot be read: it took too long."
    plan(study, store, InProcess(), lambda tick: None)
    assert store.counts().molecules == 1


def test_parts_go_to_be_written_up_without_their_conformers(computed: tuple[Store, Study]) -> None:
    """Else a study of many different groups holds every part, 10 to 250 kB each, in memory."""
    (wanted,) = Results(*computed).write_ups(OutputOptions(parquet=False, molecules=1))
    assert len(wanted.parts) == 2  # F alone, two F in 1,3
    for part in wanted.parts.values():
        assert part is not None and len(pickle.dumps(part)) < 5000


def test_a_damaged_record_is_reported(computed: tuple[Store, Study], monkeypatch) -> None:
    store, context = computed
    (entry,) = store.entries()
    assert entry.record is not None
    packed = Results._packed
    monkeypatch.setattr(Results, "_packed", lambda self, at: (packed(self, at)[0], entry.record.content[:-9]))
    with pytest.raises(ChairgapError, match=r"damaged\. Start over with chairgap study --fresh"):
        Results(store, context)[0]
