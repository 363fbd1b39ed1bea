"""Interaction energies with oxygen.

Sources: S. J. Angyal, Angew. Chem., Int. Ed. Engl. 1969, 8, 157 (from memory; aqueous solution): syn-
diaxial O/O 1.5 and C/O 2.5, axial O with H 0.45, gauche O/O 0.35 and C/O 0.45 kcal/mol. E. L. Eliel, N.
L. Allinger, S. J. Angyal, G. A. Morrison, Conformational Analysis, 1965 (from memory): O/O 1.9, C/O 1.9
to 2.7.
"""

import pytest

from chairgap.estimate.ledger import estimate_gap
from chairgap.records import InteractionRow
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import chair_pair
from literature.csv_rows import pair_row

TABLE = read_estimate_table("chairgap")


def interaction(kind: str, *groups: str) -> InteractionRow:
    (row,) = (
        row for row in TABLE.interactions if row.kind == kind and {row.group_1, row.group_2} == set(groups)
    )
    return row


@pytest.mark.parametrize(
    ("kind", "groups", "form", "value", "low", "high"),
    [
        ("syn-diaxial", ("OH", "CH3"), "replacing", 2.5, 1.9, 2.7),
        ("vicinal gauche", ("OH",), "excess", 0.35, 0.35, 0.35),
        ("vicinal gauche", ("OH", "CH3"), "excess", 0.45, 0.38, 0.45),
    ],
)
def test_remembered_values(
    kind: str, groups: tuple[str, ...], form: str, value: float, low: float, high: float
) -> None:
    row = interaction(kind, *groups)
    assert (row.form, row.value_kcal_mol, row.low_kcal_mol, row.high_kcal_mol) == (form, value, low, high)
    assert (row.source, row.known) == ("angyal_1969", "from memory")


def test_two_axial_hydroxyls_in_water_have_both_remembered_values_in_their_range() -> None:
    row = pair_row("syn-diaxial", "OH", "OH", "water")
    assert (float(row["low_kcal_mol"]), float(row["high_kcal_mol"])) == (1.5, 1.9)


def test_a_contact_of_oxygen_with_hydrogen_is_half_an_a_value_within_the_range_of_hydroxyl() -> None:
    hydroxyl = next(row for row in TABLE.a_values if row.group == "OH")
    assert hydroxyl.low_kcal_mol <= 2 * 0.45 <= hydroxyl.high_kcal_mol


def test_trans_2_methylcyclohexanol() -> None:
    # Diaxial: A(OH) + A(CH3) = 0.70 + 1.74; diequatorial: one C/O gauche, 0.45.
    found = estimate_gap(chair_pair([(1, "up", "OH"), (2, "down", "CH3")]), TABLE)
    assert found.complete and found.gap_kcal_mol == 1.99
