"""From what the model says of a molecule to its result: estimate, split, reasons, uncertainty, verdict."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from chairgap.compare.anchored import Anchors, ComputedGaps, anchored_gap, pair_terms
from chairgap.compare.completed import completed_sum
from chairgap.compare.domain import distrust_note
from chairgap.compare.gaps import gaps_in
from chairgap.compare.headline import headline
from chairgap.compare.measured import measured_gap
from chairgap.compare.reasons import CHARGED, Case, find_reasons
from chairgap.compare.series import gibbs_gap_kcal_mol, temperature_series
from chairgap.compare.split import Site, split_difference
from chairgap.compare.uncertainty import group_errors, model_uncertainty_kcal_mol, table_temperature_k
from chairgap.compare.verdict import compare
from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.model.parts_at_level import LevelLookUp, LevelPart, gaps_at_level
from chairgap.model.published import published_for
from chairgap.model.reference_compounds import LookUp, groups_alone, in_medium, pairs_alone
from chairgap.molecule.numbering import RingFaces
from chairgap.records import (
    Anchored,
    CompletedSum,
    Computation,
    Estimate,
    EstimateTable,
    GapKinds,
    MeasuredGap,
    Molecule,
    PairInteraction,
    PairTerms,
    Reason,
    Result,
    Settings,
    SolventPoint,
    Split,
    Tables,
)
from chairgap.shape.hydrogen_bonds import bonding_pairs
from chairgap.tables.scorecard import mean_error_kcal_mol


def nothing_at_level(ring: RingFaces) -> LevelPart:
    """For those who have nothing computed at a level."""
    return "it was not computed here"


def assess(
    computed: Computation,
    media: tuple[SolventPoint, ...],
    look_up: LookUp,
    tables: Tables,
    settings: Settings,
    level_of: LevelLookUp = nothing_at_level,
) -> Result:
    """The result of a computed molecule; `look_up` gives its parts (`chairgap.model.reference_compounds`),
    `level_of` its rings at the level of the study (`chairgap.model.parts_at_level`)."""
    table = tables.estimate
    at_level, notes = gaps_at_level(
        computed,
        shipped_pairs(tables, settings),
        settings.pairs_by,
        level_of,
        temperature_k=settings.temperature_k,
    )
    computed = replace(
        computed, molecule=replace(computed.molecule, notes=(*computed.molecule.notes, *notes))
    )
    estimate = estimate_by_hand(computed, table)
    singles = groups_alone(computed, look_up)
    unequal = not computed.gaps.equal_by_symmetry
    pairs = pairs_alone(computed, look_up) if unequal and len(singles) > 1 else {}
    split = split_difference(computed.chairs, estimate, computed.gaps, singles, pairs)
    gaps = computed_gaps(computed, singles, pairs, settings)
    anchors = anchors_of(tables, settings, at_level)
    anchored = anchor(computed, gaps, anchors)
    in_media = anchor_in_media(computed, media, look_up, tables, settings, at_level)
    reasons = reasons_of(computed, media, estimate, split, table, settings)
    uncertainty_kcal_mol = uncertainty_of(computed, singles, tables, settings)
    comparison = compare(estimate, computed.gaps, settings, reasons, uncertainty_kcal_mol)
    return Result(
        molecule=_noted(computed, tables, settings),
        chairs=computed.chairs,
        conformers=computed.conformers,
        search=computed.search,
        late_shift_kcal_mol=computed.late_shift_kcal_mol,
        estimate=estimate,
        completed=complete(computed, estimate, gaps, anchors, table, settings.pairs),
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
        anchored_in_media=in_media,
        measured=measured_of(computed, media, (anchored, *in_media), tables, settings),
    )


def _noted(computed: Computation, tables: Tables, settings: Settings) -> Molecule:
    """The molecule, with a note where its quantum method is not to be believed for a group of it."""
    molecule = computed.molecule
    if settings.quantum_method == "none":
        return molecule
    groups = [(ligand.group, ligand.fragment) for _, ligand in molecule.topology.groups]
    note = distrust_note(settings.quantum_method, groups, tables.scorecard)
    return replace(molecule, notes=(*molecule.notes, note)) if note else molecule


def estimate_by_hand(computed: Computation, table: EstimateTable) -> Estimate:
    """The hand estimate; exactly 0 where symmetry makes the chairs equal."""
    estimate = estimate_gap(computed.chairs, table)
    return zero_by_symmetry(estimate) if computed.gaps.equal_by_symmetry else estimate


def shipped_pairs(tables: Tables, settings: Settings) -> tuple[PairInteraction, ...]:
    """The rows of the table of pairs that hold for a study. They are of the gas phase, and stand in for those
    of the model there and in apolar media, not in polar ones."""
    return tables.pairs if settings.medium.is_apolar else ()


def anchor(computed: Computation, gaps: ComputedGaps, anchors: Anchors) -> Anchored:
    """The anchored gap."""
    return anchored_gap(
        computed.chairs,
        gaps,
        anchors,
        equal_by_symmetry=computed.gaps.equal_by_symmetry,
        hydrogen_bonding=bonding_pairs(computed.molecule.topology),
    )


def complete(
    computed: Computation,
    estimate: Estimate,
    gaps: ComputedGaps,
    anchors: Anchors,
    table: EstimateTable,
    asked: PairTerms,
) -> CompletedSum | None:
    """The completed sum, with the pair terms of the anchored gap."""
    bonding = bonding_pairs(computed.molecule.topology)
    terms = pair_terms(computed.chairs, gaps, anchors, hydrogen_bonding=bonding)
    equal = computed.gaps.equal_by_symmetry
    return completed_sum(computed.chairs, estimate, table, terms, asked, equal_by_symmetry=equal)


def computed_gaps(
    computed: Computation,
    singles: Mapping[Site, GapKinds | None],
    pairs: Mapping[tuple[Site, Site], GapKinds | None],
    settings: Settings,
) -> ComputedGaps:
    """The model's gaps of a molecule and its parts."""
    return ComputedGaps(
        model=settings.model,
        medium=settings.medium.name,
        temperature_k=settings.temperature_k,
        whole_kcal_mol=computed.gaps.gibbs_kcal_mol,
        single_kcal_mol={site: _gibbs(kinds) for site, kinds in singles.items()},
        pair_kcal_mol={sites: _gibbs(kinds) for sites, kinds in pairs.items()},
        late_shift_kcal_mol=computed.late_shift_kcal_mol,
    )


def anchors_of(tables: Tables, settings: Settings, at_level: ComputedGaps | None = None) -> Anchors:
    """What the anchored gap of a study rests on; `at_level` are the gaps at the level of the study."""
    method = settings.force_field_or_quantum_method
    return Anchors(
        a_values=tables.estimate.a_values,
        pairs=shipped_pairs(tables, settings),
        declared=settings.declared_pairs,
        spreads=tables.spreads,
        model_error_kcal_mol=mean_error_kcal_mol(tables.scorecard, settings.model, method),
        at_level=at_level,
    )


def anchor_in_media(
    computed: Computation,
    media: tuple[SolventPoint, ...],
    look_up: LookUp,
    tables: Tables,
    settings: Settings,
    at_level: ComputedGaps | None = None,
) -> tuple[Anchored, ...]:
    """The anchored gap in each medium of the series, as a study in that medium has it: with the A-values
    nearest to the medium, and the model's gaps of the molecule and its parts there. Gaps at a level are of
    the gas phase, and serve in apolar media as the table of pairs does."""
    found = []
    for number, (point, medium) in enumerate(zip(media, settings.medium_series, strict=True)):
        there = replace(computed, gaps=gaps_in(point, computed.gaps))
        parts = in_medium(look_up, number)
        singles = groups_alone(there, parts)
        pairs = pairs_alone(there, parts) if len(singles) > 1 else {}
        own = replace(tables, estimate=tables.in_media[medium.name])
        at = at_level if medium.is_apolar else None
        here = replace(settings, medium=medium)
        gaps = computed_gaps(there, singles, pairs, here)
        found.append(anchor(there, gaps, anchors_of(own, here, at)))
    return tuple(found)


def measured_of(
    computed: Computation,
    media: tuple[SolventPoint, ...],
    anchored: Sequence[Anchored],
    tables: Tables,
    settings: Settings,
) -> tuple[MeasuredGap, ...]:
    """What is published of the molecule, each beside the anchored gap; `anchored` are the gaps in the study's
    medium and in those of its series."""
    topology, own_kcal_mol = computed.molecule.topology, computed.gaps.gibbs_kcal_mol
    names = (settings.medium.name, *(point.medium for point in media))
    by_medium: dict[str, Anchored] = {}
    for name, gap in zip(names, anchored, strict=True):
        by_medium.setdefault(name, gap)
    found = []
    for published in published_for(topology, tables.equilibria):
        shift: float | None = 0.0
        if not computed.gaps.equal_by_symmetry and published.temperature_k != settings.temperature_k:
            there = gibbs_gap_kcal_mol(computed.conformers, topology.masses_u, published.temperature_k)
            shift = None if there is None or own_kcal_mol is None else there - own_kcal_mol
        found.append(measured_gap(published, by_medium, tables.estimate.medium_classes, shift))
    return tuple(found)


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
        computed.late_shift_kcal_mol,
    )
