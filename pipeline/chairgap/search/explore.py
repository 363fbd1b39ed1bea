"""The conformer search: a lattice of ring starts, group variants and rotor states, and what it minimises to.

The lattice is walked completely when its size is within the budget. Otherwise it is sampled in rounds, half
at random and half by turning single rotors of the low minima known so far, until a round brings nothing
new. In either case rounds follow in which every low minimum has each of its rotors turned *in its own
relaxed geometry*, which reaches rotamers of ring shapes that no start had.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from chairgap.minimise.settle import EnergyModel
from chairgap.molecule.build import open_molecule
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Floats, ForceField, Molecule, SearchReport, SearchSettings
from chairgap.search.fragments import Variant, group_variants
from chairgap.search.placing import place
from chairgap.search.ring_templates import RingStart, all_ring_starts, distinct_ring_starts
from chairgap.search.rotamers import Rotor, find_rotors, turn, turn_by
from chairgap.shape.contacts import ligand_atoms
from chairgap.shape.copies import Operations, feasible_operations
from chairgap.shape.duplicates import find_same

# Minimised to a relative gradient of 1e-6, equal minima agree far better than this.
ENERGY_SIEVE_KCAL_MOL = 1e-4
_ROUND = 200
_MOST_ROUNDS = 12


@dataclass(frozen=True, kw_only=True)
class Lattice:
    """All starting geometries of a molecule; a point is (ring, variant per group, state per rotor)."""

    molecule: Molecule
    rings: tuple[RingStart, ...]
    groups: tuple[int, ...]
    variants: tuple[tuple[Variant, ...], ...]
    rotors: tuple[Rotor, ...]
    operations: Operations

    @property
    def shape(self) -> tuple[int, ...]:
        return (
            len(self.rings),
            *(len(choices) for choices in self.variants),
            *(len(rotor.states_deg) for rotor in self.rotors),
        )

    @property
    def size(self) -> int:
        size = 1
        for count in self.shape:
            size *= count
        return size

    def geometry(self, point: Sequence[int]) -> Floats:
        """(n, 3) start at a lattice point."""
        split = 1 + len(self.groups)
        chosen = {
            atom: choices[index]
            for atom, choices, index in zip(self.groups, self.variants, point[1:split], strict=True)
        }
        positions = place(self.molecule.topology, self.rings[point[0]].ring, chosen)
        for rotor, index in zip(self.rotors, point[split:], strict=True):
            positions = turn(rotor, positions, rotor.states_deg[index])
        return positions

    def label(self, point: Sequence[int]) -> str:
        """A start by name: ring form and the indices of variants and rotor states."""
        return f"{self.rings[point[0]].label} " + "".join(str(index) for index in point[1:])


@dataclass(frozen=True, kw_only=True)
class Found:
    """A distinct minimum as the search left it (not yet verified)."""

    energy_kcal_mol: float
    positions: Floats
    start: str


@dataclass(kw_only=True)
class _Catch:
    """Working memory of one search."""

    lattice: Lattice
    model: EnergyModel
    minima: list[Found] = field(default_factory=list)
    minimised: int = 0
    unconverged: int = 0
    stereo_changed: int = 0

    def add(self, positions: Floats, start: str) -> bool:
        """Minimise one start; True when it gave a conformer not known before."""
        self.minimised += 1
        relaxed = self.model.minimise(positions)
        if relaxed is None:
            self.unconverged += 1
            return False
        if not stereo_survives(self.lattice.molecule, relaxed):
            self.stereo_changed += 1
            return False
        energy, _ = self.model.energy_and_gradient(relaxed)
        known = [(found.energy_kcal_mol, found.positions) for found in self.minima]
        same = find_same(
            self.lattice.molecule.topology,
            self.lattice.operations,
            known,
            energy,
            relaxed,
            energy_within_kcal_mol=ENERGY_SIEVE_KCAL_MOL,
        )
        if same is None:
            self.minima.append(Found(energy_kcal_mol=energy, positions=relaxed, start=start))
        return same is None


def build_lattice(molecule: Molecule, force_field: ForceField, seed: int) -> Lattice:
    """Ring starts, group variants and rotors of a molecule; groups are shaped with the force field."""
    topology, mol = molecule.topology, open_molecule(molecule)
    members = ligand_atoms(topology)
    places = {ligand.atom: carbon.atom for carbon in topology.carbons for ligand in carbon.ligands}
    ligands = [ligand for _, ligand in topology.groups]
    variants = tuple(
        group_variants(mol, places[ligand.atom], ligand, members[ligand.atom], force_field, seed)
        for ligand in ligands
    )
    first = {ligand.atom: choices[0] for ligand, choices in zip(ligands, variants, strict=True)}
    operations = feasible_operations(topology, place(topology, all_ring_starts()[0].ring, first))
    return Lattice(
        molecule=molecule,
        rings=distinct_ring_starts(topology, operations),
        groups=tuple(ligand.atom for ligand in ligands),
        variants=variants,
        rotors=find_rotors(mol, topology),
        operations=operations,
    )


def explore(
    lattice: Lattice, model: EnergyModel, settings: SearchSettings
) -> tuple[tuple[Found, ...], SearchReport]:
    """Distinct minima, lowest first, and the account of the search."""
    catch = _Catch(lattice=lattice, model=model)
    rng = np.random.default_rng(settings.seed)
    exhaustive = lattice.size <= settings.most_starts
    tried: set[tuple[int, ...]] = set()
    rounds, new = 1, 0
    for point in _first_points(lattice, exhaustive, rng):
        tried.add(point)
        new += catch.add(lattice.geometry(point), lattice.label(point))
    turned: set[int] = set()
    while new and rounds < _MOST_ROUNDS and catch.minimised < settings.most_starts:
        rounds, new = rounds + 1, 0
        for positions, start in _next_starts(catch, exhaustive, tried, turned, settings, rng):
            new += catch.add(positions, start)
            if catch.minimised >= settings.most_starts and not exhaustive:
                break
    minima = tuple(sorted(catch.minima, key=lambda found: found.energy_kcal_mol))
    return minima, SearchReport(
        ring_starts=len(lattice.rings),
        lattice_states=lattice.size,
        starts_minimised=catch.minimised,
        minima_found=len(minima),
        exhaustive=exhaustive,
        rounds=rounds,
        new_in_last_round=new,
        dropped_stereo_changed=catch.stereo_changed,
        dropped_unconverged=catch.unconverged,
        saddles_left=0,
    )


def _first_points(lattice: Lattice, exhaustive: bool, rng: np.random.Generator) -> Iterator[tuple[int, ...]]:
    if exhaustive:
        yield from np.ndindex(*lattice.shape)
    else:
        yield from _random_points(lattice, rng, _ROUND)


def _random_points(lattice: Lattice, rng: np.random.Generator, count: int) -> list[tuple[int, ...]]:
    return [tuple(int(rng.integers(size)) for size in lattice.shape) for _ in range(count)]


def _next_starts(
    catch: _Catch,
    exhaustive: bool,
    tried: set[tuple[int, ...]],
    turned: set[int],
    settings: SearchSettings,
    rng: np.random.Generator,
) -> Iterator[tuple[Floats, str]]:
    """Starts of one further round: fresh lattice points when sampling, then turned rotors of low minima."""
    lattice = catch.lattice
    if not exhaustive:
        for point in _random_points(lattice, rng, _ROUND // 2):
            if point not in tried:
                tried.add(point)
                yield lattice.geometry(point), lattice.label(point)
    floor = min((found.energy_kcal_mol for found in catch.minima), default=0.0)
    order = sorted(range(len(catch.minima)), key=lambda index: catch.minima[index].energy_kcal_mol)
    for index in order:
        found = catch.minima[index]
        if index in turned or found.energy_kcal_mol > floor + settings.window_kcal_mol:
            continue
        turned.add(index)
        for number, rotor in enumerate(lattice.rotors, start=1):
            for state in rotor.states_deg[1:]:
                by_deg = state - rotor.states_deg[0]
                yield (
                    turn_by(rotor, found.positions, by_deg),
                    f"{found.start} rotor {number} {by_deg:+.0f}",
                )
