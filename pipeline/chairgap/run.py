"""The recipe: a study goes in, an outcome comes out. One line per stage, in order."""

from chairgap.abinitio.energies import check_installed
from chairgap.batch.executors import Executor, InProcess
from chairgap.batch.part_cache import PartCache
from chairgap.batch.results import outcome_of
from chairgap.batch.stages import Progress, compute, plan
from chairgap.batch.store import Store, open_store
from chairgap.errors import StudyError
from chairgap.minimise.engines import check_available
from chairgap.model.assessment import assess
from chairgap.model.reference_compounds import Memo, remembering
from chairgap.model.treatment import computed_for_all, warmed
from chairgap.records import Molecule, Outcome, Result, Settings, Study, Tables


def run_study(
    study: Study,
    *,
    progress: Progress,
    store: Store | None = None,
    executor: Executor | None = None,
    cache: PartCache | None = None,
) -> Outcome:
    """Plan every molecule first, so that all refusals are known before anything is computed; then compute
    what neither the store nor the cache of parts holds yet. Without store and executor: in memory, in this
    process.

    progress is called with where the run stands. Raises StudyError with the reason for each molecule when
    none can be treated, InputError when a library is missing.
    """
    check_available(study.settings)
    check_installed(study.settings)
    store = store or open_store(None)
    executor = executor or InProcess()
    plan(study, store, executor, progress)
    see_that_some_are_left(study, store)
    compute(study, store, executor, progress, cache)
    return outcome_of(study, store)


def see_that_some_are_left(study: Study, store: Store) -> None:
    """Raises StudyError when every molecule is refused."""
    if not store.counts().molecules:
        outcome = outcome_of(study, store)
        lost = (*outcome.refused, *outcome.failed)
        raise StudyError([item.as_error() for item in lost])


def treat(molecule: Molecule, tables: Tables, settings: Settings, memo: Memo) -> Result:
    """One molecule through every stage, here; `memo` keeps the parts that molecules share."""
    computation, media = warmed(computed_for_all(molecule, settings), settings)
    return assess(computation, media, remembering(tables.estimate, settings, memo), tables, settings)
