"""The recipe: a study goes in, an outcome comes out. One line per stage, in order."""

from collections.abc import Callable, Sequence

from threadpoolctl import threadpool_limits

from chairgap.compare.reasons import Case, find_reasons
from chairgap.compare.series import gibbs_gap_kcal_mol, temperature_series
from chairgap.compare.split import Site, split_difference
from chairgap.compare.uncertainty import group_errors, model_uncertainty_kcal_mol, table_temperature_k
from chairgap.compare.verdict import compare
from chairgap.errors import ChairgapError, MoleculeError, StudyError
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.minimise.engines import check_available
from chairgap.molecule.build import build_molecules
from chairgap.parts import Memo, groups_alone, pairs_alone, remember
from chairgap.records import (
    Computation,
    Estimate,
    EstimateTable,
    GapKinds,
    Molecule,
    Outcome,
    Reason,
    Refusal,
    Result,
    Settings,
    Split,
    Study,
)
from chairgap.tables import mean_error_kcal_mol, read_estimate_table
from chairgap.treat import medium_series, on_surface, search

Progress = Callable[[int, int, str], None]


def run_study(study: Study, *, progress: Progress) -> Outcome:
    """Build every molecule first, so that all refusals are known before anything is computed; then compute.

    progress(done, total, name) is called before each molecule and once at the end. Raises StudyError with
    the reason for each molecule when none can be treated, InputError when a library is missing.
    """
    check_available(study.settings)
    table = read_estimate_table(study.settings.a_value_table)
    molecules, refused = build_all(study, table)
    if not molecules:
        told = (*study.refused, *refused)
        raise StudyError([MoleculeError(f"{item.name}: {item.message}", place=item.place) for item in told])
    # Matrices are small here: more BLAS threads only cost time, and make sums depend on their number.
    with threadpool_limits(1):
        results, failed = treat_all(molecules, table, study.settings, progress)
    progress(len(molecules), len(molecules), "")
    return Outcome(
        study=study,
        table=table,
        results=tuple(results),
        refused=(*study.refused, *refused),
        failed=tuple(failed),
    )


def treat_all(
    molecules: Sequence[Molecule], table: EstimateTable, settings: Settings, progress: Progress
) -> tuple[list[Result], list[Refusal]]:
    """Every molecule by itself: results, and those that failed; a failure never stops the others."""
    results: list[Result] = []
    failed: list[Refusal] = []
    memo: Memo = {}
    for done, molecule in enumerate(molecules):
        progress(done, len(molecules), molecule.name)
        try:
            results.append(treat(molecule, table, settings, memo))
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


def treat(molecule: Molecule, table: EstimateTable, settings: Settings, memo: Memo) -> Result:
    """One molecule through every stage; `memo` keeps the parts that molecules share (`chairgap.parts`)."""
    searched = search(molecule, settings)
    computed = on_surface(searched, settings)
    remember(computed, memo)
    estimate = estimate_by_hand(computed, table)
    singles = groups_alone(molecule, table, settings, memo)
    split = split_by_parts(computed, estimate, singles, table, settings, memo)
    reasons = reasons_of(computed, estimate, split, table, settings)
    return Result(
        molecule=molecule,
        chairs=computed.chairs,
        conformers=computed.conformers,
        search=computed.search,
        estimate=estimate,
        gaps=computed.gaps,
        comparison=compare(
            estimate, computed.gaps, settings, reasons, uncertainty_of(computed, singles, table, settings)
        ),
        split=split,
        temperatures=temperature_series(
            computed.conformers, molecule.topology.masses_u, settings.temperature_series_k
        ),
        media=medium_series(searched, computed, settings),
    )


def estimate_by_hand(computed: Computation, table: EstimateTable) -> Estimate:
    """The hand estimate; exactly 0 where symmetry makes the chairs equal."""
    estimate = estimate_gap(computed.chairs, table)
    return zero_by_symmetry(estimate) if computed.gaps.equal_by_symmetry else estimate


def split_by_parts(
    computed: Computation,
    estimate: Estimate,
    singles: dict[Site, GapKinds | None],
    table: EstimateTable,
    settings: Settings,
    memo: Memo,
) -> Split:
    """The difference between computed gap and estimate, divided; pairs are computed only where needed."""
    wanted = not computed.gaps.equal_by_symmetry and len(singles) > 1
    pairs = pairs_alone(computed.molecule, computed.chairs, table, settings, memo) if wanted else {}
    return split_difference(computed.chairs, estimate, computed.gaps, singles, pairs)


def reasons_of(
    computed: Computation, estimate: Estimate, split: Split, table: EstimateTable, settings: Settings
) -> tuple[Reason, ...]:
    """The reasons that hold for a molecule, with their numbers."""
    topology = computed.molecule.topology
    at_k = table_temperature_k(computed.chairs, table, settings.temperature_k)
    return find_reasons(
        Case(
            topology=topology,
            chairs=computed.chairs,
            conformers=computed.conformers,
            estimate=estimate,
            gaps=computed.gaps,
            split=split,
            temperature_k=settings.temperature_k,
            table_temperature_k=at_k,
            gibbs_at_table_kcal_mol=(
                None if at_k is None else gibbs_gap_kcal_mol(computed.conformers, topology.masses_u, at_k)
            ),
        )
    )


def uncertainty_of(
    computed: Computation,
    singles: dict[Site, GapKinds | None],
    table: EstimateTable,
    settings: Settings,
) -> float:
    """How far the computed gap may be off, kcal/mol, judged by the model's error for each group alone."""
    gibbs = {
        ligand.group: kinds.gibbs_kcal_mol
        for locant, ligand in computed.molecule.topology.groups
        if (kinds := singles[locant, ligand.face]) is not None
    }
    return model_uncertainty_kcal_mol(
        computed.chairs, group_errors(table, gibbs), mean_error_kcal_mol(settings.model, settings.method)
    )
