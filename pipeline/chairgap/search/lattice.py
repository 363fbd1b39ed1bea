"""The lattice of starting geometries: ring starts x group variants x rotor states."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

from chairgap.molecule.build import open_molecule
from chairgap.records import Floats, ForceField, Integers, Molecule
from chairgap.search.fragments import Variant, group_variants, groups_of
from chairgap.search.placing import place
from chairgap.search.ring_templates import RingStart, all_ring_starts, distinct_ring_starts
from chairgap.search.rotamers import Rotor, find_rotors, torsion_chains, turn
from chairgap.shape.degeneracy import Operations, every_relabelling, feasible_operations


@dataclass(frozen=True, kw_only=True)
class Start:
    """A geometry (n, 3) to minimise from: its name, and the variant of each group it was built with."""

    positions: Floats
    name: str
    variants: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Lattice:
    """All starting geometries of a molecule; a point is (ring, variant per group, state per rotor).

    operations count copies, relabellings recognise repeats; chains (t, 4) are the dihedrals by which starts
    are recognised.
    """

    molecule: Molecule
    rings: tuple[RingStart, ...]
    groups: tuple[int, ...]
    variants: tuple[tuple[Variant, ...], ...]
    rotors: tuple[Rotor, ...]
    operations: Operations
    relabellings: Operations
    chains: Integers

    @property
    def shape(self) -> tuple[int, ...]:
        return (
            len(self.rings),
            *(len(choices) for choices in self.variants),
            *(len(rotor.states_deg) for rotor in self.rotors),
        )

    @property
    def size(self) -> int:
        return prod(self.shape)

    def start(self, point: Sequence[int]) -> Start:
        """The start at a lattice point."""
        split = 1 + len(self.groups)
        variants, ring = tuple(point[1:split]), self.rings[point[0]]
        angles = [rotor.states_deg[i] for rotor, i in zip(self.rotors, point[split:], strict=True)]
        name = f"{ring.label} " + "".join(str(index) for index in point[1:])
        return Start(positions=self.built(ring.ring, variants, angles), name=name, variants=variants)

    def built(self, ring: Floats, variants: Sequence[int], angles_deg: Sequence[float]) -> Floats:
        """Positions (n, 3) with this ring (6, 3), this variant of each group and each rotor turned so."""
        choices = zip(self.groups, self.variants, variants, strict=True)
        positions = place(self.molecule.topology, ring, {atom: of[index] for atom, of, index in choices})
        for rotor, angle in zip(self.rotors, angles_deg, strict=True):
            positions = turn(rotor, positions, angle)
        return positions


def build_lattice(molecule: Molecule, force_field: ForceField, seed: int) -> Lattice:
    """Ring starts, group variants and rotors of a molecule; groups are shaped with the force field."""
    topology, mol = molecule.topology, open_molecule(molecule)
    groups = groups_of(topology)
    variants = tuple(group_variants(mol, group, force_field, seed) for group in groups)
    first = {group.ligand.atom: choices[0] for group, choices in zip(groups, variants, strict=True)}
    operations = feasible_operations(topology, place(topology, all_ring_starts()[0].ring, first))
    return Lattice(
        molecule=molecule,
        rings=distinct_ring_starts(topology, operations),
        groups=tuple(group.ligand.atom for group in groups),
        variants=variants,
        rotors=find_rotors(mol, topology),
        operations=operations,
        relabellings=every_relabelling(topology),
        chains=torsion_chains(mol, topology),
    )
