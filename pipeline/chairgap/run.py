"""The recipe: a study goes in, an outcome comes out. One line per stage, in order."""

from collections.abc import Callable, Mapping, Sequence

from threadpoolctl import threadpool_limits

from chairgap.compare.gaps import compute_gaps
from chairgap.compare.reasons import find_reasons
from chairgap.compare.thermochemistry import gibbs_kcal_mol
from chairgap.compare.verdict import compare
from chairgap.errors import (
    ChairgapError,
    EngineError,
    MoleculeError,
    Place,
    StudyError,
)
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.minimise.engines import Engines, open_engines
from chairgap.molecule.build import build_molecules
from chairgap.records import (
    Chair,
    Conformer,
    EstimateTable,
    GroupOnCarbon,
    Minimum,
    Molecule,
    MoleculeRequest,
    Outcome,
    Refusal,
    Result,
    Settings,
    Study,
)
from chairgap.search.explore import explore
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.search.verify import verify, worth_reporting
from chairgap.shape.canonical import ring_shape
from chairgap.shape.chairs import two_chairs
from chairgap.shape.contacts import find_contacts
from chairgap.shape.copies import chairs_equal_by_symmetry, count_copies
from chairgap.shape.positions import ligand_positions, which_chair
from chairgap.tables import read_estimate_table

Progress = Callable[[int, int, str], None]


def run_study(study: Study, *, progress: Progress) -> Outcome:
    """Build every molecule first, so that all refusals are known before anything is computed; then compute.

    progress(done, total, name) is called before each molecule and once at the end. Raises StudyError with
    the reason for each molecule when none can be treated.
    """
    table = read_estimate_table(study.settings.a_value_table)
    molecules, refused = build_all(study, table)
    if not molecules:
        told = (*study.refused, *refused)
        raise StudyError([MoleculeError(f"{item.name}: {item.message}", place=item.place) for item in told])
    # Matrices are small here: more BLAS threads only cost time, and make sums depend on their number.
    with threadpool_limits(1):
        progress(0, len(molecules), "each group alone")
        errors = single_group_errors(molecules, table, study.settings)
        results, failed = treat_all(molecules, table, study.settings, errors, progress)
    progress(len(molecules), len(molecules), "")
    return Outcome(
        study=study,
        table=table,
        results=tuple(results),
        refused=(*study.refused, *refused),
        failed=tuple(failed),
    )


def treat_all(
    molecules: Sequence[Molecule],
    table: EstimateTable,
    settings: Settings,
    group_errors_kcal_mol: Mapping[str, float],
    progress: Progress,
) -> tuple[list[Result], list[Refusal]]:
    """Every molecule by itself: results, and those that failed; a failure never stops the others."""
    results: list[Result] = []
    failed: list[Refusal] = []
    for done, molecule in enumerate(molecules):
        progress(done, len(molecules), molecule.name)
        try:
            results.append(treat(molecule, table, settings, group_errors_kcal_mol))
        except ChairgapError as error:
            failed.append(Refusal(name=molecule.name, message=error.message, place=molecule.place))
        except Exception as error:  # a defect met by one molecule must not lose the others
            message = f"internal error, {type(error).__name__}: {error}; please report this molecule."
            failed.append(Refusal(name=molecule.name, message=message, place=molecule.place))
    return results, failed


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


def single_group_errors(
    molecules: Sequence[Molecule], table: EstimateTable, settings: Settings
) -> dict[str, float]:
    """For each group met: computed Gibbs gap of the monosubstituted ring minus its A-value, kcal/mol.

    This is what the force field gets wrong before groups meet at all. Groups without a table row, or that
    fail on their own, are left out.
    """
    a_values = {row.group: row.value_kcal_mol for row in table.a_values}
    met = sorted({ligand.group for molecule in molecules for _, ligand in molecule.topology.groups})
    errors: dict[str, float] = {}
    for group in met:
        if group not in a_values:
            continue
        request = MoleculeRequest(
            name=group, place=Place(), substituents=(GroupOnCarbon(carbon=1, face="up", group=group),)
        )
        try:
            (alone, *_) = build_molecules(
                request, table, force_field=settings.force_field, atom_limit=settings.atom_limit
            )
            gap = treat(alone, table, settings, {}).gaps.gibbs_kcal_mol
        except ChairgapError:
            continue
        if gap is not None:
            errors[group] = gap - a_values[group]
    return errors


def treat(
    molecule: Molecule,
    table: EstimateTable,
    settings: Settings,
    group_errors_kcal_mol: Mapping[str, float],
) -> Result:
    """One molecule through every stage."""
    topology = molecule.topology
    chairs = two_chairs(topology)
    engines = open_engines(molecule, settings.force_field, settings.engine)
    lattice = build_lattice(molecule, settings.force_field, settings.search.seed)
    found, report = explore(lattice, engines.model, settings.search)
    chosen = worth_reporting(found, lattice, chairs, settings.search.window_kcal_mol)
    verified = verify(chosen, lattice, engines.model, report)
    if not verified.minima:
        raise EngineError("no verified minimum was found; raise the search effort or check the structure.")
    conformers = describe(verified.minima, lattice, chairs, engines, settings)
    equal = chairs_equal_by_symmetry(lattice.operations)
    estimate = estimate_gap(chairs, table)
    if equal:
        estimate = zero_by_symmetry(estimate)
    gaps = compute_gaps(conformers, settings.temperature_k, equal_by_symmetry=equal)
    reasons = find_reasons(topology, chairs, conformers, estimate, gaps, group_errors_kcal_mol)
    return Result(
        molecule=molecule,
        chairs=chairs,
        conformers=conformers,
        search=verified.report,
        estimate=estimate,
        gaps=gaps,
        comparison=compare(estimate, gaps, settings, reasons),
    )


def describe(
    minima: Sequence[Minimum],
    lattice: Lattice,
    chairs: tuple[Chair, Chair],
    engines: Engines,
    settings: Settings,
) -> tuple[Conformer, ...]:
    """Verified minima with ring shape, positions, contacts, copies, Gibbs energy and engine check."""
    topology = lattice.molecule.topology
    conformers = []
    for number, minimum in enumerate(minima, start=1):
        positions = minimum.positions
        shape = ring_shape(positions[topology.ring])
        ligands = ligand_positions(topology, positions, shape)
        chair = which_chair(shape, chairs)
        own, opposite = count_copies(topology, lattice.operations, positions)
        conformers.append(
            Conformer(
                number=number,
                minimum=minimum,
                shape=shape,
                chair=chair,
                ligands=ligands,
                contacts=find_contacts(topology, positions, shape, ligands),
                copies_a={"A": own, "B": opposite}.get(chair or "", 0),
                copies_b={"A": opposite, "B": own}.get(chair or "", 0),
                copies_other=0 if chair else own + opposite,
                gibbs_kcal_mol=gibbs_kcal_mol(
                    minimum.energy_kcal_mol,
                    minimum.frequencies_cm1,
                    positions,
                    topology.masses_u,
                    settings.temperature_k,
                ),
                check=engines.check(minimum),
            )
        )
    return tuple(conformers)
