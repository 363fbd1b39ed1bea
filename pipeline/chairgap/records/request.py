"""What the user asked for, and what had to be refused."""

from dataclasses import dataclass, field, replace
from pathlib import Path

from chairgap.errors import MoleculeError, Place
from chairgap.records.anchored import DeclaredPair
from chairgap.records.medium import BornRadius
from chairgap.records.tables import Tables
from chairgap.records.types import (
    AskedNumbering,
    Effort,
    Engine,
    Face,
    ForceField,
    PairLevel,
    PairTerms,
    QuantumMethod,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class GroupOnCarbon:
    """One substituent by face: ring carbon 1..6, face and group name as the user wrote it (`1 up CH3`)."""

    carbon: int
    face: Face
    group: str


@dataclass(frozen=True, kw_only=True, slots=True)
class MoleculeRequest:
    """A molecule as asked for; exactly one of smiles, substituents and molblock is given.

    `every_stereoisomer` is the user's `stereo = "all"`; `mirror_too` says that the molecule stands for its
    mirror image as well; `notes` are remarks on how the text was read. `pattern` is set for a list of groups
    that a pattern wrote, not the user: the name of the pattern, or ''. A study may hold 200,000 of these, so
    they have slots.
    """

    name: str
    place: Place
    smiles: str | None = None
    substituents: tuple[GroupOnCarbon, ...] | None = None
    molblock: str | None = None
    every_stereoisomer: bool = False
    mirror_too: bool = False
    notes: tuple[str, ...] = ()
    pattern: str | None = None


@dataclass(frozen=True, kw_only=True)
class SearchSettings:
    """How hard to look. `most_starts` bounds the starts tried per molecule."""

    effort: Effort = "standard"
    most_starts: int = 4000
    window_kcal_mol: float = 8.0
    seed: int = 1


@dataclass(frozen=True, kw_only=True)
class Limits:
    """What one molecule may use of a worker process: CPU seconds, and memory of the process."""

    time_s: float = 1800.0
    memory_mb: int = 4000


_APOLAR_BELOW = 5.0  # dielectric constant (common practice, no source)


@dataclass(frozen=True, kw_only=True)
class Medium:
    """What surrounds the molecule: its name, its dielectric constant, and the radii of elements against it,
    of which the gas phase needs none."""

    name: str
    dielectric: float
    born_radii: tuple[BornRadius, ...] = ()

    @property
    def is_gas(self) -> bool:
        return self.dielectric == 1.0

    @property
    def is_apolar(self) -> bool:
        """Where pairs of the gas phase may stand for those of the medium."""
        return self.dielectric < _APOLAR_BELOW


GAS_PHASE = Medium(name="gas phase", dielectric=1.0)


@dataclass(frozen=True, kw_only=True)
class Settings:
    """Everything of a study that is not a molecule.

    The search is always on the force field's surface in the gas phase. With a solvent, or with a quantum
    method, the minima it finds are minimised again on that surface, and everything reported belongs to it.
    pairs says whether a completed sum stands beside the hand estimate; declared_pairs take the place of
    published and computed pair terms.
    numbering "mine" refuses a molecule whose ring the user did not number.
    parquet None leaves it to the size of the study. page False asks for tables only: no page, no drawings.
    """

    title: str
    output: str
    numbering: AskedNumbering = "iupac"
    temperature_k: float = 298.15
    temperature_series_k: tuple[float, ...] = (200.0, 250.0, 298.15, 350.0, 400.0)
    medium: Medium = GAS_PHASE
    medium_series: tuple[Medium, ...] = ()
    force_field: ForceField = "MMFF94"
    engine: Engine = "compiled"
    quantum_method: QuantumMethod = "none"
    pairs_by: PairLevel = "none"
    a_value_table: str = "chairgap"
    pairs: PairTerms = "published"
    declared_pairs: tuple[DeclaredPair, ...] = ()
    undecided_below_kcal_mol: float = 0.3
    size_tolerance_kcal_mol: float = 0.5
    atom_limit: int = 100
    search: SearchSettings = field(default_factory=SearchSettings)
    limits: Limits = field(default_factory=Limits)
    parquet: bool | None = None
    page: bool = True

    def contradictions(self) -> tuple[str, ...]:
        """What of force field, engine, quantum method and media does not go together, in words."""
        media = [medium.name for medium in (self.medium, *self.medium_series) if not medium.is_gas]
        found = []
        if self.force_field == "UFF" and self.engine == "openmm":
            found.append("UFF is not available in OpenMM; choose engine 'rdkit' or force field MMFF94.")
        if self.force_field == "UFF" and media:
            found.append(
                f"UFF has no charges for a solvent ({', '.join(media)}) to act on; choose MMFF94 or MMFF94s, "
                "or the gas phase."
            )
        if self.quantum_method != "none" and media:
            found.append(
                f"{self.quantum_method} is computed in the gas phase only; leave it out, or the solvents "
                f"({', '.join(media)})."
            )
        if self.pairs_by != "none" and not self.medium.is_apolar:
            found.append(
                f"{self.pairs_by} is computed in the gas phase, and its pairs do not hold in "
                f"{self.medium.name}; leave pairs_by out, or choose the gas phase or an apolar medium."
            )
        return tuple(found)

    @property
    def force_field_or_quantum_method(self) -> str:
        """What gives the energies, by name: 'MMFF94' or 'GFN2-xTB'."""
        return self.force_field if self.quantum_method == "none" else self.quantum_method

    @property
    def model(self) -> str:
        """Force field or quantum method with its medium: 'MMFF94' (gas phase), 'MMFF94 in water'."""
        energies = self.force_field_or_quantum_method
        return energies if self.medium.is_gas else f"{energies} in {self.medium.name}"


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """A molecule that was not treated, and why, in the words of the error."""

    name: str
    message: str
    place: Place

    def as_error(self) -> MoleculeError:
        """The error that says so by itself, with the name in front."""
        return MoleculeError(f"{self.name}: {self.message}", place=self.place)


@dataclass(frozen=True, kw_only=True)
class Study:
    """A validated study: settings, tables as they were when it was read, requests in file order, the text it
    was read from.

    refused holds the molecules that could not even be read (file order); notes are remarks for the user
    about settings that are allowed but look like a slip; inputs are the files it was read from, tables too.
    Nothing of a run reads a table again.
    """

    settings: Settings
    tables: Tables
    requests: tuple[MoleculeRequest, ...]
    text: str
    file: str
    refused: tuple[Refusal, ...] = ()
    notes: tuple[str, ...] = ()
    inputs: tuple[Path, ...] = ()

    @property
    def shared(self) -> "Study":
        """What all pieces of work of a run share: small, since every worker gets it; no molecule is in it."""
        return replace(self, requests=(), text="", refused=())
