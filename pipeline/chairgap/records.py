"""Frozen records that pass between stages.

Conventions (stated here once, tested by hand in tests/test_conventions.py):

* Ring carbons are numbered 1 to 6 **clockwise when the ring is looked at from above**; 'up' is the side of
  the onlooker. Arrays are indexed from 0, so carbon c sits at index c - 1.
* Energies are kcal/mol, lengths angstrom, angles degrees in records, temperature kelvin.
* A gap is always E(chair B) - E(chair A): positive means that chair A is preferred. Chair A is the chair with
  fewer axial groups; see `chairgap.shape.chairs.two_chairs` for ties.
* Arrays held by a record are never written to after the record is made.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from chairgap.errors import Place

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

Face = Literal["up", "down"]
Position = Literal["axial", "equatorial", "isoclinal"]
ChairLetter = Literal["A", "B"]
RingFamily = Literal["chair", "half-chair", "envelope", "boat", "twist-boat", "planar"]
ForceField = Literal["MMFF94", "MMFF94s", "UFF"]
Engine = Literal["rdkit", "openmm"]
Effort = Literal["quick", "standard", "thorough"]
Verdict = Literal["agrees", "disagrees", "undecided", "not comparable"]
CorrectionForm = Literal["replacing", "excess"]


# --- what the user asked for -----------------------------------------------------------------------------


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


# --- the molecule ----------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Ligand:
    """What a ring carbon carries on one face.

    `group` is the key of the A-value table ('CH3', 'H', ...), or the fragment SMILES when no table row fits;
    `fragment` is the canonical isomeric SMILES with `*` as the ring carbon; `mass_u` is the group's mass.
    """

    atom: int
    face: Face
    group: str
    fragment: str
    mass_u: float


@dataclass(frozen=True, kw_only=True)
class RingCarbon:
    """Ring carbon `locant` (1..6), its atom index and its two ligands."""

    locant: int
    atom: int
    up: Ligand
    down: Ligand

    @property
    def ligands(self) -> tuple[Ligand, Ligand]:
        return (self.up, self.down)


@dataclass(frozen=True, kw_only=True)
class Topology:
    """The bonded structure in plain arrays; all the pure rooms know of a molecule.

    symbols: n element symbols. masses_u: (n,). bonds: (m, 2) atom indices. carbons: the six ring carbons.
    labelled: (k,) atoms kept distinct when copies are counted (heavy atoms and hydrogens on heteroatoms).
    automorphisms: (a, n) full-length atom maps; row p says that atom i is equivalent to atom p[i]; entries of
    atoms outside `labelled` are the atom itself and carry no meaning.
    centres: (c, 4) atom and three neighbours whose handedness no rotation changes (inverting N left out).
    stiff_bonds: (s, 4) dihedrals i-j-k-l across double bonds, which rotation does not turn.
    """

    symbols: tuple[str, ...]
    masses_u: Floats
    bonds: Integers
    carbons: tuple[RingCarbon, ...]
    labelled: Integers
    automorphisms: Integers
    centres: Integers
    stiff_bonds: Integers

    @property
    def ring(self) -> Integers:
        """(6,) atom indices of ring carbons 1 to 6."""
        return np.array([carbon.atom for carbon in self.carbons], dtype=np.int64)

    @property
    def groups(self) -> tuple[tuple[int, Ligand], ...]:
        """(locant, ligand) of every ligand that is not hydrogen."""
        return tuple(
            (carbon.locant, ligand)
            for carbon in self.carbons
            for ligand in carbon.ligands
            if ligand.group != "H"
        )


@dataclass(frozen=True, kw_only=True)
class Molecule:
    """A built molecule. `rdkit_binary` is RDKit's own serial form (explicit H, no conformer); only the
    adapters in molecule/, search/ and minimise/ open it."""

    name: str
    smiles: str
    inchi: str
    spoken: str
    topology: Topology
    rdkit_binary: bytes
    place: Place
    notes: tuple[str, ...] = ()


# --- chairs by name --------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class PlacedLigand:
    """A group (never H) with its place in one chair."""

    carbon: int
    face: Face
    group: str
    position: Position


@dataclass(frozen=True, kw_only=True)
class Chair:
    """One of the two chairs: `odd_up_axial` is True when the upper ligands of carbons 1, 3, 5 are axial."""

    letter: ChairLetter
    odd_up_axial: bool
    name: str
    groups: tuple[PlacedLigand, ...]


# --- search and minimisation -----------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Minimum:
    """A verified minimum. positions (n, 3) angstrom; frequencies_cm1 (3n - 6,) ascending."""

    positions: Floats
    energy_kcal_mol: float
    gradient_rms_kcal_mol_angstrom: float
    frequencies_cm1: Floats
    start: str


@dataclass(frozen=True, kw_only=True)
class EngineCheck:
    """The second engine at the same geometry: differences, absolute; None when it has no such model."""

    energy_difference_kcal_mol: float | None
    gradient_difference_kcal_mol_angstrom: float | None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class SearchReport:
    """What was looked at: the rotamer lattice, the starts minimised, and what became of them."""

    ring_starts: int
    lattice_states: int
    starts_minimised: int
    minima_found: int
    exhaustive: bool
    rounds: int
    new_in_last_round: int
    dropped_stereo_changed: int
    dropped_unconverged: int
    saddles_left: int
    note: str = ""


# --- shape and labels ------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class RingShape:
    """Cremer-Pople puckering of the six-ring with the nearest of the 38 canonical forms.

    q_angstrom is the total amplitude Q; theta 0..180, phi 0..360; distance_deg is the angle on the sphere
    between the ring and the form named `form` (IUPAC-style, ring atoms 1..6).
    """

    q_angstrom: float
    theta_deg: float
    phi_deg: float
    family: RingFamily
    form: str
    distance_deg: float


@dataclass(frozen=True, kw_only=True)
class LigandPosition:
    """Orientation of one ligand in one conformer; angle_deg is to the mean-plane normal, 0 to 90."""

    carbon: int
    face: Face
    group: str
    position: Position
    angle_deg: float


@dataclass(frozen=True, kw_only=True)
class Contact:
    """A near pair of ligands: kind, carbons, groups, closest distance and, for gauche pairs, the dihedral."""

    kind: Literal["1,3-diaxial", "gauche", "flagpole"]
    carbons: tuple[int, int]
    groups: tuple[str, str]
    distance_angstrom: float
    dihedral_deg: float | None = None


@dataclass(frozen=True, kw_only=True)
class Conformer:
    """One distinct conformer (its permutation and mirror-image copies folded into the counts).

    chair is the letter of the chair it belongs to, or None for any other ring shape. copies_a, copies_b and
    copies_other count its labelled copies in chair A, in chair B and outside both; the rule is in
    `chairgap.shape.copies`.
    """

    number: int
    minimum: Minimum
    shape: RingShape
    chair: ChairLetter | None
    ligands: tuple[LigandPosition, ...]
    contacts: tuple[Contact, ...]
    copies_a: int
    copies_b: int
    copies_other: int
    gibbs_kcal_mol: float
    check: EngineCheck

    @property
    def copies(self) -> int:
        return self.copies_a + self.copies_b + self.copies_other


# --- estimate --------------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class AValueRow:
    """One row of an A-value table: G(axial) - G(equatorial) in kcal/mol, positive = equatorial preferred."""

    group: str
    names: tuple[str, ...]
    fragment: str
    value_kcal_mol: float
    low_kcal_mol: float
    high_kcal_mol: float
    temperature_k: float | None
    solvent: str
    method: str
    source: str
    known: Literal["primary", "compilation", "from memory"]
    note: str


@dataclass(frozen=True, kw_only=True)
class InteractionRow:
    """One correction between two groups. kind says which; `form` says how the value is to be used:
    'replacing' (the whole pair energy, takes the place of two group/H contacts) or 'excess' (on top)."""

    kind: Literal["syn-diaxial", "vicinal gauche"]
    group_1: str
    group_2: str
    form: CorrectionForm
    value_kcal_mol: float
    low_kcal_mol: float
    high_kcal_mol: float
    source: str
    known: Literal["primary", "compilation", "from memory"]
    note: str


@dataclass(frozen=True, kw_only=True)
class EstimateTable:
    """An A-value table with its interaction rows; `name` is what a study calls it."""

    name: str
    a_values: tuple[AValueRow, ...]
    interactions: tuple[InteractionRow, ...]


@dataclass(frozen=True, kw_only=True)
class LedgerTerm:
    """One line of the hand estimate: an energy that `chair` has to carry (kcal/mol, positive = unfavourable).

    All three energies are None when the term is needed but no published value is in the table.
    """

    chair: ChairLetter
    kind: Literal["A-value", "syn-diaxial", "vicinal gauche", "geminal"]
    carbons: tuple[int, ...]
    groups: tuple[str, ...]
    value_kcal_mol: float | None
    low_kcal_mol: float | None
    high_kcal_mol: float | None
    source: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """The hand estimate of G(chair B) - G(chair A), with its range and everything it rests on.

    missing names each term without a published value; flags holds 'geminal' when groups share a carbon.
    The three energies leave the missing terms out; `complete` is False when there are any.
    """

    terms: tuple[LedgerTerm, ...]
    gap_kcal_mol: float | None
    low_kcal_mol: float | None
    high_kcal_mol: float | None
    missing: tuple[str, ...]
    flags: tuple[str, ...]

    @property
    def complete(self) -> bool:
        return not self.missing


# --- comparison ------------------------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class Gaps:
    """The four computed gaps, E(B) - E(A), kcal/mol; None where one of the two sides has no minimum.

    potential: best conformer of each chair, potential energy, no temperature.
    ensemble: -RT ln of the Boltzmann sums over all rotamers of each chair, potential energies, at T.
    gibbs: the same with rigid-rotor harmonic Gibbs energies, at T.
    to_non_chair: best non-chair minus best chair, potential energy; positive = the chair is lower.
    The three populations (Gibbs, fractions) add up to 1; equilibrium_constant = [A]/[B].
    """

    potential_kcal_mol: float | None
    ensemble_kcal_mol: float | None
    gibbs_kcal_mol: float | None
    to_non_chair_kcal_mol: float | None
    population_a: float
    population_b: float
    population_non_chair: float
    equilibrium_constant: float | None
    equal_by_symmetry: bool


@dataclass(frozen=True, kw_only=True)
class Reason:
    """Why estimate and computation differ (or cannot be compared); `evidence` carries the number."""

    code: str
    evidence: str


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Estimate against computed Gibbs gap; difference = computed - estimate."""

    difference_kcal_mol: float | None
    sign: Verdict
    size: Verdict
    preferred: Literal["A", "B", "non-chair", "undecided", "equal"]
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, kw_only=True)
class Result:
    """Everything known about one molecule at the end of the pipeline."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    conformers: tuple[Conformer, ...]
    search: SearchReport
    estimate: Estimate
    gaps: Gaps
    comparison: Comparison


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """A finished study: results in the order of the requests, and the molecules refused or failed."""

    study: Study
    table: EstimateTable
    results: tuple[Result, ...]
    refused: tuple[Refusal, ...]
    failed: tuple[Refusal, ...]
