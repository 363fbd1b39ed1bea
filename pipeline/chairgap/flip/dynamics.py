"""Dynamics of a ring with OpenMM: a check on the harmonic picture at high temperature.

Newton's law with friction and noise (Langevin) on the MMFF94 surface in the gas phase, classical nuclei, real
masses, no constraints, on the Reference platform, so that the same seed gives the same bits.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import openmm
from openmm import app, unit
from openmm.app.metadynamics import BiasVariable, Metadynamics

from chairgap.compare.populations import shares
from chairgap.compare.thermochemistry import rotational
from chairgap.minimise.mmff_terms import mmff_terms
from chairgap.minimise.openmm_engine import openmm_system
from chairgap.molecule.build import open_molecule
from chairgap.records import DynamicsReport, Flip, FlipMinimum, Floats, Settings, ThetaProfile, Topology
from chairgap.shape.pucker_vector import RING_COSINES, RING_SINES, WEIGHTS, pucker_vector
from chairgap.units import ANGSTROM_PER_NM, GAS_CONSTANT_KCAL_PER_MOL_K, KCAL_MOL_PER_CM1, KJ_PER_KCAL

DEFAULT_TEMPERATURE_K = 1000.0
STEP_FS = 0.5
_FRICTION_PER_PS = 5.0
_STEPS_PER_SAMPLE = 20
_BLOCKS = 10
# The ridge of half-chairs lies near theta 60: up to there a ring belongs to the chair of its pole. A flip is
# counted when the ring has gone from one chair's core to the other's, so that turning back counts nothing.
RIDGE_THETA_DEG = 60.0
CORE_THETA_DEG = 30.0


def run_dynamics(
    flip: Flip, settings: Settings, *, temperature_k: float, steps: int, seed: int
) -> DynamicsReport:
    """Langevin dynamics from the lowest minimum, `steps` of STEP_FS femtoseconds.

    Raises the errors of `mmff_terms` (UFF has no second engine and no dynamics here).
    """
    topology = flip.molecule.topology
    context = _context(flip, settings, temperature_k, seed)
    context.setPositions(flip.minima[0].minimum.positions / ANGSTROM_PER_NM)
    context.setVelocitiesToTemperature(temperature_k, seed)
    vectors, kinetic = [], []
    for _ in range(steps // _STEPS_PER_SAMPLE):
        context.getIntegrator().step(_STEPS_PER_SAMPLE)
        state = context.getState(positions=True, energy=True)
        positions = state.getPositions(asNumpy=True).value_in_unit(unit.angstrom)
        vectors.append(pucker_vector(np.asarray(positions)[topology.ring]))
        kinetic.append(state.getKineticEnergy().value_in_unit(unit.kilojoule_per_mole) / KJ_PER_KCAL)
    theta = theta_of(np.array(vectors))
    fractions, errors = families(theta, a_is_north=_a_is_north(flip))
    harmonic = classical_shares(flip.minima, topology, temperature_k)
    # (1) T = 2 <E_kin> / (3 n R)
    degrees = 3.0 * len(topology.symbols) * GAS_CONSTANT_KCAL_PER_MOL_K
    return DynamicsReport(
        temperature_k=temperature_k,
        steps=steps,
        step_fs=STEP_FS,
        seed=seed,
        samples=len(theta),
        fraction_a=fractions[0],
        fraction_b=fractions[1],
        fraction_other=fractions[2],
        error_a=errors[0],
        error_b=errors[1],
        error_other=errors[2],
        harmonic_a=harmonic[0],
        harmonic_b=harmonic[1],
        harmonic_other=harmonic[2],
        flips=count_flips(theta),
        kinetic_temperature_k=2.0 * float(np.mean(kinetic)) / degrees,
    )


def theta_of(vectors: Floats) -> Floats:
    """theta in degrees (m,) of pucker vectors (m, 3)."""
    theta: Floats = np.degrees(np.arctan2(np.hypot(vectors[:, 0], vectors[:, 1]), vectors[:, 2]))
    return theta


def families(theta_deg: Floats, *, a_is_north: bool) -> tuple[list[float], list[float]]:
    """Fractions of (chair A, chair B, other) and their standard errors, from the means of blocks in time."""
    north, south = theta_deg < RIDGE_THETA_DEG, theta_deg > 180.0 - RIDGE_THETA_DEG
    held = [north, south] if a_is_north else [south, north]
    held.append(~north & ~south)
    fractions = [float(series.mean()) for series in held]
    errors = []
    for series in held:
        means = [float(block.mean()) for block in np.array_split(series, _BLOCKS)]
        errors.append(float(np.std(means, ddof=1) / math.sqrt(_BLOCKS)))
    return fractions, errors


def count_flips(theta_deg: Floats) -> int:
    """Passages from the core of one chair to that of the other."""
    cores = [
        1 if theta < CORE_THETA_DEG else -1
        for theta in theta_deg.tolist()
        if theta < CORE_THETA_DEG or theta > 180.0 - CORE_THETA_DEG
    ]
    return sum(one != other for one, other in pairwise(cores))


def classical_shares(
    minima: Sequence[FlipMinimum], topology: Topology, temperature_k: float
) -> tuple[float, ...]:
    """Populations of (chair A, chair B, other) by classical harmonic oscillators, as dynamics without quantum
    effects should have them where the harmonic picture holds."""
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    sums: dict[str, list[float]] = {"A": [], "B": [], "other": []}
    for item in minima:
        frequencies = np.maximum(item.minimum.frequencies_cm1, 1.0)
        # (2) G = E + RT sum ln(h nu / RT) + G_rot
        energy = item.minimum.energy_kcal_mol + rt * float(
            np.sum(np.log(frequencies * KCAL_MOL_PER_CM1 / rt))
        )
        turning = rotational(item.minimum.positions, topology.masses_u, temperature_k)
        sums[item.chair or "other"].append(energy + turning.gibbs_kcal_mol(temperature_k))
    totals: list[float | None] = []
    for values in sums.values():
        floor = min(values, default=0.0)
        weights = sum(math.exp(-(value - floor) / rt) for value in values)
        totals.append(floor - rt * math.log(weights) if values else None)
    return shares(totals, temperature_k)


def _a_is_north(flip: Flip) -> bool:
    """Whether chair A is the one at theta 0."""
    for item in flip.minima:
        if item.chair is not None:
            return (item.chair == "A") == (item.shape.theta_deg < 90.0)
    return not flip.chairs[1].odd_up_axial


def _system(flip: Flip, settings: Settings) -> openmm.System:
    system = openmm_system(mmff_terms(open_molecule(flip.molecule), settings.force_field))
    for index, mass in enumerate(flip.molecule.topology.masses_u.tolist()):
        system.setParticleMass(index, mass)
    return system


def _integrator(temperature_k: float, seed: int) -> openmm.LangevinMiddleIntegrator:
    integrator = openmm.LangevinMiddleIntegrator(temperature_k, _FRICTION_PER_PS, STEP_FS / 1000.0)
    integrator.setRandomNumberSeed(seed + 1)  # 0 would mean a seed of the clock's choosing
    return integrator


def _context(flip: Flip, settings: Settings, temperature_k: float, seed: int) -> openmm.Context:
    platform = openmm.Platform.getPlatformByName("Reference")
    return openmm.Context(_system(flip, settings), _integrator(temperature_k, seed), platform)


# --- metadynamics ----------------------------------------------------------------------------------------

_GRID_POINTS = 181
_BIAS_WIDTH_RAD = math.radians(5.0)
_BIAS_FACTOR = 12.0
_HILL_KJ_MOL = 1.0
_STEPS_PER_HILL = 100


def theta_force(topology: Topology) -> openmm.CustomCompoundBondForce:
    """theta in radians as an 'energy' of the six ring atoms, for use as a collective variable.

    The same definition as `chairgap.shape.pucker_vector`, written out for OpenMM, which differentiates it.
    """

    def sums(weights: Sequence[float], axis: str) -> str:
        return "+".join(f"({weight!r})*{axis}{j}" for j, weight in enumerate(weights, start=1))

    parts = ["atan2(sqrt(u1^2+u2^2),u3)"]
    for k, row in enumerate(WEIGHTS.tolist(), start=1):
        parts.append(f"u{k}=v{k}x*nx+v{k}y*ny+v{k}z*nz")
        parts += [f"v{k}{axis}={sums(row, axis)}" for axis in "xyz"]
    parts += ["nx=ay*bz-az*by", "ny=az*bx-ax*bz", "nz=ax*by-ay*bx"]
    parts += [f"a{axis}={sums(RING_SINES.tolist(), axis)}" for axis in "xyz"]
    parts += [f"b{axis}={sums(RING_COSINES.tolist(), axis)}" for axis in "xyz"]
    force = openmm.CustomCompoundBondForce(6, "; ".join(parts))
    force.addBond(topology.ring.tolist(), [])
    return force


def theta_profile(
    flip: Flip, settings: Settings, *, temperature_k: float, steps: int, runs: int, seed: int
) -> ThetaProfile:
    """Free energy along theta by well-tempered metadynamics, mean and standard error of independent runs.

    The class is OpenMM's own; the method: A. Barducci, G. Bussi, M. Parrinello, Phys. Rev. Lett. 2008, 100,
    020603 (doi 10.1103/PhysRevLett.100.020603, from memory). Within about 8 degrees of the poles the width of
    the hills shows. Raises ValueError for fewer than two runs.
    """
    if runs < 2:
        raise ValueError("an error bar needs two runs or more")
    found = np.array(
        [_one_profile(flip, settings, temperature_k, steps, seed + number) for number in range(runs)]
    )
    found -= found.min(axis=1, keepdims=True)
    mean = found.mean(axis=0)
    theta = np.linspace(0.0, 180.0, _GRID_POINTS)
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    inside = slice(1, -1)  # at the poles sin(theta) is zero
    # (3) per area: F + RT ln sin(theta)
    per_area = mean[inside] + rt * np.log(np.sin(np.radians(theta[inside])))
    return ThetaProfile(
        temperature_k=temperature_k,
        runs=runs,
        steps=steps,
        theta_deg=theta[inside],
        free_energy_kcal_mol=mean[inside] - mean[inside].min(),
        per_area_kcal_mol=per_area - per_area.min(),
        error_kcal_mol=found[:, inside].std(axis=0, ddof=1) / math.sqrt(runs),
    )


def _one_profile(flip: Flip, settings: Settings, temperature_k: float, steps: int, seed: int) -> Floats:
    system = _system(flip, settings)
    variable = BiasVariable(
        theta_force(flip.molecule.topology), 0.0, math.pi, _BIAS_WIDTH_RAD, False, gridWidth=_GRID_POINTS
    )
    meta = Metadynamics(
        system,
        [variable],
        temperature_k * unit.kelvin,
        _BIAS_FACTOR,
        _HILL_KJ_MOL * unit.kilojoule_per_mole,
        _STEPS_PER_HILL,
    )
    atoms = app.Topology()
    residue = atoms.addResidue("RNG", atoms.addChain())
    for symbol in flip.molecule.topology.symbols:
        atoms.addAtom(symbol, app.Element.getBySymbol(symbol), residue)
    platform = openmm.Platform.getPlatformByName("Reference")
    simulation = app.Simulation(atoms, system, _integrator(temperature_k, seed), platform)
    simulation.context.setPositions(flip.minima[0].minimum.positions / ANGSTROM_PER_NM)
    simulation.context.setVelocitiesToTemperature(temperature_k, seed)
    meta.step(simulation, steps)
    energy = meta.getFreeEnergy().value_in_unit(unit.kilojoule_per_mole)
    return np.asarray(energy, dtype=np.float64) / KJ_PER_KCAL
