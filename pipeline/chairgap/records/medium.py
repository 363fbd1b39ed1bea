"""What surrounds a molecule, and how an atom meets it."""

from dataclasses import dataclass

from chairgap.records.types import MediumClass


@dataclass(frozen=True, kw_only=True)
class Solvent:
    """A liquid by its static relative permittivity, which has no unit and belongs to temperature_k, and its
    class."""

    name: str
    names: tuple[str, ...]
    dielectric: float
    temperature_k: float
    medium_class: MediumClass
    source: str
    known: str
    note: str


@dataclass(frozen=True, kw_only=True)
class BornRadius:
    """Intrinsic radius of an element against a continuum, and the factor (no unit) by which its sphere
    counts when it screens other atoms."""

    element: str
    radius_angstrom: float
    screening: float
    source: str
    known: str
    note: str
