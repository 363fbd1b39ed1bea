"""The stages of a run that use an executor: plan the molecules, compute their tasks, write them up."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from chairgap.abinitio.levels import cost_words
from chairgap.batch.content import plan_key
from chairgap.batch.executors import Executor, Job, in_order
from chairgap.batch.jobs import compute_task, plan_requests, write_up
from chairgap.batch.part_cache import PartCache, is_part
from chairgap.batch.results import Results
from chairgap.batch.store import PLAN, Store
from chairgap.errors import EngineError
from chairgap.model.assessment import shipped_pairs
from chairgap.records import (
    COMPUTING,
    READING,
    WRITING,
    Lost,
    MoleculeRequest,
    NotPlanned,
    Planned,
    Record,
    Refusal,
    RunState,
    Study,
)
from chairgap.study_output.pieces import OutputOptions, Pieces

Progress = Callable[[RunState], None]
Requests = tuple[int, tuple[MoleculeRequest, ...]]

_TOGETHER = 25


def plan(study: Study, store: Store, executor: Executor, progress: Progress) -> None:
    """Read every molecule of the study into the store, unless the store has just this plan already. A plan of
    which a piece was lost is made again by the next run."""
    pairs = shipped_pairs(study.tables, study.settings)
    key = plan_key(study.requests, study.tables.estimate, study.settings, pairs)
    if store.noted(PLAN) == store.plan_mark(key):
        return
    store.note(PLAN, "")
    store.begin_plan()
    whole = True
    for read in read_molecules(study, executor, progress):
        store.add_entries(read.entries)
        whole = whole and read.at_once
    if whole:
        store.note(PLAN, store.plan_mark(key))


@dataclass(frozen=True, kw_only=True)
class ReadTogether:
    """What some requests of a study ask for; at_once: no process was lost over them."""

    entries: Iterable[Planned | NotPlanned]
    at_once: bool


def read_molecules(study: Study, executor: Executor, progress: Progress) -> Iterator[ReadTogether]:
    """Every molecule of the study as chemistry sees it, in order, a few requests at a time."""
    done, total = 0, len(study.requests)
    job = Job(work=plan_requests, shared=study.shared, time_s=study.settings.limits.time_s)
    progress(RunState(stage=READING, done=0, total=total))
    chunks = (study.requests[first : first + _TOGETHER] for first in range(0, total, _TOGETHER))
    finished = executor.run(job, enumerate(chunks))
    for (_, requests), found in in_order(finished):
        lost = isinstance(found, Lost)
        entries = _one_by_one(requests, job, executor) if isinstance(found, Lost) else found
        yield ReadTogether(entries=entries, at_once=not lost)
        done += len(requests)
        progress(RunState(stage=READING, done=done, total=total))


def _one_by_one(
    requests: Sequence[MoleculeRequest],
    job: Job[Requests, tuple[Planned | NotPlanned, ...]],
    executor: Executor,
) -> Iterator[Planned | NotPlanned]:
    """The same requests each by itself: only the one that a process dies of is lost."""
    finished = executor.run(job, enumerate((request,) for request in requests))
    for (_, (request,)), found in in_order(finished):
        if isinstance(found, Lost):
            message = f"it cannot be read: {found.message}"
            refusal = Refusal(name=request.name, message=message, place=request.place)
            yield NotPlanned(status="failed", refusal=refusal)
        else:
            yield from found


def compute(
    study: Study, store: Store, executor: Executor, progress: Progress, cache: PartCache | None = None
) -> None:
    """Compute every task that has no result yet, but for parts that the cache has; each is kept as soon as it
    is there. Before it begins, progress is given the molecules that are left out."""
    remarks = [_cost_at_level(study, store), _taken(store, cache) if cache else ""]
    counts = store.counts()
    kept, failed = counts.done + counts.failed, counts.failed
    done = kept
    begin = RunState(stage=COMPUTING, done=done, total=counts.tasks, failed=failed, kept=kept)
    unread = (NotPlanned(status="refused", refusal=refusal) for refusal in study.refused)
    left_out = (*unread, *store.not_planned())
    progress(replace(begin, remark="\n".join(filter(None, remarks)), left_out=left_out))
    job = Job(work=compute_task, shared=study.shared, time_s=study.settings.limits.time_s)
    for task, found in executor.run(job, store.todo()):
        if isinstance(found, Lost):
            found = Record(state="lost", message=found.message, seconds=found.seconds)
        store.put(task.key, found)
        if cache and is_part(task):
            cache.keep(task.key, found)
        done, failed = done + 1, failed + (found.state != "done")
        progress(RunState(stage=COMPUTING, done=done, total=counts.tasks, failed=failed, kept=kept))
    if cache:
        cache.tidy()


def _taken(store: Store, cache: PartCache) -> str:
    """Put the parts that the cache has into the store. Gives why others will not be kept, if so."""
    parts_left = False
    for task in store.todo():
        if is_part(task):
            record = cache.record(task.key)
            if record is None:
                parts_left = True
            else:
                store.put(task.key, record)
    return cache.problem() if parts_left else ""


def _cost_at_level(study: Study, store: Store) -> str:
    """What the rings that are still to be computed at the level of the study will cost, in words."""
    level = study.settings.pairs_by
    if level == "none":
        return ""
    return cost_words([task.expected_s for task in store.todo() if task.level != "none"], level)


def written_up(
    study: Study, store: Store, executor: Executor, progress: Progress, wanted: OutputOptions
) -> Iterator[Pieces]:
    """What the files say of the results in the store, in order, made by the executor. Raises EngineError when
    a piece of this work is lost."""
    results = Results(store, study.shared)
    total, done = len(results), 0
    progress(RunState(stage=WRITING, done=0, total=total))
    job = Job(work=write_up, shared=results.shared, time_s=results.shared.settings.limits.time_s)
    finished = executor.run(job, enumerate(results.write_ups(wanted)))
    for (_, work), found in in_order(finished):
        if isinstance(found, Lost):
            names = f"{work.molecules[0][0].name} to {work.molecules[-1][0].name}"
            raise EngineError(f"Writing up {names} was lost: {found.message} Run the same command again.")
        done += len(work.molecules)
        progress(RunState(stage=WRITING, done=done, total=total))
        yield found
