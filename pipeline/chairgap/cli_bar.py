"""The bar that commands show while they compute; on the error stream, and only where a person looks on."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

from chairgap.report.words import one_line


@contextmanager
def progress_bar(total: int | None) -> Iterator[Callable[[int, int, str], None]]:
    """Gives progress(done, total, name); nothing is shown when the error stream is no terminal."""
    console = Console(stderr=True)
    columns = (TextColumn("{task.description}", markup=False), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task("", total=total)

        def progress(done: int, of: int, name: str) -> None:
            bar.update(task, completed=done, total=of, description=one_line(name))

        yield progress
