"""The cache of parts: never a wrong hit, and the same results with it, without it and in spite of it."""

import errno
import os
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from functools import cache as cache_once
from pathlib import Path

import pytest

from chairgap.batch import content
from chairgap.batch.content import task_of, versions
from chairgap.batch.executors import InProcess
from chairgap.batch.part_cache import PartCache, is_part, user_cache
from chairgap.batch.stages import compute, plan
from chairgap.batch.store import Store, open_store
from chairgap.model.reference_compounds import needed_parts
from chairgap.records import Record, RunState, Settings, Study, Task
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study.typed import study_as_typed
from other_settings import CHANGES
from pipeline_helpers import SETTINGS, TABLE, molecule
from study_files import SAME_BYTES

KEY, OTHER = "a" * 64, "b" * 64
DONE = Record(state="done", content=b"what was computed", seconds=1.5, atoms=21)
THREE = "1 up F, 3 up Cl, 4 down F"
RINGS = needed_parts(molecule(THREE).topology)


@pytest.fixture
def cache(tmp_path: Path) -> PartCache:
    return PartCache(tmp_path / "not" / "yet there")


def ready(cache: PartCache) -> PartCache:
    assert cache.problem() == ""
    return cache


def study() -> Study:
    return study_as_typed(THREE, settings={"search": {"effort": "quick"}})


def computed(cache: PartCache | None) -> tuple[Store, list[RunState]]:
    store, seen = open_store(None), []
    plan(study(), store, InProcess(), seen.append)
    compute(study(), store, InProcess(), seen.append, cache)
    return store, seen


@cache_once
def without() -> dict[str, bytes]:
    """What tasks leave without a cache."""
    return records(computed(None)[0])


def records(store: Store) -> dict[str, bytes]:
    (entry,) = store.entries()
    found = {task.key: store.record(task.key) for task in (entry.molecule.task, *entry.molecule.parts)}
    return {key: record.content for key, record in found.items()}


def files(folder: Path) -> list[Path]:
    return sorted(folder.iterdir()) if folder.exists() else []


def test_what_is_kept_comes_back_under_its_name_only(cache: PartCache) -> None:
    ready(cache).keep(KEY, DONE)
    assert cache.record(KEY) == DONE and cache.record(OTHER) is None
    cache.keep(OTHER, Record(state="failed", message="It cannot be treated."))
    cache.keep(OTHER, Record(state="lost", message="It took too long."))
    assert cache.record(OTHER) is None and cache.filled()[0] == 1


def test_a_study_is_the_same_cold_warm_and_without(cache: PartCache) -> None:
    """Two single groups and three pairs are kept; the molecule of three groups is not."""
    cold, _ = computed(cache)
    assert cache.filled()[0] == len(RINGS) == 5
    warm, seen = computed(cache)
    assert without() == records(cold) == records(warm)
    begun = next(tick for tick in seen if tick.stage == "computing")
    assert (begun.kept, begun.total) == (5, 6)


@pytest.mark.long
def test_every_file_is_the_same_cold_warm_and_without(cache: PartCache, tmp_path: Path) -> None:
    written = []
    for name, options in (
        ("without", RunOptions(workers=0)),
        ("cold", RunOptions(workers=0, cache=cache)),
        ("warm", RunOptions(workers=0, cache=cache)),
        ("fresh", RunOptions(workers=0, cache=cache, fresh=True)),
    ):
        with ran_in_folder(study(), tmp_path / name, options):
            pass
        written.append({file: (tmp_path / name / file).read_bytes() for file in SAME_BYTES})
    assert written[0] == written[1] == written[2] == written[3]


@pytest.mark.parametrize("changed", CHANGES)
def test_another_setting_never_hits(cache: PartCache, changed: dict[str, object]) -> None:
    keep_parts(cache, SETTINGS)
    other = replace(SETTINGS, **changed)
    assert hits(cache, other) == 0
    keep_parts(cache, other)
    assert hits(cache, other) == len(RINGS)
    wetter = replace(other.medium, dielectric=other.medium.dielectric + 0.1)
    assert hits(cache, replace(other, medium=wetter)) == 0


def test_another_table_or_version_never_hits_and_another_temperature_does(
    cache: PartCache, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep_parts(cache, SETTINGS)
    assert hits(cache, replace(SETTINGS, temperature_k=350.0)) == len(RINGS) == 5
    renamed = [replace(row, group="fluoro") if row.fragment == "*F" else row for row in TABLE.a_values]
    table = replace(TABLE, a_values=tuple(renamed))
    assert sum(cache.record(task_of(ring, table, SETTINGS).key) is not None for ring in RINGS) == 1  # Cl
    known = content._version
    for library in ("rdkit", "numpy", "chairgap"):
        versions.cache_clear()
        monkeypatch.setattr(
            content, "_version", lambda name, new=library: "0" if name == new else known(name)
        )
        assert hits(cache, SETTINGS) == 0
    monkeypatch.undo()
    versions.cache_clear()
    assert hits(cache, SETTINGS) == 5


def keep_parts(cache: PartCache, settings: Settings) -> None:
    for ring in RINGS:
        ready(cache).keep(task_of(ring, TABLE, settings).key, DONE)


def hits(cache: PartCache, settings: Settings) -> int:
    return sum(cache.record(task_of(ring, TABLE, settings).key) is not None for ring in RINGS)


def test_only_rings_of_the_model_with_at_most_two_groups_are_parts() -> None:
    bare = ("*[H]", "*[H]")
    for ring, part in (((("*F", "*Cl"), *(bare,) * 5), True), ((("*F", "*Cl"), ("*F", "*[H]")), False)):
        assert is_part(Task(key=KEY, ring=ring)) == part
        assert not is_part(Task(key=KEY, ring=ring, level="MP2/def2-SVP"))


def cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-9])


def one_bit(path: Path) -> None:
    whole = path.read_bytes()
    path.write_bytes(whole[:-1] + bytes([whole[-1] ^ 1]))


def another_name(path: Path) -> None:
    path.write_bytes(next(other for other in files(path.parent) if other != path).read_bytes())


def no_part(path: Path) -> None:
    path.write_bytes(b"")


def a_pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


@pytest.mark.parametrize("spoil", [cut_short, one_bit, another_name, no_part, a_pipe])
def test_a_spoilt_file_costs_only_its_part(cache: PartCache, spoil) -> None:
    computed(cache)
    path = files(cache.folder)[2]
    kept = cache.record(path.stem)
    assert kept is not None
    spoil(path)
    assert cache.record(path.stem) is None
    again, seen = computed(cache)
    assert records(again) == without()
    assert next(tick.kept for tick in seen if tick.stage == "computing") == 4
    replaced = cache.record(path.stem)
    assert replaced is not None and replaced.content == kept.content


def test_many_at_once_read_it_whole_or_not_at_all(cache: PartCache) -> None:
    large = replace(DONE, content=bytes(300_000))
    ready(cache)

    def work(number: int) -> list[Record | None]:
        own, seen = PartCache(cache.folder, most_bytes=400_000), []
        for turn in range(20):
            own.keep((KEY, OTHER)[(number + turn) % 2], large)
            seen += [own.record(KEY), own.record(OTHER)]
            if turn % 7 == number:
                own.clear()
            own.tidy()
        return seen

    with ThreadPoolExecutor(4) as threads:
        seen = [record for some in threads.map(work, range(4)) for record in some]
    assert all(record is None or record == large for record in seen) and large in seen
    assert not [path for path in files(cache.folder) if path.suffix == ".new"]


def test_what_was_not_used_for_long_goes_first(cache: PartCache) -> None:
    ready(cache)
    for age, letter in enumerate("abcde"):
        cache.keep(letter * 64, replace(DONE, content=bytes(1000)))
        os.utime(cache.folder / f"{letter * 64}.part", (time.time() - 1000.0 * (age + 1),) * 2)
    assert cache.record("e" * 64) is not None  # which makes it the one used last
    small = PartCache(cache.folder, most_bytes=4000)
    small.tidy()  # it added nothing
    assert small.filled()[0] == 5
    small.keep("f" * 64, replace(DONE, content=bytes(100)))
    small.tidy()
    assert [path.stem[0] for path in files(cache.folder)] == ["a", "e", "f"]


def test_clearing_leaves_what_is_not_ours(cache: PartCache) -> None:
    ready(cache).keep(KEY, DONE)
    (cache.folder / f"{OTHER}.17.0123abcd.new").write_bytes(b"left behind")
    (cache.folder / "my film.part").write_bytes(b"mine")
    assert cache.clear()[0] == 1
    assert [path.name for path in files(cache.folder)] == ["my film.part"]


def test_a_folder_that_cannot_be_made_is_said_once_and_the_study_is_the_same(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    store, seen = computed(PartCache(tmp_path / "file" / "parts"))
    assert records(store) == without()
    (remark,) = (tick.remark for tick in seen if tick.remark)
    assert remark.startswith(f"Groups and pairs cannot be kept in {tmp_path}/file/parts (")
    assert remark.endswith(
        ") and are computed anew each time. Name another folder in the environment variable CHAIRGAP_CACHE, "
        "or 'off'."
    )


def test_a_full_disk_loses_nothing_but_the_cache(cache: PartCache, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(path: Path, content: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    without()
    monkeypatch.setattr(Path, "write_bytes", full)
    store, seen = computed(cache)
    monkeypatch.undo()
    assert records(store) == without() and files(cache.folder) == []
    assert sum(tick.remark.startswith("Groups and pairs cannot be kept in ") for tick in seen) == 1


def test_the_place_is_the_environments_to_say(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    own = user_cache()
    assert own is not None and "chairgap-tests-" in str(own.folder)  # of no test is it the user's
    monkeypatch.setenv("CHAIRGAP_CACHE", " OFF ")
    assert user_cache() is None
    monkeypatch.delenv("CHAIRGAP_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    found = user_cache()
    assert found is not None and found.folder == tmp_path / "chairgap" / "parts"
