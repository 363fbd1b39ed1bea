"""One molecule's section of report.md."""

from chairgap.records import Chair, Conformer, Outcome, Result, SeriesPoint, SolventPoint
from chairgap.report.digest import by_energy, fractions, lowest_in_chair, notes
from chairgap.report.markdown import code, escaped, table
from chairgap.report.sentences import (
    coverage_sentences,
    engines_sentence,
    gap_kinds,
    populations_sentence,
    series_sentence,
    split_sentence,
    uncertainty_sentence,
)
from chairgap.report.words import (
    chair_words,
    estimate_words,
    form_words,
    joined_numbers,
    preferred_words,
    reason_words,
    signed,
    term_words,
    verdict_words,
)
from chairgap.units import kj_from_kcal

MOST_CONFORMERS_SHOWN = 10


def molecule_section(outcome: Outcome, number: int, result: Result) -> list[str]:
    """The lines of one molecule, from its name to its notes."""
    molecule = result.molecule
    parts = [
        [f"## {number}. {escaped(molecule.name)}"],
        [f"{escaped(molecule.spoken)}; SMILES {code(molecule.smiles)}"],
        [f"- {_chair_line(chair)}" for chair in result.chairs],
        _verdict(result),
        _ledger(result),
        _gaps(outcome, result),
        _why(outcome, result),
        [populations_sentence(outcome, result)],
        _series(outcome, result),
        _conformers(outcome, result),
        _contacts(result),
        ["### What was searched", "", coverage_sentences(result), "", engines_sentence(result)],
        _notes(result),
    ]
    lines: list[str] = []
    for part in parts:
        lines.extend(["", *part] if lines and part else part)
    return lines


def _chair_line(chair: Chair) -> str:
    def list_of(position: str) -> str:
        return ", ".join(f"{g.carbon} {g.face} {g.group}" for g in chair.groups if g.position == position)

    return escaped(
        f"Chair {chair.letter} ({chair.name}): axial {list_of('axial') or 'none'}; "
        f"equatorial {list_of('equatorial') or 'none'}"
    )


def _verdict(result: Result) -> list[str]:
    sign, size = verdict_words(result.comparison)
    lines = [
        f"Estimate and computed Gibbs gap: {sign}; {size} (computed - estimate = "
        f"{signed(result.comparison.difference_kcal_mol)} kcal/mol; positive: towards chair A). "
        f"Preferred by the computation: {escaped(preferred_words(result))}."
    ]
    if result.gaps.equal_by_symmetry:
        lines.append("The two chairs are the same or mirror images: their gap is exactly 0 by symmetry.")
    reasons = [f"- {escaped(reason_words(reason))}" for reason in result.comparison.reasons]
    return [*lines, "", *reasons] if reasons else lines


def _ledger(result: Result) -> list[str]:
    estimate = result.estimate
    lines = ["### Hand estimate, Gibbs energy, kcal/mol", ""]
    if estimate.terms:
        head = ["Chair", "Kind", "Carbons", "Groups", "Energy the chair carries", "Source", "In words"]
        rows = [
            [
                term.chair,
                term.kind,
                joined_numbers(term.carbons),
                escaped(", ".join(term.groups)),
                term_words(term),
                escaped(term.source),
                escaped(term.words),
            ]
            for term in estimate.terms
        ]
        lines += [*table(head, rows), ""]
    else:
        lines += ["No term: neither chair carries anything the table speaks of.", ""]
    lines.append(f"Estimated gap G(B) - G(A), kcal/mol: {estimate_words(result)}.")
    if estimate.missing:
        named = "; ".join(escaped(term) for term in estimate.missing)
        lines.append(f"The estimate is incomplete. Without a published value, and left out: {named}.")
    if "geminal" in estimate.flags:
        lines.append("Two groups share a carbon (geminal): A-values do not simply add there.")
    return lines


def _gaps(outcome: Outcome, result: Result) -> list[str]:
    rows = [
        [kind, signed(value), signed(None if value is None else kj_from_kcal(value))]
        for kind, value in gap_kinds(outcome, result)
    ]
    settings = outcome.study.settings
    title = f"### Computed gaps, {settings.method}, {settings.medium.name}"
    return [title, "", *table(["Kind", "kcal/mol", "kJ/mol"], rows, right=(1, 2))]


def _why(outcome: Outcome, result: Result) -> list[str]:
    told = [uncertainty_sentence(outcome, result), escaped(split_sentence(outcome, result))]
    return ["### Difference between computed gap and estimate", "", *(f"- {line}" for line in told if line)]


def _series(outcome: Outcome, result: Result) -> list[str]:
    settings = outcome.study.settings
    head = ["T, K", "G(B) - G(A), kcal/mol", "K = [A]/[B]", "A, %", "B, %", "non-chair, %"]
    rows = [
        [
            f"{point.temperature_k:.2f}",
            signed(point.gibbs_kcal_mol),
            "none" if point.equilibrium_constant is None else f"{point.equilibrium_constant:.3g}",
            *(f"{100 * share:.1f}" for share in _shares(point)),
        ]
        for point in result.temperatures.points
    ]
    lines = ["### Temperature", "", *table(head, rows, right=range(len(head)))] if rows else []
    told = series_sentence(result)
    lines += ["", told] if told else []
    if not result.media:
        return lines
    head = ["Medium", "Dielectric constant", "E(B) - E(A), kcal/mol", "G(B) - G(A), kcal/mol"]
    head += ["A, %", "B, %", "non-chair, %", "H bonds, best of A", "best of B"]
    rows = [
        [
            escaped(point.solvent),
            f"{point.dielectric:.4g}",
            signed(point.potential_kcal_mol),
            signed(point.gibbs_kcal_mol),
            *(f"{100 * share:.1f}" for share in _shares(point)),
            str(point.hydrogen_bonds_a),
            str(point.hydrogen_bonds_b),
        ]
        for point in result.media
    ]
    title = f"### Solvent, {settings.method}, {settings.temperature_k:.2f} K"
    return [*lines, *([""] if lines else []), title, "", *table(head, rows, right=range(1, len(head)))]


def _shares(point: SeriesPoint | SolventPoint) -> tuple[float, float, float]:
    return point.population_a, point.population_b, point.population_non_chair


def _conformers(outcome: Outcome, result: Result) -> list[str]:
    ordered = by_energy(result.conformers)
    if not ordered:
        return ["### Conformers", "", "None was found."]
    shares = fractions(result.conformers, outcome.study.settings.temperature_k)
    least_gibbs = min(conformer.gibbs_kcal_mol for conformer in ordered)
    head = ["No.", "Chair", "Ring", "Potential", "Gibbs", "Population, %", "Copies"]
    head += ["Q, Å", "theta, °", "phi, °"]
    rows = [
        [
            str(conformer.number),
            escaped(chair_words(result, conformer)),
            escaped(form_words(conformer)),
            f"{conformer.minimum.energy_kcal_mol - ordered[0].minimum.energy_kcal_mol:.2f}",
            f"{conformer.gibbs_kcal_mol - least_gibbs:.2f}",
            f"{100 * shares[conformer.number]:.1f}",
            str(conformer.copies),
            f"{conformer.shape.q_angstrom:.3f}",
            f"{conformer.shape.theta_deg:.1f}",
            f"{conformer.shape.phi_deg:.1f}",
        ]
        for conformer in ordered[:MOST_CONFORMERS_SHOWN]
    ]
    at = f"{outcome.study.settings.temperature_k:.2f} K"
    title = f"### Conformers, kcal/mol above the lowest; Gibbs and population at {at}"
    lines = [title, "", *table(head, rows, right=range(3, len(head)))]
    if len(ordered) > MOST_CONFORMERS_SHOWN:
        lines += ["", f"{len(ordered) - MOST_CONFORMERS_SHOWN} more are in conformers.csv."]
    return lines


def _contacts(result: Result) -> list[str]:
    lines = ["### Near pairs in the best conformer of each chair", ""]
    for chair in result.chairs:
        best = lowest_in_chair(result.conformers, chair.letter)
        if best is None:
            lines.append(f"- Chair {chair.letter}: no minimum was found.")
        elif best.chair != chair.letter:
            lines.append(
                f"- Chair {chair.letter}: a copy by symmetry of conformer {best.number} of chair "
                f"{best.chair}, with the same near pairs at the carbons that correspond."
            )
        else:
            lines.append(f"- Chair {chair.letter}, conformer {best.number}: {_contact_words(best)}.")
    return lines


def _contact_words(conformer: Conformer) -> str:
    words = [
        f"{c.kind} {c.carbons[0]} {escaped(c.groups[0])} / {c.carbons[1]} {escaped(c.groups[1])} "
        f"{c.distance_angstrom:.2f} Å" + ("" if c.dihedral_deg is None else f" ({c.dihedral_deg:.0f}°)")
        for c in conformer.contacts
    ]
    return "; ".join(words) or "none"


def _notes(result: Result) -> list[str]:
    told = notes(result)
    return ["### Notes", "", *(f"- {escaped(note)}" for note in told)] if told else []
