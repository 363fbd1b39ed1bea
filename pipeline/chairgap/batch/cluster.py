"""Dask workers on any number of machines, for `--cluster`; needs the extra chairgap[cluster].

The same work as everywhere; a worker that dies is replaced by Dask's own nanny, and the work it had is given
to others a few times before it is called lost. Time is bounded by a watchdog in the worker process; memory by
what the workers were started with.
"""

import faulthandler
import os
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError
from pathlib import Path
from typing import Any

from threadpoolctl import threadpool_limits

from chairgap.batch.content import versions
from chairgap.batch.executors import Item, Job, Value, cpu_limit
from chairgap.errors import EngineError, InputError, Place
from chairgap.records import Lost

_AHEAD = 3
_OPTION = Place(file="command line", field="--cluster")
_WAIT_FOR_WORKERS_S = 60
_WAIT_FOR_ANSWER_S = 10


class Cluster:
    """An executor that gives its work to a Dask scheduler. Raises InputError when it cannot be reached."""

    def __init__(self, address: str):
        try:
            from distributed import Client
        except ImportError:
            message = "A cluster needs the extra library: pip install 'chairgap[cluster]'."
            raise InputError(message, place=_OPTION) from None
        try:
            self._client = Client(address, timeout=_WAIT_FOR_ANSWER_S, set_as_default=False)
            self._client.wait_for_workers(1, timeout=_WAIT_FOR_WORKERS_S)
        except (OSError, ValueError, TimeoutError) as error:
            message = (
                f"No Dask scheduler with workers answers at '{address}' ({type(error).__name__}). Start "
                "one with its workers, and give its address, such as tcp://10.0.0.1:8786."
            )
            raise InputError(message, place=_OPTION) from None

    def run(self, job: Job[Item, Value], items: Iterable[Item]) -> Iterator[tuple[Item, Value | Lost]]:
        """See `chairgap.batch.executors.Executor.run`."""
        from distributed import as_completed

        waiting: dict[str, tuple[Item, float]] = {}
        finished = as_completed(loop=self._client.loop)
        drawn = iter(items)
        try:
            while True:
                window = _AHEAD * max(1, sum(self._client.nthreads().values()))
                for item in drawn:
                    # What is shared goes along with each item (95 kB): spread beforehand it would be gone
                    # when the last worker that had it dies.
                    future = self._client.submit(_do, job, item, versions(), pure=False)
                    waiting[future.key] = (item, time.monotonic())
                    finished.add(future)
                    if len(waiting) >= window:
                        break
                if not waiting:
                    return
                future = next(finished)
                item, since = waiting.pop(future.key)
                yield item, _value(future, time.monotonic() - since, job.time_s)
        finally:
            finished.clear()

    def close(self) -> None:
        """Leave the cluster; its workers go on living."""
        self._client.close()


def _value(future: Any, seconds: float, time_s: float) -> Any:
    from distributed import KilledWorker

    try:
        found = future.result()
    except CancelledError:
        raise EngineError(
            "The scheduler of the cluster is gone, or has given the work up. What was computed before is "
            "kept: see to the cluster, then run the same command again."
        ) from None
    except KilledWorker:
        message = (
            f"every worker that tried it died: it took more than {time_s:g} CPU seconds, or more memory "
            "than a worker has, or crashed. Raise time_s in [limits], or the memory of the workers."
        )
        return Lost(why="crash", message=message, seconds=seconds)
    if isinstance(found, _OtherVersion):
        raise EngineError(
            "The workers of the cluster run another chairgap, or other versions of rdkit, openmm or numpy, "
            "than this program. Install the same everywhere, and run the same command again."
        )
    return found


class _OtherVersion:
    """What a worker answers whose program is not ours."""


def _do(job: Job[Item, Value], item: Item, expected: str) -> Value | _OtherVersion:
    """In a worker. Timer and watchdog are native: they end the process inside a library too."""
    if versions() != expected:
        return _OtherVersion()
    with Path(os.devnull).open("w") as nowhere, threadpool_limits(1):
        faulthandler.dump_traceback_later(job.clock_s, exit=True, file=nowhere)
        try:
            with cpu_limit(job.time_s):
                return job.work(job.shared, item)
        finally:
            faulthandler.cancel_dump_traceback_later()
