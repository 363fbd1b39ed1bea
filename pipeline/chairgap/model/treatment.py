"""One molecule through the model: search, verified minima, conformers, gaps. No table is looked at here.

No temperature either, until the very end: what costs is kept as it is at none (`Computed`).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chairgap.compare.gaps import solvent_point
from chairgap.compare.thermochemistry import principal_moments
from chairgap.compare.warm import at_temperature
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
    Computed,
    EngineCheck,
    Ensemble,
    Level,
    Medium,
    MediumLevels,
    Minimum,
    Molecule,
    SearchReport,
    Settings,
    SolventPoint,
    Species,
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


def computed_for_all(molecule: Molecule, settings: Settings) -> Computed:
    """What the model says of one molecule at any temperature, also in the media of the series. Raises what
    `search` and `ensemble_of` raise."""
    searched = search(molecule, settings)
    ensemble = ensemble_of(searched, settings)
    return Computed(ensemble=ensemble, media=in_media(searched, ensemble, settings))


def warmed(computed: Computed, settings: Settings) -> tuple[Computation, tuple[SolventPoint, ...]]:
    """What was computed, at the temperature of the settings: in its own medium, and in the series."""
    at_k = settings.temperature_k
    computation = at_temperature(computed.ensemble, at_k, settings.search.window_kcal_mol)
    return computation, tuple(solvent_point(levels, at_k) for levels in computed.media)


def search(molecule: Molecule, settings: Settings) -> Searched:
    """Minima worth reporting, not yet verified. Raises EngineError when the force field cannot be set up."""
    there = agreed(molecule)
    chairs = two_chairs(there.molecule.topology)
    model = search_model(there.molecule, settings)
    lattice = build_lattice(there.molecule, settings.force_field, settings.search.seed)
    found, report = explore(lattice, model, settings.search)
    return Searched(
        molecule=molecule,
        agreed=there,
        lattice=lattice,
        model=model,
        minima=worth_reporting(found, lattice, chairs, settings.search.window_kcal_mol),
        report=report,
    )


def on_surface(searched: Searched, settings: Settings) -> Computation:
    """Verified conformers and gaps at the temperature and on the surface that the settings ask for. Raises
    what `ensemble_of` raises."""
    ensemble = ensemble_of(searched, settings)
    return at_temperature(ensemble, settings.temperature_k, settings.search.window_kcal_mol)


def ensemble_of(searched: Searched, settings: Settings, solute: Solute | None = None) -> Ensemble:
    """Verified conformers on the surface the settings ask for; a `solute` serves several media.

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
    return Ensemble(
        molecule=searched.molecule,
        chairs=chairs,
        species=describe(topology, operations, chairs, own, checks),
        search=verified.report,
        equal_by_symmetry=chairs_equal_by_symmetry(operations),
    )


def in_media(searched: Searched, ensemble: Ensemble, settings: Settings) -> tuple[MediumLevels, ...]:
    """The conformers in each medium of the series. `ensemble` is that of the study's own medium. Raises as
    `ensemble_of` does."""
    others = [medium for medium in settings.medium_series if medium != settings.medium]
    mol = open_molecule(searched.lattice.molecule)
    solutes: dict[tuple[BornRadius, ...], Solute] = {}
    found = {}
    for medium in others:
        radii = medium.born_radii
        if not medium.is_gas and radii not in solutes:
            solutes[radii] = open_solute(mol, settings.force_field, radii)
        own = replace(settings, medium=medium)
        found[medium.name] = ensemble_of(searched, own, solutes.get(radii))
    return tuple(_levels(found.get(medium.name, ensemble), medium) for medium in settings.medium_series)


def _levels(ensemble: Ensemble, medium: Medium) -> MediumLevels:
    topology = ensemble.molecule.topology

    def bonds(side: str) -> int:
        held = [c for c in ensemble.species if (c.degeneracy_a if side == "A" else c.degeneracy_b)]
        best = min(held, key=lambda c: c.minimum.energy_kcal_mol, default=None)
        return len(hydrogen_bonds(topology, best.minimum.positions)) if best else 0

    return MediumLevels(
        medium=medium.name,
        dielectric=medium.dielectric,
        levels=levels_of(ensemble),
        hydrogen_bonds_a=bonds("A"),
        hydrogen_bonds_b=bonds("B"),
    )


def levels_of(ensemble: Ensemble) -> tuple[Level, ...]:
    """The conformers as far as sums over states need them."""
    return tuple(
        Level(
            energy_kcal_mol=item.minimum.energy_kcal_mol,
            frequencies_cm1=item.minimum.frequencies_cm1,
            moments_u_angstrom2=principal_moments(
                item.minimum.positions, ensemble.molecule.topology.masses_u
            ),
            degeneracy_a=item.degeneracy_a,
            degeneracy_b=item.degeneracy_b,
            degeneracy_other=item.degeneracy_other,
        )
        for item in ensemble.species
    )


def describe(
    topology: Topology,
    operations: Operations,
    chairs: tuple[Chair, Chair],
    minima: Sequence[Minimum],
    checks: Sequence[EngineCheck],
) -> tuple[Species, ...]:
    """Verified minima with ring shape, positions, contacts, degeneracies and engine check."""
    found = []
    for number, (minimum, check) in enumerate(zip(minima, checks, strict=True), start=1):
        positions = minimum.positions
        shape = ring_shape(positions[topology.ring])
        ligands = ligand_positions(topology, positions, shape)
        chair = which_chair(shape, chairs)
        degeneracy = count_degeneracy(topology, operations, positions)
        found.append(
            Species(
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
                dipole_debye=dipole_debye(topology.charges_e, positions),
                check=check,
            )
        )
    return tuple(found)
