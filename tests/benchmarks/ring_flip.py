"""What a ring flip costs, and our saddle search against a general library's.

`PYTHONPATH=tests python tests/benchmarks/ring_flip.py`, two minutes. Both searches get the same starts (ring
held, everything else relaxed) and the same surface, one thread. The library is ASE (A. H. Larsen et al., J.
Phys.: Condens. Matter 2017, 29, 273002), its dimer method (G. Henkelman, H. Jonsson, J. Chem. Phys. 1999,
111, 7010). A search counts when it ends on a verified first-order saddle.
"""

import time
import warnings
from collections.abc import Callable
from typing import TypeVar

import numpy as np
import openmm
from ase import Atoms
from ase.calculators.calculator import Calculator, all_changes
from ase.mep import DimerControl, MinModeAtoms, MinModeTranslate
from openmm import unit
from threadpoolctl import threadpool_limits

from chairgap.flip.frames import path_frames
from chairgap.flip.landscape import _held, find_landscape, survey
from chairgap.flip.recipe import compute_flip
from chairgap.flip.sphere import sphere_map
from chairgap.minimise.hessian import gradient_rms, hessian, normal_modes
from chairgap.minimise.openmm_engine import openmm_model, openmm_system
from chairgap.minimise.saddle import find_saddle
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.build import open_molecule
from chairgap.records import Floats
from chairgap.shape.pucker_vector import pucker_vector_and_gradient
from pipeline_helpers import SETTINGS, mmff94, molecule

COSTED = ["1 up H", "1 up CH3", "1 up C(CH3)3", "1 up CH(CH3)2, 2 down OH, 4 down CH3"]
COMPARED = ["1 up H", "1 up CH3", "1 up OH, 2 up CH3"]
MOST_FORCE_CALLS = 2000

Result = TypeVar("Result")


class Surface(Calculator):
    """Our energy model as a calculator of the library, in its units left at kcal/mol and angstrom."""

    implemented_properties = ("energy", "forces")

    def __init__(self, model: EnergyModel) -> None:
        super().__init__()
        self.model, self.calls = model, 0

    def calculate(self, atoms=None, properties=("energy",), system_changes=all_changes) -> None:
        super().calculate(atoms, properties, system_changes)
        self.calls += 1
        energy, gradient = self.model.energy_and_gradient(np.array(self.atoms.positions))
        self.results = {"energy": energy, "forces": -gradient}


def library_saddle(
    model: EnergyModel, symbols: tuple[str, ...], start: Floats, along: Floats
) -> Floats | None:
    atoms = Atoms("".join(symbols), positions=start, calculator=Surface(model))
    control = DimerControl(
        initial_eigenmode_method="displacement", displacement_method="vector", logfile=None, max_num_rot=3
    )
    dimer = MinModeAtoms(atoms, control, eigenmodes=[along / np.linalg.norm(along)])
    with MinModeTranslate(dimer, logfile=None) as search:
        done = search.run(fmax=1e-3, steps=MOST_FORCE_CALLS // 5)
    return np.array(atoms.positions) if done else None


def is_saddle(model: EnergyModel, positions: Floats, masses_u: Floats) -> bool:
    second = hessian(model.gradient, positions)
    frequencies, _ = normal_modes(second, positions, masses_u)
    return (
        gradient_rms(model.energy_and_gradient(positions)[1]) < 1e-2
        and frequencies[0] < -3.0 < frequencies[1]
    )


def cpu(work: Callable[..., Result], *given: object) -> tuple[float, Result]:
    """Seconds of processor time, and what came out."""
    start = time.process_time()
    result = work(*given)
    return time.process_time() - start, result


def compare_searches() -> None:
    ours_found = theirs_found = starts = 0
    ours_s = theirs_s = 0.0
    for groups_by_face in COMPARED:
        ground, model = survey(molecule(groups_by_face), SETTINGS), mmff94(groups_by_face)
        topology = molecule(groups_by_face).topology
        for start, positions in _held(ground):
            starts += 1
            along = np.zeros_like(positions)
            slopes = pucker_vector_and_gradient(positions[topology.ring])[1]
            along[topology.ring] = np.einsum("k,kjx->jx", start.uphill, slopes)
            seconds, own = cpu(find_saddle, model, positions, topology.masses_u, along, "")
            ours_s, ours_found = ours_s + seconds, ours_found + (own is not None)
            seconds, other = cpu(library_saddle, model, topology.symbols, positions, along)
            theirs_s += seconds
            theirs_found += other is not None and is_saddle(model, other, topology.masses_u)
    print(
        f"{starts} starts: ours {ours_found} saddles in {ours_s:.1f} s CPU, the library's dimer "
        f"{theirs_found} in {theirs_s:.1f} s; CPU ratio {theirs_s / ours_s:.1f}"
    )


def cost_of_stages() -> None:
    for groups_by_face in COSTED:
        built = molecule(groups_by_face)
        survey_s, ground = cpu(survey, built, SETTINGS)
        saddles_s, _ = cpu(find_landscape, ground, SETTINGS)
        flip, ground = compute_flip(built, SETTINGS)
        frames_s, _ = cpu(path_frames, flip, ground)
        map_s, _ = cpu(sphere_map, flip, ground, 15.0)
        print(
            f"{groups_by_face}: {len(built.topology.symbols)} atoms; minima {survey_s:.1f} s, saddles "
            f"{saddles_s:.1f} s, frames {frames_s:.1f} s, path in all "
            f"{survey_s + saddles_s + frames_s:.1f} s; map {map_s:.1f} s"
        )


def replicas(groups_by_face: str, copies: int) -> None:
    """One evaluation of all places of a map: copies in one OpenMM system against one after the other."""
    mol, model = open_molecule(molecule(groups_by_face)), mmff94(groups_by_face)
    positions = survey(molecule(groups_by_face), SETTINGS).found[0].positions
    terms = openmm_model(mol, "MMFF94").terms
    single = openmm_system(terms)
    system = openmm.System()
    atoms = len(positions)
    for _ in range(copies * atoms):
        system.addParticle(1.0)
    for force in single.getForces():
        many = openmm.XmlSerializer.clone(force)
        bonds = _terms(force)
        for copy in range(1, copies):
            for indices, parameters in bonds:
                _add(many, [index + copy * atoms for index in indices], parameters)
        system.addForce(many)
    platform = openmm.Platform.getPlatformByName("Reference")
    context = openmm.Context(system, openmm.VerletIntegrator(0.001), platform)
    context.setPositions(np.tile(positions, (copies, 1)) * 0.1 * unit.nanometer)
    ours, _ = cpu(lambda: [model.energy_and_gradient(positions) for _ in range(copies)])
    theirs, _ = cpu(lambda: context.getState(energy=True, forces=True).getForces(asNumpy=True))
    print(
        f"{copies} copies of {groups_by_face}: one evaluation of all, RDKit one by one {1000 * ours:.1f} ms, "
        f"OpenMM replicas {1000 * theirs:.1f} ms; ratio {theirs / ours:.2f}"
    )


def _terms(force: object) -> list[tuple[list[int], list[float]]]:
    kind = type(force).__name__
    if kind == "CustomBondForce":
        return [_split(force.getBondParameters(i), 2) for i in range(force.getNumBonds())]
    if kind == "CustomAngleForce":
        return [_split(force.getAngleParameters(i), 3) for i in range(force.getNumAngles())]
    if kind == "CustomTorsionForce":
        return [_split(force.getTorsionParameters(i), 4) for i in range(force.getNumTorsions())]
    found = [force.getBondParameters(i) for i in range(force.getNumBonds())]
    return [(list(atoms), list(values)) for atoms, values in found]


def _split(row: list[object], count: int) -> tuple[list[int], list[float]]:
    return list(row[:count]), list(row[count])


def _add(force: object, atoms: list[int], values: list[float]) -> None:
    kind = type(force).__name__
    if kind == "CustomAngleForce":
        force.addAngle(*atoms, values)
    elif kind == "CustomTorsionForce":
        force.addTorsion(*atoms, values)
    elif kind == "CustomBondForce":
        force.addBond(*atoms, values)
    else:
        force.addBond(atoms, values)


if __name__ == "__main__":
    warnings.filterwarnings("ignore")
    with threadpool_limits(1):
        cost_of_stages()
        compare_searches()
        replicas("1 up H", 266)
        replicas("1 up C(CH3)3", 266)
