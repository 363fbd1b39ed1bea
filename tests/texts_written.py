"""What the program writes of an outcome, read back."""

from pathlib import Path
from tempfile import TemporaryDirectory

from chairgap.records import Outcome
from chairgap.study_output.write import write_outcome
from study_files import SAME_BYTES


def texts_written(outcome: Outcome) -> dict[str, str]:
    """What the files of an outcome hold, by name, but for the manifest."""
    with TemporaryDirectory(prefix="chairgap-test-") as folder:
        paths, _ = write_outcome(outcome, Path(folder), wall_seconds=0.0)
        return {path.name: path.read_bytes().decode() for path in paths if path.name in SAME_BYTES}
