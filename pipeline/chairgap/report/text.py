"""report.md: the study as a person reads it."""

from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version

from chairgap.estimate.sources import Source
from chairgap.records import Outcome, Result, Settings
from chairgap.report.digest import source_keys, untreated
from chairgap.report.markdown import escaped, table
from chairgap.report.sections import molecule_section
from chairgap.report.table_views import citation
from chairgap.report.tally import Tally
from chairgap.report.words import (
    CAUTIONS,
    SIGN_STATEMENT,
    estimate_words,
    lines_of,
    preferred_words,
    reasons_in_words,
    signed,
    verdict_words,
)

MOST_UNTREATED = 50


def report_text(outcome: Outcome, sources: Mapping[str, Source]) -> str:
    """The whole report. `sources` gives the literature source for each key of the tables."""
    parts = [
        [f"# {escaped(outcome.study.settings.title)}", "", f"Written by chairgap {version('chairgap')}."],
        _conditions(outcome),
        _how_to_read(outcome),
        _verdicts(outcome),
        *(molecule_section(outcome, number, result) for number, result in enumerate(outcome.results, 1)),
        _untreated(outcome),
        ["## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)],
        _sources(source_keys(outcome), sources),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def summary_text(
    outcome: Outcome, tally: Tally, keys: Sequence[str], files: Iterable[str], sources: Mapping[str, Source]
) -> str:
    """The report of a study too large to be read molecule by molecule: counts, the largest disagreements, and
    where the rest stands. `keys` names the sources of the estimates."""
    parts = [
        [f"# {escaped(outcome.study.settings.title)}", "", f"Written by chairgap {version('chairgap')}."],
        _conditions(outcome),
        _how_to_read(outcome),
        _counts(outcome, tally),
        _largest(tally),
        ["## Every molecule", "", *(f"- [{name}]({name})" for name in files)],
        _untreated(outcome, most=MOST_UNTREATED),
        ["## Cautions", "", *(f"- {caution}" for caution in CAUTIONS)],
        _sources(keys, sources),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _counts(outcome: Outcome, tally: Tally) -> list[str]:
    lines = [
        "## Estimate and computation",
        "",
        f"{tally.molecules} molecules treated, with {tally.conformers} conformers; {len(outcome.refused)} "
        f"refused, {len(outcome.failed)} failed. The two engines differ for {tally.engines_differ}; the "
        f"starts of {tally.sampled} were sampled, of the others walked completely.",
    ]
    for title, counted in (
        ("Verdict", tally.verdicts),
        ("Computation prefers", tally.preferred),
        ("First reason where they do not agree", tally.reasons),
    ):
        rows = [
            [escaped(word), str(count), f"{100 * count / tally.molecules:.1f}"] for word, count in counted
        ]
        lines += ["", *table([title, "Molecules", "%"], rows, right=(1, 2))] if rows else []
    return lines


def _largest(tally: Tally) -> list[str]:
    if not tally.largest:
        return []
    head = ["Molecule", "Computation prefers", "Estimate, kcal/mol", "Gibbs gap, kcal/mol"]
    head += ["Computed - estimate, kcal/mol", "Verdict", "First reason"]
    rows = [
        [
            escaped(item.name),
            escaped(item.prefers),
            item.estimate,
            item.gibbs,
            signed(item.difference_kcal_mol),
            item.verdict,
            escaped(item.reason),
        ]
        for item in tally.largest
    ]
    sign = f"All gaps: {SIGN_STATEMENT}. The rest is in gaps.csv, by size_verdict and sign_verdict."
    return ["## The largest disagreements", "", sign, "", *table(head, rows, right=(2, 3, 4))]


def _conditions(outcome: Outcome) -> list[str]:
    settings, search = outcome.study.settings, outcome.study.settings.search
    lines = [
        "## Conditions",
        "",
        f"- {_model_line(settings)}",
        f"- Temperature {settings.temperature_k:.2f} K for ensemble and Gibbs gaps, populations and K. "
        "Tabulated A-values keep the temperature and solvent of their source.",
        f"- A-value table: {escaped(outcome.table.name)} ({len(outcome.table.a_values)} groups, "
        f"{len(outcome.table.interactions)} interactions).",
        f"- Search: effort {search.effort}, at most {search.most_starts} starts for a molecule, conformers "
        f"up to {search.window_kcal_mol:.1f} kcal/mol above the lowest, seed {search.seed}.",
        f"- Undecided below {settings.undecided_below_kcal_mol:.2f} kcal/mol; sizes agree within "
        f"{settings.size_tolerance_kcal_mol:.2f} kcal/mol.",
    ]
    return [*lines, *(f"- Note: {escaped(note)}" for note in outcome.study.notes)]


def _model_line(settings: Settings) -> str:
    searched = f"force field {settings.force_field}, gas phase, minimised with {settings.engine}"
    if settings.quantum != "none":
        return f"Energies by {settings.quantum}, gas phase, at the minima found with {searched}."
    if not settings.medium.is_gas:
        return (
            f"Energies by {settings.force_field} in {escaped(settings.medium.name)} (generalised Born, "
            f"dielectric constant {settings.medium.dielectric:.4g}), at the minima found with {searched}."
        )
    return f"{searched[0].upper()}{searched[1:]}."


def _how_to_read(outcome: Outcome) -> list[str]:
    limit = outcome.study.settings.undecided_below_kcal_mol
    return [
        "## How to read the sign",
        "",
        f"Every gap is a difference between the two chairs of one molecule: {SIGN_STATEMENT}; negative "
        "means that chair B is preferred. Each chair is named by its groups: `1a 2e` has the group on ring "
        "carbon 1 axial and the one on carbon 2 equatorial. Chair A is the one with fewer axial groups "
        "(on a tie the one whose axial groups weigh less, then the one whose first group is equatorial), so "
        "the gap of a single group has the sign of its A-value, G(axial) - G(equatorial).",
        "",
        "The estimate is a Gibbs energy from tabulated values and stands beside the computed Gibbs gap. The "
        "potential gap compares only the best conformer of each chair and knows no temperature. A gap "
        f"smaller than {limit:.2f} kcal/mol is called undecided: it names no winner.",
    ]


def _verdicts(outcome: Outcome) -> list[str]:
    if not outcome.results:
        return ["## Estimate and computation", "", "No molecule was treated; the reasons stand below."]
    head = [
        "Molecule",
        "Chair A",
        "Chair B",
        "Estimate, kcal/mol",
        f"Gibbs gap at {outcome.study.settings.temperature_k:.2f} K, kcal/mol",
        "Potential gap, kcal/mol",
        "Computation prefers",
        "Verdict",
        "Reasons and remarks",
    ]
    rows = [_verdict_row(result) for result in outcome.results]
    sign = f"All gaps: {SIGN_STATEMENT}. Marks: + agrees, x disagrees, ? undecided, - not comparable."
    return ["## Estimate and computation", "", sign, "", *table(head, rows, right=(3, 4, 5))]


def _verdict_row(result: Result) -> list[str]:
    chair_a, chair_b = result.chairs
    return [
        escaped(result.molecule.name),
        escaped(chair_a.name),
        escaped(chair_b.name),
        estimate_words(result),
        signed(result.gaps.gibbs_kcal_mol),
        signed(result.gaps.potential_kcal_mol),
        escaped(preferred_words(result)),
        "; ".join(verdict_words(result.comparison)),
        escaped(reasons_in_words(result.comparison.reasons)),
    ]


def _untreated(outcome: Outcome, most: int | None = None) -> list[str]:
    told = untreated(outcome)
    if not told:
        return []
    lines = ["## Refused and failed molecules", ""]
    if most is not None and len(told) > most:
        lines += [f"The first {most} of {len(told)}; all are in gaps.csv.", ""]
    for status, refusal in told[:most]:
        where = f", {refusal.place}" if str(refusal.place) else ""
        message = "\\\n  ".join(escaped(line) for line in lines_of(refusal.message))
        lines.append(f"- {escaped(refusal.name)} ({status}{escaped(where)})\\\n  {message}")
    return lines


def _sources(keys: Sequence[str], sources: Mapping[str, Source]) -> list[str]:
    if not keys:
        return []
    return ["## Sources of the estimates", "", *(f"- {escaped(citation(key, sources))}" for key in keys)]
