"""What the commands that run a study share: where it is run, what is shown, and the exit code."""

import signal
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

import typer
from rich.console import RenderableType

from chairgap.batch.folder import counts_in
from chairgap.batch.part_cache import user_cache
from chairgap.cli.bar import progress_bar
from chairgap.cli.details import detail_tables, references
from chairgap.cli.interrupts import Once
from chairgap.cli.lines import closing_lines
from chairgap.cli.overview import OutcomeTable, TallyTable, headlines
from chairgap.cli.showing import show
from chairgap.records import Outcome, Study
from chairgap.report.overview import overview_rows
from chairgap.run import run_study
from chairgap.running import RunOptions, ran_in_folder
from chairgap.study_output.pieces import MOST_IN_FULL
from chairgap.study_output.write import check_folder, write_outcome
from chairgap.text import readable


def run_in_folder(study: Study, folder: Path, options: RunOptions, *, quiet: bool = False) -> NoReturn:
    """Run a study in a folder (see `ran_in_folder`), show its table, and leave with the exit code."""
    show_notes(study.notes)
    with (
        stopped_with_words(folder),
        progress_bar(quiet=quiet) as progress,
        ran_in_folder(study, folder, options, progress) as ran,
    ):
        large = len(ran.outcome.results) > MOST_IN_FULL
        table: RenderableType = (
            TallyTable(outcome=ran.outcome, tally=ran.overview.tally)
            if large
            else OutcomeTable(outcome=ran.outcome, rows=ran.overview.rows)
        )
    show_notes(ran.notes)
    if not quiet:
        show(table)
    _leave(ran.outcome, ran.paths, as_before=ran.as_before)


def run_here(study: Study, folder: Path | None) -> NoReturn:
    """Run a study of one molecule in this process without a store, show everything about it, write its files
    when there is a folder, and leave with the exit code."""
    show_notes(study.notes)
    if folder is not None:
        check_folder(folder, study)
    began = time.perf_counter()
    with progress_bar() as progress:
        outcome = run_study(study, progress=progress, cache=user_cache())
    show(headlines(outcome), OutcomeTable(outcome=outcome, rows=overview_rows(outcome)))
    for result in outcome.results:
        show("", detail_tables(outcome, result))
    show("", references(outcome))
    paths: tuple[Path, ...] = ()
    if folder is not None:
        paths, _ = write_outcome(outcome, folder, wall_seconds=time.perf_counter() - began)
    _leave(outcome, paths)


def show_notes(notes: Sequence[str]) -> None:
    """Remarks on settings that look like a slip, and on what was left out."""
    for note in notes:
        typer.echo(f"Note: {note}", err=True)


@contextmanager
def stopped_with_words(folder: Path) -> Iterator[None]:
    """For a run in a folder: a request to end, which queues send, stops it as Ctrl-C does, and either way it
    is said what is kept, and how to go on."""

    before = signal.signal(signal.SIGTERM, Once())
    try:
        yield
    except KeyboardInterrupt:
        counts = counts_in(folder)
        if counts.tasks:
            kept, shown = counts.done + counts.failed, readable(str(folder))
            typer.echo(
                f"{kept} of {counts.tasks} tasks are computed and kept in {shown}. "
                "Run the same command again to go on.",
                err=True,
            )
        raise
    finally:
        signal.signal(signal.SIGTERM, before)


def _leave(outcome: Outcome, paths: tuple[Path, ...], *, as_before: bool = False) -> NoReturn:
    typer.echo("")
    for line in closing_lines(paths, as_before=as_before):
        typer.echo(line)
    raise typer.Exit(exit_code(outcome))


def exit_code(outcome: Outcome) -> int:
    """0 done, 1 some molecules were refused or failed, 2 or 3 when all were."""
    if not outcome.results:
        return 3 if outcome.failed else 2
    return 1 if outcome.refused or outcome.failed else 0
