"""All labelled minima of the ring, the saddles between them, and what each saddle joins."""

from collections import Counter
from collections.abc import Mapping, Sequence
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
from chairgap.search.explore import Found, explore
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
# To one hand of a way down: far less than a bond vibrates.
HINT_ANGSTROM = 0.01


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
    counts: Counter[str] = field(default_factory=Counter)


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
        _verified(catch, item.positions, item.start)
    held = _held(ground)
    for start, positions in held:
        if missed := _try(catch, start, positions):
            catch.counts[missed] += 1
    order = sorted(catch.saddles, key=lambda item: item.saddle.energy_kcal_mol)
    return (
        tuple(sorted(catch.minima, key=lambda item: item.minimum.energy_kcal_mol)),
        tuple(replace(item, number=number) for number, item in enumerate(order, start=1)),
        FlipSearch(
            starts=len(held),
            not_converged=catch.counts["not converged"],
            repeats=catch.counts["repeat"],
            stereo_changed=catch.counts["stereo"],
            no_ring_change=catch.counts["same form"],
            ends_unknown=catch.counts["unknown end"],
        ),
    )


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


def _try(catch: _Catch, start: SaddleStart, positions: Floats) -> str:
    """Keep the saddle above a start, or say why there is none to keep."""
    ground, topology = catch.ground, catch.ground.lattice.molecule.topology
    along = np.zeros_like(positions)
    slopes = pucker_vector_and_gradient(positions[topology.ring])[1]
    along[topology.ring] = np.einsum("k,kjx->jx", start.uphill, slopes)
    saddle = find_saddle(ground.model, positions, topology.masses_u, along, start.name)
    if saddle is None:
        return "not converged"
    if not stereo_survives(ground.lattice.molecule, saddle.positions):
        return "stereo"
    if _known(catch, catch.saddles, saddle) is not None:
        return "repeat"
    # The saddle with what its two sides lead to, when these are different ring forms.
    one, other = (_down_to(catch, saddle, side) for side in (1.0, -1.0))
    if not one or not other:
        return "unknown end"
    if one.keys() == other.keys():
        return "same form"
    enthalpy, gibbs = _warm(catch, saddle, saddle.frequencies_cm1[1:])
    catch.saddles.append(
        FlipSaddle(
            number=len(catch.saddles) + 1,
            kind=_kind(one, other),
            ends=(one, other),
            saddle=saddle,
            shape=ring_shape(saddle.positions[topology.ring]),
            enthalpy_kcal_mol=enthalpy,
            gibbs_kcal_mol=gibbs,
        )
    )
    return ""


def _known(catch: _Catch, held: Sequence[FlipMinimum | FlipSaddle], point: Minimum | Saddle) -> int | None:
    """The place of a minimum or saddle among those held, if it is there."""
    points = [item.minimum if isinstance(item, FlipMinimum) else item.saddle for item in held]
    return find_same(
        catch.ground.lattice.molecule.topology,
        catch.ground.lattice.relabellings,
        [(other.energy_kcal_mol, other.positions) for other in points],
        point.energy_kcal_mol,
        point.positions,
    )


def _warm(catch: _Catch, point: Minimum | Saddle, frequencies_cm1: Floats) -> tuple[float, float]:
    """Enthalpy and Gibbs energy, kcal/mol, at the temperature of the study."""
    masses_u, kelvin = catch.ground.lattice.molecule.topology.masses_u, catch.settings.temperature_k
    warm = thermal(point.energy_kcal_mol, frequencies_cm1, point.positions, masses_u, kelvin)
    return warm.enthalpy_kcal_mol, warm.gibbs_kcal_mol(kelvin)


def _kind(*ends: Mapping[str, int]) -> SaddleKind:
    kinds: tuple[SaddleKind, ...] = ("twist-boat to twist-boat", "chair to twist-boat", "chair to chair")
    return kinds[sum(not {"A", "B"}.isdisjoint(end) for end in ends)]


def _down_to(catch: _Catch, saddle: Saddle, side: float) -> dict[str, int]:
    """The ring forms below one side of a saddle with the numbers of their minima, which are added to the
    known ones when they are new.

    On a mirror plane the way down divides, and rounding would choose: it is walked twice, with the ring
    pushed a little to either hand.
    """
    ground = catch.ground
    push = side * _PUSH_ANGSTROM * saddle.mode / np.abs(saddle.mode).max()
    found = []
    for hint in (HINT_ANGSTROM, -HINT_ANGSTROM):
        below = ground.model.minimise(saddle.positions + push + hint * _sideways(catch, saddle))
        if below is not None and stereo_survives(ground.lattice.molecule, below):
            found.append(_verified(catch, below, f"below saddle {saddle.start}"))
    # Of two rotamers of one form the lower counts.
    minima = sorted(filter(None, found), key=lambda item: (item.form, -item.minimum.energy_kcal_mol))
    return {item.form: item.number for item in minima}


def _sideways(catch: _Catch, saddle: Saddle) -> Floats:
    """Displacement (n, 3), largest component 1, of the ring along the Cremer-Pople sphere, at right angles to
    the way on which the mode leads there."""
    ring = catch.ground.lattice.molecule.topology.ring
    vector, slopes = pucker_vector_and_gradient(saddle.positions[ring])
    along = np.einsum("kjx,jx->k", slopes, saddle.mode[ring])
    aside = np.zeros_like(saddle.positions)
    aside[ring] = np.einsum("k,kjx->jx", np.cross(vector, along), slopes)
    result: Floats = aside / np.abs(aside).max()
    return result


def _verified(catch: _Catch, positions: Floats, start: str) -> FlipMinimum | None:
    """The minimum that positions (n, 3) converge to, if they do; a known one is not added again."""
    ground, topology = catch.ground, catch.ground.lattice.molecule.topology
    minimum = verified_minimum(ground.model, positions, topology.masses_u, start)
    if isinstance(minimum, Unverified):
        return None
    if (same := _known(catch, catch.minima, minimum)) is not None:
        return catch.minima[same]
    shape = ring_shape(minimum.positions[topology.ring])
    chair = which_chair(shape, ground.chairs)
    enthalpy, gibbs = _warm(catch, minimum, minimum.frequencies_cm1)
    new = FlipMinimum(
        number=len(catch.minima) + 1,
        form=chair or shape.form,
        chair=chair,
        minimum=minimum,
        shape=shape,
        enthalpy_kcal_mol=enthalpy,
        gibbs_kcal_mol=gibbs,
    )
    catch.minima.append(new)
    return new
