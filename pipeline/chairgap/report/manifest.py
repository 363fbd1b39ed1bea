"""manifest.json: everything needed to run a study again, and the only file that knows the time."""

import json
import platform
from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from importlib.metadata import version

from chairgap.abinitio.levels import LEVEL_LIBRARIES
from chairgap.files import PROGRAM
from chairgap.minimise.compiled.library import library
from chairgap.records import Outcome, Settings

_PACKAGES = (PROGRAM, "numpy", "rdkit", "openmm", "scipy")


def manifest_text(
    outcome: Outcome,
    *,
    finished: datetime,
    wall_seconds: float,
    file_checksums: Mapping[str, str],
    made_from: str = "",
) -> str:
    """JSON text of the manifest.

    finished is made UTC; file_checksums maps each written file's name to the SHA-256 of its bytes; made_from
    is the checksum of what they were made from ('' where there is no store to know it). The radii of a medium
    are not written out: their file is among the checksums of the tables.
    """
    study = outcome.study
    settings = asdict(study.settings)
    for medium in (settings["medium"], *settings["medium_series"]):
        del medium["born_radii"]
    content = {
        "program": PROGRAM,
        "finished_utc": finished.astimezone(UTC).isoformat(timespec="seconds"),
        "wall_seconds": round(wall_seconds, 3),
        "study_file": study.file,
        "study_text": study.text,
        "settings": settings,
        "seeds": {"search": study.settings.search.seed},
        "counts": {
            "treated": len(outcome.results),
            "refused": len(outcome.refused),
            "failed": len(outcome.failed),
        },
        "versions": versions() | _level_versions(study.settings),
        # Without it (no C compiler when chairgap was installed) RDKit minimises, which takes longer.
        "compiled_force_field": library() is not None,
        "platform": {"system": platform.platform(), "machine": platform.machine()},
        "a_value_table": outcome.table.name,
        "table_sha256": dict(sorted(study.tables.checksums.items())),
        "made_from": made_from,
        "file_sha256": dict(sorted(file_checksums.items())),
    }
    text = json.dumps(content, indent=2, ensure_ascii=False) + "\n"
    # A file name that is no UTF-8 reaches Python with lone surrogates; JSON has an escape for them.
    return text.encode("utf-8", "backslashreplace").decode("utf-8")


def _level_versions(settings: Settings) -> dict[str, str]:
    """The libraries of the level of the study."""
    return {} if settings.pairs_by == "none" else {name: version(name) for name in LEVEL_LIBRARIES}


def versions() -> dict[str, str]:
    """Python, the program and the libraries that its numbers rest on."""
    return {"python": platform.python_version(), **{name: version(name) for name in _PACKAGES}}
