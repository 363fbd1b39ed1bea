"""M. Squillacote, R. S. Sheridan, O. L. Chapman, F. A. L. Anet, J. Am. Chem. Soc. 1975, 97, 3244: the
twist-boat of cyclohexane lies 5.5 kcal/mol above the chair (value as quoted by an encyclopedia; citation
from memory).

MMFF94 gives a potential-energy difference of 5.93; 0.6 allows for it being no enthalpy (the difference of
zero-point and thermal energy is about -0.5) and for the force field.
"""

import pytest

from pipeline_helpers import (
    CYCLOHEXANE,
    free_energy,
    in_chair,
    non_chairs,
    treated,
)


def test_twist_boat_above_chair() -> None:
    result = treated(CYCLOHEXANE)
    assert result.gaps.to_non_chair_kcal_mol == pytest.approx(5.5, abs=0.6)
    lowest = non_chairs(result)[0]
    assert lowest.shape.family == "twist-boat"
    assert lowest.shape.theta_deg == pytest.approx(90.0, abs=0.5)
    assert result.gaps.population_non_chair < 0.01


def test_enthalpy_of_the_twist_boat() -> None:
    """With vibrations the force field gives 5.47 at 298 K; 0.4 is the rms deviation of MMFF94's
    conformational energies (T. A. Halgren, R. B. Nachbar, J. Comput. Chem. 1996, 17, 587, from memory)."""
    result = treated(CYCLOHEXANE)
    twist, chair = non_chairs(result)[0], in_chair(result, "A")[0]

    def difference(at_k: float) -> float:
        return free_energy(result, [(twist, 1)], at_k) - free_energy(result, [(chair, 1)], at_k)

    slope = difference(298.65) - difference(297.65)
    assert difference(298.15) - 298.15 * slope == pytest.approx(5.5, abs=0.4)


def test_twist_boats_are_never_called_chairs() -> None:
    for groups_by_face in (CYCLOHEXANE, "1 up CH3", "1 up C(CH3)3, 4 up C(CH3)3"):
        for item in treated(groups_by_face).conformers:
            if 60.0 < item.shape.theta_deg < 120.0:
                assert item.chair is None
                assert item.shape.family in ("twist-boat", "boat")
