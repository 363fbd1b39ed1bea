"""What the files of a study say of some of its molecules: pieces that are put one behind the other.

So a large study is written a few molecules at a time, by several processes, and never stands in memory.
"""

from dataclasses import dataclass

from chairgap.page.entry import Entry, Texts, entries_of
from chairgap.page.forms import Form
from chairgap.records import Outcome
from chairgap.report.citations import UsedValue, source_keys, used_values
from chairgap.report.columns import Cells
from chairgap.report.comparison_plot import Plotted, plotted
from chairgap.report.structures import sdf_text
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.tally import Tally, tally_of

GAPS, LEDGER, STRUCTURES = "gaps.csv", "ledger.csv", "conformers.sdf"


@dataclass(frozen=True, kw_only=True)
class OutputOptions:
    """What is written besides the texts: Parquet, and in which form the page holds its molecules."""

    parquet: bool
    form: Form


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """The rows of every CSV file without its first line, and the structures, by file; the same rows as values
    by table, where Parquet is written; the molecules of the page, and their points on its plot; the counts;
    the keys of its sources, and the tabulated values that the estimates took."""

    texts: dict[str, str]
    rows: dict[str, tuple[Cells, ...]]
    page: tuple[Entry, ...]
    plotted: Plotted
    tally: Tally
    sources: tuple[str, ...]
    values: tuple[UsedValue, ...]


def pieces_of(outcome: Outcome, wanted: OutputOptions) -> Pieces:
    """The pieces of everything in an outcome, refused and failed molecules included."""
    cells = {name: table.cells(outcome) for name, table in STUDY_TABLES.items()}
    texts = {f"{name}.csv": STUDY_TABLES[name].csv_lines(rows) for name, rows in cells.items()}
    texts[STRUCTURES] = sdf_text(outcome)
    of_the_page = Texts(
        gaps=texts[GAPS],
        ledger=texts[LEDGER],
        structures=texts[STRUCTURES],
        ledger_head=STUDY_TABLES["ledger"].first_line,
    )
    in_values = cells if wanted.parquet else {}
    return Pieces(
        texts=texts,
        rows={name: STUDY_TABLES[name].rounded(rows) for name, rows in in_values.items()},
        page=entries_of(outcome, wanted.form, of_the_page),
        plotted=plotted(outcome),
        tally=tally_of(outcome),
        sources=source_keys(outcome),
        values=used_values(outcome),
    )
