"""Molecules whose better ring is no chair.

cis-1,4-di-tert-butyl: G. Gill et al., J. Org. Chem. 2005, 70, 10726 (twist-boat favoured by 0.47 kcal/mol at
125 K). trans-1,3-di-tert-butyl: N. L. Allinger, L. A. Freiberg, J. Am. Chem. Soc. 1960, 82, 2393 (non-chair;
from memory). tert-butyl: K. B. Wiberg et al., J. Org. Chem. 1999, 64, 2085 (axial chair and twist-boat
'virtually the same energy ... slight preference for the nonchair', computed).
"""

import pytest

from chairgap.records import Conformer
from pipeline_helpers import treated


def lowest(spoken: str) -> Conformer:
    return min(treated(spoken).conformers, key=lambda item: item.minimum.energy_kcal_mol)


@pytest.mark.parametrize("spoken", ["1 up C(CH3)3, 4 up C(CH3)3", "1 up C(CH3)3, 3 down C(CH3)3"])
def test_two_tert_butyl_groups_that_cannot_both_be_equatorial(spoken: str) -> None:
    result = treated(spoken)
    assert lowest(spoken).shape.family == "twist-boat"
    assert lowest(spoken).chair is None
    assert result.gaps.to_non_chair_kcal_mol is not None and result.gaps.to_non_chair_kcal_mol < 0.0
    assert result.comparison.preferred == "non-chair"
    assert result.comparison.sign == "not comparable"
    assert "twist-boat-intrudes" in {reason.code for reason in result.comparison.reasons}


def test_axial_tert_butyl_chair_lies_near_or_above_the_twist_boat() -> None:
    gaps = treated("1 up C(CH3)3").gaps
    assert gaps.potential_kcal_mol is not None and gaps.to_non_chair_kcal_mol is not None
    # MMFF94: axial chair 6.21, twist-boat 5.59 above the equatorial chair.
    assert -0.2 < gaps.potential_kcal_mol - gaps.to_non_chair_kcal_mol < 1.5
