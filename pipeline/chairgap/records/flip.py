"""Saddle points between ring shapes, and the path of a ring flip."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from chairgap.records.conformer import Minimum, RingShape
from chairgap.records.molecule import Chair, Molecule
from chairgap.records.types import ChairLetter, Face, Floats, Position, RingFamily

SaddleKind = Literal["chair to twist-boat", "twist-boat to twist-boat", "chair to chair"]


@dataclass(frozen=True, kw_only=True)
class Saddle:
    """A verified saddle: positions (n, 3) angstrom; frequencies_cm1 (3n - 6,) ascending, the first negative
    (imaginary), the others not; mode (n, 3) its Cartesian displacement, length 1."""

    positions: Floats
    energy_kcal_mol: float
    gradient_rms_kcal_mol_angstrom: float
    frequencies_cm1: Floats
    mode: Floats
    start: str


@dataclass(frozen=True, kw_only=True)
class FlipMinimum:
    """A labelled minimum: no symmetry is used, so that both chairs and all six twist-boats stand apart.

    form is 'A' or 'B' for a chair, else the nearest canonical form. Enthalpy and Gibbs energy as in
    Conformer.
    """

    number: int
    form: str
    chair: ChairLetter | None
    minimum: Minimum
    shape: RingShape
    enthalpy_kcal_mol: float
    gibbs_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class FlipSaddle:
    """A labelled saddle. `ends` are what its two sides run down to, along its mode and against it: each ring
    form with the number of its minimum. A side has two where the way down divides, as on a mirror plane.

    Enthalpy and Gibbs energy leave the imaginary mode out.
    """

    number: int
    kind: SaddleKind
    ends: tuple[Mapping[str, int], Mapping[str, int]]
    saddle: Saddle
    shape: RingShape
    enthalpy_kcal_mol: float
    gibbs_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class FlipSearch:
    """What was tried: starts of saddle searches, and what became of them."""

    starts: int
    not_converged: int
    repeats: int
    stereo_changed: int
    no_ring_change: int
    ends_unknown: int


@dataclass(frozen=True, kw_only=True)
class FlipStep:
    """One step of the lowest path: a saddle between two forms."""

    from_form: str
    to_form: str
    saddle: int


@dataclass(frozen=True, kw_only=True)
class FlipRates:
    """Transition-state theory at T: rate constants in 1/s for leaving each chair to any twist-boat, and for
    reaching the other chair, A -> B and B -> A."""

    temperature_k: float
    leave_a_per_s: float
    leave_b_per_s: float
    a_to_b_per_s: float
    b_to_a_per_s: float
    barrier_a_gibbs_kcal_mol: float
    barrier_b_gibbs_kcal_mol: float


@dataclass(frozen=True, kw_only=True)
class Flip:
    """The landscape of one molecule: minima, saddles, and the path between the chairs whose highest saddle is
    lowest (empty when the saddles found do not join them; `note` then says so)."""

    molecule: Molecule
    chairs: tuple[Chair, Chair]
    temperature_k: float
    minima: tuple[FlipMinimum, ...]
    saddles: tuple[FlipSaddle, ...]
    search: FlipSearch
    path: tuple[FlipStep, ...]
    rates: FlipRates | None
    note: str


@dataclass(frozen=True, kw_only=True)
class PathFrame:
    """One geometry of the path: positions (n, 3) angstrom; `place` names minima and saddles, '' between."""

    positions: Floats
    energy_kcal_mol: float
    shape: RingShape
    step: str
    place: str


@dataclass(frozen=True, kw_only=True)
class SpherePoint:
    """The map at one place: energy above the lowest minimum of the molecule, kcal/mol; the poles have phi 0.

    spread is the difference between the directions that reached it; Q is what the ring took on its ray.
    """

    theta_deg: float
    phi_deg: float
    q_angstrom: float
    energy_kcal_mol: float
    spread_kcal_mol: float
    walks: int


@dataclass(frozen=True, kw_only=True)
class FlipLevel:
    """A minimum or saddle of the lowest path, energies above the lowest minimum; name: 'chair A' and its
    groups, or the family and the form of the ring, on two lines."""

    kind: Literal["minimum", "saddle"]
    name: str
    potential_kcal_mol: float
    enthalpy_kcal_mol: float
    gibbs_kcal_mol: float

    @property
    def energies_kcal_mol(self) -> tuple[float, float, float]:
        """Potential energy, enthalpy, Gibbs energy."""
        return (self.potential_kcal_mol, self.enthalpy_kcal_mol, self.gibbs_kcal_mol)


@dataclass(frozen=True, kw_only=True)
class FlipLevels:
    """The lowest path as levels, at a temperature, by a model in the gas phase; path is empty where there is
    none, as `note` says then. chairs: names of chair A and B. barriers: Gibbs energies out of chair A and out
    of chair B, where known."""

    molecule: str
    model: str
    temperature_k: float
    chairs: tuple[str, str]
    path: tuple[FlipLevel, ...]
    barriers_kcal_mol: tuple[float, float] | None
    note: str


@dataclass(frozen=True, kw_only=True)
class KeptGroup:
    """A group (never H): ring carbon (1 to 6), face, index of its first atom, formula."""

    carbon: int
    face: Face
    atom: int
    group: str


@dataclass(frozen=True, kw_only=True)
class KeptFrame:
    """A geometry of the path as an onlooker has it who stands a little above the mean plane of the ring:
    positions of all atoms, x to the right, y upwards, z towards him, in angstrom round the middle of the
    ring. Energy above the lowest minimum. place: 'minimum 2', 'saddle 1', or '' between. stands: how each
    group stands."""

    positions: tuple[tuple[float, float, float], ...]
    energy_kcal_mol: float
    theta_deg: float
    phi_deg: float
    family: RingFamily
    form: str
    place: str
    stands: tuple[Position, ...]


@dataclass(frozen=True, kw_only=True)
class KeptFlip:
    """What a flip leaves behind to be shown again, in flip.json. smiles and groups_by_face (with the words
    that say where the numbers are from) name the molecule; bonds join indices of symbols; ring: those of ring
    carbons 1 to 6; north: the chair at theta 0; map: (theta, phi, energy above the lowest minimum)."""

    smiles: str
    groups_by_face: str
    levels: FlipLevels
    north: ChairLetter
    symbols: tuple[str, ...]
    bonds: tuple[tuple[int, int], ...]
    ring: tuple[int, int, int, int, int, int]
    groups: tuple[KeptGroup, ...]
    frames: tuple[KeptFrame, ...]
    map: tuple[tuple[float, float, float], ...]
