"""Hydroxyl and methoxycarbonyl on neighbouring carbons attract each other.

Source: S. Vasickova, M. Tichy, Collect. Czech. Chem. Commun. 1979, 44, 410 (abstract seen): the
equilibrium of methyl trans-2-hydroxy-cis-4-isopropylcyclohexanecarboxylate deviates from additivity by
2.6 kJ/mol, a hydrogen bond.
"""

import pytest

from literature.csv_rows import pair_row


def test_gauche_term_in_kcal_mol() -> None:
    row = pair_row("vicinal gauche", "OH", "CO2CH3")
    assert float(row["value_kcal_mol"]) == pytest.approx(-2.6 / 4.184, abs=0.005)
    assert (row["form"], row["source"], row["known"]) == ("excess", "vasickova_tichy_1979", "primary")
