"""Minima, the account of the search, and conformers with their shapes and labels."""

from dataclasses import dataclass
from typing import Literal

from chairgap.records.types import ChairLetter, Face, Floats, Position, RingFamily


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
class LateMinima:
    """Energies of the minima of one chair, kcal/mol: those met before the last quarter of the starts, and
    those met in it (`chairgap.compare.uncertainty.late_shift_kcal_mol`)."""

    before_kcal_mol: tuple[float, ...]
    late_kcal_mol: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class SearchReport:
    """What was looked at: the rotamer lattice, the starts minimised, and what became of them. Starts that
    were recognised as leading to a known minimum are not among those minimised; starts_left_early were begun,
    and left on the way downhill. late says what the end of a
    search brought that its budget ended; it is empty for one that came to its end."""

    ring_starts: int
    lattice_states: int
    starts_minimised: int
    starts_left_early: int = 0
    minima_found: int
    exhaustive: bool
    rounds: int
    new_in_last_round: int
    late: tuple[LateMinima, ...] = ()
    dropped_stereo_changed: int
    dropped_unconverged: int
    saddles_left: int

    @property
    def minimisations_per_minimum(self) -> float | None:
        """Starts minimised, to the end, for each distinct minimum; None where there is no minimum."""
        return self.starts_minimised / self.minima_found if self.minima_found else None


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
class Species:
    """One distinct conformer (its permutation and mirror-image copies folded into the counts), without what
    depends on the temperature.

    chair is the letter of the chair it belongs to, or None for any other ring shape. degeneracy_a,
    degeneracy_b and degeneracy_other count its labelled copies in chair A, in chair B and outside both; the
    rule is in `chairgap.shape.degeneracy`, as are rotational_symmetry (the symmetry number sigma) and
    mirror_images (2 when its mirror image is another conformer of the same compound, else 1), which say the
    same in another way. dipole_debye is None for an ion, or when no charges are known.
    """

    number: int
    minimum: Minimum
    shape: RingShape
    chair: ChairLetter | None
    ligands: tuple[LigandPosition, ...]
    contacts: tuple[Contact, ...]
    degeneracy_a: int
    degeneracy_b: int
    degeneracy_other: int
    rotational_symmetry: int
    mirror_images: int
    dipole_debye: float | None
    check: EngineCheck

    @property
    def degeneracy(self) -> int:
        return self.degeneracy_a + self.degeneracy_b + self.degeneracy_other

    @property
    def chairs_held(self) -> str:
        """'A', 'B', 'A and B' where symmetry puts its copies into both chairs, or ''."""
        held = [letter for letter, count in (("A", self.degeneracy_a), ("B", self.degeneracy_b)) if count]
        return " and ".join(held)


@dataclass(frozen=True, kw_only=True)
class Conformer(Species):
    """A distinct conformer at a temperature: energies without translation and symmetry number, enthalpy and
    Gibbs energy quasi-harmonic, harmonic_gibbs with no frequency raised (None when one is not above zero)."""

    enthalpy_kcal_mol: float
    gibbs_kcal_mol: float
    harmonic_gibbs_kcal_mol: float | None


@dataclass(frozen=True, kw_only=True)
class Level:
    """A distinct conformer as far as a sum over states needs it: potential energy, frequencies (3n - 6,),
    principal moments of inertia (3,) in u angstrom^2, and its labelled copies in chair A, in chair B and
    outside both."""

    energy_kcal_mol: float
    frequencies_cm1: Floats
    moments_u_angstrom2: Floats
    degeneracy_a: int
    degeneracy_b: int
    degeneracy_other: int


@dataclass(frozen=True, kw_only=True)
class MediumLevels:
    """The conformers of a molecule in a medium of the series, without what depends on the temperature; the
    gas phase has dielectric constant 1. Hydrogen bonds are those of the best conformer of each chair."""

    medium: str
    dielectric: float
    levels: tuple[Level, ...]
    hydrogen_bonds_a: int
    hydrogen_bonds_b: int
