"""Where work is done: one small interface, and its simplest form, this process.

An executor calls the work of a job for every item, somewhere, and gives back (item, value) as each is
finished, or (item, Lost) where no value came back. It draws items only a little ahead of what it finishes, so
a long stream of them never stands in memory.
"""

import signal
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Generic, Protocol, TypeVar

from chairgap.minimise.threads import one_native_thread
from chairgap.records import Lost, Study

# A loaded machine gives a process a share of a core, never so little for long (common practice, no source).
CLOCK_PER_CPU = 10.0

Item = TypeVar("Item")
Value = TypeVar("Value")


@dataclass(frozen=True, kw_only=True)
class Job(Generic[Item, Value]):
    """What is done with every item: a module-level function work(shared, item) -> value, which may take
    time_s of CPU time for each; `shared` is the study without its molecules (`Study.shared`)."""

    work: Callable[[Study, Item], Value]
    shared: Study
    time_s: float

    @property
    def clock_s(self) -> float:
        """What each may take on the clock: the bound on work that hangs without computing."""
        return CLOCK_PER_CPU * self.time_s


class Executor(Protocol):
    """Does work for items; to be closed after use."""

    def run(self, job: Job[Item, Value], items: Iterable[Item]) -> Iterator[tuple[Item, Value | Lost]]:
        """(item, value) in the order in which items are finished."""

    def close(self) -> None:
        """Stop what is running and give everything back."""


@contextmanager
def cpu_limit(time_s: float) -> Iterator[None]:
    """The operating system ends this process when it spends more than time_s of CPU time in the block, in
    native code too. Where there is no such timer (Windows) only the bound on the clock holds."""
    if not hasattr(signal, "setitimer"):
        yield
        return
    signal.setitimer(signal.ITIMER_PROF, time_s)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)


class InProcess:
    """One item after the other, here. Nothing guards it: a crash is this program's, and no limit holds."""

    def run(self, job: Job[Item, Value], items: Iterable[Item]) -> Iterator[tuple[Item, Value | Lost]]:
        """See `Executor.run`."""
        with one_native_thread():
            for item in items:
                yield item, job.work(job.shared, item)

    def close(self) -> None:
        """Nothing to give back."""


def in_order(
    finished: Iterable[tuple[tuple[int, Item], Value]],
) -> Iterator[tuple[tuple[int, Item], Value]]:
    """The same pairs by the number 0, 1, 2, ... that each item has; early ones wait."""
    waiting: dict[int, tuple[tuple[int, Item], Value]] = {}
    following = 0
    for pair in finished:
        waiting[pair[0][0]] = pair
        while following in waiting:
            yield waiting.pop(following)
            following += 1
