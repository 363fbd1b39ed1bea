"""The whole page, put together as its molecules come: rows first, then sections, between head and foot."""

import heapq
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from chairgap.drawings.picture import STYLE
from chairgap.page.entry import Entry
from chairgap.page.flips import FlipsOfPage
from chairgap.page.forms import MOST_ROWS_IN_COUNTS, Form
from chairgap.page.numbers import constants
from chairgap.page.packing import packed
from chairgap.page.pictures import Drawing, drawn
from chairgap.page.rendering import library, policy, rendered, script, style
from chairgap.records import Outcome
from chairgap.report.blocks import Part
from chairgap.report.columns import GAP_SIGN, Column
from chairgap.report.comparison_plot import Plotted, plot_picture
from chairgap.report.digest import untreated
from chairgap.report.manifest import versions
from chairgap.report.study_tables import label_of, labelled
from chairgap.report.tally import Tally
from chairgap.report.text import (
    VERDICTS_TITLE,
    cautions,
    conditions,
    counts,
    how_to_read,
    written_by,
)
from chairgap.report.trust import trust_part
from chairgap.report.words import VERDICTS
from chairgap.text import lines_of

_ROWS, _SECTIONS = "<!--rows-->", "<!--sections-->"


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The page without its molecules: before the rows, between rows and sections, after the sections."""

    before: str
    between: str
    after: str


class Molecules:
    """The molecules of a page, written as they come in the order of the study. In counts the rows wait until
    all are known, and only the largest differences are kept."""

    def __init__(self, form: Form, flips: FlipsOfPage):
        self._form = form
        self._flips = flips
        self._number = 0
        self._largest: list[tuple[float, int, Entry]] = []

    def add(self, entries: Iterable[Entry]) -> tuple[str, str]:
        """The rows and the sections of the next molecules."""
        rows, sections = [], []
        for entry in entries:
            self._number += 1
            if self._form == "counts":
                self._keep(entry)
                continue
            rows.append(rendered("row.html", entry=entry, number=self._number, form=self._form))
            sections.append(self._section(entry))
        return "".join(rows), "".join(sections)

    def _section(self, entry: Entry) -> str:
        flip = self._flips.of(entry.molecule, entry.row.name, self._number)
        return rendered("molecule.html", entry=entry, number=self._number, form=self._form, flip=flip)

    def _keep(self, entry: Entry) -> None:
        # Of equal differences the one that came first is kept and shown first.
        item = (abs(entry.row.farthest_kcal_mol or 0.0), -self._number, entry)
        if len(self._largest) < MOST_ROWS_IN_COUNTS:
            heapq.heappush(self._largest, item)
        else:
            heapq.heappushpop(self._largest, item)

    def rest(self) -> str:
        """The rows that waited."""
        largest = (entry for _, _, entry in sorted(self._largest, key=lambda item: item[:2], reverse=True))
        return "".join(
            rendered("row.html", entry=entry, number=number, form=self._form)
            for number, entry in enumerate(largest, 1)
        )


@dataclass(frozen=True, kw_only=True)
class PageSummary:
    """What the page says of the whole study: its counts, the points of its plot, the sources of its
    estimates, the first line of gaps.csv with its rows of molecules that were not treated, the files beside
    it, and a sentence for each flip that is not shown."""

    tally: Tally
    plotted: Plotted
    sources: Part
    gaps: tuple[str, str]
    files: tuple[str, ...]
    flip_faults: tuple[str, ...]


def frame_of(outcome: Outcome, form: Form, summary: PageSummary) -> Frame:
    """Head and foot of the page."""
    settings = outcome.study.settings
    whole = rendered(
        "page.html",
        outcome=outcome,
        settings=settings,
        form=form,
        policy=policy(),
        style=style(),
        picture_style=STYLE,
        library=library(),
        script=script(),
        heads=_heads(outcome, form),
        title=VERDICTS_TITLE,
        verdicts=VERDICTS,
        standing=summary.tally.standing,
        molecules=summary.tally.molecules,
        plot=_plot(outcome, summary.plotted),
        conditions=conditions(outcome),
        how_to_read=how_to_read(outcome),
        counts=counts(outcome, summary.tally),
        cautions=cautions(),
        trust=trust_part(outcome.study.tables.scorecard),
        sources=summary.sources,
        untreated=[(word, refusal, lines_of(refusal.message)) for word, refusal in untreated(outcome)],
        versions=versions(),
        written_by=written_by(),
        files=summary.files,
        flip_faults=summary.flip_faults,
        constants=constants(outcome),
        gaps=packed({"head": summary.gaps[0], "rest": summary.gaps[1]}),
        rows_go_here=_ROWS,
        sections_go_here=_SECTIONS,
        most_rows=MOST_ROWS_IN_COUNTS,
    )
    before, rest = whole.split(_ROWS)
    between, after = rest.split(_SECTIONS)
    return Frame(before=before, between=between, after=after)


def _plot(outcome: Outcome, shown: Plotted) -> Drawing | None:
    """None for fewer than two molecules, which a plot says nothing of."""
    if len(shown.points) < 2:
        return None
    temperature_k = outcome.study.settings.temperature_k
    title = "Computed Gibbs gap against hand estimate"
    return drawn("comparison", title, lambda: plot_picture(shown, temperature_k))


@dataclass(frozen=True, kw_only=True)
class Head:
    """The head of a column of the table of verdicts: its words, whether it holds numbers, and with what it is
    shown: always (''), on wide screens, once the slider was moved (live), or when asked for (more)."""

    words: str
    kind: Literal["text", "number"] = "text"
    shown: Literal["", "wide", "live", "more"] = ""


def _heads(outcome: Outcome, form: Form) -> tuple[Head, ...]:
    """In the order of the cells in row.html."""
    settings = outcome.study.settings
    _, estimate, gibbs, *others = labelled()
    model, at = settings.force_field_or_quantum_method, f"{settings.temperature_k:.2f} K"
    sides = ("Chair A", "Chair B", f"{settings.model} prefers")
    live = ("At the slider, G(B) - G(A), kcal/mol", "At the slider, chair A, %") if form != "counts" else ()
    return (
        Head(words="Molecule"),
        Head(words="Chair"),
        Head(words="Gap G(B) - G(A), kcal/mol", kind="number"),
        Head(words="Percent (range)", kind="number"),
        Head(words="Verdict"),
        Head(words=_directed(estimate, "Hand sum, kcal/mol"), kind="number", shown="wide"),
        Head(words=_directed(gibbs, f"{model}, {at}, kcal/mol"), kind="number", shown="wide"),
        Head(words="Main reason"),
        *(Head(words=words, kind="number", shown="live") for words in live),
        *(Head(words=_directed(it, label_of(it, outcome)), kind="number", shown="more") for it in others),
        *(Head(words=words, shown="more") for words in sides),
    )


def _directed(column: Column[Any], label: str) -> str:
    """The head of a column; that of a gap with its direction."""
    if column.sign != GAP_SIGN:
        return label
    name, unit = label.rsplit(", ", 1)
    return f"{name}, B - A, {unit}"
