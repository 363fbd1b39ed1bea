"""What the files of a study say of some of its molecules: pieces that are put one behind the other.

So a study is written a few molecules at a time, by several processes, and never stands in memory.
"""

import zlib
from dataclasses import dataclass

from chairgap.page.entry import Entry, Texts, entries_of
from chairgap.page.forms import Form, form_of
from chairgap.records import Outcome
from chairgap.report.by_molecule import ByMolecule, by_molecule
from chairgap.report.citations import Cited, cited_of
from chairgap.report.columns import Cells
from chairgap.report.comparison_plot import Plotted, plotted
from chairgap.report.overview import Overview, overview_rows
from chairgap.report.structures import sdf_text
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.tally import tally_of

GAPS = "gaps.csv"
# A study of more molecules is shown in counts, and written as Parquet besides, unless it says otherwise.
MOST_IN_FULL = 200
_GZIP = 16 + zlib.MAX_WBITS  # for zlib: with the head and foot of RFC 1952


@dataclass(frozen=True, kw_only=True)
class OutputOptions:
    """What is written of a study of so many treated molecules: Parquet besides CSV or not, the page with its
    drawings or tables only."""

    molecules: int
    parquet: bool
    page: bool = True

    @property
    def form(self) -> Form:
        """In which form the page holds its molecules."""
        return form_of(self.molecules)

    @property
    def in_full(self) -> bool:
        """Whether report and overview have every molecule."""
        return self.molecules <= MOST_IN_FULL


@dataclass(frozen=True, kw_only=True)
class Pieces:
    """The rows of every CSV file without its first line, by file; the structures as their file holds them;
    the same rows as values by table, where Parquet is written; the molecules of the page, and their points on
    its plot; what the report says of them; the overview; what they are to be cited by."""

    texts: dict[str, str]
    structures: bytes
    rows: dict[str, tuple[Cells, ...]]
    page: tuple[Entry, ...]
    plotted: Plotted
    report: ByMolecule
    overview: Overview
    cited: Cited


def pieces_of(outcome: Outcome, wanted: OutputOptions, *, first: int = 1) -> Pieces:
    """The pieces of everything in an outcome, refused and failed molecules included; first is the number of
    its first result in the study."""
    cells = {name: table.cells(outcome) for name, table in STUDY_TABLES.items()}
    texts = {f"{name}.csv": STUDY_TABLES[name].csv_lines(rows) for name, rows in cells.items()}
    structures = sdf_text(outcome)
    in_values = cells if wanted.parquet else {}
    alone = wanted.molecules == 1
    return Pieces(
        texts=texts,
        structures=structures.encode() if wanted.page else _gzipped(structures.encode()),
        rows={name: STUDY_TABLES[name].rounded(rows) for name, rows in in_values.items()},
        page=_entries(outcome, wanted, texts, structures) if wanted.page else (),
        plotted=plotted(outcome) if wanted.page else Plotted(),
        report=by_molecule(outcome, first=first, alone=alone) if wanted.in_full else ByMolecule(),
        overview=Overview(tally=tally_of(outcome), rows=overview_rows(outcome) if wanted.in_full else ()),
        cited=cited_of(outcome),
    )


def _entries(
    outcome: Outcome, wanted: OutputOptions, texts: dict[str, str], structures: str
) -> tuple[Entry, ...]:
    of_the_page = Texts(
        gaps=texts[GAPS],
        ledger=texts["ledger.csv"],
        structures=structures,
        ledger_head=STUDY_TABLES["ledger"].first_line,
    )
    return entries_of(outcome, wanted.form, of_the_page)


def _gzipped(content: bytes) -> bytes:
    """A member of a gzip file (RFC 1952: members may stand one behind the other), without name and time."""
    packing = zlib.compressobj(level=6, wbits=_GZIP)
    return packing.compress(content) + packing.flush()
