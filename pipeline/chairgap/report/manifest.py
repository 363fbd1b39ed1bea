"""manifest.json: everything needed to run a study again, and the only file that knows the time."""

import json
import platform
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.metadata import version

from chairgap.files import PROGRAM
from chairgap.records import Outcome

_PACKAGES = (PROGRAM, "numpy", "rdkit", "openmm", "scipy")


def manifest_text(
    outcome: Outcome,
    *,
    finished: datetime,
    wall_seconds: float,
    table_checksums: Mapping[str, str],
    file_checksums: Mapping[str, str],
) -> str:
    """JSON text of the manifest.

    finished is made UTC; table_checksums maps table file to SHA-256; file_checksums maps each
    written file's name to the SHA-256 of its bytes.
    """
    study = outcome.study
    content = {
        "program": PROGRAM,
        "finished_utc": finished.astimezone(UTC).isoformat(timespec="seconds"),
        "wall_seconds": round(wall_seconds, 3),
        "study_file": study.file,
        "study_text": study.text,
        "settings": asdict(study.settings),
        "seeds": {"search": study.settings.search.seed},
        "counts": {
            "treated": len(outcome.results),
            "refused": len(outcome.refused),
            "failed": len(outcome.failed),
        },
        "versions": versions(),
        "platform": {"system": platform.platform(), "machine": platform.machine()},
        "a_value_table": outcome.table.name,
        "table_sha256": dict(sorted(table_checksums.items())),
        "file_sha256": dict(sorted(file_checksums.items())),
    }
    text = json.dumps(content, indent=2, ensure_ascii=False) + "\n"
    # A file name that is no UTF-8 reaches Python with lone surrogates; JSON has an escape for them.
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def versions() -> dict[str, str]:
    """Python, the program and the libraries that its numbers rest on."""
    return {"python": platform.python_version(), **{name: version(name) for name in _PACKAGES}}
