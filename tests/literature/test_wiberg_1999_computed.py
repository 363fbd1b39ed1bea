"""K. B. Wiberg et al., J. Org. Chem. 1999, 64, 2085, abstract, on tert-butylcyclohexane (computed there):
axial chair and twist-boat have 'virtually the same energy' with a 'slight preference for the nonchair'.
"""

from pipeline_helpers import in_chair, treated


def test_axial_tert_butyl_chair_and_twist_boat_lie_close_with_the_twist_boat_lower() -> None:
    """MMFF94: twist-boat 5.59, axial chair 6.21 kcal/mol above the equatorial chair; 'virtually the same' is
    taken as within 1."""
    result = treated("1 up C(CH3)3")
    axial_chair, twist_boat = result.gaps.potential_kcal_mol, result.gaps.to_non_chair_kcal_mol
    assert axial_chair is not None and twist_boat is not None
    assert 0.0 < axial_chair - twist_boat < 1.0
    assert twist_boat > 4.0


def test_equatorial_tert_butyl_is_lowest_and_alone_counts() -> None:
    result = treated("1 up C(CH3)3")
    assert result.conformers[0] in in_chair(result, "A")
    assert result.gaps.population_a > 0.99
