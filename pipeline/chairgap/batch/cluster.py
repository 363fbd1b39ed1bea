"""Dask workers on any number of machines, for `--cluster`; needs the extra chairgap[cluster].

The same work as everywhere; a worker that dies is replaced by Dask's own nanny, and the work it had is given
to others a few times before it is called lost. Time is bounded by a watchdog in the worker process; memory by
what the workers were started with. Every wait has a bound (`scheduler.py`).
"""

import faulthandler
import os
import pickle
import time
import warnings
from collections.abc import Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import suppress
from pathlib import Path
from queue import Empty, SimpleQueue
from typing import Any

from threadpoolctl import threadpool_limits

from chairgap.batch.content import versions
from chairgap.batch.executors import Item, Job, Value, cpu_limit
from chairgap.batch.scheduler import KEPT, OPTION, Scheduler, in_time
from chairgap.errors import EngineError, InputError
from chairgap.records import Lost
from chairgap.text import one_line

_AHEAD = 3
_CONNECTS_WITHIN_S = 15.0
_CLOSES_WITHIN_S = 5.0
_LOOK_EVERY_S = 1.0
# Dask gives a work whose worker died to a few others, and a hanging one lives as long as the clock lets it
# (`Job.clock_s`): only after so many such lives is nothing to be hoped for.
_TRIES = 5
_RESTARTS_S = 60.0


class Cluster:
    """An executor that gives its work to a Dask scheduler. Raises InputError when it cannot be reached, and
    EngineError when it, or its workers, are lost."""

    def __init__(self, address: str):
        try:
            from distributed import Client
        except ImportError:
            message = "A cluster needs the extra library: pip install 'chairgap[cluster]'."
            raise InputError(message, place=OPTION) from None

        class Connection(Client):  # type: ignore[misc]
            def __del__(self) -> None:
                """Nothing: it is closed here, with a bound."""

        self._scheduler = Scheduler(address)
        try:
            with warnings.catch_warnings(action="ignore"):  # of versions, which each work compares
                self._client = in_time(
                    lambda: Connection(address, timeout=_CONNECTS_WITHIN_S, set_as_default=False),
                    _CONNECTS_WITHIN_S,
                )
        except Exception as error:
            self._scheduler.close()
            raise _gone() from error

    def run(self, job: Job[Item, Value], items: Iterable[Item]) -> Iterator[tuple[Item, Value | Lost]]:
        """See `chairgap.batch.executors.Executor.run`."""
        waiting: dict[str, tuple[Item, float]] = {}
        finished: SimpleQueue[Any] = SimpleQueue()
        drawn = iter(items)
        while True:
            window = _AHEAD * max(1, self._scheduler.threads)
            while len(waiting) < window and (item := next(drawn, None)) is not None:
                # What is shared goes along with each item (95 kB): spread beforehand it would be gone
                # when the last worker that had it dies.
                call = pickle.dumps(_Call(job, item, versions()))
                future = self._client.submit(pickle.loads, call, pure=False)
                waiting[future.key] = (item, time.monotonic())
                future.add_done_callback(finished.put)
            if not waiting:
                return
            future = self._next(finished, job.clock_s)
            item, since = waiting.pop(future.key)
            yield item, _value(future, time.monotonic() - since, job.time_s)

    def _next(self, finished: "SimpleQueue[Any]", clock_s: float) -> Any:
        """The next future that is finished. Raises EngineError when none will be."""
        began, most_s = time.monotonic(), _TRIES * clock_s + _RESTARTS_S
        while time.monotonic() - began < most_s:
            try:
                return finished.get(timeout=_LOOK_EVERY_S)
            except Empty:
                self._scheduler.check()
                if self._client.status != "running":
                    raise _gone() from None
        raise EngineError(
            f"Nothing has come back from the {self._scheduler.threads} threads of the cluster for "
            f"{most_s:.0f} s: they are busy with other work, or hang. {KEPT}"
        )

    def close(self) -> None:
        """Leave the cluster; its workers go on living."""
        self._scheduler.close()
        with suppress(Exception):  # a scheduler that is gone is left all the same
            in_time(self._client.close, _CLOSES_WITHIN_S)


def _gone() -> EngineError:
    return EngineError(f"The scheduler of the cluster is gone, or has given the work up. {KEPT}")


def _value(future: Any, seconds: float, time_s: float) -> Any:
    from distributed import KilledWorker
    from distributed.comm import CommClosedError

    try:
        found = future.result(timeout=_CONNECTS_WITHIN_S)
    except (CancelledError, TimeoutError, CommClosedError):
        # What is finished is fetched from the scheduler, which may end between the two.
        raise _gone() from None
    except KilledWorker:
        message = (
            f"every worker that tried it died: it took more than {time_s:g} CPU seconds, or more memory "
            "than a worker has, or crashed. Raise time_s in [limits], or the memory of the workers."
        )
        return Lost(why="crash", message=message, seconds=seconds)
    except Exception as error:
        raise EngineError(
            f"A worker of the cluster cannot do its work ({type(error).__name__}: {one_line(str(error))}). "
            f"Install the same chairgap, and the same libraries, on all of them. {KEPT}"
        ) from error
    if isinstance(found, _OtherVersion):
        raise EngineError(
            "The workers of the cluster run another chairgap, or other versions of rdkit, openmm or numpy, "
            "than this program. Install the same everywhere, and run the same command again."
        )
    return found


class _Call:
    """Reading it calls `_do`. A worker without chairgap, which would die of reading our function as a part of
    Dask's message, thus says what it lacks."""

    def __init__(self, *values: object):
        self._values = values

    def __reduce__(self) -> tuple[object, tuple[object, ...]]:
        return _do, self._values


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
