"""Each reason just inside its criterion, and just outside."""

from dataclasses import replace

import numpy as np
import pytest

from chairgap.compare.reasons import NOTEWORTHY_KCAL_MOL, find_reasons, hydrogen_bonds
from chairgap.records import Estimate, Gaps
from pipeline_helpers import molecule, treated

BASE = treated("1 up CH3")
GAPS = Gaps(
    potential_kcal_mol=1.0,
    ensemble_kcal_mol=1.0,
    gibbs_kcal_mol=1.0,
    to_non_chair_kcal_mol=5.0,
    population_a=0.85,
    population_b=0.15,
    population_non_chair=0.0,
    equilibrium_constant=None,
    equal_by_symmetry=False,
)
ESTIMATE = replace(BASE.estimate, gap_kcal_mol=3.0, low_kcal_mol=2.9, high_kcal_mol=3.1)


def evidence(gaps: Gaps, estimate: Estimate = ESTIMATE) -> dict[str, str]:
    found = find_reasons(BASE.molecule.topology, BASE.chairs, BASE.conformers, estimate, gaps, {})
    return {reason.code: reason.evidence for reason in found}


def test_nothing_to_say() -> None:
    assert evidence(GAPS) == {}


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_rotamer_entropy(sign: float, beyond: float, earned: bool) -> None:
    moved = 1.0 + sign * (NOTEWORTHY_KCAL_MOL + beyond)
    found = evidence(replace(GAPS, ensemble_kcal_mol=moved, gibbs_kcal_mol=moved))
    assert ("rotamer-entropy" in found) is earned and "vibrations" not in found
    if earned:
        assert "ensemble minus potential gap" in found["rotamer-entropy"]
        assert f"{moved - 1.0:+.2f}" in found["rotamer-entropy"]


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize(("beyond", "earned"), [(0.001, True), (-0.001, False)])
def test_vibrations(sign: float, beyond: float, earned: bool) -> None:
    found = evidence(replace(GAPS, gibbs_kcal_mol=1.0 + sign * (NOTEWORTHY_KCAL_MOL + beyond)))
    assert ("vibrations" in found) is earned and "rotamer-entropy" not in found


@pytest.mark.parametrize(
    ("lead", "share", "earned"),
    [(0.001, 0.0499, False), (-0.001, 0.0, True), (5.0, 0.05, True), (None, 0.0, False)],
)
def test_twist_boat_intrudes(lead: float | None, share: float, earned: bool) -> None:
    found = evidence(replace(GAPS, to_non_chair_kcal_mol=lead, population_non_chair=share))
    assert ("twist-boat-intrudes" in found) is earned


@pytest.mark.parametrize(
    ("gap", "earned"), [(2.9, True), (3.1, True), (2.8999, False), (3.1001, False), (None, False)]
)
def test_within_error(gap: float | None, earned: bool) -> None:
    # All three gaps move together, so that this reason alone is at stake.
    moved = replace(GAPS, potential_kcal_mol=gap, ensemble_kcal_mol=gap, gibbs_kcal_mol=gap)
    assert ("within-error" in evidence(moved)) is earned


def test_within_error_needs_a_complete_estimate() -> None:
    moved = replace(GAPS, potential_kcal_mol=3.0, ensemble_kcal_mol=3.0, gibbs_kcal_mol=3.0)
    assert "within-error" in evidence(moved)
    found = evidence(moved, replace(ESTIMATE, missing=("vicinal gauche Cl/Cl",)))
    assert "within-error" not in found
    assert "vicinal gauche Cl/Cl" in found["missing-table-value"]


def test_equal_chairs_are_told_once_and_never_within_error() -> None:
    moved = replace(
        GAPS,
        potential_kcal_mol=0.0,
        ensemble_kcal_mol=0.0,
        gibbs_kcal_mol=0.0,
        equal_by_symmetry=True,
    )
    assert set(evidence(moved, replace(ESTIMATE, low_kcal_mol=-1.0))) == {"equal-by-symmetry"}


def test_geminal_flag_is_the_estimates() -> None:
    assert "geminal-non-additivity" in evidence(GAPS, replace(ESTIMATE, flags=("geminal",)))


@pytest.mark.parametrize(
    ("distance", "angle_deg", "bonds"),
    [(2.49, 101.0, 1), (2.51, 101.0, 0), (2.49, 99.0, 0), (1.8, 180.0, 1)],
)
def test_hydrogen_bond_criterion(distance: float, angle_deg: float, bonds: int) -> None:
    """Two hydroxyls: everything far away but O-H and the other O, which are put where the case wants them."""
    topology = molecule("1 up OH, 4 up OH").topology
    one, two = (ligand.atom for _, ligand in topology.groups)
    hydrogens = {
        oxygen: next(int(b) for a, b in topology.bonds if a == oxygen and topology.symbols[b] == "H")
        for oxygen in (one, two)
    }
    positions = 100.0 * np.arange(3 * len(topology.symbols), dtype=float).reshape(-1, 3) ** 1.1
    positions[hydrogens[one]] = 0.0
    positions[one] = [0.97, 0.0, 0.0]
    turn = np.radians(angle_deg)
    positions[two] = distance * np.array([np.cos(turn), np.sin(turn), 0.0])
    found = hydrogen_bonds(topology, positions)
    assert len(found) == bonds
    if bonds:
        assert found[0] == pytest.approx((distance, angle_deg))


def test_a_group_makes_no_hydrogen_bond_with_itself() -> None:
    topology = molecule("1 up CO2H").topology  # O=C-O-H, 2.3 angstrom from H to the other O
    (best, *_) = treated("1 up CO2H").conformers
    assert hydrogen_bonds(topology, best.minimum.positions) == ()
