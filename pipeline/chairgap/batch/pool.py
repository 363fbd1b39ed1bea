"""Worker processes on this machine, one native thread each, with limits on time and memory.

The time is CPU time of the process, so that a loaded machine loses no molecule; the operating system counts
it and ends the process (`executors.cpu_limit`). Work that hangs without computing is ended after ten times as
long on the clock. The processes are kept by pebble, which goes on with another where one was ended, and says
which piece of work a process died with. A watcher ends those that hold too much memory.
"""

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from itertools import chain
from multiprocessing import forkserver
from multiprocessing.context import BaseContext
from typing import Any

import psutil
from pebble import ProcessExpired, ProcessPool
from threadpoolctl import threadpool_limits

from chairgap.batch.executors import Item, Job, Value, cpu_limit
from chairgap.errors import EngineError
from chairgap.records import Lost, Study

# A worker is replaced after so much work: what native libraries lose in memory does not add up.
_WORK_PER_PROCESS = 500
_AHEAD = 3
_LOOK_EVERY_S = 0.25
_ALIVE_EVERY_S = 1.0
_MEGABYTE = 1_000_000
# How a process ends whose CPU time is spent.
_OUT_OF_CPU_TIME = -getattr(signal, "SIGPROF", 0) or None

_shared: dict[str, Study] = {}


class Pool:
    """An executor of worker processes; `memory_mb` bounds what each may hold."""

    def __init__(self, *, workers: int, memory_mb: int):
        self._workers, self._memory_mb = workers, memory_mb
        self._too_large: dict[int, int] = {}
        self._closing = threading.Event()
        self._pool: ProcessPool | None = None
        self._server = 0

    def run(self, job: Job[Item, Value], items: Iterable[Item]) -> Iterator[tuple[Item, Value | Lost]]:
        """See `chairgap.batch.executors.Executor.run`. The processes are begun with what is shared in the
        first job, which is the same in all; where there is no item, none is begun."""
        drawn = iter(items)
        for first in drawn:
            drawn = chain((first,), drawn)
            break
        else:
            return
        try:
            pool = self._pool = self._pool or self._begun(job.shared)
            self._see_to(pool)
        except (EOFError, OSError, BrokenProcessPool):  # of a server that ends while it begins
            raise _no_server() from None
        waiting: dict[Future[Value], tuple[Item, float]] = {}
        try:
            while True:
                self._see_to(pool)
                for item in drawn:
                    future = pool.schedule(_do, args=(job.work, item, job.time_s), timeout=job.clock_s)
                    waiting[future] = (item, time.monotonic())
                    if len(waiting) >= self._workers * _AHEAD:
                        break
                if not waiting:
                    return
                for done in wait(waiting, timeout=_ALIVE_EVERY_S, return_when=FIRST_COMPLETED).done:
                    item, since = waiting.pop(done)
                    yield item, self._value(done, time.monotonic() - since, job)
        finally:
            for left in waiting:
                left.cancel()

    def close(self) -> None:
        """End all processes, whatever they are doing."""
        self._closing.set()
        if self._pool is not None:
            self._pool.stop()  # type: ignore[no-untyped-call]
            self._pool.join()

    def _see_to(self, pool: ProcessPool) -> None:
        """Raises EngineError when no more workers can be begun."""
        if not pool.active or not _is_alive(self._server):
            raise _no_server()

    def _begun(self, shared: Study) -> ProcessPool:
        threading.Thread(target=self._watch, daemon=True).start()
        context = _start_method()
        self._server = _server_pid()
        return ProcessPool(
            max_workers=self._workers,
            max_tasks=_WORK_PER_PROCESS,
            initializer=_begin,
            initargs=(shared,),
            context=context,
        )

    def _value(self, future: Future[Any], seconds: float, job: Job[Any, Any]) -> Value | Lost:
        try:
            found: Value = future.result()
            return found
        except TimeoutError:
            message = (
                f"it was not done after {job.clock_s:g} s on the clock, though it used less than its "
                f"{job.time_s:g} CPU seconds. Run the study again when the machine is less busy; if it hangs "
                "again, leave the molecule out and report it."
            )
            return Lost(why="time", message=message, seconds=job.clock_s)
        except MemoryError:
            return self._out_of_memory(self._memory_mb, seconds)
        except BrokenProcessPool:
            raise _no_server() from None
        except ProcessExpired as error:
            if not _is_alive(self._server):
                raise _no_server() from None
            if error.pid in self._too_large:
                return self._out_of_memory(self._too_large.pop(error.pid), seconds)
            if error.exitcode == _OUT_OF_CPU_TIME:
                message = (
                    f"it took more than {job.time_s:g} CPU seconds. Raise time_s in [limits], or lower the "
                    "search effort."
                )
                return Lost(why="time", message=message, seconds=job.time_s)
            message = (
                f"its process died (exit code {error.exitcode}). The next run of the study tries it again; "
                "if it dies again, leave the molecule out and report it."
            )
            return Lost(why="crash", message=message, seconds=seconds)

    def _out_of_memory(self, held_mb: int, seconds: float) -> Lost:
        message = (
            f"its process used {held_mb} MB, more than the limit of {self._memory_mb} MB. Raise memory_mb in "
            "[limits], or use fewer workers."
        )
        return Lost(why="memory", message=message, seconds=seconds)

    def _watch(self) -> None:
        """End processes of ours that hold more memory than they may."""
        own = psutil.Process()
        while not self._closing.wait(_LOOK_EVERY_S):
            try:
                for process in own.children(recursive=True):
                    held_mb = process.memory_info().rss // _MEGABYTE
                    if held_mb > self._memory_mb:
                        self._too_large[process.pid] = held_mb
                        process.kill()
            except psutil.Error:
                continue  # it has ended by itself meanwhile


def _no_server() -> EngineError:
    return EngineError(
        "The process that begins the workers has ended, or was killed. What was computed before is kept: run "
        "the same command again to go on, or with --workers 0 if it happens again."
    )


def _server_pid() -> int:
    """The process that begins workers; 0 where there is none."""
    server: Any = getattr(forkserver, "_forkserver", None)
    return getattr(server, "_forkserver_pid", None) or 0


def _is_alive(pid: int) -> bool:
    try:
        return not pid or psutil.Process(pid).status() != psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return False


def default_workers() -> int:
    """One for each core this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _start_method() -> BaseContext:
    """Processes split off a server that has read the libraries but runs no threads; where there is no such
    thing, new ones. A plain fork would copy this process with the threads of its libraries."""
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["chairgap.batch.jobs"])
    with _without_ctrl_c():
        forkserver.ensure_running()
    # The server answers when it has read them. A run that is stopped before leaves it no worker to begin, and
    # so none that misses what the program has taken back.
    first = context.Process(target=os.getpid)
    first.start()
    first.join()
    return context


@contextmanager
def _without_ctrl_c() -> Iterator[None]:
    """What is begun in it never answers to Ctrl-C, not even while it reads its libraries: a terminal sends it
    to every process of a run, and the program stops the others."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _begin(shared: Study) -> None:
    """In a new worker: one native thread, no answer to Ctrl-C (the program stops it), no life of its own."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threadpool_limits(1)
    _shared["study"] = shared
    threading.Thread(target=_end_with_program, daemon=True).start()


def _end_with_program() -> None:
    program = multiprocessing.parent_process()
    if program is not None:
        program.join()
        os._exit(1)


def _do(work: Callable[[Study, Item], Value], item: Item, time_s: float) -> Value:
    with cpu_limit(time_s):
        return work(_shared["study"], item)
