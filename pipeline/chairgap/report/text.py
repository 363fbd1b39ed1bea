"""report.md: the study as a person reads it, and the parts of it that the page says as well."""

from collections.abc import Iterable, Sequence
from importlib.metadata import version

from chairgap.minimise.compiled.library import engine_used
from chairgap.records import Outcome, Settings
from chairgap.report.answer import answers_part
from chairgap.report.blocks import AsGiven, Block, Bullets, Own, Part, bullets, paragraph, table
from chairgap.report.by_molecule import ByMolecule, verdict_numbers
from chairgap.report.digest import untreated
from chairgap.report.markdown import part_lines
from chairgap.report.study_tables import label_of
from chairgap.report.tally import Tally
from chairgap.report.words import (
    CAUTIONS,
    SIGN_STATEMENT,
    VERDICTS,
)
from chairgap.text import escaped, lines_of
from chairgap.units import fixed, signed

MOST_UNTREATED = 50
TABLES_ONLY = (
    "Tables only, as asked for (page = false in [output], or --no-page): no page and no drawings, and the "
    "structures packed, in conformers.sdf.gz."
)
VERDICTS_TITLE = "Preferred chairs, and how hand sum and model stand to them"
MARKS = f"Verdicts: {'; '.join(f'{it.mark} {it.counted}: {it.meaning}' for it in VERDICTS.values())}."
_LEVEL = 2
_ENGINES = {"compiled": "compiled code of chairgap", "rdkit": "RDKit", "openmm": "OpenMM"}


def report_text(outcome: Outcome, each: ByMolecule, cited: Part, flips: Sequence[str] = ()) -> str:
    """The whole report, with what it says of each molecule, the lines of its chapter on ring flips, and how
    to cite it (`cite_part`)."""
    parts = [
        _title(outcome),
        _lines(each.alone or answers_part(each.answers, outcome.study.settings)),
        _lines(_verdicts(outcome, each)),
        _lines(how_to_read(outcome)),
        _lines(conditions(outcome)),
        *([section] for section in each.sections),
        flips,
        _untreated(outcome),
        _lines(cautions()),
        _lines(cited),
    ]
    return _text(parts)


def summary_text(
    outcome: Outcome, tally: Tally, cited: Part, files: Iterable[str], flips: Sequence[str] = ()
) -> str:
    """The report of a study too large to be read molecule by molecule: counts, the largest disagreements,
    where the rest stands, the lines on ring flips, and how to cite it (`cite_part`)."""
    parts = [
        _title(outcome),
        _lines(counts(outcome, tally)),
        _lines(_largest(tally)),
        _lines(how_to_read(outcome)),
        _lines(conditions(outcome)),
        ["## Every molecule", "", *(f"- [{name}]({name})" for name in files)],
        flips,
        _untreated(outcome, most=MOST_UNTREATED),
        _lines(cautions()),
        _lines(cited),
    ]
    return _text(parts)


def written_by() -> str:
    return f"Written by chairgap {version('chairgap')}."


def _title(outcome: Outcome) -> list[str]:
    return [f"# {escaped(outcome.study.settings.title)}", "", written_by()]


def _lines(part: Part) -> list[str]:
    return part_lines(part, level=_LEVEL) if part.blocks else []


def _text(parts: Iterable[Sequence[str]]) -> str:
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def counts(outcome: Outcome, tally: Tally) -> Part:
    """The study in numbers of molecules."""
    counts = paragraph(
        f"{tally.molecules} molecules treated, with {tally.conformers} conformers; {len(outcome.refused)} "
        f"refused, {len(outcome.failed)} failed. The engines differ for {tally.engines_differ}; the "
        f"starts of {tally.sampled} were sampled, those of the others are complete."
    )
    blocks: list[Block] = [counts]
    for title, counted in (
        ("Verdict", tally.verdicts),
        ("Preferred chair", tally.preferred),
        ("First reason where they do not agree", tally.reasons),
    ):
        rows = [[word, str(count), f"{100 * count / tally.molecules:.1f}"] for word, count in counted]
        blocks += [table([title, "Molecules", "%"], rows, right=(1, 2))] if rows else []
    return Part(key="counts", title=VERDICTS_TITLE, blocks=tuple(blocks))


def _largest(tally: Tally) -> Part:
    head = ["Molecule", "Preferred chair", "Anchored gap, kcal/mol", "Estimate, kcal/mol"]
    head += ["Gibbs gap, kcal/mol", "Farthest from the anchored gap, kcal/mol", "Verdict", "First reason"]
    rows = [
        [
            AsGiven(item.name),
            item.prefers,
            item.anchored,
            item.estimate,
            item.gibbs,
            signed(item.farthest_kcal_mol),
            item.verdict,
            item.reason,
        ]
        for item in tally.largest
    ]
    sign = f"All gaps: {SIGN_STATEMENT}. The rest is in gaps.csv, by hand_sum_stands and model_stands."
    return Part(
        key="largest",
        title="The largest disagreements",
        blocks=(paragraph(Own(sign)), table(head, rows, right=(2, 3, 4, 5))) if rows else (),
    )


def conditions(outcome: Outcome) -> Part:
    """Model, temperature, table, search and thresholds of the study, and remarks on it."""
    settings, search = outcome.study.settings, outcome.study.settings.search
    items = [
        _model_line(settings),
        f"Temperature {settings.temperature_k:.2f} K for ensemble and Gibbs gaps, populations and K. "
        "Tabulated A-values are for the temperature and solvent of their source.",
        *_level_lines(settings),
        f"A-value table: {outcome.table.name} ({len(outcome.table.a_values)} groups, "
        f"{len(outcome.table.interactions)} interactions).",
        *pairs_lines(settings),
        f"Search: effort {search.effort}, at most {search.most_starts} starts for a molecule, conformers "
        f"up to {search.window_kcal_mol:.1f} kcal/mol above the lowest, seed {search.seed}.",
        f"Undecided below {settings.undecided_below_kcal_mol:.2f} kcal/mol; sizes agree within "
        f"{settings.size_tolerance_kcal_mol:.2f} kcal/mol.",
        *([] if settings.page else [TABLES_ONLY]),
    ]
    return Part(
        key="conditions",
        title="Conditions",
        blocks=bullets([*items, *(f"Note: {note}" for note in outcome.study.notes)]),
    )


def _level_lines(settings: Settings) -> list[str]:
    """By what the pairs are computed that no table has, where the study says so."""
    if settings.pairs_by == "none":
        return []
    return [
        f"Pairs that the shipped table does not cover: RI-{settings.pairs_by}, frozen core, gas phase, at "
        "the lowest conformers of MMFF94 minimised again with GFN2-xTB, with MMFF94's thermal parts."
    ]


def pairs_lines(settings: Settings) -> list[str]:
    """What a study asks for and declares of pairs; nothing where it does neither."""
    lines = (
        ["Pairs without a published value are computed: completed sum beside the hand sum as taught."]
        if settings.pairs == "completed"
        else []
    )
    return lines + [
        f"Declared by you: {pair.group_1}/{pair.group_2}, {pair.relation}, adds "
        f"{signed(pair.value_kcal_mol)} +- {fixed(pair.uncertainty_kcal_mol, 2)} kcal/mol to "
        f"G({pair.group_1} axial) - G({pair.group_1} equatorial), "
        f"{pair.medium or 'medium not stated'}; source: {pair.source}."
        for pair in settings.declared_pairs
    ]


def _model_line(settings: Settings) -> str:
    searched = (
        f"force field {settings.force_field}, gas phase, minimised with {_ENGINES[engine_used(settings)]}"
    )
    if settings.quantum_method != "none":
        return f"Energies by {settings.quantum_method}, gas phase, at the minima found with {searched}."
    if not settings.medium.is_gas:
        return (
            f"Energies by {settings.force_field} in {settings.medium.name} (generalised Born, "
            f"dielectric constant {settings.medium.dielectric:.4g}), at the minima found with {searched}."
        )
    return f"{searched[0].upper()}{searched[1:]}."


def how_to_read(outcome: Outcome) -> Part:
    """What the sign of a gap means."""
    limit = outcome.study.settings.undecided_below_kcal_mol
    return Part(
        key="how-to-read",
        title="How to read the sign",
        blocks=(
            paragraph(
                Own(
                    f"Every gap is a difference between the two chairs of one molecule: {SIGN_STATEMENT}; "
                    "negative means that chair B is preferred. Each chair is named by its groups: `1a 2e` "
                    "has the group on ring carbon 1 axial and the one on carbon 2 equatorial. Chair A is the "
                    "one with fewer axial groups (on a tie the one whose axial groups have the smaller mass, "
                    "then the one whose first group is equatorial, in a numbering that does not depend on "
                    "yours), so the gap of a single group has the sign of its A-value, "
                    "G(axial) - G(equatorial)."
                )
            ),
            paragraph(
                Own(
                    "The answer is the **anchored gap**: the measured A-values of the single groups, and a "
                    "computed gap only for what groups do to each other. Its medium is that of its parts: "
                    "A-values are mostly of apolar solutions (CFCl3, CS2, CCl4), the shipped pairs of the "
                    "gas phase. Hand sum and model agree with it when they lie within its uncertainty or "
                    "the size tolerance, whichever is wider."
                )
            ),
            paragraph(
                "The estimate is a Gibbs energy from tabulated values and is compared with the computed "
                "Gibbs gap. The potential gap compares only the best conformer of each chair, without any "
                f"effect of temperature. A gap smaller than {limit:.2f} kcal/mol is called undecided: "
                "neither chair is preferred."
            ),
        ),
    )


def _verdicts(outcome: Outcome, each: ByMolecule) -> Part:
    title = VERDICTS_TITLE
    if not each.verdicts:
        nothing = paragraph("No molecule was treated; the reasons are below.")
        return Part(key="verdicts", title=title, blocks=(nothing,))
    sign = Own(f"All gaps: {SIGN_STATEMENT}. {MARKS}")
    body = table(verdict_head(outcome), each.verdicts, right=(2, 3, 7, 8, 9))
    return Part(key="verdicts", title=title, blocks=(paragraph(sign), body))


def verdict_head(outcome: Outcome) -> tuple[str, ...]:
    """The columns of the table of verdicts."""
    return (
        "Molecule",
        "Preferred chair",
        "Anchored gap, kcal/mol",
        "Percent (range)",
        "Verdict",
        "Chair A",
        "Chair B",
        *(label_of(column, outcome) for column in verdict_numbers()),
        "Computation prefers",
        "Estimate and computation",
        "Reasons and remarks",
    )


def _untreated(outcome: Outcome, most: int | None = None) -> list[str]:
    lost = untreated(outcome)
    if not lost:
        return []
    lines = ["## Refused and failed molecules", ""]
    if most is not None and len(lost) > most:
        lines += [f"The first {most} of {len(lost)}; all are in gaps.csv.", ""]
    for status, refusal in lost[:most]:
        where = f", {refusal.place}" if str(refusal.place) else ""
        message = "\\\n  ".join(escaped(line) for line in lines_of(refusal.message))
        lines.append(f"- {escaped(refusal.name)} ({status}{escaped(where)})\\\n  {message}")
    return lines


def cautions() -> Part:
    return Part(key="cautions", title="Cautions", blocks=(Bullets(items=tuple(map(Own, CAUTIONS))),))
