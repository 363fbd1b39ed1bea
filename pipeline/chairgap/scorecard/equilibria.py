"""Published equilibria with every model: hand sum, force field, quantum method, the gap anchored with each.

Gas, apolar and not stated media: gaps computed in the gas phase, since pairs by a quantum method are of the
gas phase too. Polar media and those that give hydrogen bonds: the force field in that medium by its
continuum, where the shipped pairs do not hold and the quantum method has no medium. A-values and pair terms
are those nearest to the published medium. Each ring that is needed, a molecule or a part of one, is searched
once and minimised on every surface that needs it; rings are dealt out to worker processes. The search is
bounded as that of the scorecard of groups is.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from chairgap.batch.executors import Executor, Job
from chairgap.compare.equilibria import GAS_LIKE
from chairgap.compare.pair_rows import pair_relation
from chairgap.errors import ChairgapError, Place
from chairgap.estimate.ledger import estimate_gap
from chairgap.estimate.nearest import rows_for
from chairgap.minimise.engines import check_available
from chairgap.model.assessment import anchor, anchors_of, computed_gaps
from chairgap.model.published import published_for
from chairgap.model.reference_compounds import Part, groups_alone, needed_parts, pairs_alone, part_from
from chairgap.model.treatment import on_surface, search
from chairgap.molecule.build import build_molecules, build_written, writing_of
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.records import (
    GAS_PHASE,
    Anchored,
    Computation,
    Equilibrium,
    EquilibriumScore,
    GroupOnCarbon,
    Lost,
    Medium,
    Molecule,
    MoleculeRequest,
    PublishedGap,
    QuantumMethod,
    RunState,
    Separation,
    Settings,
    Study,
    Tables,
)
from chairgap.scorecard.compute import scorecard_settings
from chairgap.shape.chairs import two_chairs
from chairgap.shape.hydrogen_bonds import bonding_pairs

# A ring of two large groups in several media, with the quantum method.
_TIME_S = 3600.0
# The largest published ring; about 15 minutes on one core. (The scorecard of groups stops earlier.)
_QUANTUM_ATOM_LIMIT = 31

Progress = Callable[[RunState], None]
Found = dict[tuple[RingFaces, Settings], Computation | str]


@dataclass(frozen=True, kw_only=True)
class _Task:
    """One ring on every surface that it is needed on."""

    ring: RingFaces
    surfaces: tuple[Settings, ...]


@dataclass(frozen=True, kw_only=True)
class _Case:
    """A published equilibrium as a built molecule, and the surfaces it is computed on."""

    published: PublishedGap
    molecule: Molecule
    force_field: Settings
    quantum: Settings | None

    @property
    def surfaces(self) -> tuple[Settings, ...]:
        return (self.force_field,) if self.quantum is None else (self.force_field, self.quantum)


def run_equilibria(
    tables: Tables,
    equilibria: Sequence[Equilibrium],
    media: Mapping[str, Medium],
    quantum_method: QuantumMethod,
    *,
    executor: Executor,
    progress: Progress,
) -> tuple[EquilibriumScore, ...]:
    """Scores by equilibrium, in the order given, each with every model.

    tables: with all rows of its A-value table, of which each equilibrium takes the nearest. media: the media
    of polar rows by the name in the table of equilibria. progress is called as rings are finished. What a
    model cannot treat has a score without gap that says why. Raises InputError when a library is missing,
    MoleculeError for groups that are no group.
    """
    cases = [_case(tables, equilibrium, media, quantum_method) for equilibrium in equilibria]
    for surface in dict.fromkeys(surface for case in cases for surface in case.surfaces):
        check_available(surface)
    tasks = _tasks(cases)
    found: Found = {}
    if tasks:
        shared = Study(settings=tasks[0].surfaces[0], tables=tables, requests=(), text="", file="")
        finished = executor.run(Job(work=_compute, shared=shared, time_s=_TIME_S), tasks)
        for done, (task, computed) in enumerate(finished, start=1):
            progress(RunState(stage="scoring", done=done, total=len(tasks), name=_words(task.ring)))
            each = [computed.message] * len(task.surfaces) if isinstance(computed, Lost) else computed
            found |= {(task.ring, at): value for at, value in zip(task.surfaces, each, strict=True)}
    return tuple(score for case in cases for score in _scores(case, tables, found))


def _case(
    tables: Tables, equilibrium: Equilibrium, media: Mapping[str, Medium], quantum_method: QuantumMethod
) -> _Case:
    groups = tuple(
        GroupOnCarbon(carbon=carbon, face=face, group=fragment)
        for carbon, face, fragment in equilibrium.groups
    )
    plain = Settings(title="", output="")
    request = MoleculeRequest(name=equilibrium.key, place=Place(), substituents=groups)
    (molecule,) = build_molecules(
        request, tables.estimate, force_field=plain.force_field, atom_limit=plain.atom_limit
    )
    (published,) = published_for(molecule.topology, (equilibrium,))
    gas_like = equilibrium.medium_class in GAS_LIKE
    medium = GAS_PHASE if gas_like else media[equilibrium.medium]
    force_field = scorecard_settings(replace(plain, medium=medium, temperature_k=published.temperature_k))
    with_quantum = quantum_method != "none" and gas_like
    return _Case(
        published=published,
        molecule=molecule,
        force_field=force_field,
        quantum=replace(force_field, quantum_method=quantum_method) if with_quantum else None,
    )


def _tasks(cases: Sequence[_Case]) -> list[_Task]:
    surfaces: dict[RingFaces, dict[Settings, None]] = {}
    for case in cases:
        topology = case.molecule.topology
        for ring in (writing_of(topology), *needed_parts(topology)):
            surfaces.setdefault(ring, {}).update(dict.fromkeys(case.surfaces))
    tasks = [_Task(ring=ring, surfaces=tuple(each)) for ring, each in surfaces.items()]
    # The largest first, so that no worker is left alone at the end.
    return sorted(tasks, key=lambda task: -len(task.surfaces) * len(_words(task.ring)))


def _words(ring: RingFaces) -> str:
    return " ".join(fragment for pair in ring for fragment in pair if fragment != HYDROGEN)


def _compute(shared: Study, task: _Task) -> list[Computation | str]:
    """For each surface the computation without its conformers, or why there is none."""
    first = task.surfaces[0]
    try:
        molecule = build_written(task.ring, shared.tables.estimate, force_field=first.force_field)
        searched = search(molecule, first)
    except ChairgapError as error:
        return [error.message for _ in task.surfaces]
    found: list[Computation | str] = []
    for surface in task.surfaces:
        if surface.quantum_method != "none" and len(molecule.topology.symbols) > _QUANTUM_ATOM_LIMIT:
            found.append(f"left out: more than {_QUANTUM_ATOM_LIMIT} atoms")
            continue
        try:
            found.append(replace(on_surface(searched, surface), conformers=()))
        except ChairgapError as error:
            found.append(error.message)
    return found


# --- what comes out --------------------------------------------------------------------------------------


def _scores(case: _Case, tables: Tables, found: Found) -> list[EquilibriumScore]:
    """Hand sum, force field, anchored with its pairs, anchored with the shipped pairs; with a quantum method
    its gap and the gap anchored with its pairs."""
    tables = _published_only(case, tables)
    force_field = case.force_field
    scores = [_hand_sum(case, tables)]
    scores += _modelled(case, tables, found, force_field)
    scores += [_with_shipped(case, tables, found, method) for method in _methods(tables)]
    if case.quantum is not None:
        scores += _modelled(case, tables, found, case.quantum)
    return scores


def _methods(tables: Tables) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.method for row in tables.pairs))


def _published_only(case: _Case, tables: Tables) -> Tables:
    """Without pair terms that were derived from these very equilibria; of the others those nearest to the
    published medium and temperature, the gas phase where no medium is stated."""
    kept = tuple(row for row in tables.estimate.interactions if row.known != "derived")
    equilibrium = case.published.equilibrium
    medium = GAS_PHASE.name if equilibrium.medium_class == "not stated" else equilibrium.medium
    estimate = rows_for(replace(tables.estimate, interactions=kept), medium, case.published.temperature_k)
    return replace(tables, estimate=estimate)


def _hand_sum(case: _Case, tables: Tables) -> EquilibriumScore:
    estimate = estimate_gap(two_chairs(case.molecule.topology), tables.estimate)
    return _score(
        case,
        model="hand sum" if estimate.complete else "hand sum, incomplete",
        gap=estimate.gap_kcal_mol,
        note="" if estimate.complete else f"without {', '.join(estimate.missing)}",
        computed_in="",
    )


def _modelled(
    case: _Case, tables: Tables, found: Found, surface: Settings
) -> tuple[EquilibriumScore, EquilibriumScore]:
    """The gap of a model, and the gap anchored with its own pairs."""
    method = surface.force_field_or_quantum_method
    names = (method, f"anchored, {method} pairs")
    pairs_by = ("", method if surface.medium.is_gas else "")
    computed = found[writing_of(case.molecule.topology), surface]
    gaps: tuple[float | None, float | None] = (None, None)
    if isinstance(computed, str):
        notes = (computed, computed)
    else:
        anchored = _anchored(computed, replace(tables, pairs=()), found, surface)
        gaps = (computed.gaps.gibbs_kcal_mol, anchored.gap_kcal_mol)
        notes = ("" if gaps[0] is not None else "one of the two chairs is no minimum", anchored.note)
    one, other = (
        _score(case, model=name, pairs_by=by, gap=gap, note=note, computed_in=surface.medium.name)
        for name, by, gap, note in zip(names, pairs_by, gaps, notes, strict=True)
    )
    return one, other


def _with_shipped(case: _Case, tables: Tables, found: Found, method: str) -> EquilibriumScore:
    """The gap anchored with the shipped pairs of a method; none where one of its pairs is not shipped."""
    name, surface = f"anchored, {method} pairs", case.force_field
    computed = found[writing_of(case.molecule.topology), surface]
    gap, note = None, ""
    if not surface.medium.is_gas:
        note = "the shipped pairs are of the gas phase"
    elif isinstance(computed, str):
        note = computed
    else:
        shipped = tuple(row for row in tables.pairs if row.method == method)
        anchored = _anchored(computed, replace(tables, pairs=shipped), found, surface)
        gap, note = anchored.gap_kcal_mol, anchored.note
        lacking = [
            "/".join(part.groups) for part in anchored.parts if part.kind == "pair" and part.origin != method
        ]
        if lacking:
            gap, note = None, f"no pair of {', '.join(dict.fromkeys(lacking))} is shipped"
    return _score(case, model=name, pairs_by=method, gap=gap, note=note, computed_in=surface.medium.name)


def _anchored(computed: Computation, tables: Tables, found: Found, surface: Settings) -> Anchored:
    def look_up(ring: RingFaces) -> Part | None:
        part = found[ring, surface]
        return None if isinstance(part, str) else part_from(part)

    singles = groups_alone(computed, look_up)
    pairs = pairs_alone(computed, look_up) if len(singles) > 1 else {}
    gaps = computed_gaps(computed, singles, pairs, surface)
    return anchor(computed, gaps, anchors_of(tables, surface))


def _score(
    case: _Case, *, model: str, gap: float | None, note: str, computed_in: str, pairs_by: str = ""
) -> EquilibriumScore:
    topology = case.molecule.topology
    chairs = two_chairs(topology)
    return EquilibriumScore(
        published=case.published,
        chair_a=chairs[0].name,
        chair_b=chairs[1].name,
        model=model,
        pairs_by=pairs_by,
        computed_in=computed_in,
        gap_kcal_mol=gap,
        separation=_separation(case),
        hydrogen_bond=bool(bonding_pairs(topology)),
        note=" ".join(note.split()),
    )


def _separation(case: _Case) -> Separation | None:
    groups = two_chairs(case.molecule.topology)[0].groups
    if len(groups) != 2:
        return None
    relation = pair_relation(*groups)
    return "geminal" if relation == "geminal" else _ACROSS[relation[-3:]]


_ACROSS: dict[str, Separation] = {"1,2": "1,2", "1,3": "1,3", "1,4": "1,4"}
