"""Work for executors that dies, hangs or grows, as native code can. Workers import this module."""

import os
import time

from chairgap.batch import jobs
from chairgap.records import Record, Study, Task


def double(shared: Study, item: int) -> int:
    return 2 * item


def abort_at_three(shared: Study, item: int) -> int:
    if item == 3:
        os.abort()
    return item


def hang_at_three(shared: Study, item: int) -> int:
    if item == 3:
        time.sleep(600.0)
    return item


def wait_at_three(shared: Study, item: int) -> int:
    if item == 3:
        time.sleep(2.0)
    return item


def compute_on_at_three(shared: Study, item: int) -> int:
    while item == 3:
        pass
    return item


def grow_at_three(shared: Study, item: int) -> int:
    if item == 3:
        kept = [b"x" * 50_000_000 for _ in range(40)]
        time.sleep(60.0)
        return len(kept)
    return item


def where(shared: Study, item: int) -> tuple[int, int]:
    """The process that did it, after a moment in which others get their share."""
    time.sleep(0.2)
    return item, os.getpid()


def compute_but_abort_at_chlorine(shared: Study, task: Task) -> Record:
    if any("Cl" in fragment for pair in task.ring for fragment in pair):
        os.abort()
    return jobs.compute_task(shared, task)


def compute_but_hang_at_chlorine(shared: Study, task: Task) -> Record:
    if any("Cl" in fragment for pair in task.ring for fragment in pair):
        time.sleep(600.0)
    return jobs.compute_task(shared, task)
