"""The built molecule in plain arrays, and its two chairs by name."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from chairgap.errors import Place
from chairgap.records.naming import MoleculeName
from chairgap.records.types import ChairLetter, Face, Floats, Integers, NumberedBy, Position


@dataclass(frozen=True, kw_only=True)
class Ligand:
    """The ligand of a ring carbon on one face.

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
    atoms outside `labelled` are the atom itself and mean nothing.
    centres: (c, 4) atom and three neighbours whose handedness no rotation changes (inverting N left out).
    stiff_bonds: (s, 4) dihedrals i-j-k-l across double bonds, which rotation does not turn.
    charges_e: (n,) partial charges for dipole moments, None when there are none; charges_from names their
    origin.
    leading: (locant, face) of the group that stands first in the agreed writing of the ring
    (`chairgap.molecule.numbering`), None without groups.
    """

    symbols: tuple[str, ...]
    masses_u: Floats
    bonds: Integers
    carbons: tuple[RingCarbon, ...]
    labelled: Integers
    automorphisms: Integers
    centres: Integers
    stiff_bonds: Integers
    charges_e: Floats | None
    charges_from: str
    leading: tuple[int, Face] | None = None

    @cached_property
    def ring(self) -> Integers:
        """(6,) atom indices of ring carbons 1 to 6."""
        return np.array([carbon.atom for carbon in self.carbons], dtype=np.int64)

    @cached_property
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
    adapters in molecule/, search/ and minimise/ open it. naming: None for a part of a molecule, which has no
    name of its own. numbered: where the numbers of the ring carbons are from."""

    name: str
    smiles: str
    inchi: str
    groups_by_face: str
    topology: Topology
    rdkit_binary: bytes
    place: Place
    notes: tuple[str, ...] = ()
    naming: MoleculeName | None = None
    numbered: NumberedBy = "Numbers as given"

    @property
    def numbered_groups(self) -> str:
        """'Numbered by IUPAC: 1 up OH, 2 down CH3', what a text about the molecule begins with."""
        return f"{self.numbered}: {self.groups_by_face}"


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
