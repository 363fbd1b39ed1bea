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
from dataclasses import dataclass
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

from chairgap.files import shipped_folder
from chairgap.minimise.compiled.library import engine_used
from chairgap.model.treatment import levels_of
from chairgap.molecule.numbering import HYDROGEN, RingFaces
from chairgap.records import Computed, Level, Settings

PARTS, MADE_WITH = "parts.jsonl.gz", "made_with.json"
_SOURCES = (
    "minimise",
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


def shipped_part(ring: RingFaces, settings: Settings) -> ShippedPart | None:
    """A ring in its agreed writing as it ships; None where it does not, or not for these settings."""
    line = _lines().get(groups_of(ring)) if serves(settings) else None
    return None if line is None else _decoder().decode(line)


def is_shipped(ring: RingFaces, settings: Settings) -> bool:
    """Whether `shipped_part` has it."""
    return serves(settings) and groups_of(ring) in _lines()


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


def as_bytes(parts: tuple[ShippedPart, ...]) -> bytes:
    """The file of these parts, in the order of their texts."""
    encoder = msgspec.json.Encoder(enc_hook=_from_array)
    lines = [encoder.encode(part) for part in sorted(parts, key=lambda part: part.ring)]
    return gzip.compress(b"\n".join([*lines, b""]), mtime=0)


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
    return tuple(_lines())


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
def _lines() -> dict[str, bytes]:
    """Each ring that ships with its line, not yet decoded."""
    try:
        lines = gzip.decompress(_whole()).splitlines()
    except (OSError, EOFError, zlib.error):
        return {}
    ring = msgspec.json.Decoder(_Ring)
    return {ring.decode(line).ring: line for line in lines}


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
    package = Path(__file__).resolve().parents[1]
    found = hashlib.sha256()
    for name in _SOURCES:
        place = package / name
        for path in sorted((*place.rglob("*.py"), *place.rglob("*.[ch]"))) if place.is_dir() else (place,):
            found.update(str(path.relative_to(package)).encode() + path.read_bytes())
    return found.hexdigest()


def _home() -> Path:
    return (shipped_folder("data") or Path()) / "parts"


@dataclass(frozen=True, kw_only=True)
class _Ring:
    """What of a line is read to find it again."""

    ring: str


@cache
def _decoder() -> msgspec.json.Decoder[ShippedPart]:
    return msgspec.json.Decoder(ShippedPart, dec_hook=_to_array)


def _from_array(value: object) -> list[float]:
    if isinstance(value, np.ndarray):
        numbers: list[float] = value.tolist()
        return numbers
    raise NotImplementedError(f"a {type(value).__name__} cannot be kept")


def _to_array(_: type[Any], value: Any) -> Any:
    return np.array(value, dtype=float)
