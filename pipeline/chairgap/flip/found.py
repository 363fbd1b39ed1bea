"""The flips that lie in the folder of a study, where `chairgap flip STUDY` puts them: in flip/ itself, or in
folders within it. Nothing there leads out of the folder: links are not followed."""

import hashlib
import os
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from chairgap.errors import ChairgapError
from chairgap.files import reason
from chairgap.flip.kept import KEPT, kept_bytes, read_kept
from chairgap.records import KeptFlip, Molecule

FLIPS = "flip"
# More would make a page of many megabytes.
MOST_FLIPS = 100


@dataclass(frozen=True, kw_only=True)
class FoundFlip:
    """A flip and its folder, as seen from that of the study: 'flip/menthol'; files: what else lies there."""

    folder: str
    kept: KeptFlip
    files: frozenset[str]


@dataclass(frozen=True, kw_only=True)
class FoundFlips:
    """The flips by the molecule they are of (see `molecule_key`), and for each that cannot be shown a
    sentence that says why."""

    flips: dict[str, FoundFlip]
    faults: tuple[str, ...]

    @property
    def checksum(self) -> str:
        """Of all that is shown of them, hexadecimal."""
        digest = hashlib.sha256(repr(self.faults).encode())
        for found in self.flips.values():
            digest.update(repr((found.folder, sorted(found.files))).encode() + kept_bytes(found.kept))
        return digest.hexdigest()


def molecule_key(molecule: Molecule) -> str:
    """What a molecule and its numbering are recognised by, whatever its name."""
    return _key(molecule.smiles, molecule.numbered_groups)


def _key(smiles: str, groups_by_face: str) -> str:
    return f"{smiles} {groups_by_face}"


def find_flips(study_folder: Path) -> FoundFlips:
    """The flips in the folder of a study. Never an error, whatever lies there."""
    flips: dict[str, FoundFlip] = {}
    faults: list[str] = []
    try:
        folders = _folders(study_folder)
    except OSError as error:
        return FoundFlips(flips={}, faults=(f"{FLIPS}/ cannot be read: {reason(error)}.",))
    for folder in folders[:MOST_FLIPS]:
        try:
            found = _found(study_folder, folder)
        except ChairgapError as error:
            faults.append(f"{folder}/{KEPT} is not shown: {error.message}")
            continue
        key = _key(found.kept.smiles, found.kept.groups_by_face)
        if key in flips:
            faults.append(f"{folder} is not shown: {flips[key].folder} is of the same molecule.")
        else:
            flips[key] = found
    if len(folders) > MOST_FLIPS:
        faults.append(f"Of {len(folders)} flips in {FLIPS}/ the first {MOST_FLIPS} are shown.")
    return FoundFlips(flips=flips, faults=tuple(faults))


def _folders(study_folder: Path) -> list[str]:
    """The folders that hold a flip, as seen from that of the study."""
    outer = study_folder / FLIPS
    if not os.path.lexists(outer) or not _is(stat.S_ISDIR, outer):
        return []
    inner = sorted(folder.name for folder in outer.iterdir() if _is(stat.S_ISDIR, folder))
    names = [FLIPS, *(f"{FLIPS}/{name}" for name in inner)]
    return [name for name in names if os.path.lexists(study_folder / name / KEPT)]


def _is(kind: Callable[[int], bool], path: Path) -> bool:
    """Whether a path is itself of a kind, and no link to something of it."""
    return kind(path.lstat().st_mode)


def _found(study_folder: Path, folder: str) -> FoundFlip:
    where = study_folder / folder
    try:
        files = frozenset(file.name for file in where.iterdir() if _is(stat.S_ISREG, file))
    except OSError as error:
        raise ChairgapError(f"The folder cannot be read: {reason(error)}.") from None
    if KEPT not in files:
        raise ChairgapError("It is no plain file. Run chairgap flip again.")
    return FoundFlip(folder=folder, kept=read_kept(where / KEPT), files=files)
