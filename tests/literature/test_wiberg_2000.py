"""1-Methyl-1-phenylcyclohexane prefers *axial* phenyl by 0.32 +- 0.04 kcal/mol (173 K): E. L. Eliel, M.
Manoharan, J. Org. Chem. 1981, 46, 1959, as quoted by K. B. Wiberg, J. Org. Chem. 2000, 65, 1181, who
computes 1.0.

The A-values alone (phenyl 2.87 against methyl 1.74) would make phenyl equatorial.
"""

from pipeline_helpers import treated


def test_phenyl_is_axial_beside_methyl() -> None:
    result = treated("1 up CH3, 1 down C6H5")
    chair_a, chair_b = result.chairs
    assert {(group.group, group.position) for group in chair_b.groups} == {
        ("C6H5", "axial"),
        ("CH3", "equatorial"),
    }
    assert result.gaps.potential_kcal_mol is not None and -1.5 < result.gaps.potential_kcal_mol < -0.2
    assert result.gaps.gibbs_kcal_mol is not None and result.gaps.gibbs_kcal_mol < 0.0
    assert result.estimate.gap_kcal_mol is not None and result.estimate.gap_kcal_mol > 0.0
    assert "geminal" in result.estimate.flags
    # The hand sum is incomplete, so it is not set against the computation.
    assert result.comparison.sign == "not comparable"
    assert chair_a.name != chair_b.name
