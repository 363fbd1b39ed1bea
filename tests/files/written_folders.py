"""A folder of the one writer and what is in it, for the tests of `chairgap.files`."""

import hashlib
from pathlib import Path
from typing import Any

from chairgap.files import RECORD, OutputFolder

OLD = {"a.csv": b"old a", "b.md": b"old b", "drawings/1.svg": b"old 1", "drawings/2.svg": b"old 2"}
NEW = {"a.csv": b"new a", "b.md": b"new b", "drawings/1.svg": b"new 1", "pages/p.html": b"new p"}


def output(folder: Path, command: str = "test", **more: Any) -> OutputFolder:
    return OutputFolder(path=folder, command=command, **more)


def state(folder: Path) -> dict[str, bytes]:
    """What is in a folder, but for the record."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != RECORD
    }


def digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
