"""Verified minima: saddles are left, gradients and modes are what is promised."""

import numpy as np
import pytest
import scipy.optimize

from chairgap.minimise.hessian import gradient_rms, hessian, normal_modes, rigid_motions
from chairgap.minimise.verified import IMAGINARY_BELOW_CM1, verified_minimum
from chairgap.records import Minimum
from chairgap.search.placing import place
from chairgap.search.rotamers import turn
from chairgap.shape.canonical import ring_shape
from chairgap.shape.puckering import ring_from_puckering
from chairgap.units import CM1_PER_ROOT_FORCE_CONSTANT
from pipeline_helpers import CYCLOHEXANE, lattice, mmff94, molecule, treated


def test_exact_boat_falls_to_a_twist_boat() -> None:
    """The boat is a stationary point with zero gradient; only its Hessian tells that it is a saddle."""
    topology = molecule(CYCLOHEXANE).topology
    model = mmff94(CYCLOHEXANE)
    boat = place(topology, ring_from_puckering(0.70, 90.0, 0.0), {})
    root = scipy.optimize.root(
        lambda x: model.energy_and_gradient(x.reshape(-1, 3))[1].ravel(), boat.ravel(), method="lm", tol=1e-12
    )
    stuck = root.x.reshape(-1, 3)
    assert gradient_rms(model.energy_and_gradient(stuck)[1]) < 1e-6
    assert ring_shape(stuck[topology.ring]).family == "boat"
    frequencies, _ = normal_modes(hessian(model.gradient, stuck), stuck, topology.masses_u)
    assert frequencies[0] < IMAGINARY_BELOW_CM1 and frequencies[1] > 0.0
    settled = verified_minimum(model, stuck, topology.masses_u, "boat")
    assert isinstance(settled, Minimum)
    assert ring_shape(settled.positions[topology.ring]).family == "twist-boat"
    assert settled.frequencies_cm1[0] > 0.0
    assert settled.energy_kcal_mol < model.energy_and_gradient(stuck)[0]


def test_eclipsed_methyl_is_left() -> None:
    """The eclipsed methyl group of methylcyclohexane is a saddle about its rotor."""
    groups_by_face = "1 up CH3"
    topology, model = molecule(groups_by_face).topology, mmff94(groups_by_face)
    grid = lattice(groups_by_face)
    (rotor,) = grid.rotors
    staggered = model.minimise(grid.start((0,) * len(grid.shape)).positions)
    assert staggered is not None
    eclipsed = turn(rotor, staggered, 0.0)
    root = scipy.optimize.root(
        lambda x: model.energy_and_gradient(x.reshape(-1, 3))[1].ravel(),
        eclipsed.ravel(),
        method="lm",
        tol=1e-12,
    )
    stuck = root.x.reshape(-1, 3)
    frequencies, _ = normal_modes(hessian(model.gradient, stuck), stuck, topology.masses_u)
    assert frequencies[0] < IMAGINARY_BELOW_CM1
    settled = verified_minimum(model, stuck, topology.masses_u, "eclipsed")
    assert isinstance(settled, Minimum)
    assert settled.frequencies_cm1[0] > 0.0
    assert settled.energy_kcal_mol < model.energy_and_gradient(stuck)[0] - 1.0


def test_wavenumber_of_hydrogen_chloride() -> None:
    """k = 516 N/m (4.8 mdyn/A class; Herzberg, from memory: omega_e 2991 cm-1 for 1H35Cl, mu 0.9796 u)."""
    constant_kcal_mol_a2 = 516.3 * 6.02214076e23 * 1e-20 / 4184.0
    assert np.sqrt(constant_kcal_mol_a2 / 0.97959) * CM1_PER_ROOT_FORCE_CONSTANT == pytest.approx(
        2991.0, abs=3.0
    )


def test_rigid_motions_cost_nothing() -> None:
    result = treated("1 up CH3")
    topology = result.molecule.topology
    minimum = result.conformers[0].minimum
    second = hessian(mmff94("1 up CH3").gradient, minimum.positions)
    rigid = rigid_motions(minimum.positions, np.ones(len(topology.symbols)))
    assert np.abs(second @ rigid).max() < 1e-4
    assert len(minimum.frequencies_cm1) == 3 * len(topology.symbols) - 6


def test_straight_line_has_no_six_rigid_motions() -> None:
    with pytest.raises(ValueError, match="line"):
        rigid_motions(np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]]), np.ones(3))
