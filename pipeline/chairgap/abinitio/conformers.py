"""The conformers of a ring that a level is computed for: MMFF94's, minimised again with GFN2-xTB, chosen."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.abinitio.levels import polar_rotors
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import ChairLetter, Computation, Conformer, Floats, Integers
from chairgap.search.lattice import Lattice
from chairgap.shape.canonical import ring_shape
from chairgap.shape.degeneracy import count_degeneracy
from chairgap.shape.duplicates import is_same_conformer
from chairgap.shape.positions import which_chair
from chairgap.shape.torsions import torsion_directions

_SENT_KCAL_MOL, _MOST_SENT = 3.0, 8
_KEPT_KCAL_MOL, _KEPT_ALONE_KCAL_MOL = 1.5, 2.5
_MOST_KEPT, _MOST_KEPT_ALONE = 2, 5
_TURNED_DEG = 50.0


@dataclass(frozen=True, kw_only=True)
class Relaxed:
    """A conformer of MMFF94 after minimisation with GFN2-xTB: positions (n, 3) in angstrom, the potential
    energy there, and the largest change of a rotor's dihedral."""

    conformer: Conformer
    chair: ChairLetter
    positions: Floats
    xtb_kcal_mol: float
    turned_deg: float

    @property
    def thermal_kcal_mol(self) -> float:
        """MMFF94's Gibbs less its potential energy."""
        return self.conformer.gibbs_kcal_mol - self.conformer.minimum.energy_kcal_mol

    @property
    def level_kcal_mol(self) -> float:
        """By GFN2-xTB with MMFF94's thermal part."""
        return self.xtb_kcal_mol + self.thermal_kcal_mol


def to_compute(
    computed: Computation, lattice: Lattice, model: EnergyModel, letter: ChairLetter
) -> list[Relaxed]:
    """The conformers of a chair that are worth computing, lowest first; empty when none survives GFN2-xTB.
    `computed` is by MMFF94 in the gas phase, `model` is GFN2-xTB."""
    sent = _to_send(computed, letter)
    found = [_relaxed(item, letter, computed, lattice, model) for item in sent]
    return _chosen(_distinct([item for item in found if item is not None], lattice), computed)


def degeneracy(item: Relaxed, lattice: Lattice) -> int:
    """Labelled copies in the conformer's chair, counted anew for one that turned."""
    if item.turned_deg > _TURNED_DEG:
        return count_degeneracy(lattice.molecule.topology, lattice.operations, item.positions).own
    return item.conformer.degeneracy_a if item.chair == "A" else item.conformer.degeneracy_b


def _to_send(computed: Computation, letter: ChairLetter) -> list[Conformer]:
    """The conformers of a chair near its lowest, by potential energy."""
    held = [item for item in computed.conformers if letter in item.chairs_held]
    held.sort(key=lambda item: item.minimum.energy_kcal_mol)
    return [
        item
        for item in held[:_MOST_SENT]
        if item.minimum.energy_kcal_mol <= held[0].minimum.energy_kcal_mol + _SENT_KCAL_MOL
    ]


def _relaxed(
    item: Conformer, letter: ChairLetter, computed: Computation, lattice: Lattice, model: EnergyModel
) -> Relaxed | None:
    """None when the conformer does not survive on the other surface."""
    start, topology = item.minimum.positions, computed.molecule.topology
    positions = model.minimise(start)
    if positions is None or not stereo_survives(computed.molecule, positions):
        return None
    if which_chair(ring_shape(positions[topology.ring]), computed.chairs) != letter:
        return None
    energy, _ = model.energy_and_gradient(positions)
    return Relaxed(
        conformer=item,
        chair=letter,
        positions=positions,
        xtb_kcal_mol=energy,
        turned_deg=_largest_turn_deg(start, positions, lattice.chains),
    )


def _largest_turn_deg(before: Floats, after: Floats, chains: Integers) -> float:
    """The largest change of a rotor's dihedral, degrees."""
    if not len(chains):
        return 0.0
    change = torsion_directions(after, chains) * torsion_directions(before, chains).conj()
    return float(np.degrees(np.abs(np.angle(change))).max())


def _distinct(items: Sequence[Relaxed], lattice: Lattice) -> list[Relaxed]:
    """Repeats left out (the one that turned least stays), lowest level first. Where every conformer turns,
    as with geminal OH and F, their common minimum is taken."""
    kept: list[Relaxed] = []
    still = [item for item in items if item.turned_deg <= _TURNED_DEG] or items
    topology = lattice.molecule.topology
    for item in sorted(still, key=lambda item: item.turned_deg):
        if not any(
            is_same_conformer(topology, lattice.relabellings, one.positions, item.positions) for one in kept
        ):
            kept.append(item)
    return sorted(kept, key=lambda item: item.level_kcal_mol)


def _chosen(relaxed: list[Relaxed], computed: Computation) -> list[Relaxed]:
    """The lowest within the window, and MMFF94's lowest."""
    if not relaxed:
        return []
    topology = computed.molecule.topology
    alone = len(topology.groups) == 1
    window = _KEPT_ALONE_KCAL_MOL if alone else _KEPT_KCAL_MOL
    most = _MOST_KEPT_ALONE if alone else _MOST_KEPT + polar_rotors(topology)
    kept = [item for item in relaxed if item.level_kcal_mol <= relaxed[0].level_kcal_mol + window][:most]
    favourite = min(relaxed, key=lambda item: item.conformer.minimum.energy_kcal_mol)
    if any(item is favourite for item in kept):
        return kept
    return [*kept[: most - 1], favourite] if len(kept) == most else [*kept, favourite]
