"""What is said of one molecule, as parts, and its section of report.md."""

from math import fsum

from chairgap.compare.series import anchored_at_kcal_mol
from chairgap.records import Conformer, Outcome, Result, SeriesPoint, SolventPoint
from chairgap.report.answer import chair_line, headline_part
from chairgap.report.blocks import Own, Paragraph, Part, Table, bullets, paragraph, table
from chairgap.report.completed import completed_part
from chairgap.report.digest import by_energy, fractions, lowest_in_chair, notes
from chairgap.report.headline import (
    anchored_part,
    anchored_words,
    media_in_series,
    shown_reasons,
)
from chairgap.report.markdown import code, part_lines
from chairgap.report.measured import measured_part
from chairgap.report.names import other_name_words
from chairgap.report.sentences import (
    coverage_sentences,
    engines_sentence,
    gap_kinds,
    populations_sentence,
    series_sentence,
    uncertainty_sentence,
)
from chairgap.report.words import (
    chair_words,
    estimate_words,
    form_words,
    joined_numbers,
    medium_words,
    preferred_words,
    reason_words,
    source_words,
    term_words,
    verdict_words,
)
from chairgap.text import escaped
from chairgap.units import kj_from_kcal, signed

MOST_CONFORMERS_SHOWN = 10
ANCHORED_HEAD = "Anchored gap G(B) - G(A), kcal/mol"
_SECTION_LEVEL, _PART_LEVEL = 2, 3


def molecule_section(outcome: Outcome, number: int, result: Result, *, alone: bool) -> list[str]:
    """The lines of one molecule, from its name to its notes; the answer of a study of one molecule alone
    stands at the top of the report already."""
    molecule = result.molecule
    lines = [f"{'#' * _SECTION_LEVEL} {number}. {escaped(molecule.name)}", ""]
    lines += [escaped(name), ""] if (name := other_name_words(molecule)) else []
    lines.append(f"{escaped(molecule.numbered_groups)}; SMILES {code(molecule.smiles)}")
    parts = molecule_parts(outcome, result, most_conformers=MOST_CONFORMERS_SHOWN)
    answered = ("headline", "chairs") if alone else ()
    for part in (part for part in parts if part.key not in answered):
        lines.extend(["", *part_lines(part, level=_PART_LEVEL)])
    return lines


def molecule_parts(outcome: Outcome, result: Result, *, most_conformers: int) -> tuple[Part, ...]:
    """Everything said of one molecule, in order; parts that have nothing to say are left out."""
    parts = (
        headline_part(outcome, result),
        Part(key="chairs", blocks=bullets([chair_line(chair) for chair in result.chairs])),
        anchored_part(outcome, result),
        measured_part(outcome, result),
        _verdict(outcome, result),
        _ledger(outcome, result),
        completed_part(outcome, result),
        _gaps(outcome, result),
        _why(outcome, result),
        Part(key="populations", blocks=(paragraph(Own(populations_sentence(outcome, result))),)),
        _temperature(outcome, result),
        _solvents(outcome, result),
        _conformers(outcome, result, most_conformers),
        _contacts(result),
        Part(
            key="search",
            title="Search",
            blocks=(paragraph(coverage_sentences(result)), paragraph(engines_sentence(result))),
        ),
        Part(key="notes", title="Notes", blocks=bullets(notes(result))),
    )
    return tuple(part for part in parts if part.blocks)


def _verdict(outcome: Outcome, result: Result) -> Part:
    sign, size = verdict_words(result.comparison)
    lines = [
        f"Estimate and computed Gibbs gap: {sign}; {size} (computed - estimate = "
        f"{signed(result.comparison.difference_kcal_mol)} kcal/mol; positive: towards chair A). "
        f"Preferred by the computation: {preferred_words(result)}."
    ]
    if result.gaps.equal_by_symmetry:
        lines.append("The two chairs are the same or mirror images: their gap is exactly 0 by symmetry.")
    reasons = [reason_words(reason) for reason in shown_reasons(outcome, result)]
    return Part(key="verdict", blocks=(paragraph(*lines), *bullets(reasons)))


def _ledger(outcome: Outcome, result: Result) -> Part:
    estimate = result.estimate
    head = ["Chair", "Kind", "Carbons", "Groups", "Energy in this chair", "Medium", "Source", "In words"]
    rows = [
        [
            term.chair,
            term.kind,
            joined_numbers(term.carbons),
            ", ".join(term.groups),
            Own(term_words(term)),
            medium_words(term),
            source_words(term.source, outcome.table),
            term.words,
        ]
        for term in estimate.terms
    ]
    sums = [
        [letter, "sum", "", "", signed(_in_chair(result, letter)), "", "", f"known terms of chair {letter}"]
        for letter in ("A", "B")
    ]
    sums.append(["B - A", "hand sum", "", "", estimate_words(result), "", "", "G(B) - G(A)"])
    lines = [f"Estimated gap G(B) - G(A), kcal/mol: {estimate_words(result)}."]
    if estimate.missing:
        named = "; ".join(estimate.missing)
        lines.append(f"The estimate is incomplete. Without a published value, and left out: {named}.")
    if "geminal" in estimate.flags:
        lines.append("Two groups share a carbon (geminal): A-values do not simply add there.")
    nothing = paragraph("No term: no group or pair of groups of the table adds energy to either chair.")
    return Part(
        key="ledger",
        title="Hand estimate, Gibbs energy, kcal/mol",
        blocks=(
            table(head, [*rows, *sums], right=(4,), totals=len(sums)) if rows else nothing,
            Paragraph(lines=tuple(lines)),
        ),
    )


def _in_chair(result: Result, letter: str) -> float:
    """The sum of the terms of one chair, kcal/mol."""
    values = (term.value_kcal_mol for term in result.estimate.terms if term.chair == letter)
    return fsum(value for value in values if value is not None)


def _gaps(outcome: Outcome, result: Result) -> Part:
    rows = [
        [kind, signed(value), signed(None if value is None else kj_from_kcal(value))]
        for kind, value in gap_kinds(outcome, result)
    ]
    settings = outcome.study.settings
    return Part(
        key="gaps",
        title=f"Computed gaps, {settings.force_field_or_quantum_method}, {settings.medium.name}",
        blocks=(table(["Kind", "kcal/mol", "kJ/mol"], rows, right=(1, 2)),),
    )


def _why(outcome: Outcome, result: Result) -> Part:
    """Both ranges, and the difference as the sum of its parts."""
    split, ranges = result.split, uncertainty_sentence(outcome, result)
    blocks: list[Table | Paragraph] = [paragraph(ranges)] if ranges else []
    if split.parts:
        head = ["Part", "Carbons", "Groups", "Computed", "Tabulated", "Computed - tabulated"]
        blocks.append(table(head, _split_rows(result), right=(3, 4, 5), totals=1))
    else:
        blocks.append(paragraph(f"Not divided into parts: {split.note}."))
    at = f"{outcome.study.settings.temperature_k:.2f} K"
    return Part(
        key="difference",
        title=f"Computed gap less estimate, G(B) - G(A) at {at}, kcal/mol (positive: towards chair A)",
        blocks=tuple(blocks),
    )


def _split_rows(result: Result) -> list[tuple[str, ...]]:
    """The parts of the difference and their sum."""
    rows = [
        (
            f"{part.kind}, {part.relation}" if part.relation else part.kind,
            joined_numbers(part.carbons),
            ", ".join(part.groups),
            signed(part.computed_kcal_mol),
            signed(part.tabulated_kcal_mol),
            signed(part.difference_kcal_mol),
        )
        for part in result.split.parts
    ]
    sums = (result.gaps.gibbs_kcal_mol, result.estimate.gap_kcal_mol, result.comparison.difference_kcal_mol)
    return [*rows, ("sum", "", "", *map(signed, sums))]


def _temperature(outcome: Outcome, result: Result) -> Part:
    model = outcome.study.settings.force_field_or_quantum_method
    head = [
        "T, K",
        ANCHORED_HEAD,
        f"{model} G(B) - G(A), kcal/mol",
        "K = [A]/[B]",
        "A, %",
        "B, %",
        "non-chair, %",
    ]
    rows = [
        [
            f"{point.temperature_k:.2f}",
            signed(
                anchored_at_kcal_mol(
                    result.anchored.gap_kcal_mol, result.gaps.gibbs_kcal_mol, point.gibbs_kcal_mol
                )
            ),
            signed(point.gibbs_kcal_mol),
            "none" if point.equilibrium_constant is None else f"{point.equilibrium_constant:.3g}",
            *(f"{100 * share:.1f}" for share in _shares(point)),
        ]
        for point in result.temperatures.points
    ]
    if not rows:
        return Part(key="temperature", blocks=())
    phrase = series_sentence(outcome, result)
    blocks: list[Table | Paragraph] = [table(head, rows, right=range(len(head)))]
    return Part(
        key="temperature",
        title=f"Temperature; K and percent are those of {model}",
        blocks=(*blocks, paragraph(phrase)) if phrase else tuple(blocks),
    )


def _solvents(outcome: Outcome, result: Result) -> Part:
    settings = outcome.study.settings
    head = ["Medium", "Dielectric constant", ANCHORED_HEAD, "E(B) - E(A), kcal/mol", "G(B) - G(A), kcal/mol"]
    head += ["A, %", "B, %", "non-chair, %", "H bonds, best of A", "best of B"]
    rows = [
        [
            point.medium,
            f"{point.dielectric:.4g}",
            anchored_words(anchored),
            signed(point.potential_kcal_mol),
            signed(point.gibbs_kcal_mol),
            *(f"{100 * share:.1f}" for share in _shares(point)),
            str(point.hydrogen_bonds_a),
            str(point.hydrogen_bonds_b),
        ]
        for point, anchored in zip(result.media, result.anchored_in_media, strict=True)
    ]
    belongs = [
        f"{point.medium}: {words or anchored.note or 'the chairs are equal by symmetry'}."
        for point, anchored, words in zip(
            result.media, result.anchored_in_media, media_in_series(outcome, result), strict=True
        )
    ]
    which = paragraph("Which medium the parts of each anchored gap belong to:")
    return Part(
        key="solvent",
        title=f"Solvent, {settings.force_field_or_quantum_method}, {settings.temperature_k:.2f} K",
        blocks=(table(head, rows, right=range(1, len(head))), which, *bullets(belongs)) if rows else (),
    )


def _shares(point: SeriesPoint | SolventPoint) -> tuple[float, float, float]:
    return point.population_a, point.population_b, point.population_non_chair


def _conformers(outcome: Outcome, result: Result, most: int) -> Part:
    ordered = by_energy(result.conformers)
    if not ordered:
        return Part(key="conformers", title="Conformers", blocks=(paragraph("None was found."),))
    shares = fractions(result.conformers, outcome.study.settings.temperature_k)
    least_gibbs = min(conformer.gibbs_kcal_mol for conformer in ordered)
    head = ["No.", "Chair", "Ring", "Potential", "Gibbs", "Population, %", "Degeneracy"]
    head += ["Q, Å", "θ, °", "φ, °"]
    rows = [
        [
            str(conformer.number),
            chair_words(result, conformer),
            form_words(conformer),
            f"{conformer.minimum.energy_kcal_mol - ordered[0].minimum.energy_kcal_mol:.2f}",
            f"{conformer.gibbs_kcal_mol - least_gibbs:.2f}",
            f"{100 * shares[conformer.number]:.1f}",
            str(conformer.degeneracy),
            f"{conformer.shape.q_angstrom:.3f}",
            f"{conformer.shape.theta_deg:.1f}",
            f"{conformer.shape.phi_deg:.1f}",
        ]
        for conformer in ordered[:most]
    ]
    more = [paragraph(f"{len(ordered) - most} more are in conformers.csv.")] if len(ordered) > most else []
    settings = outcome.study.settings
    model, at = settings.force_field_or_quantum_method, f"{settings.temperature_k:.2f} K"
    return Part(
        key="conformers",
        title=f"Conformers by {model}, kcal/mol above the lowest; Gibbs and population at {at}",
        blocks=(table(head, rows, right=range(3, len(head))), *more),
    )


def _contacts(result: Result) -> Part:
    lines = []
    for chair in result.chairs:
        best = lowest_in_chair(result.conformers, chair.letter)
        if best is None:
            lines.append(f"Chair {chair.letter}: no minimum was found.")
        elif best.chair != chair.letter:
            lines.append(
                f"Chair {chair.letter}: a copy by symmetry of conformer {best.number} of chair "
                f"{best.chair}, with the same close contacts at the corresponding carbons."
            )
        else:
            lines.append(f"Chair {chair.letter}, conformer {best.number}: {_contact_words(best)}.")
    return Part(
        key="contacts", title="Close contacts in the best conformer of each chair", blocks=bullets(lines)
    )


def _contact_words(conformer: Conformer) -> str:
    words = [
        f"{c.kind} {c.carbons[0]} {c.groups[0]} / {c.carbons[1]} {c.groups[1]} {c.distance_angstrom:.2f} Å"
        + ("" if c.dihedral_deg is None else f" ({c.dihedral_deg:.0f}°)")
        for c in conformer.contacts
    ]
    return "; ".join(words) or "none"
