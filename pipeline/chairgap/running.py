"""A study run in a folder: with its store there, so that it goes on from what is kept, and its files.

The one way for the command line and for Python. Nothing is shown and no signal is handled here: who calls
hands in what looks on.
"""

import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from chairgap.batch.cluster import Cluster
from chairgap.batch.content import versions
from chairgap.batch.executors import Executor, InProcess
from chairgap.batch.folder import store_in
from chairgap.batch.pool import Pool, default_workers
from chairgap.batch.results import Results
from chairgap.batch.stages import Progress, written_up
from chairgap.batch.status import noting
from chairgap.records import WRITING, Outcome, RunState, Study
from chairgap.report.tally import Tally
from chairgap.run import run_study
from chairgap.study_output.write import (
    check_folder,
    check_parquet,
    parquet_note,
    wanted_of,
    write_outcome,
)


@dataclass(frozen=True, kw_only=True)
class RunOptions:
    """How a study is run: workers 0 means in this process, None one for each core; cluster is the address of
    a Dask scheduler; fresh starts over."""

    workers: int | None = None
    cluster: str = ""
    fresh: bool = False


@dataclass(frozen=True, kw_only=True)
class FinishedRun:
    """A study that has run in a folder: what came out, the files that were written, it in counts, and
    remarks on what was left out."""

    outcome: Outcome
    paths: tuple[Path, ...]
    tally: Tally
    notes: tuple[str, ...]


def silent(state: RunState) -> None:
    """Nobody looks on."""


@contextmanager
def ran_in_folder(
    study: Study, folder: Path, options: RunOptions, progress: Progress = silent
) -> Iterator[FinishedRun]:
    """Run a study with its store in a folder, going on from what is there, and write its files. Within the
    block the results of a large study can be read.

    progress is called with where the run stands. Raises what `chairgap.run.run_study` and
    `chairgap.study_output.write.write_outcome` raise, and InputError for a folder that cannot be used. What
    was computed before an error or an interrupt is kept.
    """
    check_parquet(study)
    check_folder(folder, study)
    began = time.perf_counter()
    with store_in(folder, fresh=options.fresh) as store:
        altered = store.drop_altered()
        progress = noting(store, study.settings, progress)
        with closing(_executor(study, options)) as executor:
            outcome = run_study(study, progress=progress, store=store, executor=executor)
            progress(RunState(stage=WRITING, done=0, total=len(outcome.results)))
            pieces = (
                written_up(outcome.results, executor, progress, wanted_of(outcome))
                if isinstance(outcome.results, Results)
                else None
            )
            paths, tally = write_outcome(
                outcome, folder, wall_seconds=time.perf_counter() - began, pieces=pieces
            )
        store.forget_other_versions(versions())
        store.note("finished", f"{time.time():.3f}")
        notes = (_altered_note(altered), parquet_note(outcome))
        yield FinishedRun(outcome=outcome, paths=paths, tally=tally, notes=tuple(filter(None, notes)))


def _altered_note(altered: int) -> str:
    if not altered:
        return ""
    values = "1 value" if altered == 1 else f"{altered} values"
    return f"The store held {values} that the program had not put there so; computed again."


def _executor(study: Study, options: RunOptions) -> Executor:
    if options.cluster:
        return Cluster(options.cluster)
    workers = default_workers() if options.workers is None else options.workers
    if workers == 0:
        return InProcess()
    return Pool(workers=workers, memory_mb=study.settings.limits.memory_mb)
