"""The plain library route to the minima of a molecule: random embedding, then minimisation."""

import time
from collections.abc import Sequence
from dataclasses import dataclass

from rdkit.Chem import rdDistGeom

from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.minimise.verified import Unverified, verified_minimum
from chairgap.molecule.build import open_molecule
from chairgap.molecule.stereo import stereo_survives
from chairgap.records import Floats, Molecule
from chairgap.shape.degeneracy import every_relabelling
from chairgap.shape.duplicates import find_same

Known = list[tuple[float, Floats]]
_BATCH = 250


@dataclass(kw_only=True)
class PlainRoute:
    """Minima in the order in which they were met, with the number of embeddings and the CPU seconds spent on
    embedding and minimising until then. Weeding repeats is not charged."""

    embeddings: int
    seconds: float
    minima: Known
    first_met: list[tuple[int, float]]


def plain_route(
    molecule: Molecule, wanted: Known, *, fewest: int, most: int, window_kcal_mol: float, seed: int
) -> PlainRoute:
    """Embeddings (ETKDG) in batches until every wanted minimum within the window has been met: at least
    `fewest`, so that minima nobody knew of can turn up, at most `most`. All to our tolerance."""
    mol = open_molecule(molecule)
    model = rdkit_model(mol, "MMFF94")
    found = PlainRoute(embeddings=0, seconds=0.0, minima=[], first_met=[])
    while found.embeddings < most:
        parameters = rdDistGeom.ETKDGv3()
        parameters.randomSeed = seed + found.embeddings
        begin = time.process_time()
        numbers = list(rdDistGeom.EmbedMultipleConfs(mol, _BATCH, parameters))
        each = (time.process_time() - begin) / _BATCH
        for number in numbers:
            raw = mol.GetConformer(number).GetPositions()
            begin = time.process_time()
            relaxed = model.minimise(raw)
            energy = None if relaxed is None else model.energy_and_gradient(relaxed)[0]
            found.seconds += time.process_time() - begin + each
            found.embeddings += 1
            if energy is not None and stereo_survives(molecule, relaxed):
                _keep(molecule, found, energy, relaxed)
        failed = _BATCH - len(numbers)
        found.seconds += each * failed
        found.embeddings += failed
        floor = min(energy for energy, _ in (*wanted, *found.minima))
        low = [pair for pair in wanted if pair[0] <= floor + window_kcal_mol]
        left = [pair for pair in low if index_of(molecule, found.minima, pair) is None]
        if found.embeddings >= fewest and not left:
            break
    return found


def _keep(molecule: Molecule, found: PlainRoute, energy: float, positions: Floats) -> None:
    if index_of(molecule, found.minima, (energy, positions)) is None:
        found.minima.append((energy, positions))
        found.first_met.append((found.embeddings, found.seconds))


def index_of(molecule: Molecule, known: Known, one: tuple[float, Floats]) -> int | None:
    """Place of a minimum among those known, whatever its numbering of equal atoms and its handedness."""
    topology = molecule.topology
    return find_same(topology, every_relabelling(topology), known, *one)


def true_minima(molecule: Molecule, suspects: Known, known: Known) -> Known:
    """The suspects that are minima (no imaginary mode) and, once settled, none of those known."""
    model = rdkit_model(open_molecule(molecule), "MMFF94")
    kept: Known = []
    for _, positions in suspects:
        settled = verified_minimum(model, positions, molecule.topology.masses_u, "")
        if isinstance(settled, Unverified):
            continue
        pair = (settled.energy_kcal_mol, settled.positions)
        if index_of(molecule, [*known, *kept], pair) is None:
            kept.append(pair)
    return kept


def cost_to_reach(
    molecule: Molecule, found: PlainRoute, union: Sequence[tuple[float, Floats]]
) -> tuple[int, float, int]:
    """(embeddings, CPU seconds) until the route met the last of the union it ever met, and how many it did
    not meet."""
    places = [index_of(molecule, found.minima, pair) for pair in union]
    met = [found.first_met[place] for place in places if place is not None]
    embeddings, seconds = max(met, default=(found.embeddings, found.seconds))
    return embeddings, seconds, places.count(None)
