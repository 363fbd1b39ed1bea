"""What the user asked for, and what had to be refused."""

from dataclasses import dataclass, field

from chairgap.errors import Place
from chairgap.records.types import Effort, Engine, Face, ForceField


@dataclass(frozen=True, kw_only=True)
class GroupOnCarbon:
    """One spoken substituent: ring carbon 1..6, face and group name as the user wrote it (`1 up CH3`)."""

    carbon: int
    face: Face
    group: str


@dataclass(frozen=True, kw_only=True)
class MoleculeRequest:
    """A molecule as asked for; exactly one of smiles, substituents and molblock is given.

    `every_stereoisomer` is the user's `stereo = "all"`.
    """

    name: str
    place: Place
    smiles: str | None = None
    substituents: tuple[GroupOnCarbon, ...] | None = None
    molblock: str | None = None
    every_stereoisomer: bool = False


@dataclass(frozen=True, kw_only=True)
class SearchSettings:
    """How hard to look. `most_starts` bounds the minimisations per molecule."""

    effort: Effort = "standard"
    most_starts: int = 4000
    window_kcal_mol: float = 8.0
    seed: int = 1


@dataclass(frozen=True, kw_only=True)
class Settings:
    """Everything of a study that is not a molecule."""

    title: str
    output: str
    temperature_k: float = 298.15
    force_field: ForceField = "MMFF94"
    engine: Engine = "rdkit"
    a_value_table: str = "chairgap"
    undecided_below_kcal_mol: float = 0.3
    size_tolerance_kcal_mol: float = 0.5
    atom_limit: int = 100
    search: SearchSettings = field(default_factory=SearchSettings)


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """A molecule that was not treated, and why, in the words of the error."""

    name: str
    message: str
    place: Place


@dataclass(frozen=True, kw_only=True)
class Study:
    """A validated study: settings, requests in file order, the text it was read from.

    refused holds the molecules that could not even be read (file order); notes are remarks for the user
    about settings that are allowed but look like a slip.
    """

    settings: Settings
    requests: tuple[MoleculeRequest, ...]
    text: str
    file: str
    refused: tuple[Refusal, ...] = ()
    notes: tuple[str, ...] = ()
