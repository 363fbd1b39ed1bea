"""What the commands that run a study share: where it is run, what is shown, and the exit code."""

import signal
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import typer
from rich.console import RenderableType

from chairgap.batch.cluster import Cluster
from chairgap.batch.content import versions
from chairgap.batch.executors import Executor, InProcess
from chairgap.batch.folder import store_in
from chairgap.batch.pool import Pool, default_workers
from chairgap.batch.results import Results
from chairgap.batch.stages import written_up
from chairgap.batch.status import noting
from chairgap.batch.store import Store
from chairgap.cli.bar import progress_bar
from chairgap.cli.showing import show
from chairgap.records import Outcome, Study
from chairgap.report.tally import Tally
from chairgap.report.terminal import OutcomeTable, TallyTable, closing_lines, detail_tables
from chairgap.run import context_of, run_study
from chairgap.study_output.write import (
    MOST_IN_FULL,
    check_folder,
    check_parquet,
    parquet_note,
    wanted_of,
    write_outcome,
)
from chairgap.text import readable


@dataclass(frozen=True, kw_only=True)
class RunOptions:
    """How a study is run: workers 0 means in this process, None one for each core."""

    workers: int | None = None
    cluster: str = ""
    fresh: bool = False
    quiet: bool = False


@dataclass(frozen=True, kw_only=True)
class FinishedRun:
    """A study that has run in a folder: what came out, the files that were written, and it in counts."""

    outcome: Outcome
    paths: tuple[Path, ...]
    tally: Tally


@contextmanager
def ran_in_folder(study: Study, folder: Path, how: RunOptions) -> Iterator[FinishedRun]:
    """Run a study with its store in a folder, going on from what is there, and write its files. Within the
    block the results of a large study can be read."""
    _show_notes(study)
    check_parquet(study)
    check_folder(folder, study)
    began = time.perf_counter()
    with store_in(folder, fresh=how.fresh) as store:
        with _showing_how_to_go_on(store, folder), progress_bar(quiet=how.quiet) as bar:
            progress = noting(store, study.settings.title, bar)
            with closing(_executor(study, how)) as executor:
                outcome = run_study(study, progress=progress, store=store, executor=executor)
                if note := parquet_note(outcome):
                    typer.echo(f"Note: {note}", err=True)
                pieces = (
                    written_up(outcome.results, context_of(study), executor, progress, wanted_of(outcome))
                    if isinstance(outcome.results, Results)
                    else None
                )
                paths, tally = write_outcome(
                    outcome, folder, wall_seconds=time.perf_counter() - began, pieces=pieces
                )
            store.forget_other_versions(versions())
            store.note("finished", f"{time.time():.3f}")
        yield FinishedRun(outcome=outcome, paths=paths, tally=tally)


def run_in_folder(study: Study, folder: Path, how: RunOptions) -> NoReturn:
    """Run a study in a folder (see `ran_in_folder`), show its table, and leave with the exit code."""
    with ran_in_folder(study, folder, how) as ran:
        if not how.quiet:
            show(_table_of(ran.outcome, ran.tally))
        _leave(ran.outcome, ran.paths)


def run_here(study: Study, folder: Path | None) -> NoReturn:
    """Run a study of one molecule in this process without a store, show everything about it, write its files
    when there is a folder, and leave with the exit code."""
    _show_notes(study)
    if folder is not None:
        check_folder(folder, study)
    began = time.perf_counter()
    with progress_bar() as progress:
        outcome = run_study(study, progress=progress)
    show(OutcomeTable(outcome=outcome))
    for result in outcome.results:
        show("", detail_tables(outcome, result))
    paths: tuple[Path, ...] = ()
    if folder is not None:
        paths, _ = write_outcome(outcome, folder, wall_seconds=time.perf_counter() - began)
    _leave(outcome, paths)


def _show_notes(study: Study) -> None:
    for note in study.notes:
        typer.echo(f"Note: {note}", err=True)


def _executor(study: Study, how: RunOptions) -> Executor:
    if how.cluster:
        return Cluster(how.cluster)
    workers = default_workers() if how.workers is None else how.workers
    if workers == 0:
        return InProcess()
    return Pool(workers=workers, memory_mb=study.settings.limits.memory_mb)


@contextmanager
def _showing_how_to_go_on(store: Store, folder: Path) -> Iterator[None]:
    """Stopped by Ctrl-C or by a request to end (which queues send): say what is kept, and how to go on."""

    def stop(number: int, frame: object) -> NoReturn:
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    except KeyboardInterrupt:
        counts = store.counts()
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


def _table_of(outcome: Outcome, tally: Tally) -> RenderableType:
    if len(outcome.results) > MOST_IN_FULL:
        return TallyTable(outcome=outcome, tally=tally)
    return OutcomeTable(outcome=outcome)


def _leave(outcome: Outcome, paths: tuple[Path, ...]) -> NoReturn:
    typer.echo("")
    for line in closing_lines(paths):
        typer.echo(line)
    raise typer.Exit(exit_code(outcome))


def exit_code(outcome: Outcome) -> int:
    """0 done, 1 some molecules were refused or failed, 2 or 3 when all were."""
    if not outcome.results:
        return 3 if outcome.failed else 2
    return 1 if outcome.refused or outcome.failed else 0
