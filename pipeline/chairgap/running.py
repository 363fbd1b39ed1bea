"""A study run in a folder: with its store there, so that it goes on from what is kept, and its files.

The one way for the command line and for Python. Nothing is shown and no signal is handled here: who calls
hands in what looks on.
"""

import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from chairgap.abinitio.energies import check_installed
from chairgap.batch.cluster import Cluster
from chairgap.batch.content import versions
from chairgap.batch.executors import Executor, InProcess
from chairgap.batch.folder import store_in
from chairgap.batch.made_from import keep_overview, kept_overview, made_from
from chairgap.batch.part_cache import PartCache
from chairgap.batch.pool import Pool, default_workers
from chairgap.batch.stages import Progress, read_molecules, written_up
from chairgap.batch.status import noting
from chairgap.errors import ChairgapError
from chairgap.flip.found import find_flips
from chairgap.minimise.engines import check_available
from chairgap.records import NotPlanned, Outcome, Planned, RunState, Study
from chairgap.report.overview import Overview
from chairgap.run import run_study
from chairgap.study_output.pieces import OutputOptions
from chairgap.study_output.unchanged import unchanged
from chairgap.study_output.write import (
    check_folder,
    check_parquet,
    files_of,
    parquet_note,
    wanted_of,
    write_outcome,
)

_MOST_READ_HERE = 200
_LEAST_SHARED_OUT = 20  # molecules to be written up


@dataclass(frozen=True, kw_only=True)
class RunOptions:
    """How a study is run: workers 0 means in this process, None one for each core; cluster is the address of
    a Dask scheduler; fresh starts over, without the cache of parts too."""

    workers: int | None = None
    cluster: str = ""
    fresh: bool = False
    cache: PartCache | None = None


@dataclass(frozen=True, kw_only=True)
class FinishedRun:
    """A study that has run in a folder: what came out, its files, it at a glance, remarks on what was left
    out. as_before: nothing was new, and the files stand as an earlier run wrote them."""

    outcome: Outcome
    paths: tuple[Path, ...]
    overview: Overview
    notes: tuple[str, ...]
    as_before: bool


def silent(state: RunState) -> None:
    """Nobody looks on."""


@contextmanager
def ran_in_folder(
    study: Study, folder: Path, options: RunOptions, progress: Progress = silent
) -> Iterator[FinishedRun]:
    """Run a study with its store in a folder, going on from what is there, and write its files, unless they
    are there as they would be written. Within the block the results can be read.

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
            cache = None if options.fresh else options.cache
            outcome = run_study(study, progress=progress, store=store, executor=executor, cache=cache)
            wanted = wanted_of(outcome)
            flips = find_flips(folder)
            key = made_from(study, store, wanted, flips)
            names, overview = files_of(wanted), kept_overview(store, key)
            as_before = overview is not None and unchanged(folder, names, key)
            if overview is None or not as_before:
                pieces = written_up(study, store, _writer(executor, wanted), progress, wanted)
                _, overview = write_outcome(
                    outcome,
                    folder,
                    wall_seconds=time.perf_counter() - began,
                    pieces=pieces,
                    made_from=key,
                    flips=flips,
                )
                keep_overview(store, key, overview)
        store.forget_other_versions(versions())
        store.note("finished", f"{time.time():.3f}")
        notes = (_altered_note(altered), parquet_note(outcome))
        yield FinishedRun(
            outcome=outcome,
            paths=tuple(folder / name for name in names),
            overview=overview,
            notes=tuple(filter(None, notes)),
            as_before=as_before,
        )


def molecules_of(study: Study, options: RunOptions) -> Iterator[Planned | NotPlanned]:
    """Every molecule that a run would take or leave out, in the order of the study, as chemistry sees it;
    nothing is computed or written. A small study is read in this process where nothing else is asked for."""
    if options.workers is None and len(study.requests) <= _MOST_READ_HERE:
        options = replace(options, workers=0)
    with closing(_executor(study, options)) as executor:
        for read in read_molecules(study, executor, silent):
            yield from read.entries


def hindrances(study: Study, folder: Path | None) -> tuple[ChairgapError, ...]:
    """What would stop a run of the study in a folder at its beginning: a library that is missing, files that
    cannot be written. Without a folder nothing is written."""
    checks: list[Callable[[], None]] = [
        partial(check_available, study.settings),
        partial(check_installed, study.settings),
    ]
    if folder is not None:
        checks += [partial(check_parquet, study), partial(check_folder, folder, study)]
    found = []
    for check in checks:
        try:
            check()
        except ChairgapError as error:
            found.append(error)
    return tuple(found)


def _writer(executor: Executor, wanted: OutputOptions) -> Executor:
    """Who writes up: for a few molecules no process is begun."""
    return executor if wanted.molecules >= _LEAST_SHARED_OUT else InProcess()


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
