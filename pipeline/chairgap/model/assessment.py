"""From what the model says of a molecule to its result: estimate, split, reasons, uncertainty, verdict."""

from collections.abc import Mapping

from chairgap.compare.anchored import Anchors, ComputedGaps, anchored_gap
from chairgap.compare.headline import headline
from chairgap.compare.reasons import CHARGED, Case, find_reasons
from chairgap.compare.series import gibbs_gap_kcal_mol, temperature_series
from chairgap.compare.split import Site, split_difference
from chairgap.compare.uncertainty import group_errors, model_uncertainty_kcal_mol, table_temperature_k
from chairgap.compare.verdict import compare
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.model.reference_compounds import LookUp, groups_alone, pairs_alone
from chairgap.records import (
    Anchored,
    Computation,
    Estimate,
    EstimateTable,
    GapKinds,
    Reason,
    Result,
    Settings,
    SolventPoint,
    Split,
    Tables,
)
from chairgap.shape.hydrogen_bonds import bonding_pairs
from chairgap.tables.scorecard import mean_error_kcal_mol

_APOLAR_BELOW = 5.0  # dielectric constant (common practice, no source)


def assess(
    computed: Computation,
    media: tuple[SolventPoint, ...],
    look_up: LookUp,
    tables: Tables,
    settings: Settings,
) -> Result:
    """The result of a computed molecule; `look_up` gives its parts (`chairgap.model.reference_compounds`)."""
    table = tables.estimate
    estimate = estimate_by_hand(computed, table)
    singles = groups_alone(computed, look_up)
    unequal = not computed.gaps.equal_by_symmetry
    pairs = pairs_alone(computed, look_up) if unequal and len(singles) > 1 else {}
    split = split_difference(computed.chairs, estimate, computed.gaps, singles, pairs)
    anchored = anchor(computed, singles, pairs, tables, settings)
    reasons = reasons_of(computed, media, estimate, split, table, settings)
    uncertainty_kcal_mol = uncertainty_of(computed, singles, tables, settings)
    comparison = compare(estimate, computed.gaps, settings, reasons, uncertainty_kcal_mol)
    return Result(
        molecule=computed.molecule,
        chairs=computed.chairs,
        conformers=computed.conformers,
        search=computed.search,
        estimate=estimate,
        gaps=computed.gaps,
        comparison=comparison,
        anchored=anchored,
        headline=headline(
            anchored,
            estimate,
            computed.gaps,
            settings,
            non_chair=comparison.preferred == "non-chair",
            charged=any(reason.code == CHARGED for reason in reasons),
        ),
        split=split,
        temperatures=temperature_series(
            computed.conformers, computed.molecule.topology.masses_u, settings.temperature_series_k
        ),
        media=media,
    )


def estimate_by_hand(computed: Computation, table: EstimateTable) -> Estimate:
    """The hand estimate; exactly 0 where symmetry makes the chairs equal."""
    estimate = estimate_gap(computed.chairs, table)
    return zero_by_symmetry(estimate) if computed.gaps.equal_by_symmetry else estimate


def anchor(
    computed: Computation,
    singles: Mapping[Site, GapKinds | None],
    pairs: Mapping[tuple[Site, Site], GapKinds | None],
    tables: Tables,
    settings: Settings,
) -> Anchored:
    """The anchored gap. The shipped pairs are of the gas phase: they stand in for those of the model there
    and in apolar media, not in polar ones."""
    method = settings.force_field_or_quantum_method
    return anchored_gap(
        computed.chairs,
        ComputedGaps(
            model=settings.model,
            whole_kcal_mol=computed.gaps.gibbs_kcal_mol,
            single_kcal_mol={site: _gibbs(kinds) for site, kinds in singles.items()},
            pair_kcal_mol={sites: _gibbs(kinds) for sites, kinds in pairs.items()},
            late_shift_kcal_mol=computed.search.late_shift_kcal_mol,
        ),
        Anchors(
            a_values=tables.estimate.a_values,
            pairs=tables.pairs if settings.medium.dielectric < _APOLAR_BELOW else (),
            spreads=tables.spreads,
            model_error_kcal_mol=mean_error_kcal_mol(tables.scorecard, settings.model, method),
        ),
        equal_by_symmetry=computed.gaps.equal_by_symmetry,
        hydrogen_bonding=bonding_pairs(computed.molecule.topology),
    )


def _gibbs(kinds: GapKinds | None) -> float | None:
    return None if kinds is None else kinds.gibbs_kcal_mol


def reasons_of(
    computed: Computation,
    media: tuple[SolventPoint, ...],
    estimate: Estimate,
    split: Split,
    table: EstimateTable,
    settings: Settings,
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
            medium=settings.medium,
            media=media,
        )
    )


def uncertainty_of(
    computed: Computation,
    singles: dict[Site, GapKinds | None],
    tables: Tables,
    settings: Settings,
) -> float:
    """How far the computed gap may be off, kcal/mol, estimated from the model's error for each group
    alone."""
    gibbs = {
        ligand.group: kinds.gibbs_kcal_mol
        for locant, ligand in computed.molecule.topology.groups
        if (kinds := singles[locant, ligand.face]) is not None
    }
    mean_kcal_mol = mean_error_kcal_mol(
        tables.scorecard, settings.model, settings.force_field_or_quantum_method
    )
    return model_uncertainty_kcal_mol(
        computed.chairs,
        group_errors(tables.estimate, gibbs),
        mean_kcal_mol,
        computed.search.late_shift_kcal_mol,
    )
