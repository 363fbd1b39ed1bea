"""The scorecard of energy models: every tabulated group alone on the ring, with each model.

A group is searched once for each force field; the surfaces that start from the same minima (solvent, quantum
method) share that search. Groups are dealt out to worker processes, one native thread each.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from chairgap.batch.executors import Executor, Job
from chairgap.errors import ChairgapError, Place
from chairgap.minimise.engines import check_available
from chairgap.model.treatment import on_surface, search
from chairgap.molecule.build import build_molecules
from chairgap.records import (
    AValueRow,
    Computation,
    ForceField,
    GroupOnCarbon,
    Lost,
    MoleculeRequest,
    RunState,
    ScorecardRow,
    SearchSettings,
    Settings,
    Study,
    Tables,
)

# Larger ones would take hours: tens of rotamers, and with the quantum method seconds for each Hessian.
QUANTUM_ATOM_LIMIT = 28
# The largest group takes two minutes with the quantum method.
_TIME_S = 3600.0

Progress = Callable[[RunState], None]

# Conformers further above the best of each chair than this window, and the starts beyond this bound, which
# only OSi(CH(CH3)2)3 reaches, move no gap by more than 0.002 and 0.013 kcal/mol (all groups, MMFF94, 298 K).
SEARCH = SearchSettings(effort="quick", most_starts=600, window_kcal_mol=4.0)


@dataclass(frozen=True, kw_only=True)
class _Task:
    """One group with one force field, on every surface asked for."""

    row: AValueRow
    force_field: ForceField
    models: tuple[Settings, ...]


def scorecard_settings(settings: Settings) -> Settings:
    """The settings of one model: its own method and medium, everything else as in a study by default."""
    return Settings(
        title="scorecard",
        output="",
        temperature_k=settings.temperature_k,
        force_field=settings.force_field,
        quantum_method=settings.quantum_method,
        medium=settings.medium,
        search=SEARCH,
    )


def run_scorecard(
    tables: Tables,
    models: Sequence[Settings],
    groups: Sequence[AValueRow],
    *,
    executor: Executor,
    progress: Progress,
) -> tuple[ScorecardRow, ...]:
    """Rows by model, in the order of the models and of the groups.

    progress is called as groups are finished. A group that a model cannot treat has a row
    without gaps that says why. Raises InputError when a library is missing.
    """
    requested = [scorecard_settings(model) for model in models]
    for model in requested:
        check_available(model)
    tasks = [
        _Task(
            row=row,
            force_field=force_field,
            models=tuple(model for model in requested if model.force_field == force_field),
        )
        for force_field in dict.fromkeys(model.force_field for model in requested)
        for row in groups
    ]
    # Long names are mostly large groups; with the largest first no worker is left alone at the end.
    tasks.sort(key=lambda task: -len(task.row.fragment))
    found: dict[tuple[str, str], ScorecardRow] = {}
    shared = Study(settings=requested[0], tables=tables, requests=(), text="", file="")
    finished = executor.run(Job(work=_score, shared=shared, time_s=_TIME_S), tasks)
    for done, (task, rows) in enumerate(finished, start=1):
        progress(RunState(stage="scoring", done=done, total=len(tasks), name=task.row.group))
        if isinstance(rows, Lost):
            rows = [_row(task.row, model, None, rows.message) for model in task.models]
        found |= {(row.model, row.group): row for row in rows}
    return tuple(found[model.model, row.group] for model in models for row in groups)


def _score(shared: Study, task: _Task) -> list[ScorecardRow]:
    row = task.row
    request = MoleculeRequest(
        name=row.group, place=Place(), substituents=(GroupOnCarbon(carbon=1, face="up", group=row.group),)
    )
    first = task.models[0]
    try:
        (molecule, *_) = build_molecules(
            request, shared.tables.estimate, force_field=task.force_field, atom_limit=first.atom_limit
        )
        searched = search(molecule, first)
    except ChairgapError as error:
        return [_row(row, model, None, error.message) for model in task.models]
    rows = []
    for model in task.models:
        if model.quantum_method != "none" and len(molecule.topology.symbols) > QUANTUM_ATOM_LIMIT:
            note = f"left out: more than {QUANTUM_ATOM_LIMIT} atoms"
            rows.append(_row(row, model, None, note))
            continue
        try:
            rows.append(_row(row, model, on_surface(searched, model), ""))
        except ChairgapError as error:
            rows.append(_row(row, model, None, error.message))
    return rows


def _row(row: AValueRow, model: Settings, computed: Computation | None, note: str) -> ScorecardRow:
    gaps = computed.gaps if computed else None
    return ScorecardRow(
        model=model.model,
        group=row.group,
        fragment=row.fragment,
        temperature_k=model.temperature_k,
        potential_kcal_mol=gaps.potential_kcal_mol if gaps else None,
        ensemble_kcal_mol=gaps.ensemble_kcal_mol if gaps else None,
        gibbs_kcal_mol=gaps.gibbs_kcal_mol if gaps else None,
        a_value_kcal_mol=row.value_kcal_mol,
        a_value_low_kcal_mol=row.low_kcal_mol,
        a_value_high_kcal_mol=row.high_kcal_mol,
        note=" ".join(note.split()),
    )
