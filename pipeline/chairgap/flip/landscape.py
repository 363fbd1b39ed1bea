"""All labelled minima of the ring, the saddles between them, and what each saddle joins."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from chairgap.compare.thermochemistry import thermal
from chairgap.errors import EngineError
from chairgap.flip.restrained import held_at
from chairgap.flip.starts import SaddleStart, saddle_starts
from chairgap.minimise.engines import search_model
from chairgap.minimise.saddle import find_saddle
from chairgap.minimise.verified import EnergyModel, Unverified, verified_minimum
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import (
    Chair,
    FlipMinimum,
    FlipSaddle,
    FlipSearch,
    Floats,
    Minimum,
    Molecule,
    Saddle,
    SaddleKind,
    Settings,
)
from chairgap.search.explore import ENERGY_SIEVE_KCAL_MOL, Found, explore
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.search.ring_templates import all_ring_starts
from chairgap.shape.canonical import ring_shape
from chairgap.shape.chairs import two_chairs
from chairgap.shape.degeneracy import rotor_relabellings
from chairgap.shape.duplicates import find_same
from chairgap.shape.positions import which_chair
from chairgap.shape.pucker_vector import pucker_vector_and_gradient

# Rotamers of a ring form this far above its lowest are kept: its free energy depends on them.
_ROTAMER_WINDOW_KCAL_MOL = 3.0
_MOST_ROTAMERS = 12
# A held start so far above the lowest of its kind leads to no saddle that matters.
_START_WINDOW_KCAL_MOL = 6.0
_PUSH_ANGSTROM = 0.12


@dataclass(frozen=True, kw_only=True)
class Ground:
    """The labelled minima, and what is needed to go on from them; owns native objects, no record."""

    lattice: Lattice
    chairs: tuple[Chair, Chair]
    model: EnergyModel
    found: tuple[Found, ...]
    sides: tuple[int, ...]


@dataclass(kw_only=True)
class _Catch:
    """Working memory of one saddle search."""

    ground: Ground
    settings: Settings
    minima: list[FlipMinimum]
    saddles: list[FlipSaddle] = field(default_factory=list)
    counts: dict[str, int] = field(default_factory=dict)

    def count(self, what: str) -> None:
        self.counts[what] = self.counts.get(what, 0) + 1


def survey(molecule: Molecule, settings: Settings) -> Ground:
    """Labelled minima of every ring form: chairs and twist-boats are started from all eight rings, and only
    equal atoms within a group are taken as equal. Raises EngineError when there is no minimum."""
    lattice = build_lattice(molecule, settings.force_field, settings.search.seed)
    lattice = replace(lattice, rings=all_ring_starts(), relabellings=rotor_relabellings(molecule.topology))
    model = search_model(molecule, settings)
    found, _ = explore(lattice, model, settings.search)
    if not found:
        raise EngineError("no minimum was found; raise the search effort or check the molecule.")
    chairs = two_chairs(molecule.topology)
    kept = _low_of_each_form(found, lattice, chairs)
    shapes = [ring_shape(item.positions[molecule.topology.ring]) for item in kept]
    sides = [
        0 if which_chair(shape, chairs) is None else 1 if shape.theta_deg < 90.0 else -1 for shape in shapes
    ]
    return Ground(lattice=lattice, chairs=chairs, model=model, found=kept, sides=tuple(sides))


def _form(positions: Floats, lattice: Lattice, chairs: tuple[Chair, Chair]) -> str:
    shape = ring_shape(positions[lattice.molecule.topology.ring])
    return which_chair(shape, chairs) or shape.form


def _low_of_each_form(
    found: Sequence[Found], lattice: Lattice, chairs: tuple[Chair, Chair]
) -> tuple[Found, ...]:
    kept: list[Found] = []
    floors: dict[str, list[float]] = {}
    for item in sorted(found, key=lambda item: item.energy_kcal_mol):
        energies = floors.setdefault(_form(item.positions, lattice, chairs), [])
        if len(energies) < _MOST_ROTAMERS and (
            not energies or item.energy_kcal_mol <= energies[0] + _ROTAMER_WINDOW_KCAL_MOL
        ):
            energies.append(item.energy_kcal_mol)
            kept.append(item)
    return tuple(kept)


def find_landscape(
    ground: Ground, settings: Settings
) -> tuple[tuple[FlipMinimum, ...], tuple[FlipSaddle, ...], FlipSearch]:
    """Verified minima and saddles, each by rising energy, and the account of the search."""
    catch = _Catch(ground=ground, settings=settings, minima=[])
    for item in ground.found:
        checked = verified_minimum(ground.model, item.positions, _masses(ground), item.start)
        if not isinstance(checked, Unverified):
            _known_minimum(catch, checked)
    starts = 0
    for start, positions in _held(ground):
        starts += 1
        _try(catch, start, positions)
    order = sorted(catch.saddles, key=lambda item: item.saddle.energy_kcal_mol)
    return (
        tuple(sorted(catch.minima, key=lambda item: item.minimum.energy_kcal_mol)),
        tuple(replace(item, number=number) for number, item in enumerate(order, start=1)),
        FlipSearch(
            starts=starts,
            not_converged=catch.counts.get("not converged", 0),
            repeats=catch.counts.get("repeat", 0),
            stereo_changed=catch.counts.get("stereo", 0),
            no_ring_change=catch.counts.get("same form", 0),
            ends_unknown=catch.counts.get("unknown end", 0),
        ),
    )


def _masses(ground: Ground) -> Floats:
    return ground.lattice.molecule.topology.masses_u


def _held(ground: Ground) -> list[tuple[SaddleStart, Floats]]:
    """Every start relaxed with its ring held; those far above the others of their kind, and repeats, fall."""
    topology = ground.lattice.molecule.topology
    relaxed = []
    for start in saddle_starts(ground.lattice, ground.found, ground.sides):
        energy, positions = held_at(ground.model, topology.ring, start.target, start.positions)
        relaxed.append((energy, start, positions))
    floors: dict[float, float] = {}
    for energy, start, _ in relaxed:
        kind = round(float(start.target[2]), 3)
        floors[kind] = min(floors.get(kind, energy), energy)
    kept: list[tuple[SaddleStart, Floats]] = []
    known: list[tuple[float, Floats]] = []
    for energy, start, positions in sorted(relaxed, key=lambda item: item[0]):
        if energy > floors[round(float(start.target[2]), 3)] + _START_WINDOW_KCAL_MOL:
            continue
        operations = ground.lattice.relabellings
        if find_same(topology, operations, known, energy, positions, energy_within_kcal_mol=1e-2) is None:
            known.append((energy, positions))
            kept.append((start, positions))
    return kept


def _try(catch: _Catch, start: SaddleStart, positions: Floats) -> None:
    ground, topology = catch.ground, catch.ground.lattice.molecule.topology
    along = np.zeros_like(positions)
    slopes = pucker_vector_and_gradient(positions[topology.ring])[1]
    along[topology.ring] = np.einsum("k,kjx->jx", start.uphill, slopes)
    saddle = find_saddle(ground.model, positions, topology.masses_u, along, start.name)
    if saddle is None:
        catch.count("not converged")
        return
    if not stereo_survives(ground.lattice.molecule, saddle.positions):
        catch.count("stereo")
        return
    known = [(item.saddle.energy_kcal_mol, item.saddle.positions) for item in catch.saddles]
    same = find_same(
        topology,
        ground.lattice.relabellings,
        known,
        saddle.energy_kcal_mol,
        saddle.positions,
        energy_within_kcal_mol=ENERGY_SIEVE_KCAL_MOL,
    )
    if same is not None:
        catch.count("repeat")
        return
    _keep(catch, saddle)


def _keep(catch: _Catch, saddle: Saddle) -> None:
    """The saddle with its two ends, when they are two ring forms."""
    ends = [_down_to(catch, saddle, side) for side in (1.0, -1.0)]
    if ends[0] is None or ends[1] is None:
        catch.count("unknown end")
        return
    one, other = ends[0], ends[1]
    if one.form == other.form:
        catch.count("same form")
        return
    topology = catch.ground.lattice.molecule.topology
    warm = thermal(
        saddle.energy_kcal_mol,
        saddle.frequencies_cm1[1:],
        saddle.positions,
        topology.masses_u,
        catch.settings.temperature_k,
    )
    catch.saddles.append(
        FlipSaddle(
            number=len(catch.saddles) + 1,
            kind=_kind(one, other),
            joins=(one.form, other.form),
            ends=(one.number, other.number),
            saddle=saddle,
            shape=ring_shape(saddle.positions[topology.ring]),
            enthalpy_kcal_mol=warm.enthalpy_kcal_mol,
            gibbs_kcal_mol=warm.gibbs_kcal_mol(catch.settings.temperature_k),
        )
    )


def _kind(one: FlipMinimum, other: FlipMinimum) -> SaddleKind:
    chairs = (one.chair is not None) + (other.chair is not None)
    kinds: tuple[SaddleKind, ...] = (
        "twist-boat to twist-boat",
        "chair to twist-boat",
        "chair to chair",
    )
    return kinds[chairs]


def _down_to(catch: _Catch, saddle: Saddle, side: float) -> FlipMinimum | None:
    """The minimum below one side of a saddle, added to the known ones when it is new."""
    ground = catch.ground
    push = side * _PUSH_ANGSTROM * saddle.mode / np.abs(saddle.mode).max()
    below = ground.model.minimise(saddle.positions + push)
    if below is None or not stereo_survives(ground.lattice.molecule, below):
        return None
    converged = verified_minimum(ground.model, below, _masses(ground), f"below saddle {saddle.start}")
    return None if isinstance(converged, Unverified) else _known_minimum(catch, converged)


def _known_minimum(catch: _Catch, minimum: Minimum) -> FlipMinimum:
    ground, topology = catch.ground, catch.ground.lattice.molecule.topology
    same = find_same(
        topology,
        ground.lattice.relabellings,
        [(item.minimum.energy_kcal_mol, item.minimum.positions) for item in catch.minima],
        minimum.energy_kcal_mol,
        minimum.positions,
        energy_within_kcal_mol=ENERGY_SIEVE_KCAL_MOL,
    )
    if same is not None:
        return catch.minima[same]
    shape = ring_shape(minimum.positions[topology.ring])
    chair = which_chair(shape, ground.chairs)
    warm = thermal(
        minimum.energy_kcal_mol,
        minimum.frequencies_cm1,
        minimum.positions,
        topology.masses_u,
        catch.settings.temperature_k,
    )
    new = FlipMinimum(
        number=len(catch.minima) + 1,
        form=chair or shape.form,
        chair=chair,
        minimum=minimum,
        shape=shape,
        enthalpy_kcal_mol=warm.enthalpy_kcal_mol,
        gibbs_kcal_mol=warm.gibbs_kcal_mol(catch.settings.temperature_k),
    )
    catch.minima.append(new)
    return new
