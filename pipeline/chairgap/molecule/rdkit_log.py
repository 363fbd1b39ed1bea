"""What RDKit would print."""

import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager

from rdkit import rdBase


@contextmanager
def rdkit_log() -> Iterator[list[str]]:
    """Collects what RDKit would print, one entry per line, without its time stamp."""
    lines: list[str] = []

    class Collector(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            lines.append(re.sub(r"^\[[\d:]+\]\s*", "", record.getMessage()).strip())

    logger, collector = logging.getLogger("rdkit"), Collector()
    before = logger.handlers[:], logger.propagate
    logger.handlers, logger.propagate = [collector], False
    rdBase.LogToPythonLogger()
    try:
        yield lines
    finally:
        rdBase.LogToCppStreams()
        logger.handlers, logger.propagate = before
