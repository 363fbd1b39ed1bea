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
from scipy.interpolate import CubicSpline

from chairgap.compare.populations import shares
from chairgap.compare.thermochemistry import rotational
from chairgap.errors import EngineError, InputError
from chairgap.flip.sampling import BLOCKS, LEAST_STEPS, STEPS_PER_SAMPLE
from chairgap.minimise.mmff_terms import mmff_terms
from chairgap.minimise.openmm_engine import openmm_system
from chairgap.molecule.build import open_molecule
from chairgap.records import DynamicsReport, Flip, FlipMinimum, Floats, Settings, ThetaProfile, Topology
from chairgap.shape.pucker_vector import RING_COSINES, RING_SINES, WEIGHTS, pucker_vector
from chairgap.units import ANGSTROM_PER_NM, GAS_CONSTANT_KCAL_PER_MOL_K, KCAL_MOL_PER_CM1, KJ_PER_KCAL

STEP_FS = 0.5
_FRICTION_PER_PS = 5.0
_LARGEST_Q_ANGSTROM = 2.0  # bonds of 1.53 angstrom all upright would make 1.87
# The ridge of half-chairs lies near theta 60: up to there a ring belongs to the chair of its pole. A flip is
# counted when the ring has gone from one chair's core to the other's, so that turning back counts nothing.
RIDGE_THETA_DEG = 60.0
CORE_THETA_DEG = 30.0


def run_dynamics(
    flip: Flip, settings: Settings, *, temperature_k: float, steps: int, seed: int
) -> DynamicsReport:
    """Langevin dynamics from the lowest minimum, `steps` of STEP_FS femtoseconds.

    Raises InputError for too few steps, EngineError when the run breaks down, and the errors of `mmff_terms`
    (UFF has no second engine and no dynamics here).
    """
    _refuse_short(steps, LEAST_STEPS)
    topology = flip.molecule.topology
    system, integrator = _system(flip, settings), _integrator(temperature_k, seed)
    context = openmm.Context(system, integrator, openmm.Platform.getPlatformByName("Reference"))
    _begin(context, flip, temperature_k, seed)
    vectors, kinetic = [], []
    for _ in range(steps // STEPS_PER_SAMPLE):
        context.getIntegrator().step(STEPS_PER_SAMPLE)
        state = context.getState(positions=True, energy=True)
        vectors.append(_ring_vector(state, topology))
        kinetic.append(state.getKineticEnergy().value_in_unit(unit.kilojoule_per_mole) / KJ_PER_KCAL)
    _refuse_torn(np.array(vectors), temperature_k)
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


def _ring_vector(state: openmm.State, topology: Topology) -> Floats:
    positions = state.getPositions(asNumpy=True).value_in_unit(unit.angstrom)
    return pucker_vector(np.asarray(positions)[topology.ring])


def _refuse_short(steps: int, least: int) -> None:
    if steps < least:
        raise InputError(
            f"{steps} steps of dynamics are too few for a mean; give {least} at the very least, "
            "and for some hundred thousand to see flips.",
            value=steps,
            expected=f"{least} or more",
        )


def _refuse_torn(vectors: Floats, temperature_k: float) -> None:
    """OpenMM goes on with coordinates that are no numbers, which would count as a ring that is no chair."""
    if not (np.linalg.norm(vectors, axis=-1) < _LARGEST_Q_ANGSTROM).all():
        raise EngineError(
            f"The dynamics at {temperature_k:.0f} K tore the ring apart; try a lower temperature.",
            value=temperature_k,
        )


def theta_of(vectors: Floats) -> Floats:
    """theta in degrees (m,) of pucker vectors (m, 3)."""
    theta: Floats = np.degrees(np.arctan2(np.hypot(vectors[:, 0], vectors[:, 1]), vectors[:, 2]))
    return theta


def families(theta_deg: Floats, *, a_is_north: bool) -> tuple[list[float], list[float]]:
    """Fractions of (chair A, chair B, other) and their standard errors, from the means of blocks in time.

    Blocks shorter than a stay in one family give too small an error, few blocks a poor one, so the largest
    of several block lengths is taken (H. Flyvbjerg, H. G. Petersen, J. Chem. Phys. 1989, 91, 461, from
    memory, look for the plateau). Where a run sees fewer than about ten flips, even that is too small.
    """
    north, south = theta_deg < RIDGE_THETA_DEG, theta_deg > 180.0 - RIDGE_THETA_DEG
    held = [north, south] if a_is_north else [south, north]
    held.append(~north & ~south)
    fractions = [float(series.mean()) for series in held]
    errors = [max(_block_error(series, blocks) for blocks in BLOCKS) for series in held]
    return fractions, errors


def _block_error(series: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], blocks: int) -> float:
    means = [float(block.mean()) for block in np.array_split(series, blocks)]
    return float(np.std(means, ddof=1) / math.sqrt(blocks))


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


def _begin(context: openmm.Context, flip: Flip, temperature_k: float, seed: int) -> None:
    context.setPositions(flip.minima[0].minimum.positions / ANGSTROM_PER_NM)
    context.setVelocitiesToTemperature(temperature_k, seed)


# --- metadynamics ----------------------------------------------------------------------------------------

_BIAS_GRID_POINTS = 181
_BIAS_WIDTH_RAD = math.radians(5.0)
_HILL_KJ_MOL = 1.0
_STEPS_PER_HILL = 100
_BIN_DEG = 3.0
_USUAL_CLIMB_KCAL_MOL = 10.0  # of a six-ring, where no saddle is known


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

    OpenMM's own class builds the bias in the first half of a run's steps: A. Barducci, G. Bussi, M.
    Parrinello, Phys. Rev. Lett. 2008, 100, 020603 (doi 10.1103/PhysRevLett.100.020603, from memory). Then the
    bias rests, and the second half is sampled and weighted back (G. M. Torrie, J. P. Valleau, J. Comput.
    Phys. 1977, 23, 187, from memory). The hills themselves would give a profile too, but hills 5 degrees wide
    blur the poles in every run alike, which no error bar over runs can show.

    Raises InputError for too few steps, ValueError for fewer than two runs, EngineError when a run breaks
    down, and the errors of `mmff_terms`.
    """
    if runs < 2:
        raise ValueError("an error bar needs two runs or more")
    _refuse_short(steps, 2 * LEAST_STEPS)
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    found = np.array(
        [_sampled_profile(flip, settings, temperature_k, steps, seed + number) for number in range(runs)]
    )
    mean = found.mean(axis=0)  # not a number where a run never came
    if np.isnan(mean).all():
        raise InputError(
            f"In {steps} steps the runs have no point in common; give many more steps.", value=steps
        )
    theta = _bin_edges_deg()[:-1] + 0.5 * _BIN_DEG
    # (4) per area: F + RT ln sin(theta)
    per_area = mean + rt * np.log(np.sin(np.radians(theta)))
    return ThetaProfile(
        temperature_k=temperature_k,
        runs=runs,
        steps=steps,
        theta_deg=theta,
        free_energy_kcal_mol=mean - np.nanmin(mean),
        per_area_kcal_mol=per_area - np.nanmin(per_area),
        error_kcal_mol=found.std(axis=0, ddof=1) / math.sqrt(runs),
    )


def profile_of_samples(theta_rad: Floats, bias_kcal_mol: Floats, temperature_k: float) -> Floats:
    """-RT ln p(theta) (60,), p per degree and adding up to 1, from samples (m,) under a bias at rest (m,);
    not a number in bins without a sample."""
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k
    # (3) p(theta) = <delta(theta - theta_t) exp(V_t / RT)> / <exp(V_t / RT)>
    weights = np.exp((bias_kcal_mol - bias_kcal_mol.max()) / rt)
    held, _ = np.histogram(np.degrees(theta_rad), bins=_bin_edges_deg(), weights=weights)
    density = np.where(held > 0.0, held, np.nan) / (weights.sum() * _BIN_DEG)
    profile: Floats = -rt * np.log(density)
    return profile


def _bin_edges_deg() -> Floats:
    return np.arange(0.0, 180.0 + 0.5 * _BIN_DEG, _BIN_DEG)


def bias_factor(flip: Flip, temperature_k: float) -> float:
    """(T + dT) / T of the bias, such that what remains of the highest climb on the way is about RT."""
    floor = flip.minima[0].minimum.energy_kcal_mol
    on_the_way = {step.saddle for step in flip.path}
    climbs = [
        item.saddle.energy_kcal_mol - floor
        for item in flip.saddles
        if not on_the_way or item.number in on_the_way
    ]
    return 1.0 + max(climbs, default=_USUAL_CLIMB_KCAL_MOL) / (GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k)


def _sampled_profile(flip: Flip, settings: Settings, temperature_k: float, steps: int, seed: int) -> Floats:
    factor = bias_factor(flip, temperature_k)
    meta, simulation = biased(flip, settings, temperature_k, factor, seed)
    samples = []
    meta.step(simulation, steps // 2)
    for _ in range(steps // 2 // STEPS_PER_SAMPLE):
        simulation.integrator.step(STEPS_PER_SAMPLE)
        samples.append(meta.getCollectiveVariables(simulation)[0])
    last = simulation.context.getState(positions=True)
    _refuse_torn(_ring_vector(last, flip.molecule.topology), temperature_k)
    theta = np.array(samples)
    return profile_of_samples(theta, bias_curve_kcal_mol(meta, factor)(theta), temperature_k)


def bias_curve_kcal_mol(meta: Metadynamics, factor: float) -> CubicSpline:
    """The bias as a function of theta in radians, kcal/mol, exactly as OpenMM interpolates it."""
    free = meta.getFreeEnergy().value_in_unit(unit.kilojoule_per_mole) / KJ_PER_KCAL
    # (2) F = -V (T + dT) / dT is what the class gives back; between grid points OpenMM draws a natural spline
    grid = np.linspace(0.0, math.pi, _BIAS_GRID_POINTS)
    return CubicSpline(grid, -free * (factor - 1.0) / factor, bc_type="natural")


def biased(
    flip: Flip, settings: Settings, temperature_k: float, factor: float, seed: int
) -> tuple[Metadynamics, app.Simulation]:
    """A run at the lowest minimum whose bias along theta is still flat: its `step` builds it up."""
    system = _system(flip, settings)
    variable = BiasVariable(
        theta_force(flip.molecule.topology), 0.0, math.pi, _BIAS_WIDTH_RAD, False, gridWidth=_BIAS_GRID_POINTS
    )
    meta = Metadynamics(
        system,
        [variable],
        temperature_k * unit.kelvin,
        factor,
        _HILL_KJ_MOL * unit.kilojoule_per_mole,
        _STEPS_PER_HILL,
    )
    atoms = app.Topology()
    residue = atoms.addResidue("RNG", atoms.addChain())
    for symbol in flip.molecule.topology.symbols:
        atoms.addAtom(symbol, app.Element.getBySymbol(symbol), residue)
    platform = openmm.Platform.getPlatformByName("Reference")
    simulation = app.Simulation(atoms, system, _integrator(temperature_k, seed), platform)
    _begin(simulation.context, flip, temperature_k, seed)
    return meta, simulation
