"""The recipe: a study goes in, an outcome comes out. One line per stage, in order."""

from dataclasses import replace

from chairgap.batch.executors import Executor, InProcess
from chairgap.batch.results import outcome_of
from chairgap.batch.stages import Progress, compute, plan
from chairgap.batch.store import Store, open_store
from chairgap.errors import MoleculeError, StudyError
from chairgap.minimise.engines import check_available
from chairgap.model.assessment import assess
from chairgap.model.reference_compounds import Memo, remembering
from chairgap.model.treatment import medium_series, on_surface, search
from chairgap.molecule.build import build_molecules
from chairgap.records import Context, EstimateTable, Molecule, Outcome, Refusal, Result, Settings, Study
from chairgap.tables.shipped import read_estimate_table


def run_study(
    study: Study,
    *,
    progress: Progress,
    store: Store | None = None,
    executor: Executor | None = None,
) -> Outcome:
    """Plan every molecule first, so that all refusals are known before anything is computed; then compute
    what the store does not hold yet. Without store and executor: in memory, in this process.

    progress is called with where the run stands. Raises StudyError with the reason for each molecule when
    none can be treated, InputError when a library is missing.
    """
    check_available(study.settings)
    store = store or open_store(None)
    executor = executor or InProcess()
    context = context_of(study)
    plan(study, context, store, executor, progress)
    see_that_some_are_left(study, store, context)
    compute(context, store, executor, progress)
    return outcome_of(study, store, context)


def context_of(study: Study) -> Context:
    """What all tasks of a study share: small, since every worker gets it."""
    table = read_estimate_table(study.settings.a_value_table)
    return Context(study=replace(study, requests=(), text="", refused=()), table=table)


def see_that_some_are_left(study: Study, store: Store, context: Context) -> None:
    """Raises StudyError when every molecule is refused."""
    if not store.counts().molecules:
        outcome = outcome_of(study, store, context)
        lost = (*outcome.refused, *outcome.failed)
        raise StudyError([MoleculeError(f"{item.name}: {item.message}", place=item.place) for item in lost])


def build_all(study: Study, table: EstimateTable) -> tuple[list[Molecule], list[Refusal]]:
    """All molecules of a study in order, and those that chemistry refuses."""
    settings = study.settings
    molecules: list[Molecule] = []
    refused: list[Refusal] = []
    for request in study.requests:
        try:
            molecules.extend(
                build_molecules(
                    request, table, force_field=settings.force_field, atom_limit=settings.atom_limit
                )
            )
        except MoleculeError as error:
            refused.append(Refusal(name=request.name, message=error.message, place=error.place))
    return molecules, refused


def treat(molecule: Molecule, table: EstimateTable, settings: Settings, memo: Memo) -> Result:
    """One molecule through every stage, here; `memo` keeps the parts that molecules share."""
    searched = search(molecule, settings)
    computed = on_surface(searched, settings)
    media = medium_series(searched, computed, settings)
    return assess(computed, media, remembering(table, settings, memo), table, settings)
