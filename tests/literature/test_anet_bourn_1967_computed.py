"""Cyclohexane's flip against experiment.

Barrier: dH 10.8 kcal/mol (F. A. L. Anet, A. J. R. Bourn, J. Am. Chem. Soc. 1967, 89, 760, as F. A. Carey and
R. J. Sundberg quote it, Advanced Organic Chemistry A, 5th ed., p. 153), dG 10.2 to 10.3 at about -67 C (from
memory). Twist-boat: 5.5 above the chair (M. E. Squillacote, R. S. Sheridan, O. L. Chapman, F. A. L. Anet, J.
Am. Chem. Soc. 1975, 97, 3244, from memory). Boat: 1 to 2 above the twist-boat (Carey and Sundberg, same
page). Rate at 27 C: 1e4 to 1e5 per second (same page).

MMFF94's own deviations are part of the checks: its barrier lies 1.2 kcal/mol (dH) below the measured one, so
its rate is too large by more than a factor of ten; nothing here asks for agreement there.
"""

import pytest

from chairgap.flip.path import rates
from chairgap.flip.report.text import CAVEATS
from flip_helpers import above_lowest, flipped, of_kind

MEASURED_BARRIER_DH = 10.8
MEASURED_TWIST_BOAT_DH = 5.5


def test_labelled_stationary_points_are_those_of_symmetry() -> None:
    """2 chairs, 6 twist-boats, 6 boats (from the symmetry of the ring; common practice). The half-chairs: all
    12 are found with MMFF94, though their ridge is nearly flat."""
    flip, _ = flipped("1 up H")
    forms = [item.form for item in flip.minima]
    assert sorted(forms) == sorted(["A", "B", "1S3", "3S1", "1S5", "5S1", "2S6", "6S2"])
    boats = of_kind(flip, "twist-boat to twist-boat")
    assert sorted(item.shape.form for item in boats) == sorted(
        ["1,4B", "B1,4", "2,5B", "B2,5", "3,6B", "B3,6"]
    )
    half_chairs = of_kind(flip, "chair to twist-boat")
    assert len({item.shape.form for item in half_chairs}) == len(half_chairs) == 12
    assert {item.shape.family for item in half_chairs} == {"half-chair"}
    assert len(flip.saddles) == 18


def test_ridge_of_half_chairs_is_nearly_flat() -> None:
    """The softest real mode of the half-chair is the turning along the ridge: 22 cm-1, a warning not to read
    its entropy closely."""
    flip, _ = flipped("1 up H")
    for item in of_kind(flip, "chair to twist-boat"):
        assert 10.0 < item.saddle.frequencies_cm1[1] < 40.0


def test_energies_against_experiment() -> None:
    flip, _ = flipped("1 up H")
    chair = flip.minima[0]
    twist = next(item for item in flip.minima if item.chair is None)
    gate = of_kind(flip, "chair to twist-boat")[0]
    boat = of_kind(flip, "twist-boat to twist-boat")[0]
    # Measured 5.5, computed 5.47: tolerance 0.3 is the usual error of such a measurement.
    twist_dh = twist.enthalpy_kcal_mol - chair.enthalpy_kcal_mol
    assert twist_dh == pytest.approx(MEASURED_TWIST_BOAT_DH, abs=0.3)
    boat_above_twist = boat.saddle.energy_kcal_mol - twist.minimum.energy_kcal_mol
    assert 0.5 < boat_above_twist < 2.0  # published: 1 to 2; MMFF94 0.74
    barrier_dh = gate.enthalpy_kcal_mol - chair.enthalpy_kcal_mol
    assert barrier_dh == pytest.approx(9.58, abs=0.05), "MMFF94's own value"
    assert 1.0 < MEASURED_BARRIER_DH - barrier_dh < 1.5, "it is too low, and said to be"
    assert any("9.6" in line and "10.8" in line for line in CAVEATS)


def test_rate_is_too_fast_by_what_the_barrier_is_too_low() -> None:
    """At 300 K 1e4 to 1e5 per second are measured; 1.2 kcal/mol are a factor of exp(1.2/0.596) = 7.5."""
    flip, _ = flipped("1 up H")
    found = rates(flip.minima, flip.saddles, 298.15)
    assert found is not None
    assert 1e5 < found.a_to_b_per_s < 1e7
    assert 1e4 < found.a_to_b_per_s / 7.5 < 1e6
    assert found.a_to_b_per_s == pytest.approx(found.leave_a_per_s / 2.0, rel=1e-3), "half turn back"
    assert found.a_to_b_per_s == pytest.approx(found.b_to_a_per_s, rel=1e-3)


def test_geometry_of_the_saddles() -> None:
    """Cremer-Pople coordinates: boats on the equator at phi = 60 k; half-chairs at phi = 30 + 60 k."""
    flip, _ = flipped("1 up H")
    for item in flip.saddles:
        shape = item.shape
        if item.kind == "twist-boat to twist-boat":
            assert shape.theta_deg == pytest.approx(90.0, abs=0.05)
            assert min(shape.phi_deg % 60.0, 60.0 - shape.phi_deg % 60.0) < 0.05
            assert above_lowest(flip, item) == pytest.approx(6.672, abs=0.005)
        else:
            assert abs(shape.theta_deg - 90.0) == pytest.approx(90.0 - 60.7, abs=0.2)
            assert (shape.phi_deg - 30.0) % 60.0 == pytest.approx(0.0, abs=0.1) or (
                shape.phi_deg - 30.0
            ) % 60.0 == pytest.approx(60.0, abs=0.1)
