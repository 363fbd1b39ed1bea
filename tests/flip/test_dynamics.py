"""Dynamics of a ring: the variable, the bookkeeping, the statistics; nothing is asked of a short run that
chance decides."""

from dataclasses import replace

import numpy as np
import openmm
import pytest

from chairgap.errors import EngineError, InputError
from chairgap.flip import dynamics
from chairgap.flip.dynamics import (
    RIDGE_THETA_DEG,
    bias_curve_kcal_mol,
    bias_factor,
    biased,
    classical_shares,
    count_flips,
    families,
    profile_of_samples,
    run_dynamics,
    theta_force,
    theta_of,
    theta_profile,
)
from chairgap.shape.pucker_vector import pucker_vector_and_gradient
from chairgap.shape.puckering import puckering
from flip_helpers import flipped
from pipeline_helpers import SETTINGS


def variable(groups_by_face: str, positions: np.ndarray) -> tuple[float, np.ndarray]:
    """theta in degrees and its derivative by positions, degrees per angstrom, as OpenMM sees it."""
    top = flipped(groups_by_face)[0].molecule.topology
    system = openmm.System()
    for _ in top.symbols:
        system.addParticle(1.0)
    system.addForce(theta_force(top))
    platform = openmm.Platform.getPlatformByName("Reference")
    context = openmm.Context(system, openmm.VerletIntegrator(0.001), platform)
    context.setPositions(positions / 10.0)
    state = context.getState(energy=True, forces=True)
    slope = -np.asarray(state.getForces(asNumpy=True)._value) / 10.0
    return float(np.degrees(state.getPotentialEnergy()._value)), np.degrees(slope)


@pytest.mark.parametrize("groups_by_face", [pytest.param("1 up H", marks=pytest.mark.long), "1 up CH3"])
def test_variable_is_theta_and_its_gradient_is_ours(groups_by_face: str) -> None:
    """At stationary points pushed at random: the value is the published coordinate, the slope that of the
    pucker vector by the chain rule."""
    flip, _ = flipped(groups_by_face)
    rng = np.random.default_rng(5)
    ring = flip.molecule.topology.ring
    for positions in [item.saddle.positions for item in flip.saddles[:6]]:
        moved = positions + rng.normal(0.0, 0.03, positions.shape)
        theta, slope = variable(groups_by_face, moved)
        assert theta == pytest.approx(puckering(moved[ring])[1], abs=1e-9)
        vector, gradient = pucker_vector_and_gradient(moved[ring])
        q2, q = np.hypot(vector[0], vector[1]), np.linalg.norm(vector)
        # theta = atan2(q2, q3): d theta = (q3 dq2 - q2 dq3) / Q^2
        by_vector = np.array([vector[2] * vector[0] / q2, vector[2] * vector[1] / q2, -q2]) / q**2
        expected = np.degrees(np.einsum("k,kjx->jx", by_vector, gradient))
        assert np.allclose(slope[ring], expected, atol=1e-7)
        others = [atom for atom in range(len(slope)) if atom not in ring]
        assert np.abs(slope[others]).max() == 0.0


def test_flips_are_passages_from_core_to_core() -> None:
    assert count_flips(np.array([5.0, 70.0, 100.0, 175.0])) == 1
    assert count_flips(np.array([5.0, 95.0, 10.0, 120.0, 5.0])) == 0, "turned back"
    assert count_flips(np.array([5.0, 45.0, 5.0, 170.0, 140.0, 165.0, 20.0])) == 2
    assert count_flips(np.array([90.0, 80.0])) == 0


def test_families_by_hand() -> None:
    theta = np.array([10.0] * 50 + [90.0] * 30 + [170.0] * 20)
    fractions, _ = families(theta, a_is_north=True)
    assert fractions == pytest.approx([0.5, 0.2, 0.3])
    turned, _ = families(theta, a_is_north=False)
    assert turned == pytest.approx([0.2, 0.5, 0.3])


def test_error_is_that_of_the_longest_blocks_when_stays_are_long() -> None:
    """One flip half-way: means of five blocks are 1, 1, 1/2, 0, 0, which leaves more doubt than ten or forty
    blocks pretend."""
    _, errors = families(np.array([10.0] * 100 + [170.0] * 100), a_is_north=True)
    assert errors[0] == errors[1] == pytest.approx(np.std([1.0, 1.0, 0.5, 0.0, 0.0], ddof=1) / np.sqrt(5.0))
    assert errors[0] > np.std([1.0] * 5 + [0.0] * 5, ddof=1) / np.sqrt(10.0)
    assert errors[2] == 0.0


def test_error_of_independent_samples_is_the_binomial_one() -> None:
    """sqrt(f (1 - f) / n); the largest of four estimates from blocks, each with its own scatter of
    1/sqrt(2 (blocks - 1)), lies between it and twice as much."""
    rng = np.random.default_rng(2)
    _, errors = families(np.where(rng.random(20000) < 0.3, 90.0, 10.0), a_is_north=True)
    assert 0.9 < errors[2] / np.sqrt(0.3 * 0.7 / 20000) < 2.0


@pytest.mark.long
def test_no_minimum_that_is_no_chair_counts_as_one() -> None:
    for groups_by_face in ("1 up H", "1 up CH3", "1 up C(CH3)3, 4 up C(CH3)3"):
        flip, _ = flipped(groups_by_face)
        for item in flip.minima:
            theta = item.shape.theta_deg
            counted = theta < RIDGE_THETA_DEG or theta > 180.0 - RIDGE_THETA_DEG
            assert counted is (item.chair is not None), (groups_by_face, item.form)


def test_theta_of_vectors() -> None:
    found = theta_of(np.array([[0.0, 0.0, 0.5], [0.3, 0.4, 0.0], [0.0, 0.5, 0.5], [0.0, 0.0, -0.1]]))
    assert found == pytest.approx([0.0, 90.0, 45.0, 180.0])


def test_classical_shares_of_equal_chairs_are_equal_and_add_up() -> None:
    flip, _ = flipped("1 up H")
    a, b, other = classical_shares(flip.minima, flip.molecule.topology, 1000.0)
    assert a == pytest.approx(b, rel=1e-3) and a + b + other == pytest.approx(1.0)
    cold = classical_shares(flip.minima, flip.molecule.topology, 300.0)
    assert cold[2] < 0.01 < other, "twist-boats are a matter of heat"


def test_same_seed_same_run_and_temperature_is_kept() -> None:
    """4000 steps at 600 K: the mean kinetic temperature of 54 degrees of freedom over 200 samples scatters by
    about 600 sqrt(2/54/n) with n independent samples: 30 K for n = 15. Four times that is allowed."""
    flip, _ = flipped("1 up H")
    one, two = (run_dynamics(flip, SETTINGS, temperature_k=600.0, steps=4000, seed=3) for _ in range(2))
    assert one == two
    other = run_dynamics(flip, SETTINGS, temperature_k=600.0, steps=4000, seed=4)
    assert other.kinetic_temperature_k != one.kinetic_temperature_k
    assert one.kinetic_temperature_k == pytest.approx(600.0, abs=120.0)
    assert one.fraction_a + one.fraction_b + one.fraction_other == pytest.approx(1.0)
    assert one.samples == 200


def test_profile_of_samples_takes_the_bias_out() -> None:
    """Samples spread evenly over theta under the bias V = -F, F = 2 sin^2(theta): what comes back is F."""
    theta = np.linspace(0.0, np.pi, 60 * 200, endpoint=False) + np.pi / 24000.0
    free = 2.0 * np.sin(theta) ** 2
    profile = profile_of_samples(theta, -free, 300.0)
    middles = np.radians(np.arange(1.5, 180.0, 3.0))
    expected = 2.0 * np.sin(middles) ** 2
    assert profile - profile.min() == pytest.approx(expected - expected.min(), abs=2e-3), "width of a bin"
    rt = 1.98720425864083e-3 * 300.0
    assert 3.0 * np.exp(-profile / rt).sum() == pytest.approx(1.0), "p per degree adds up to 1"
    empty = profile_of_samples(np.radians([1.0, 10.0]), np.zeros(2), 300.0)
    assert np.isfinite(empty).sum() == 2, "no number where no sample is"


def test_bias_at_rest_is_the_spline_that_weights_it_back() -> None:
    """The bias energy as OpenMM evaluates it at each sample, against the grid the class gives back."""
    flip, _ = flipped("1 up H")
    factor = bias_factor(flip, 1000.0)
    meta, simulation = biased(flip, SETTINGS, 1000.0, factor, 1)
    meta.step(simulation, 2000)
    curve = bias_curve_kcal_mol(meta, factor)
    groups = {force.getForceGroup() for force in simulation.system.getForces() if is_bias(force)}
    for _ in range(20):
        simulation.integrator.step(20)
        theta = meta.getCollectiveVariables(simulation)[0]
        energy = simulation.context.getState(energy=True, groups=groups).getPotentialEnergy()
        assert energy._value / 4.184 == pytest.approx(float(curve(theta)), abs=1e-9)
        assert energy._value > 0.0


def is_bias(force: openmm.Force) -> bool:
    return isinstance(force, openmm.CustomCVForce)


def test_bias_factor_is_the_climb_in_rt() -> None:
    flip, _ = flipped("1 up H")
    climb = max(item.saddle.energy_kcal_mol for item in flip.saddles) - flip.minima[0].minimum.energy_kcal_mol
    assert bias_factor(flip, 298.15) == pytest.approx(1.0 + climb / 0.592484, rel=1e-5)
    assert bias_factor(replace(flip, saddles=(), path=()), 298.15) > 10.0, "no saddle known"


def test_profile_is_the_mean_of_independent_runs_with_its_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three runs made up, one for each seed: mean and standard error by hand, no number where one of them
    never came; RT ln sin(theta) between the two profiles."""
    flip, _ = flipped("1 up H")
    made = np.full((3, 60), np.nan)
    made[:, 10:30] = np.array([1.0, 2.0, 6.0])[:, None] + np.linspace(0.0, 4.0, 20)
    made[:2, 30:] = 0.0
    monkeypatch.setattr(dynamics, "_sampled_profile", lambda *words: made[words[-1] - 7])
    profile = theta_profile(flip, SETTINGS, temperature_k=1000.0, steps=6000, runs=3, seed=7)
    assert profile.theta_deg[0] == 1.5 and profile.theta_deg[-1] == 178.5
    known = np.isfinite(profile.free_energy_kcal_mol)
    assert known.tolist() == np.isfinite(profile.error_kcal_mol).tolist() == [10 <= n < 30 for n in range(60)]
    assert profile.free_energy_kcal_mol[known] == pytest.approx(np.linspace(0.0, 4.0, 20))
    # deviations -2, -1, 3 from the mean 3: sqrt(14 / 2) / sqrt(3)
    assert profile.error_kcal_mol[known] == pytest.approx(np.sqrt(7.0 / 3.0))
    rt = 1.98720425864083e-3 * 1000.0
    per_area = np.linspace(0.0, 4.0, 20) + rt * np.log(np.sin(np.radians(profile.theta_deg[known])))
    assert profile.per_area_kcal_mol[known] == pytest.approx(per_area - per_area.min())
    with pytest.raises(ValueError, match="two runs"):
        theta_profile(flip, SETTINGS, temperature_k=1000.0, steps=6000, runs=1, seed=7)


def test_runs_that_never_meet_are_an_error_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    flip, _ = flipped("1 up H")
    made = np.full((2, 60), np.nan)
    made[0, :20] = made[1, 40:] = 1.0
    monkeypatch.setattr(dynamics, "_sampled_profile", lambda *words: made[words[-1]])
    with pytest.raises(InputError, match="In 6000 steps the runs have no point in common; give many more"):
        theta_profile(flip, SETTINGS, temperature_k=1000.0, steps=6000, runs=2, seed=0)


def test_a_sampled_profile_is_that_of_its_seed_and_begins_at_the_lowest_minimum() -> None:
    """1000 steps at 300 K, whose five hills of 1 kJ/mol are lower than any way out of a chair: the seed
    decides which bins near its pole are sampled."""
    flip, _ = flipped("1 up H")
    one, again, other = (dynamics._sampled_profile(flip, SETTINGS, 300.0, 1000, seed) for seed in (3, 3, 4))
    assert np.array_equal(one, again, equal_nan=True) and not np.array_equal(one, other, equal_nan=True)
    at = int(flip.minima[0].shape.theta_deg > 90.0)
    for profile in (one, other):
        sampled = np.flatnonzero(np.isfinite(profile)) * 3.0
        assert len(sampled) > 1 and ((sampled > 90.0) == at).all()


def test_too_few_steps_are_refused_in_words() -> None:
    flip, _ = flipped("1 up H")
    with pytest.raises(InputError, match="5 steps of dynamics are too few"):
        run_dynamics(flip, SETTINGS, temperature_k=1000.0, steps=5, seed=1)
    with pytest.raises(InputError, match="too few"):
        theta_profile(flip, SETTINGS, temperature_k=1000.0, steps=150, runs=2, seed=1)


@pytest.mark.parametrize("temperature_k", [1e7, 1e12])
def test_a_torn_ring_is_reported_and_not_counted(temperature_k: float) -> None:
    flip, _ = flipped("1 up H")
    with pytest.raises(EngineError, match="lower temperature"):
        run_dynamics(flip, SETTINGS, temperature_k=temperature_k, steps=800, seed=1)
    with pytest.raises(EngineError, match="lower temperature"):
        theta_profile(flip, SETTINGS, temperature_k=temperature_k, steps=1600, runs=2, seed=1)
