"""A-values of amino groups by solvent.

Source: H. Booth, M. L. Jozefowicz, J. Chem. Soc., Perkin Trans. 2 1976, 895 (doi 10.1039/P29760000895;
abstract seen): 13C NMR of the cis-4-methyl compounds below 220 K. In CFCl3-CDCl3 and in [2H8]toluene,
kcal/mol: NH2 1.45 and 1.49, NHCH3 1.29 and 1.11, N(CH3)2 1.53 and 1.31; CH3 1.78 +- 0.12 at 193 K.
"""

import pytest

from literature.csv_rows import a_value, a_value_row, equilibrium, from_percent

MIXTURE = "trichlorofluoromethane"  # the first-named component of CFCl3-CDCl3
PRINTED = {
    ("NH2", MIXTURE): 1.45,
    ("NH2", "toluene"): 1.49,
    ("NHCH3", MIXTURE): 1.29,
    ("NHCH3", "toluene"): 1.11,
    ("N(CH3)2", MIXTURE): 1.53,
    ("N(CH3)2", "toluene"): 1.31,
}


@pytest.mark.parametrize(("group", "medium"), PRINTED)
def test_value_as_printed(group: str, medium: str) -> None:
    row = a_value_row(group, medium)
    assert float(row["value_kcal_mol"]) == PRINTED[group, medium]
    assert (row["source"], row["known"]) == ("booth_jozefowicz_1976", "primary")
    assert row["temperature_k"] == "" and "Below 220 K" in row["note"]


def test_the_mixture_is_the_default_but_for_the_amino_group() -> None:
    """NH2 keeps 1.23, the number of the least interacting solvent (CFCl3, from memory)."""
    assert a_value("NHCH3") == 1.29 and a_value("N(CH3)2") == 1.53
    assert a_value("NH2") == 1.23


def test_methyl_is_in_the_range_of_the_table() -> None:
    row = a_value_row("CH3")
    assert float(row["low_kcal_mol"]) <= 1.78 <= float(row["high_kcal_mol"])
    assert abs(1.78 - float(row["value_kcal_mol"])) < 0.12


def test_two_published_equilibria_support_the_lower_values_of_dimethylamino() -> None:
    """de Oliveira, Ribeiro & Rittner, J. Phys. Org. Chem. 2005, 18, 513 (doi 10.1002/poc.896).

    trans-1,3: one group is axial in each chair, so the gap is A(N(CH3)2) less the other A-value. 77 and 83 %
    of the chair with N(CH3)2 equatorial: 1.42 and 1.54, nearer to 1.31 and 1.53 than to 2.10 (collection).
    """
    with_hydroxyl = from_percent(float(equilibrium("de_oliveira_2005_trans_ccl4")["value"]))
    with_methoxy = from_percent(float(equilibrium("de_oliveira_2005_ether_trans")["value"]))
    assert with_hydroxyl == pytest.approx(0.72, abs=0.005)
    assert with_methoxy == pytest.approx(0.94, abs=0.005)
    supported = (
        with_hydroxyl + a_value("OH", "tetrachloromethane"),
        with_methoxy + a_value("OCH3"),
    )
    assert supported == pytest.approx((1.42, 1.54), abs=0.005)
    assert max(supported) < (1.53 + 2.10) / 2
    assert float(a_value_row("N(CH3)2")["high_kcal_mol"]) == 2.10
