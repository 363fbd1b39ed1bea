"""Files: those of the installation, the one writer of all others, and words for what the system says."""

from chairgap.files.record import (
    MANIFEST,
    PROGRAM,
    RECORD,
    STUDY,
    checksum,
    checksum_in,
    is_left_by_us,
    read_record,
)
from chairgap.files.system import reason, shipped_folder
from chairgap.files.writing import OutputFolder, check_output, staging, write_files

__all__ = [
    "MANIFEST",
    "PROGRAM",
    "RECORD",
    "STUDY",
    "OutputFolder",
    "check_output",
    "checksum",
    "checksum_in",
    "is_left_by_us",
    "read_record",
    "reason",
    "shipped_folder",
    "staging",
    "write_files",
]
