"""How results look in a notebook: plain HTML with tables, no script, nothing asked from the network."""

from pathlib import Path

from chairgap.notebook.drawing import drawing_of
from chairgap.page.pictures import drawings_of
from chairgap.records import Outcome, Result
from chairgap.report.answer import answer_lines, chair_line, headline_sentence
from chairgap.report.blocks import in_type
from chairgap.report.completed import (
    COMPLETED_HEAD,
    COMPLETED_TITLE,
    both_sums,
    completed_rows,
    completed_sentences,
)
from chairgap.report.digest import notes, untreated
from chairgap.report.headline import (
    PARTS_HEAD,
    anchored_words,
    headline_chair,
    main_reason,
    parts_rows,
    percent_words,
    short_standing,
    shown_reasons,
)
from chairgap.report.names import other_name_words
from chairgap.report.sentences import gap_kinds, populations_sentence, split_sentence, uncertainty_sentence
from chairgap.report.templates import environment
from chairgap.report.words import (
    MEMORY_LEGEND,
    MEMORY_SIGN,
    SIGN_STATEMENT,
    preferred_words,
    reason_words,
    short_verdict,
    term_words,
)
from chairgap.text import lines_of
from chairgap.units import kj_from_kcal, signed

MOST_SHOWN = 100
_TEMPLATES = Path(__file__).parent / "templates"


def molecule_html(outcome: Outcome) -> str:
    """One molecule: headline, the pictures of its page, gaps, ledger, reasons."""
    (result,) = outcome.results
    headline, *more = answer_lines(outcome, result)
    legend = [MEMORY_LEGEND] if any(MEMORY_SIGN in line for line in more) else []
    drawings = drawings_of(outcome, result, "counts")
    pictures = [drawn.picture for drawn in (drawings.chairs, drawings.flat, *drawings.newman)]
    gaps = [
        (kind, signed(value), signed(None if value is None else kj_from_kcal(value)))
        for kind, value in gap_kinds(outcome, result)
    ]
    sentences = (
        uncertainty_sentence(outcome, result),
        split_sentence(outcome, result),
        populations_sentence(outcome, result),
    )
    return _rendered(
        "molecule.html",
        conditions=_conditions(outcome),
        drawings=[drawing_of(picture) for picture in pictures if picture],
        molecule=result.molecule,
        systematic=other_name_words(result.molecule),
        headline=headline,
        said=[*map(chair_line, result.chairs), *more, *legend],
        row=_row(outcome, result),
        parts_head=PARTS_HEAD,
        parts=parts_rows(outcome, result),
        gaps=gaps,
        terms=[(term.chair, term.words, term_words(term)) for term in result.estimate.terms],
        missing=result.estimate.missing,
        completed_title=COMPLETED_TITLE,
        completed_head=COMPLETED_HEAD,
        completed=completed_rows(outcome, result),
        completed_sentences=completed_sentences(result),
        reasons=[reason_words(reason) for reason in shown_reasons(outcome, result)],
        sentences=[sentence for sentence in sentences if sentence],
        notes=notes(result),
    )


def study_html(outcome: Outcome) -> str:
    """The verdicts of a study as one table."""
    lost = [
        (status, refusal.name, " ".join(lines_of(refusal.message))) for status, refusal in untreated(outcome)
    ]
    return _rendered(
        "study.html",
        title=outcome.study.settings.title,
        conditions=_conditions(outcome),
        rows=[_row(outcome, result) for result in outcome.results[:MOST_SHOWN]],
        more=max(0, len(outcome.results) - MOST_SHOWN),
        lost=lost[:MOST_SHOWN],
        more_lost=max(0, len(lost) - MOST_SHOWN),
        notes=outcome.study.notes,
    )


def _row(outcome: Outcome, result: Result) -> dict[str, str]:
    """The cells of a row of verdicts; the main reason only where the two do not agree in both."""
    return {
        "name": result.molecule.name,
        "headline": headline_sentence(outcome, result),
        "preferred": headline_chair(result),
        "anchored": anchored_words(result.anchored),
        "percent": percent_words(result),
        "estimate": both_sums(result),
        "gibbs": signed(result.gaps.gibbs_kcal_mol),
        "standing": short_standing(result, outcome.study.settings),
        "prefers": preferred_words(result),
        "comparison": short_verdict(result.comparison),
        "reason": main_reason(outcome, result),
    }


def _conditions(outcome: Outcome) -> str:
    settings = outcome.study.settings
    return (
        f"{settings.force_field_or_quantum_method}, {settings.medium.name}, "
        f"{settings.temperature_k:.2f} K; A-values of table '{outcome.table.name}'; {SIGN_STATEMENT}. "
        "Energies in kcal/mol."
    )


def _rendered(template: str, **values: object) -> str:
    templates = environment(_TEMPLATES)
    templates.filters["in_type"] = in_type
    return templates.get_template(template).render(**values)
