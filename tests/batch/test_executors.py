"""Executors: all work is done once, and what dies, hangs or grows takes nothing else with it."""

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import closing
from typing import Any

import dask
import pytest
import work
from distributed import LocalCluster

from chairgap.batch.cluster import Cluster, _value
from chairgap.batch.executors import InProcess, Job, in_order
from chairgap.batch.pool import Pool
from chairgap.errors import EngineError
from chairgap.records import Lost, Study
from chairgap.study.typed import study_as_typed


def job(what: Callable[[Study, Any], Any], shared: Study, *, time_s: float = 60.0) -> Job[Any, Any]:
    return Job(work=what, shared=shared, time_s=time_s)


@pytest.fixture(scope="module")
def shared() -> Study:
    return study_as_typed("CC1CCCCC1").shared


@pytest.fixture
def pool() -> Iterator[Pool]:
    with closing(Pool(workers=2, memory_mb=1000)) as opened:
        yield opened


def test_every_item_is_done_once_in_this_process(shared: Study) -> None:
    assert list(InProcess().run(job(work.double, shared), range(5))) == [(i, 2 * i) for i in range(5)]


def test_every_item_is_done_once_in_worker_processes(pool: Pool, shared: Study) -> None:
    done = dict(pool.run(job(work.double, shared), range(40)))
    assert done == {i: 2 * i for i in range(40)}


def test_both_workers_work_and_neither_is_this_process(pool: Pool, shared: Study) -> None:
    processes = {pid for _, (_, pid) in pool.run(job(work.where, shared), range(12))}
    assert len(processes) == 2 and os.getpid() not in processes


def test_a_crash_in_native_code_loses_its_own_item_only(pool: Pool, shared: Study) -> None:
    done = dict(pool.run(job(work.abort_at_three, shared), range(8)))
    lost = done.pop(3)
    assert done == {i: i for i in range(8) if i != 3}
    assert isinstance(lost, Lost) and lost.why == "crash" and "its process died (exit code" in lost.message


def test_an_item_that_computes_too_long_is_ended_and_told(pool: Pool, shared: Study) -> None:
    done = dict(pool.run(job(work.compute_on_at_three, shared, time_s=2.0), range(8)))
    lost = done.pop(3)
    assert done == {i: i for i in range(8) if i != 3}
    assert isinstance(lost, Lost) and (lost.why, lost.seconds) == ("time", 2.0)
    assert lost.message.startswith("it took more than 2 CPU seconds. Raise time_s in [limits]")


def test_an_item_that_waits_for_its_share_of_a_busy_machine_is_not_lost(pool: Pool, shared: Study) -> None:
    """It takes four times its limit on the clock, and next to no CPU time."""
    done = dict(pool.run(job(work.wait_at_three, shared, time_s=0.5), range(8)))
    assert done == {i: i for i in range(8)}


def test_a_hanging_item_is_ended_and_told(pool: Pool, shared: Study) -> None:
    done = dict(pool.run(job(work.hang_at_three, shared, time_s=0.3), range(8)))
    lost = done.pop(3)
    assert done == {i: i for i in range(8) if i != 3}
    assert isinstance(lost, Lost) and (lost.why, lost.seconds) == ("time", 3.0)
    assert lost.message.startswith(
        "it was not done after 3 s on the clock, though it used less than its 0.3 CPU"
    )


def test_an_item_that_takes_too_much_memory_is_ended_and_told(pool: Pool, shared: Study) -> None:
    done = dict(pool.run(job(work.grow_at_three, shared), range(8)))
    lost = done.pop(3)
    assert done == {i: i for i in range(8) if i != 3}
    assert isinstance(lost, Lost) and lost.why == "memory"
    assert "more than the limit of 1000 MB" in lost.message


def test_items_are_drawn_only_a_little_ahead(pool: Pool, shared: Study) -> None:
    drawn = 0

    def items() -> Iterator[int]:
        nonlocal drawn
        for number in range(1000):
            drawn += 1
            yield number

    for finished, _ in enumerate(pool.run(job(work.double, shared), items()), start=1):
        assert drawn - finished < 12  # two workers, three each, and those of one round


def test_no_process_is_left_behind(shared: Study) -> None:
    with closing(Pool(workers=2, memory_mb=1000)) as opened:
        list(opened.run(job(work.double, shared), range(4)))
        assert len(multiprocessing.active_children()) == 2
    assert multiprocessing.active_children() == []


@pytest.mark.long
def test_a_cluster_whose_only_worker_died_goes_on_when_it_is_back(shared: Study) -> None:
    """What the works share must outlive the worker that had it. Dask may count works that waited there as
    lost with the one that killed it; all others are done."""
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        LocalCluster(
            n_workers=1, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
        ) as cluster,
        closing(Cluster(cluster.scheduler_address)) as executor,
    ):
        done = dict(executor.run(job(work.abort_at_three, shared), range(20)))
    lost = done[3]
    assert isinstance(lost, Lost) and lost.why == "crash"
    assert len(done) == 20 and [done[i] for i in range(10, 20)] == list(range(10, 20))


def test_a_cluster_that_gives_the_work_up_is_reported() -> None:
    given_up: Future[None] = Future()
    given_up.cancel()
    with pytest.raises(EngineError, match="is gone, or has given the work up"):
        _value(given_up, 1.0, 60.0)


def test_pairs_come_back_in_the_order_of_their_numbers() -> None:
    shuffled = [((2, "c"), 1.0), ((0, "a"), 2.0), ((3, "d"), 3.0), ((1, "b"), 4.0)]
    assert [item for item, _ in in_order(shuffled)] == [(0, "a"), (1, "b"), (2, "c"), (3, "d")]
