"""Writes the outcome of a study into a folder."""

import shutil
from collections.abc import Iterable
from contextlib import ExitStack, closing
from datetime import UTC, datetime
from importlib.util import find_spec
from itertools import chain
from pathlib import Path
from tempfile import TemporaryFile
from typing import TYPE_CHECKING

from chairgap.errors import InputError, Place
from chairgap.files import MANIFEST, STUDY, OutputFolder, check_output, checksum, staging
from chairgap.flip.found import find_flips
from chairgap.flip.report.text import flips_lines
from chairgap.page.flips import FlipsOfPage
from chairgap.page.forms import form_of
from chairgap.page.whole import Molecules, PageSummary, frame_of
from chairgap.records import Outcome, Study
from chairgap.report.blocks import Part
from chairgap.report.citations import BIBTEX, UsedValue, bibtex_text, cite_part
from chairgap.report.comparison_plot import Plotted
from chairgap.report.manifest import manifest_text
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.tally import Tally, merged
from chairgap.report.text import report_text, summary_text
from chairgap.study_output.pieces import GAPS, STRUCTURES, OutputOptions, Pieces, pieces_of

if TYPE_CHECKING:
    from chairgap.report.parquet import ParquetFile

REPORT = "report.md"
PAGE = "page.html"
FILES = (*(f"{name}.csv" for name in STUDY_TABLES), STRUCTURES, REPORT, PAGE, BIBTEX, MANIFEST)
PARQUET_FILES = tuple(f"{name}.parquet" for name in STUDY_TABLES)
# A study of more molecules is shown in counts, and written as Parquet besides, unless it says otherwise.
MOST_IN_FULL = 200


def check_folder(folder: Path, study: Study) -> None:
    """See that the folder can take the files, before anything is computed; nothing is made or changed.

    Raises InputError when it cannot be written to, and when a file that the study is read from, or that is
    not as an earlier run left it, would be written over.
    """
    check_output(_output(folder, study), (*FILES, *PARQUET_FILES))


def _output(folder: Path, study: Study) -> OutputFolder:
    return OutputFolder(path=folder, command=STUDY, inputs=study.inputs)


def has_parquet() -> bool:
    """Whether the library that writes Parquet files is installed."""
    return find_spec("pyarrow") is not None


def check_parquet(study: Study) -> None:
    """See, before anything is computed, that Parquet files can be written where the study asks for them.

    Raises InputError when the library is missing.
    """
    if study.settings.parquet and not has_parquet():
        raise InputError(
            "Parquet files need the extra library: pip install 'chairgap[parquet]', or leave the key out.",
            place=Place(file=study.file, field="output.parquet"),
        )


def parquet_note(outcome: Outcome) -> str:
    """What the user of a large study is shown when its Parquet files are left out, or ''."""
    if outcome.study.settings.parquet is None and len(outcome.results) > MOST_IN_FULL and not has_parquet():
        return "No Parquet files are written besides CSV; they need pip install 'chairgap[parquet]'."
    return ""


def wanted_of(outcome: Outcome) -> OutputOptions:
    """Whether Parquet files are written besides CSV, and in which form the page holds its molecules."""
    parquet, molecules = outcome.study.settings.parquet, len(outcome.results)
    return OutputOptions(
        parquet=(molecules > MOST_IN_FULL and has_parquet()) if parquet is None else parquet,
        form=form_of(molecules),
    )


def write_outcome(
    outcome: Outcome, folder: Path, *, wall_seconds: float, pieces: Iterable[Pieces] | None = None
) -> tuple[tuple[Path, ...], Tally]:
    """Write all files; their paths in the order of FILES, and the study in counts.

    pieces are those of the results, in order, when others have made them. All or none are written. Raises
    InputError as `check_folder` does, and ChairgapError when writing fails.
    """
    wanted = wanted_of(outcome)
    names = [name for name in FILES if name != MANIFEST] + list(PARQUET_FILES if wanted.parquet else ())
    with staging(_output(folder, outcome.study)) as waiting:
        made = pieces if pieces is not None else (pieces_of(_results_alone(outcome), wanted),)
        flips = FlipsOfPage(find_flips(folder), wanted.form)
        tally, cited = _append(waiting, outcome, made, wanted, flips)
        chapter = flips_lines(flips.shown, flips.faults)
        if len(outcome.results) <= MOST_IN_FULL:
            report = report_text(outcome, chapter)
        else:
            beside = (name for name in names if name != REPORT)
            report = summary_text(outcome, tally, cited, beside, chapter)
        (waiting / REPORT).write_bytes(report.encode())
        manifest = manifest_text(
            outcome,
            finished=datetime.now(UTC),
            wall_seconds=wall_seconds,
            file_checksums={name: checksum(waiting / name) for name in names},
        )
        (waiting / MANIFEST).write_bytes(manifest.encode())
    return tuple(folder / name for name in (*names, MANIFEST)), tally


def _results_alone(outcome: Outcome) -> Outcome:
    return Outcome(study=outcome.study, results=outcome.results, refused=(), failed=())


def _without_results(outcome: Outcome) -> Outcome:
    return Outcome(
        study=outcome.study,
        results=(),
        refused=outcome.refused,
        failed=outcome.failed,
    )


def _append(
    waiting: Path,
    outcome: Outcome,
    pieces: Iterable[Pieces],
    wanted: OutputOptions,
    flips: FlipsOfPage,
) -> tuple[Tally, Part]:
    """Write the pieces one behind the other, the page and the references; the counts, and how to cite it."""
    rest = pieces_of(_without_results(outcome), wanted)
    tally, shown = Tally(), Plotted()
    keys, values = dict[str, None](), dict[UsedValue, None]()
    molecules, page_rows = Molecules(wanted.form, flips), []
    with ExitStack() as opened:
        texts = {name: opened.enter_context((waiting / name).open("wb")) for name in rest.texts}
        for name, table in STUDY_TABLES.items():
            texts[f"{name}.csv"].write(table.first_line.encode())
        tables = _parquet_files(waiting, opened) if wanted.parquet else {}
        sections = opened.enter_context(TemporaryFile(dir=waiting))
        for piece in chain(pieces, (rest,)):
            for name, text in piece.texts.items():
                texts[name].write(text.encode())
            for name, rows in piece.rows.items():
                tables[name].append(rows)
            more_rows, more_sections = molecules.add(piece.page)
            page_rows.append(more_rows)
            sections.write(more_sections.encode())
            tally, shown = merged((tally, piece.tally)), shown + piece.plotted
            keys.update(dict.fromkeys(piece.sources))
            values.update(dict.fromkeys(piece.values))
        page_rows.append(molecules.rest())
        sources = outcome.study.tables.sources
        (waiting / BIBTEX).write_bytes(bibtex_text(keys, sources).encode())
        cited = cite_part(tuple(keys), sources, tuple(values))
        summary = _summary(wanted, tally, shown, cited, rest.texts[GAPS], flips.faults)
        frame = frame_of(outcome, wanted.form, summary)
        page = opened.enter_context((waiting / PAGE).open("wb"))
        page.write("".join((frame.before, *page_rows, frame.between)).encode())
        sections.seek(0)
        shutil.copyfileobj(sections, page)
        page.write(frame.after.encode())
    return tally, cited


def _parquet_files(waiting: Path, opened: ExitStack) -> dict[str, "ParquetFile"]:
    # Here and not above: pyarrow is an optional extra.
    from chairgap.report.parquet import ParquetFile

    return {
        name: opened.enter_context(closing(ParquetFile(waiting / f"{name}.parquet", table)))
        for name, table in STUDY_TABLES.items()
    }


def _summary(
    wanted: OutputOptions,
    tally: Tally,
    shown: Plotted,
    sources: Part,
    gaps: str,
    flip_faults: tuple[str, ...],
) -> PageSummary:
    files = (*FILES, *(PARQUET_FILES if wanted.parquet else ()))
    return PageSummary(
        tally=tally,
        plotted=shown,
        sources=sources,
        gaps=(STUDY_TABLES["gaps"].first_line, gaps),
        files=tuple(name for name in files if name != PAGE),
        flip_faults=flip_faults,
    )
