"""Pieces put one behind the other, in the files of a study."""

import shutil
from contextlib import ExitStack, closing
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO, TYPE_CHECKING

from chairgap.page.flips import FlipsOfPage
from chairgap.page.whole import Frame, Molecules
from chairgap.report.by_molecule import ByMolecule
from chairgap.report.citations import Cited
from chairgap.report.comparison_plot import Plotted
from chairgap.report.overview import Overview
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.study_output.pieces import OutputOptions, Pieces

if TYPE_CHECKING:
    from chairgap.report.parquet import ParquetFile

STRUCTURES, STRUCTURES_PACKED = "conformers.sdf", "conformers.sdf.gz"


class Appending:
    """The files of a study in a folder, open until the stack is left, and what grows with them: what the
    report says of each molecule, the overview, the points of the plot, what is to be cited. The molecules of
    the page wait in a file without a name until its head is known."""

    def __init__(self, folder: Path, wanted: OutputOptions, flips: FlipsOfPage, opened: ExitStack):
        self._texts = {
            f"{name}.csv": opened.enter_context((folder / f"{name}.csv").open("wb")) for name in STUDY_TABLES
        }
        for name, table in STUDY_TABLES.items():
            self._texts[f"{name}.csv"].write(table.first_line.encode())
        structures = STRUCTURES if wanted.page else STRUCTURES_PACKED
        self._structures = opened.enter_context((folder / structures).open("wb"))
        self._tables = _parquet_files(folder, opened) if wanted.parquet else {}
        self._molecules, self._rows = Molecules(wanted.form, flips), list[str]()
        self._sections: IO[bytes] = opened.enter_context(TemporaryFile(dir=folder))  # noqa: SIM115
        self.report: list[ByMolecule] = []
        self.plotted: list[Plotted] = []
        self.overview, self.cited = Overview(), Cited()

    def add(self, piece: Pieces) -> None:
        """The next molecules."""
        for name, text in piece.texts.items():
            self._texts[name].write(text.encode())
        self._structures.write(piece.structures)
        for name, rows in piece.rows.items():
            self._tables[name].append(rows)
        page_rows, sections = self._molecules.add(piece.page)
        self._rows.append(page_rows)
        self._sections.write(sections.encode())
        self.report.append(piece.report)
        self.plotted.append(piece.plotted)
        self.overview, self.cited = self.overview + piece.overview, self.cited + piece.cited

    def write_page(self, file: Path, frame: Frame) -> None:
        """The page, when all molecules are there."""
        with file.open("wb") as page:
            page.write("".join((frame.before, *self._rows, self._molecules.rest(), frame.between)).encode())
            self._sections.seek(0)
            shutil.copyfileobj(self._sections, page)
            page.write(frame.after.encode())


def _parquet_files(folder: Path, opened: ExitStack) -> dict[str, "ParquetFile"]:
    # Here and not above: pyarrow is an optional extra.
    from chairgap.report.parquet import ParquetFile

    return {
        name: opened.enter_context(closing(ParquetFile(folder / f"{name}.parquet", table)))
        for name, table in STUDY_TABLES.items()
    }
