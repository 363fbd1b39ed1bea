"""What the files of a study say of some of its molecules: pieces that are put one behind the other.

So a large study is written a few molecules at a time, by several processes, and never stands in memory.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pandas as pd
import pyarrow as pa

from chairgap.page.entry import Entry, Texts, entries_of
from chairgap.page.forms import Form
from chairgap.records import Outcome
from chairgap.report.cells import csv_text
from chairgap.report.columns import arrow_bytes, schema_of
from chairgap.report.comparison_plot import Plotted, plotted
from chairgap.report.detail_tables import conformers_frame, contacts_frame, ledger_frame, positions_frame
from chairgap.report.difference_tables import solvents_frame, split_frame, temperatures_frame
from chairgap.report.digest import source_keys
from chairgap.report.gaps_table import gaps_frame
from chairgap.report.structures import sdf_text
from chairgap.report.tally import Tally, tally_of

GAPS, LEDGER, STRUCTURES = "gaps.csv", "ledger.csv", "conformers.sdf"
FRAMES: dict[str, Callable[[Outcome], pd.DataFrame]] = {
    "gaps": gaps_frame,
    "conformers": conformers_frame,
    "ledger": ledger_frame,
    "positions": positions_frame,
    "contacts": contacts_frame,
    "split": split_frame,
    "temperatures": temperatures_frame,
    "solvents": solvents_frame,
}


@dataclass(frozen=True, kw_only=True)
class OutputOptions:
    """What is written besides the texts: Parquet, and in which form the page holds its molecules."""

    parquet: bool
    form: Form


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """The rows of every CSV file without its first line, and the structures, by file; the same tables as
    Arrow record batches by file, where Parquet is written; the molecules of the page, and their points on its
    plot; the counts; and the sources of the estimates."""

    texts: dict[str, str]
    arrow: dict[str, bytes]
    page: tuple[Entry, ...]
    plotted: Plotted
    tally: Tally
    sources: tuple[str, ...]


def pieces_of(outcome: Outcome, wanted: OutputOptions) -> Pieces:
    """The pieces of everything in an outcome, refused and failed molecules included."""
    frames = {name: frame(outcome) for name, frame in FRAMES.items()}
    texts = {f"{name}.csv": csv_text(frame, header=False) for name, frame in frames.items()}
    texts[STRUCTURES] = sdf_text(outcome)
    of_the_page = Texts(
        gaps=texts[GAPS],
        ledger=texts[LEDGER],
        structures=texts[STRUCTURES],
        ledger_head=csv_text(frames["ledger"].iloc[:0]),
    )
    return Pieces(
        texts=texts,
        arrow={f"{name}.parquet": arrow_bytes(frame) for name, frame in frames.items()}
        if wanted.parquet
        else {},
        page=entries_of(outcome, wanted.form, of_the_page),
        plotted=plotted(outcome),
        tally=tally_of(outcome),
        sources=source_keys(outcome),
    )


def first_lines(outcome: Outcome) -> dict[str, str]:
    """The first line of every CSV file."""
    empty = Outcome(study=outcome.study, table=outcome.table, results=(), refused=(), failed=())
    return {f"{name}.csv": csv_text(frame(empty)) for name, frame in FRAMES.items()}


def schemas(outcome: Outcome) -> dict[str, pa.Schema]:
    """The columns of every Parquet file."""
    empty = Outcome(study=outcome.study, table=outcome.table, results=(), refused=(), failed=())
    return {f"{name}.parquet": schema_of(frame(empty)) for name, frame in FRAMES.items()}
