"""Files: those of the installation, writing all or nothing, and the words for what the system objects to."""

import secrets
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from chairgap.errors import ChairgapError, Place


def write_files(folder: Path, contents: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files by name into a folder, all beside their places first; returns their paths.

    Raises ChairgapError when writing fails; no half file is then left.
    """
    mark = secrets.token_hex(8)
    beside = {folder / name: folder / f".{name}.{mark}" for name in contents}
    path = folder
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, waiting in beside.items():
            waiting.write_bytes(contents[path.name])
        for path, waiting in beside.items():
            waiting.replace(path)
    except OSError as error:
        message = f"It cannot be written ({reason(error)}). Make room, or name another folder with --output."
        raise ChairgapError(message, place=Place(file=str(path))) from None
    finally:
        for waiting in beside.values():
            with suppress(OSError):
                waiting.unlink(missing_ok=True)
    return tuple(beside)


def shipped_folder(name: str) -> Path | None:
    """A folder that comes with the program (`data`, `configs`): in the package, else in a checkout."""
    package = Path(__file__).resolve().parent
    return next((home for home in (package / name, package.parents[1] / name) if home.is_dir()), None)


def reason(error: OSError) -> str:
    """What the file system says, as the end of a sentence of ours."""
    return (error.strerror or type(error).__name__).lower()
