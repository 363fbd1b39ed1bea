"""What the program writes of an outcome, read back."""

from pathlib import Path
from tempfile import TemporaryDirectory

from chairgap.records import Outcome
from chairgap.report.by_molecule import by_molecule
from chairgap.report.citations import cite_part, cited_of, source_keys
from chairgap.report.text import report_text
from chairgap.study_output.write import write_outcome
from study_files import SAME_BYTES


def texts_written(outcome: Outcome) -> dict[str, str]:
    """What the files of an outcome hold, by name, but for the manifest."""
    with TemporaryDirectory(prefix="chairgap-test-") as folder:
        paths, _ = write_outcome(outcome, Path(folder), wall_seconds=0.0)
        return {path.name: path.read_bytes().decode() for path in paths if path.name in SAME_BYTES}


def report_of(outcome: Outcome) -> str:
    """The report of an outcome, all its molecules in one piece."""
    study, cited = outcome.study, cited_of(outcome)
    each = by_molecule(outcome, alone=len(outcome.results) == 1)
    keys = source_keys(cited, study.settings)
    return report_text(outcome, each, cite_part(keys, study.tables.sources, cited.values))
