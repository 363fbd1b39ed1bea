"""From the minima a search found to verified, distinct minima worth reporting."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from chairgap.minimise.verified import EnergyModel, Unverified, verified_minimum
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Chair, Minimum, SearchReport
from chairgap.search.explore import Found
from chairgap.search.lattice import Lattice
from chairgap.shape.canonical import ring_shape
from chairgap.shape.duplicates import find_same
from chairgap.shape.positions import which_chair


@dataclass(frozen=True, kw_only=True)
class Verified:
    """Verified distinct minima, lowest first, and the account of the search brought up to date."""

    minima: tuple[Minimum, ...]
    report: SearchReport


def worth_reporting(
    found: Sequence[Found], lattice: Lattice, chairs: tuple[Chair, Chair], window_kcal_mol: float
) -> tuple[Found, ...]:
    """Those within the window above the lowest of their own kind (chair A, chair B, no chair).

    Each kind has its own window, since the best conformer of the worse chair is needed however high it lies.
    When symmetry makes the chairs equal they are one kind.
    """
    topology = lattice.molecule.topology
    equal = bool(lattice.operations.turns_chair.any())
    kinds: list[str] = []
    for item in found:
        shape = ring_shape(item.positions[topology.ring])
        letter = which_chair(shape, chairs)
        kinds.append("chair" if equal and letter else letter or "other")
    floors: dict[str, float] = {}
    for item, kind in zip(found, kinds, strict=True):
        floors[kind] = min(floors.get(kind, item.energy_kcal_mol), item.energy_kcal_mol)
    return tuple(
        item
        for item, kind in zip(found, kinds, strict=True)
        if item.energy_kcal_mol <= floors[kind] + window_kcal_mol
    )


def move_to(found: Sequence[Found], model: EnergyModel) -> tuple[Found, ...]:
    """The same minima minimised again on another surface; one that does not converge stays where it was, and
    `verify` then counts it as unconverged."""
    moved = []
    for item in found:
        relaxed = model.minimise(item.positions)
        positions = item.positions if relaxed is None else relaxed
        energy, _ = model.energy_and_gradient(positions)
        moved.append(replace(item, positions=positions, energy_kcal_mol=energy))
    return tuple(moved)


def verify(found: Sequence[Found], lattice: Lattice, model: EnergyModel, report: SearchReport) -> Verified:
    """Converge each found minimum, check its stereochemistry again and drop what has become a repeat."""
    topology = lattice.molecule.topology
    kept: list[Minimum] = []
    saddles = unconverged = stereo_changed = 0
    for item in found:
        outcome = verified_minimum(model, item.positions, topology.masses_u, item.start)
        if isinstance(outcome, Unverified):
            saddles += outcome.why == "saddle"
            unconverged += outcome.why == "unconverged"
            continue
        if not stereo_survives(lattice.molecule, outcome.positions):
            stereo_changed += 1
            continue
        known = [(minimum.energy_kcal_mol, minimum.positions) for minimum in kept]
        here = outcome.energy_kcal_mol, outcome.positions
        if find_same(topology, lattice.relabellings, known, *here) is None:
            kept.append(outcome)
    return Verified(
        minima=tuple(sorted(kept, key=lambda minimum: minimum.energy_kcal_mol)),
        report=replace(
            report,
            dropped_unconverged=report.dropped_unconverged + unconverged,
            dropped_stereo_changed=report.dropped_stereo_changed + stereo_changed,
            saddles_left=saddles,
        ),
    )
