"""One molecule through the model: search, verified minima, conformers, gaps. No table is looked at here."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chairgap.compare.gaps import compute_gaps
from chairgap.compare.thermochemistry import thermal
from chairgap.errors import EngineError
from chairgap.minimise.engines import open_engines, search_model
from chairgap.minimise.solvated import Solute, open_solute
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.agreed import Agreed, agreed
from chairgap.molecule.build import open_molecule
from chairgap.records import (
    BornRadius,
    Chair,
    Computation,
    Conformer,
    EngineCheck,
    Medium,
    Minimum,
    Molecule,
    SearchReport,
    Settings,
    SolventPoint,
    Topology,
)
from chairgap.search.explore import Found, explore
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.search.verify import move_to, verify, worth_reporting
from chairgap.shape.canonical import ring_shape
from chairgap.shape.chairs import two_chairs
from chairgap.shape.contacts import find_contacts
from chairgap.shape.degeneracy import (
    Operations,
    chairs_equal_by_symmetry,
    count_degeneracy,
    feasible_operations,
)
from chairgap.shape.dipole import dipole_debye
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from chairgap.shape.positions import ligand_positions, which_chair


@dataclass(frozen=True, kw_only=True)
class Searched:
    """What the search of the force field's gas-phase surface left, in the agreed writing, and the molecule as
    the user writes it; owns native objects, no record."""

    molecule: Molecule
    agreed: Agreed
    lattice: Lattice
    model: EnergyModel
    minima: tuple[Found, ...]
    report: SearchReport


def compute(molecule: Molecule, settings: Settings) -> Computation:
    """Everything the model says of one molecule. Raises what `search` and `on_surface` raise."""
    return on_surface(search(molecule, settings), settings)


def search(molecule: Molecule, settings: Settings) -> Searched:
    """Minima worth reporting, not yet verified. Raises EngineError when the force field cannot be set up."""
    there = agreed(molecule)
    chairs = two_chairs(there.molecule.topology)
    model = search_model(there.molecule, settings)
    lattice = build_lattice(there.molecule, settings.force_field, settings.search.seed)
    found, report = explore(lattice, model, settings.search, settings.temperature_k)
    return Searched(
        molecule=molecule,
        agreed=there,
        lattice=lattice,
        model=model,
        minima=worth_reporting(found, lattice, chairs, settings.search.window_kcal_mol),
        report=report,
    )


def on_surface(searched: Searched, settings: Settings, solute: Solute | None = None) -> Computation:
    """Verified conformers and gaps on the surface the settings ask for; a `solute` serves several media.

    Raises EngineError when no minimum stands up to verification, and the errors of `open_engines`.
    """
    lattice = searched.lattice
    engines = open_engines(lattice.molecule, settings, searched.model, solute)
    minima = searched.minima
    if engines.surface is not searched.model:
        minima = move_to(minima, engines.surface)
    verified = verify(minima, lattice, engines.surface, searched.report)
    if not verified.minima:
        raise EngineError("no verified minimum was found; raise the search effort or check the molecule.")
    topology = searched.molecule.topology
    chairs = two_chairs(topology)
    checks = [engines.check(minimum) for minimum in verified.minima]
    own = [replace(minimum, positions=searched.agreed.back(minimum.positions)) for minimum in verified.minima]
    operations = feasible_operations(topology, own[0].positions)
    conformers = describe(topology, operations, chairs, own, checks, settings.temperature_k)
    equal = chairs_equal_by_symmetry(operations)
    return Computation(
        molecule=searched.molecule,
        chairs=chairs,
        conformers=conformers,
        search=verified.report,
        gaps=compute_gaps(conformers, settings.temperature_k, equal_by_symmetry=equal),
    )


def medium_series(searched: Searched, computed: Computation, settings: Settings) -> tuple[SolventPoint, ...]:
    """The gap in each medium of the series, at the temperature of the study. `computed` is that of
    the study's own medium. Raises as `on_surface` does."""
    others = [medium for medium in settings.medium_series if medium != settings.medium]
    mol = open_molecule(searched.lattice.molecule)
    solutes: dict[tuple[BornRadius, ...], Solute] = {}
    found = {}
    for medium in others:
        radii = medium.born_radii
        if not medium.is_gas and radii not in solutes:
            solutes[radii] = open_solute(mol, settings.force_field, radii)
        own = replace(settings, medium=medium)
        found[medium.name] = on_surface(searched, own, solutes.get(radii))
    return tuple(
        _solvent_point(found.get(medium.name, computed), medium) for medium in settings.medium_series
    )


def _solvent_point(computed: Computation, medium: Medium) -> SolventPoint:
    gaps, topology = computed.gaps, computed.molecule.topology

    def bonds(side: str) -> int:
        held = [c for c in computed.conformers if (c.degeneracy_a if side == "A" else c.degeneracy_b)]
        best = min(held, key=lambda c: c.minimum.energy_kcal_mol, default=None)
        return len(hydrogen_bonds(topology, best.minimum.positions)) if best else 0

    return SolventPoint(
        medium=medium.name,
        dielectric=medium.dielectric,
        potential_kcal_mol=gaps.potential_kcal_mol,
        ensemble_kcal_mol=gaps.ensemble_kcal_mol,
        gibbs_kcal_mol=gaps.gibbs_kcal_mol,
        population_a=gaps.population_a,
        population_b=gaps.population_b,
        population_non_chair=gaps.population_non_chair,
        hydrogen_bonds_a=bonds("A"),
        hydrogen_bonds_b=bonds("B"),
    )


def describe(
    topology: Topology,
    operations: Operations,
    chairs: tuple[Chair, Chair],
    minima: Sequence[Minimum],
    checks: Sequence[EngineCheck],
    temperature_k: float,
) -> tuple[Conformer, ...]:
    """Verified minima with ring shape, positions, contacts, degeneracies, energies at T and engine check."""
    conformers = []
    for number, (minimum, check) in enumerate(zip(minima, checks, strict=True), start=1):
        positions = minimum.positions
        shape = ring_shape(positions[topology.ring])
        ligands = ligand_positions(topology, positions, shape)
        chair = which_chair(shape, chairs)
        degeneracy = count_degeneracy(topology, operations, positions)
        state = (
            minimum.energy_kcal_mol,
            minimum.frequencies_cm1,
            positions,
            topology.masses_u,
            temperature_k,
        )
        warm = thermal(*state)
        conformers.append(
            Conformer(
                number=number,
                minimum=minimum,
                shape=shape,
                chair=chair,
                ligands=ligands,
                contacts=find_contacts(topology, positions, shape, ligands),
                degeneracy_a={"A": degeneracy.own, "B": degeneracy.opposite}.get(chair or "", 0),
                degeneracy_b={"A": degeneracy.opposite, "B": degeneracy.own}.get(chair or "", 0),
                degeneracy_other=0 if chair else degeneracy.own + degeneracy.opposite,
                rotational_symmetry=degeneracy.rotational_symmetry,
                mirror_images=degeneracy.mirror_images,
                enthalpy_kcal_mol=warm.enthalpy_kcal_mol,
                gibbs_kcal_mol=warm.gibbs_kcal_mol(temperature_k),
                harmonic_gibbs_kcal_mol=(
                    thermal(*state, "harmonic").gibbs_kcal_mol(temperature_k)
                    if minimum.frequencies_cm1[0] > 0.0
                    else None
                ),
                dipole_debye=dipole_debye(topology.charges_e, positions),
                check=check,
            )
        )
    return tuple(conformers)
