"""The work that executors do: functions of what a study's molecules share and of an item, each
called in some process."""

import time
from dataclasses import replace

from chairgap.abinitio.energies import check_installed
from chairgap.abinitio.ring import FORCE_FIELD, level_ring
from chairgap.batch.codec import packed
from chairgap.batch.content import planned
from chairgap.batch.results import WriteUp, result_of
from chairgap.errors import ChairgapError, InputError, MoleculeError, defect_words
from chairgap.model.assessment import shipped_pairs
from chairgap.model.treatment import computed_for_all
from chairgap.molecule.build import build_molecules, build_written
from chairgap.records import (
    Computed,
    LevelRing,
    MoleculeRequest,
    NotPlanned,
    Outcome,
    Planned,
    Record,
    Refusal,
    Study,
    Task,
)
from chairgap.study_output.pieces import Pieces, pieces_of


def plan_requests(
    shared: Study, item: tuple[int, tuple[MoleculeRequest, ...]]
) -> tuple[Planned | NotPlanned, ...]:
    """What each request asks for: its molecules, or the reason why there is none; the number gives the order
    and is not used."""
    return tuple(entry for request in item[1] for entry in _plan(shared, request))


def _plan(shared: Study, request: MoleculeRequest) -> tuple[Planned | NotPlanned, ...]:
    settings, table = shared.settings, shared.tables.estimate
    try:
        molecules = build_molecules(
            request,
            table,
            force_field=settings.force_field,
            atom_limit=settings.atom_limit,
            numbering=settings.numbering,
        )
        pairs = shipped_pairs(shared.tables, settings)
        return tuple(planned(molecule, table, settings, pairs) for molecule in molecules)
    except MoleculeError as error:
        refusal = Refusal(name=request.name, message=error.message, place=error.place)
        return (NotPlanned(status="refused", refusal=refusal),)
    except Exception as error:  # a defect met by one molecule must not lose the others
        refusal = Refusal(name=request.name, message=defect_words(error), place=request.place)
        return (NotPlanned(status="failed", refusal=refusal),)


def compute_task(shared: Study, task: Task) -> Record:
    """The ring of a task through the model, or at its level. The atoms of the latter are not counted: what it
    costs is another matter (`chairgap.abinitio.levels`)."""
    began, atoms = time.process_time(), 0
    try:
        if task.level == "none":
            found, atoms = _by_model(shared, task)
            record = Record(state="done", content=packed(found))
        else:
            record = Record(state="done", content=packed(_at_level(shared, task)))
    except MemoryError:
        raise
    except Exception as error:  # a defect met by one molecule must not lose the others
        message = error.message if isinstance(error, ChairgapError) else defect_words(error)
        # A library that is missing on this machine may be there in the next run.
        missing = isinstance(error, InputError)
        record = Record(state="lost" if missing else "failed", message=message)
    return replace(record, seconds=time.process_time() - began, atoms=atoms)


def _by_model(shared: Study, task: Task) -> tuple[Computed, int]:
    """What the model says, and the number of atoms."""
    settings = shared.settings
    molecule = build_written(task.ring, shared.tables.estimate, force_field=settings.force_field)
    return computed_for_all(molecule, settings), len(molecule.topology.symbols)


def _at_level(shared: Study, task: Task) -> LevelRing:
    settings = shared.settings
    check_installed(settings)
    molecule = build_written(task.ring, shared.tables.estimate, force_field=FORCE_FIELD)
    return level_ring(molecule, task.level, settings.limits.memory_mb)


def write_up(shared: Study, item: tuple[int, WriteUp]) -> Pieces:
    """What the files say of some molecules; the number gives the order and is not used."""
    _, asked = item
    results = tuple(
        result_of(planned, content, asked.parts.__getitem__, asked.levels.__getitem__, shared)
        for planned, content in asked.molecules
    )
    part = Outcome(study=shared, results=results, refused=(), failed=())
    return pieces_of(part, asked.wanted, first=asked.first)
