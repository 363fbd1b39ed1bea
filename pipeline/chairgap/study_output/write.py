"""Writes the outcome of a study into a folder."""

from collections.abc import Iterable
from contextlib import ExitStack
from datetime import UTC, datetime
from importlib.util import find_spec
from itertools import chain
from pathlib import Path

from chairgap.errors import InputError, Place
from chairgap.files import MANIFEST, STUDY, OutputFolder, check_output, checksum, staging
from chairgap.flip.found import FoundFlips, find_flips
from chairgap.flip.report.text import flips_lines
from chairgap.page.flips import FlipsOfPage
from chairgap.page.whole import PageSummary, frame_of
from chairgap.records import Outcome, Study
from chairgap.report.by_molecule import joined
from chairgap.report.citations import BIBTEX, bibtex_text, cite_part, source_keys
from chairgap.report.comparison_plot import plotted_together
from chairgap.report.manifest import manifest_text
from chairgap.report.overview import Overview
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.report.text import report_text, summary_text
from chairgap.study_output.appending import STRUCTURES, STRUCTURES_PACKED, Appending
from chairgap.study_output.pieces import GAPS, MOST_IN_FULL, OutputOptions, Pieces, pieces_of

REPORT = "report.md"
PAGE = "page.html"
FILES = (*(f"{name}.csv" for name in STUDY_TABLES), STRUCTURES, REPORT, PAGE, BIBTEX, MANIFEST)
PARQUET_FILES = tuple(f"{name}.parquet" for name in STUDY_TABLES)


def check_folder(folder: Path, study: Study) -> None:
    """See that the folder can take the files, before anything is computed; nothing is made or changed.

    Raises InputError when it cannot be written to, and when a file that the study is read from, or that is
    not as an earlier run left it, would be written over.
    """
    check_output(_output(folder, study), (*FILES, STRUCTURES_PACKED, *PARQUET_FILES))


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
    """What is written: Parquet files besides CSV, the page or tables only."""
    settings, molecules = outcome.study.settings, len(outcome.results)
    large = molecules > MOST_IN_FULL and has_parquet()
    return OutputOptions(
        molecules=molecules,
        parquet=large if settings.parquet is None else settings.parquet,
        page=settings.page,
    )


def files_of(wanted: OutputOptions) -> tuple[str, ...]:
    """The names of the files, the manifest last."""
    names = {STRUCTURES_PACKED if name == STRUCTURES and not wanted.page else name: None for name in FILES}
    if not wanted.page:
        del names[PAGE]
    del names[MANIFEST]
    return (*names, *(PARQUET_FILES if wanted.parquet else ()), MANIFEST)


def write_outcome(
    outcome: Outcome,
    folder: Path,
    *,
    wall_seconds: float,
    pieces: Iterable[Pieces] | None = None,
    made_from: str = "",
    flips: FoundFlips | None = None,
) -> tuple[tuple[Path, ...], Overview]:
    """Write all files; their paths in the order of `files_of`, and the study at a glance.

    pieces are those of the results, in order, when others have made them; made_from is what they were made
    from, for `chairgap.study_output.unchanged`; flips are those of the folder, where they are known already.
    All or none are written. Raises InputError as `check_folder` does, and ChairgapError when writing fails.
    """
    wanted = wanted_of(outcome)
    (*names, _) = files_of(wanted)
    with staging(_output(folder, outcome.study)) as waiting:
        made = pieces if pieces is not None else (pieces_of(_results_alone(outcome), wanted),)
        found = find_flips(folder) if flips is None else flips
        overview = _write(waiting, outcome, made, wanted, found)
        manifest = manifest_text(
            outcome,
            finished=datetime.now(UTC),
            wall_seconds=wall_seconds,
            file_checksums={name: checksum(waiting / name) for name in names},
            made_from=made_from,
        )
        (waiting / MANIFEST).write_bytes(manifest.encode())
    return tuple(folder / name for name in (*names, MANIFEST)), overview


def _write(
    waiting: Path, outcome: Outcome, pieces: Iterable[Pieces], wanted: OutputOptions, found: FoundFlips
) -> Overview:
    """All files but the manifest; the study at a glance."""
    settings, sources = outcome.study.settings, outcome.study.tables.sources
    rest = pieces_of(_without_results(outcome), wanted)
    flips = FlipsOfPage(found, wanted.form if wanted.page else "counts")
    with ExitStack() as opened:
        files = Appending(waiting, wanted, flips, opened)
        for piece in chain(pieces, (rest,)):
            files.add(piece)
        keys = source_keys(files.cited, settings)
        cited = cite_part(keys, sources, files.cited.values)
        if wanted.page:
            summary = PageSummary(
                tally=files.overview.tally,
                plotted=plotted_together(files.plotted),
                sources=cited,
                gaps=(STUDY_TABLES["gaps"].first_line, rest.texts[GAPS]),
                files=tuple(name for name in files_of(wanted) if name != PAGE),
                flip_faults=flips.faults,
            )
            files.write_page(waiting / PAGE, frame_of(outcome, wanted.form, summary))
    (waiting / BIBTEX).write_bytes(bibtex_text(keys, sources).encode())
    chapter = flips_lines(flips.shown, flips.faults)
    if wanted.in_full:
        report = report_text(outcome, joined(files.report), cited, chapter)
    else:
        beside = (name for name in files_of(wanted) if name not in (REPORT, MANIFEST))
        report = summary_text(outcome, files.overview.tally, cited, beside, chapter)
    (waiting / REPORT).write_bytes(report.encode())
    return files.overview


def _results_alone(outcome: Outcome) -> Outcome:
    return Outcome(study=outcome.study, results=outcome.results, refused=(), failed=())


def _without_results(outcome: Outcome) -> Outcome:
    return Outcome(study=outcome.study, results=(), refused=outcome.refused, failed=outcome.failed)
