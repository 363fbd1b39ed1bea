"""flip.md: the ring flip as a person reads it, and the lines the terminal shows."""

from collections.abc import Sequence
from dataclasses import replace
from importlib.metadata import version
from urllib.parse import quote

from chairgap.drawings.flip_levels import above_lowest, levels_of
from chairgap.drawings.lettering import as_text, form_runs
from chairgap.flip.found import FoundFlip
from chairgap.flip.report.tables import joined
from chairgap.records import Flip, FlipLevels, FlipRates
from chairgap.report.blocks import Part, paragraph, table
from chairgap.report.markdown import part_lines
from chairgap.report.markdown import table as pipe_table
from chairgap.report.words import CAUTIONS
from chairgap.text import escaped, typeset
from chairgap.units import fixed

LEVELS = (
    "Energies above the lowest minimum; a saddle is the top between the minima beside it. The highest "
    "saddle of the path is as low as it can be."
)
FLIP_TEXT = "flip.md"
_PICTURES = {"profile.svg": "Levels of the ring flip", "map.svg": "Map of the ring shapes"}
CAVEATS = (
    "Rates are transition-state theory on a force field's surface: an error of 1 kcal/mol in a barrier is a "
    "factor of 5 at room temperature.",
    "MMFF94 puts the half-chair of cyclohexane 9.6 kcal/mol (dH) above the chair; measured are 10.8 (F. A. "
    "L. Anet, A. J. R. Bourn, J. Am. Chem. Soc. 1967, 89, 760).",
    "The harmonic count fails on the flat ridge, most where it is hot: for cyclohexane at 1000 K dynamics "
    "gives dG 6.4 kcal/mol out of the chair, the harmonic sum 3.6 (our own runs); do not use the rates far "
    "above room temperature.",
    "Where the descent from a saddle runs along a mirror plane of the ring it ends on a boat, from which the "
    "ring falls to either twist-boat; both are named.",
    "Along the ridge of half-chairs and envelopes the ring turns almost freely: which of them is the saddle, "
    "and the entropy of that soft motion, are uncertain.",
)


def flip_text(flip: Flip, model: str, dynamics: Sequence[str]) -> str:
    """The report of one molecule's flip; `dynamics` are the lines of its dynamics, if there was any."""
    parts = [
        [f"# Ring flip of {escaped(flip.molecule.name)}", "", f"Written by chairgap {version('chairgap')}."],
        [
            f"{escaped(flip.molecule.numbered_groups)}; {model}, gas phase; enthalpies and Gibbs energies "
            f"(quasi-harmonic) at {flip.temperature_k:.2f} K."
        ],
        *([[f"**{escaped(flip.note)}**"]] if flip.note else []),
        part_lines(levels_part(levels_of(flip, model)), level=2),
        [*(f"- {line}" for line in rate_lines(flip))],
        *([["## Dynamics", "", *dynamics]] if dynamics else []),
        _saddles(flip),
        ["## Search", "", search_sentence(flip)],
        ["## Caveats", "", *(f"- {line}" for line in CAVEATS)],
        ["## Cautions", "", *(f"- {line}" for line in CAUTIONS[:3])],
    ]
    # The title and the groups by face are what a person types.
    title, molecule, *rest = ("\n".join(part) for part in parts if part)
    return "\n\n".join((title, molecule, *map(typeset, rest))) + "\n"


def levels_part(levels: FlipLevels) -> Part:
    """The path as a table of its minima and saddles."""
    title = "Lowest path from chair A to chair B"
    if not levels.path:
        return Part(key="path", title=title, blocks=(paragraph("None was found."),))
    head = ("Point", "Form", "E, kcal/mol", "H, kcal/mol", "G, kcal/mol")
    rows = [
        (one.kind, level_words(one.name), *(fixed(value, 2) for value in one.energies_kcal_mol))
        for one in levels.path
    ]
    return Part(key="path", title=title, blocks=(paragraph(LEVELS), table(head, rows, right=(2, 3, 4))))


def flips_lines(shown: Sequence[tuple[str, FoundFlip]], faults: Sequence[str]) -> list[str]:
    """The chapter of report.md on the flips of a study, by the name of their molecule, and on those that
    cannot be shown; nothing without either."""
    if not shown and not faults:
        return []
    lines = ["## Ring flips"]
    for name, found in shown:
        levels = found.kept.levels
        lines += ["", f"### Ring flip of {escaped(name)}", "", typeset(escaped(conditions(levels)))]
        lines += ["", *([escaped(levels.note), ""] if levels.note else [])]
        lines += part_lines(replace(levels_part(levels), title=""), level=4)
        for file, words in _PICTURES.items():
            if file in found.files:
                lines += ["", f"![{words}: {escaped(name)}]({quote(found.folder)}/{file})"]
        if FLIP_TEXT in found.files:
            lines += [
                "",
                f"Rates, all saddles and caveats: [{FLIP_TEXT}]({quote(found.folder)}/{FLIP_TEXT}).",
            ]
    return [*lines, *([""] if faults else []), *(f"- {escaped(fault)}" for fault in faults)]


def conditions(levels: FlipLevels) -> str:
    """By what the energies are, and at which temperature."""
    return (
        f"{levels.model}, gas phase; kcal/mol above the lowest minimum, E potential energy, H and G at "
        f"{levels.temperature_k:.2f} K."
    )


def level_words(name: str) -> str:
    """A level of the path on one line, its ring form as IUPAC sets it."""
    return " ".join(map(_form, name.split("\n")))


def _form(label: str) -> str:
    return as_text(form_runs(label))


def _saddles(flip: Flip) -> list[str]:
    head = ["No.", "Kind", "Joins", "Form", "E", "H", "G", "Imaginary, cm-1", "θ, °", "φ, °"]
    rows = [
        [
            str(item.number),
            item.kind,
            joined(map(_form, side) for side in item.ends),
            f"{item.shape.family} {_form(item.shape.form)}",
            *(fixed(energy, 2) for energy in above_lowest(flip, item)),
            f"{-item.saddle.frequencies_cm1[0]:.0f}i",
            f"{item.shape.theta_deg:.1f}",
            f"{item.shape.phi_deg:.1f}",
        ]
        for item in flip.saddles
    ]
    return [
        "## All saddles, kcal/mol above the lowest minimum",
        "",
        *pipe_table(head, rows, right=range(4, 10)),
    ]


def rate_lines(flip: Flip) -> list[str]:
    """Rate constants with their directions; a line that says why there are none."""
    rates = flip.rates
    if rates is None:
        return ["No rates: both chairs and saddles out of both are needed."]
    return [
        f"Chair A to chair B: k = {rates.a_to_b_per_s:.2g} per second; chair B to chair A: "
        f"{rates.b_to_a_per_s:.2g} per second, at {rates.temperature_k:.2f} K.",
        f"Out of chair A to any twist-boat: {rates.leave_a_per_s:.2g} per second over dG = "
        f"{rates.barrier_a_gibbs_kcal_mol:.2f} kcal/mol; out of chair B: {rates.leave_b_per_s:.2g} per "
        f"second over {rates.barrier_b_gibbs_kcal_mol:.2f} kcal/mol (all saddles counted). {_back(rates)}",
    ]


def _back(rates: FlipRates) -> str:
    share = rates.a_to_b_per_s / rates.leave_a_per_s if rates.leave_a_per_s else 0.0
    return f"Of what leaves chair A, {100.0 * share:.0f} % arrives at chair B; the rest turns back."


def search_sentence(flip: Flip) -> str:
    """What was tried, and what became of it."""
    search = flip.search
    return (
        f"{len(flip.minima)} labelled minima, {len(flip.saddles)} saddles between ring forms; "
        f"{search.starts} starts of saddle searches: {search.repeats} repeats, {search.not_converged} did "
        f"not converge, {search.no_ring_change} turned only a group, {search.stereo_changed} changed the "
        f"configuration, {search.ends_unknown} with an end that could not be followed."
    )
