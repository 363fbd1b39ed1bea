"""The folders of the installation, and the words for what the file system says."""

from pathlib import Path


def shipped_folder(name: str) -> Path | None:
    """A folder that comes with the program (`data`, `configs`): in the package, else in a checkout."""
    package = Path(__file__).resolve().parents[1]
    return next((home for home in (package / name, package.parents[1] / name) if home.is_dir()), None)


def reason(error: OSError | ValueError) -> str:
    """What the file system says, as the end of a sentence of ours."""
    said = error.strerror if isinstance(error, OSError) else str(error)
    return (said or type(error).__name__).lower()
