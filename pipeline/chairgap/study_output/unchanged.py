"""Whether the files of a study stand in their folder as they would be written."""

import json
from collections.abc import Sequence
from pathlib import Path

from chairgap.files import MANIFEST, checksum_in, is_left_by_us, read_record


def unchanged(folder: Path, names: Sequence[str], made_from: str) -> bool:
    """Whether just these files, the manifest among them, were made from what the checksum says, and have the
    bytes that the manifest gives each.

    The manifest is one file and put in place as a whole, so a run that was killed while it exchanged files,
    or a user who altered or removed one, leaves none that passes.
    """
    entries = read_record(folder / MANIFEST)
    if entries is None or set(entries) != set(names) - {MANIFEST} or not is_left_by_us(folder, MANIFEST):
        return False
    try:
        noted = json.loads((folder / MANIFEST).read_bytes()).get("made_from")
        return noted == made_from and all(
            checksum_in(folder, name) == digest for name, (digest, _) in entries.items()
        )
    except (OSError, ValueError):
        return False
