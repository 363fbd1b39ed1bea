"""Phenyl, and the geminal pair on which additivity fails.

Sources: E. L. Eliel, M. Manoharan, J. Org. Chem. 1981, 46, 1959 (A(C6H5) = 2.87 +- 0.09 kcal/mol at 173
K, from memory); 1-methyl-1-phenylcyclohexane prefers axial phenyl by 0.32 +- 0.04 kcal/mol at 173 K
(Eliel & Manoharan, as quoted in the abstract of K. B. Wiberg, J. Org. Chem. 2000, 65, 1181).
"""

from chairgap.estimate.groups import find_row
from chairgap.estimate.ledger import estimate_gap
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import chair

TABLE = read_estimate_table("chairgap")


def test_phenyl() -> None:
    row = find_row(TABLE, "C6H5")
    assert (row.value_kcal_mol, row.temperature_k, row.known) == (2.87, 173.0, "from memory")


def test_the_hand_rule_gets_1_methyl_1_phenyl_wrong_and_says_it_is_incomplete() -> None:
    groups_by_face = [(1, "up", "CH3"), (1, "down", "C6H5")]
    phenyl_equatorial = chair("A", groups_by_face, odd_up_axial=True)
    phenyl_axial = chair("B", groups_by_face, odd_up_axial=False)
    found = estimate_gap((phenyl_equatorial, phenyl_axial), TABLE)
    measured_kcal_mol = -0.32  # G(axial phenyl) - G(equatorial phenyl)
    assert found.gap_kcal_mol == 1.13 and measured_kcal_mol < 0.0
    assert found.flags == ("geminal",)
    assert found.missing == ("geminal C6H5/CH3",)
