"""What commands show while they compute, on the error stream: a bar where a person looks on, and a plain line
now and then where the stream goes into a file."""

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

from chairgap.records import NotPlanned, RunState
from chairgap.text import one_line

_LINE_EVERY_S = 60.0
_MOMENT_S = 0.1
MOST_LEFT_OUT_SHOWN = 50


@contextmanager
def progress_bar(*, quiet: bool = False) -> Iterator[Callable[[RunState], None]]:
    """Gives progress(tick). With `quiet` nothing is shown but what is left out."""
    console = Console(stderr=True, highlight=False, markup=False)
    if quiet:
        yield partial(_say_once, console, quiet=True)
    elif console.is_terminal:
        with _bar(console) as progress:
            yield progress
    else:
        yield _lines(console)


@contextmanager
def _bar(console: Console) -> Iterator[Callable[[RunState], None]]:
    columns = (
        TextColumn("{task.description}", markup=False),
        BarColumn(),
        TextColumn("{task.fields[words]}", markup=False),
        TimeRemainingColumn(compact=True),
        TextColumn("left", markup=False),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None, words="")
        seen = _Pace()

        def progress(tick: RunState) -> None:
            if seen.begins(tick):
                bar.reset(task)
            _say_once(console, tick)
            name = one_line(tick.name)
            bar.update(
                task,
                completed=tick.done,
                total=tick.total,
                description=f"{tick.stage} {name}".rstrip(),
                words=seen.words(tick),
            )

        yield progress


def _lines(console: Console) -> Callable[[RunState], None]:
    seen, last = _Pace(), time.monotonic()

    def progress(tick: RunState) -> None:
        nonlocal last
        seen.begins(tick)
        _say_once(console, tick)
        if time.monotonic() - last >= _LINE_EVERY_S:
            last = time.monotonic()
            console.print(f"{tick.stage}: {seen.words(tick)}{seen.remaining(tick)}", soft_wrap=True)

    return progress


def _say_once(console: Console, tick: RunState, *, quiet: bool = False) -> None:
    for line in lines_of_left_out(tick.left_out):
        console.print(line, soft_wrap=True)
    if tick.remark and not quiet:
        console.print(tick.remark, soft_wrap=True)


def lines_of_left_out(left_out: Sequence[NotPlanned]) -> list[str]:
    """The molecules that a run leaves out, each with its place and reason, the first of many."""
    lines = [left_out_line(entry) for entry in left_out[:MOST_LEFT_OUT_SHOWN]]
    if more := len(left_out) - len(lines):
        lines.append(f"{more:,} more are left out; 'chairgap study --check' names them all.")
    if left_out:
        lines.append("The others are computed now.")
    return lines


def left_out_line(entry: NotPlanned) -> str:
    """'Refused: study.toml, line 8, ...: name: reason'."""
    return f"{entry.status.capitalize()}: {entry.refusal.as_error()}"


class _Pace:
    """How fast a stage goes: what was there before it began does not count."""

    def __init__(self) -> None:
        self._stage, self._began, self._done = "", 0.0, 0

    def begins(self, tick: RunState) -> bool:
        """Whether the tick is the first of its stage."""
        if tick.stage == self._stage:
            return False
        self._stage, self._began, self._done = tick.stage, time.monotonic(), tick.done
        return True

    def words(self, tick: RunState) -> str:
        """'57/200, 104 a minute, 2 failed'."""
        rate = self._per_minute(tick)
        pace = f", {rate:,.0f} a minute" if rate else ""
        failed = f", {tick.failed} failed" if tick.failed else ""
        return f"{tick.done:,}/{tick.total:,}{pace}{failed}"

    def remaining(self, tick: RunState) -> str:
        """', about 8 minutes left'."""
        rate = self._per_minute(tick)
        return f", about {max(1.0, (tick.total - tick.done) / rate):,.0f} min left" if rate else ""

    def _per_minute(self, tick: RunState) -> float:
        spent_s = time.monotonic() - self._began
        return 60.0 * (tick.done - self._done) / spent_s if spent_s > _MOMENT_S else 0.0
