"""What both scorecards have in common as commands: folder, worker processes, closing lines."""

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path

import typer

from chairgap.batch.pool import Pool, default_workers
from chairgap.cli.bar import progress_bar
from chairgap.cli.lines import written_line
from chairgap.files import OutputFolder, check_output
from chairgap.records import Limits, RunState
from chairgap.tables.shipped import table_files
from chairgap.text import typeset


def scores_folder(folder: Path, table: str, files: Sequence[str], command: str) -> OutputFolder:
    """The folder of a scorecard, checked before anything is computed."""
    output = OutputFolder(
        path=folder,
        command="scorecard",
        inputs=table_files(table),
        advice=f"name another folder: {command}",
    )
    check_output(output, files)
    return output


@contextmanager
def scoring(workers: int | None) -> Iterator[tuple[Pool, Callable[[RunState], None]]]:
    """Worker processes and a bar for as long as the block lasts."""
    pool = Pool(workers=workers or default_workers(), memory_mb=Limits.memory_mb)
    with progress_bar() as progress, closing(pool) as executor:
        yield executor, progress


def say(paths: Sequence[Path], lines: Iterable[str], started: float) -> None:
    """The scores, how long they took since `time.perf_counter()` was `started`, and where the files are."""
    took = f"Took {time.perf_counter() - started:.0f} s."
    for line in (*lines, took):
        typer.echo(typeset(line))
    typer.echo(written_line(paths))
