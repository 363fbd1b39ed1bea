"""The account of a run: written down while it goes, read by `chairgap status`."""

import math
import os
import platform
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from chairgap.batch.cost import cost_of, projected_hours
from chairgap.batch.folder import is_running
from chairgap.batch.store import STORE, Counts, Store, reading_store
from chairgap.errors import InputError, Place
from chairgap.records import COMPUTING, RunState, Settings

_EVERY_S = 2.0
_PROJECTED = 100_000
_PROJECTED_CORES = (1, 16, 256)


def noting(
    store: Store, settings: Settings, progress: Callable[[RunState], None]
) -> Callable[[RunState], None]:
    """The same progress, which also writes down where the run stands, at most every two seconds."""
    store.note("title", settings.title)
    store.note("limit", f"{settings.limits.time_s:g}")
    store.note("host", platform.node())
    store.note("process", str(os.getpid()))
    store.note("began", f"{time.time():.3f}")
    store.note("finished", "")
    store.note("stage", "")
    store.note("remark", "")
    stage, last = "", 0.0

    def note(tick: RunState) -> None:
        nonlocal stage, last
        progress(tick)
        now = time.monotonic()
        if tick.remark:
            store.note("remark", tick.remark)
        if tick.stage != stage:
            store.note("stage_began", f"{time.time():.3f}")
            store.note("stage_kept_s", str(store.counts().expected_done_s))
        if tick.stage != stage or now - last > _EVERY_S:
            stage, last = tick.stage, now
            store.note("stage_done", f"{tick.done}/{tick.total}")
            store.note("stage", stage)  # last: who reads it finds the others

    return note


def status_lines(folder: Path) -> list[str]:
    """What `chairgap status` says of a folder. Raises InputError when no study was run there."""
    if not (folder / STORE).is_file():
        message = "No study was run in this folder: it has no store. Name the output folder of a study."
        raise InputError(message, place=Place(file=str(folder)))
    with reading_store(folder / STORE) as store:
        return [*_state(store, running=is_running(folder)), *_cost(store), _size(folder)]


def _state(store: Store, *, running: bool) -> list[str]:
    counts, finished = store.counts(), store.noted("finished")
    lines = [f"Study: {store.noted('title')}"]
    if running and not store.noted("stage"):
        lines.append("Running; it has only just begun.")
    elif running:
        lines.append(
            f"Running since {_clock(store.noted('began'))} on {store.noted('host')}, process "
            f"{store.noted('process')}: {store.noted('stage')} {store.noted('stage_done')}."
        )
    elif finished:
        lines.append(f"Finished {_clock(finished)}.")
    else:
        lines.append("Not running, and not finished: run the same command again to go on.")
    lines.append(
        f"Molecules: {counts.molecules}, of which {counts.finished} computed. Tasks, parts "
        f"included: {counts.tasks}; {counts.done} done, {counts.failed} failed, {counts.lost} lost, "
        f"{counts.left} to do."
    )
    if running and store.noted("remark"):
        lines.append(store.noted("remark"))
    if limit := store.noted("limit"):
        lines.append(f"Limit: {limit} CPU seconds a task.")
    pace = _pace(store, counts) if running else 0.0
    if pace > 0.0:
        left_min = (counts.expected_s - counts.expected_done_s) / pace / 60.0
        lines.append(f"About {max(1.0, left_min):.0f} min left, from the atoms and rotors of what is to do.")
    return lines


def _pace(store: Store, counts: Counts) -> float:
    """Expected CPU seconds of what this run has done, over its seconds on the clock."""
    if store.noted("stage") != COMPUTING:
        return 0.0
    spent_s = time.time() - _number(store.noted("stage_began"))
    fresh_s = counts.expected_done_s - _number(store.noted("stage_kept_s"))
    return fresh_s / spent_s if spent_s > 0.0 else 0.0


def _cost(store: Store) -> list[str]:
    cost = cost_of(store.costs())
    if cost is None:
        return []
    ends = ", ".join(
        f"{cores} core{'s' if cores > 1 else ''} "
        f"{_span(projected_hours(tasks=_PROJECTED, mean_s=cost.mean_s, cores=cores))}"
        for cores in _PROJECTED_CORES
    )
    return [
        f"Cost: {cost.mean_s:.2f} CPU seconds a task on average ({cost.tasks} tasks of {cost.least_atoms} to "
        f"{cost.most_atoms} atoms, on average {cost.mean_atoms:.0f}), {cost.of_expected:.2f} times what is "
        f"usual for their atoms and rotors (scatter of ln {cost.scatter:.2f}).",
        f"{_PROJECTED:,} tasks like these, if all cores are busy all the time: {ends}.",
    ]


def _span(hours: float) -> str:
    return f"{hours:.1f} h" if hours >= 1.0 else f"{60.0 * hours:.1f} min"


def _size(folder: Path) -> str:
    size = sum(path.stat().st_size for path in folder.glob(f"{STORE}*"))
    return f"Store: {size / 1e6:.1f} MB."


def _clock(seconds: str) -> str:
    try:
        return datetime.fromtimestamp(_number(seconds)).strftime("%Y-%m-%d %H:%M:%S")
    except (ValueError, OverflowError, OSError):
        return "at an unknown time"


def _number(noted: str) -> float:
    """A number that was written down; not a number where something else stands there."""
    try:
        return float(noted)
    except ValueError:
        return math.nan
