"""Parts that ship: single groups and pairs as the model has them with the default settings of a study.

`data/parts/` holds of each ring the conformers of its two chairs, without a temperature, bit by bit as they
were computed, and what they were computed with: settings, the version of RDKit, a checksum of the sources
that decide them. Where any of it is another here, the part is computed. Other versions of NumPy and SciPy
differ in rounding only: rings whose lattice is sampled at random are left out.

What ships is no task of a study (`chairgap.batch.content`). Rejected: gaps at 298.15 K alone, a tenth of the
size, with which another temperature would cost the searches that it is spared.
"""

import gzip
import hashlib
import zlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import msgspec
import numpy as np

from chairgap.files import shipped_folder
from chairgap.minimise.compiled.library import engine_used
from chairgap.model.treatment import levels_of
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.records import Computed, Level, Settings

PARTS, MADE_WITH = "parts.gz", "made_with.json"
_NUMBER, _BYTES = "<f8", 8
_BEFORE_MODES = 4  # energy and three moments of inertia
_SOURCES = (
    "minimise/compiled",
    *(f"minimise/{name}.py" for name in ("engines", "hessian", "mmff_terms", "rdkit_engine", "verified")),
    "search",
    "shape",
    "compare/thermochemistry.py",
    "model/treatment.py",
    "units.py",
    *(
        f"molecule/{name}.py"
        for name in ("agreed", "build", "charges", "fragments", "glue", "numbering", "stereo", "symmetry")
    ),
)


@dataclass(frozen=True, kw_only=True)
class MadeWith:
    """What parts depend on besides their ring: settings, the version of RDKit, a checksum of the sources; and
    a checksum of the file of parts, so that neither file is used with another one's fellow."""

    force_field: str
    engine: str
    medium: str
    quantum_method: str
    most_starts: int
    window_kcal_mol: float
    seed: int
    rdkit: str
    sources: str
    parts: str


@dataclass(frozen=True, kw_only=True)
class ShippedPart:
    """A ring as a text, whether the upper ligands of its odd carbons are axial in its chair A, and those of
    its conformers that are chairs."""

    ring: str
    odd_up_axial: bool
    levels: tuple[Level, ...]


@dataclass(frozen=True, kw_only=True)
class _Entry:
    """What of a part is no floating-point number: how many frequencies each conformer has, and its labelled
    copies in chair A and in chair B."""

    ring: str
    odd_up_axial: bool
    modes: int
    copies: tuple[tuple[int, int], ...]


def shipped_part(ring: RingFaces, settings: Settings) -> ShippedPart | None:
    """A ring in its agreed writing as it ships; None where it does not, or not for these settings."""
    return _parts().get(groups_of(ring)) if serves(settings) else None


def is_shipped(ring: RingFaces, settings: Settings) -> bool:
    """Whether `shipped_part` has it."""
    return serves(settings) and groups_of(ring) in _parts()


def serves(settings: Settings) -> bool:
    """Whether the parts that ship are those of these settings, with what is installed here."""
    return not settings.medium_series and _made_with() == made_with(settings, _whole())


def mark(settings: Settings) -> str:
    """A checksum of what ships for these settings; '' where nothing does."""
    return _checksum(_whole()) if serves(settings) else ""


def made_with(settings: Settings, whole: bytes) -> MadeWith:
    """What parts are computed with under these settings, here; `whole` is the file of parts."""
    return MadeWith(
        force_field=settings.force_field,
        engine=engine_used(settings),
        medium=settings.medium.name,
        quantum_method=settings.quantum_method,
        most_starts=settings.search.most_starts,
        window_kcal_mol=settings.search.window_kcal_mol,
        seed=settings.search.seed,
        rdkit=_rdkit(),
        sources=_sources(),
        parts=_checksum(whole),
    )


def as_bytes(parts: Iterable[ShippedPart]) -> bytes:
    """The file of these parts, in the order of their texts: a line of JSON, then all numbers."""
    ordered = sorted(parts, key=lambda part: part.ring)
    entries = [
        _Entry(
            ring=part.ring,
            odd_up_axial=part.odd_up_axial,
            modes=len(part.levels[0].frequencies_cm1),
            copies=tuple((level.degeneracy_a, level.degeneracy_b) for level in part.levels),
        )
        for part in ordered
    ]
    numbers = np.concatenate(
        [
            [level.energy_kcal_mol, *level.moments_u_angstrom2, *level.frequencies_cm1]
            for part in ordered
            for level in part.levels
        ]
    )
    # The first bytes of all numbers, then the second ones, ...: packed a third smaller.
    columns = numbers.astype(_NUMBER).view(np.uint8).reshape(-1, _BYTES).T
    return gzip.compress(msgspec.json.encode(entries) + b"\n" + columns.tobytes(), mtime=0)


def part_that_may_ship(ring: RingFaces, computed: Computed) -> ShippedPart | None:
    """A ring with those of its conformers that are chairs; None where its lattice was sampled at random, or
    its search did not come to an end."""
    ensemble = computed.ensemble
    if not ensemble.search.exhaustive or ensemble.search.new_in_last_round:
        return None
    return ShippedPart(
        ring=groups_of(ring),
        odd_up_axial=ensemble.chairs[0].odd_up_axial,
        levels=tuple(level for level in levels_of(ensemble) if level.degeneracy_a or level.degeneracy_b),
    )


def shipped_rings() -> tuple[str, ...]:
    """The rings that ship, as texts: '1 up *C, 3 down *Cl'."""
    return tuple(_parts())


def groups_of(ring: RingFaces) -> str:
    """A ring as a text."""
    return ", ".join(
        f"{locant} {face} {fragment}"
        for locant, pair in enumerate(ring, start=1)
        for face, fragment in zip(("up", "down"), pair, strict=True)
        if fragment != HYDROGEN
    )


@cache
def _made_with() -> MadeWith | None:
    """What the parts that ship were made with; None where there are none."""
    try:
        return msgspec.json.decode((_home() / MADE_WITH).read_bytes(), type=MadeWith)
    except (OSError, msgspec.DecodeError):
        return None


@cache
def _parts() -> dict[str, ShippedPart]:
    """The parts that ship by their rings."""
    try:
        head, _, rest = gzip.decompress(_whole()).partition(b"\n")
    except (OSError, EOFError, zlib.error):
        return {}
    columns = np.frombuffer(rest, np.uint8).reshape(_BYTES, -1)
    numbers = columns.T.copy().view(_NUMBER).ravel()
    found, place = {}, 0
    for entry in msgspec.json.decode(head, type=list[_Entry]):
        levels = []
        for degeneracy_a, degeneracy_b in entry.copies:
            own = numbers[place : place + _BEFORE_MODES + entry.modes]
            place += len(own)
            levels.append(
                Level(
                    energy_kcal_mol=float(own[0]),
                    moments_u_angstrom2=own[1:_BEFORE_MODES],
                    frequencies_cm1=own[_BEFORE_MODES:],
                    degeneracy_a=degeneracy_a,
                    degeneracy_b=degeneracy_b,
                    degeneracy_other=0,  # they are chairs
                )
            )
        part = ShippedPart(ring=entry.ring, odd_up_axial=entry.odd_up_axial, levels=tuple(levels))
        found[part.ring] = part
    return found


@cache
def _whole() -> bytes:
    try:
        return (_home() / PARTS).read_bytes()
    except OSError:
        return b""


@cache
def _checksum(whole: bytes) -> str:
    return hashlib.sha256(whole).hexdigest()


@cache
def _rdkit() -> str:
    try:
        return version("rdkit")
    except PackageNotFoundError:
        return ""


@cache
def _sources() -> str:
    """A checksum of the sources that decide what a part is."""
    return checksum_of_sources(lambda path: path.read_bytes())


def checksum_of_sources(read: Callable[[Path], bytes]) -> str:
    """A checksum of what is read of each source that decides what a part is."""
    package = Path(__file__).resolve().parents[1]
    found = hashlib.sha256()
    for name in _SOURCES:
        place = package / name
        for path in sorted((*place.rglob("*.py"), *place.rglob("*.[ch]"))) if place.is_dir() else (place,):
            found.update(str(path.relative_to(package)).encode() + read(path))
    return found.hexdigest()


def _home() -> Path:
    return (shipped_folder("data") or Path()) / "parts"
