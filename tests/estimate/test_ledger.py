"""The hand estimate: arithmetic, cancelling, missing terms, geminal pairs, words."""

from dataclasses import replace

import pytest

from chairgap.estimate.ledger import estimate_gap
from chairgap.records import AValueRow, Estimate, EstimateTable, InteractionRow
from chairgap.tables.shipped import TableReader, read_estimate_table
from estimate.chairs_by_face import ByFace, chair_pair

CHAIRGAP = read_estimate_table("chairgap")
TEXTBOOK = read_estimate_table("textbook")


def estimate(groups_by_face: ByFace, table: EstimateTable = CHAIRGAP) -> Estimate:
    return estimate_gap(chair_pair(groups_by_face), table)


def made_row(group: str, value: float, low: float, high: float) -> AValueRow:
    return AValueRow(
        group=group,
        names=(),
        fragment=f"*[{group}]",
        value_kcal_mol=value,
        low_kcal_mol=low,
        high_kcal_mol=high,
        temperature_k=None,
        medium="",
        solvent="",
        method="",
        source="made up",
        known="compilation",
        note="",
    )


def without_interactions(table: EstimateTable) -> EstimateTable:
    return replace(table, interactions=())


def test_a_single_group_gives_its_a_value_and_range() -> None:
    found = estimate([(1, "up", "CH3")])
    assert (found.low_kcal_mol, found.gap_kcal_mol, found.high_kcal_mol) == (1.70, 1.74, 1.82)
    assert [(term.chair, term.kind, term.carbons, term.source) for term in found.terms] == [
        ("B", "A-value", (1,), "booth_everett_1980")
    ]
    assert found.terms[0].words == "CH3 axial on C1: A-value of CH3 1.74"
    assert found.complete and found.flags == ()


def test_no_group_at_all_is_an_exact_zero() -> None:
    found = estimate([])
    assert (found.gap_kcal_mol, found.low_kcal_mol, found.high_kcal_mol) == (0.0, 0.0, 0.0)
    assert found.terms == () and found.complete


def test_a_negative_a_value_turns_the_sign() -> None:
    table = EstimateTable(name="made", a_values=(made_row("X", -0.3, -0.4, -0.1),), interactions=())
    found = estimate([(2, "down", "X")], table)
    assert (found.low_kcal_mol, found.gap_kcal_mol, found.high_kcal_mol) == (-0.4, -0.3, -0.1)


def test_opposed_groups_of_different_rows_have_the_range_of_a_difference() -> None:
    # cis-1,4: one axial in each chair; A has CH3 equatorial or axial by the tie rule of the helper.
    found = estimate([(1, "up", "CH3"), (4, "up", "OH")])
    # G(B) - G(A) = A(CH3) - A(OH) = 1.74 - 0.70; low = 1.70 - 1.04, high = 1.82 - 0.52.
    assert (found.low_kcal_mol, found.gap_kcal_mol, found.high_kcal_mol) == (0.66, 1.04, 1.30)


def test_replacing_words_spell_the_arithmetic() -> None:
    found = estimate([(1, "up", "CH3"), (3, "up", "CH3")])
    term = found.terms[-1]
    assert (term.kind, term.chair, term.carbons, term.groups) == ("syn-diaxial", "B", (1, 3), ("CH3", "CH3"))
    assert term.value_kcal_mol == 1.96
    assert term.words == (
        "CH3 on C1 and CH3 on C3 both axial up: 3.70 takes the place of one CH3/H and one CH3/H contact "
        "(half an A-value each): 3.70 - 0.87 - 0.87 = 1.96"
    )


def test_replacing_with_two_different_groups_takes_half_of_each_a_value() -> None:
    found = estimate([(1, "up", "OH"), (3, "up", "CH3")])
    # OH axial 0.70 + CH3 axial 1.74 + 2.50 - 0.35 - 0.87 = 3.72 (one OH/H and one CH3/H contact stay).
    assert found.gap_kcal_mol == 3.72
    # Extremes: half A(OH) + half A(CH3) + V over the three ranges.
    assert found.low_kcal_mol == pytest.approx(0.26 + 0.85 + 1.90, abs=1e-12)
    assert found.high_kcal_mol == pytest.approx(0.52 + 0.91 + 2.70, abs=1e-12)


def test_excess_and_replacing_forms_of_the_same_number_agree() -> None:
    excess = tuple(
        replace(row, form="excess", value_kcal_mol=1.96, low_kcal_mol=1.96, high_kcal_mol=1.96)
        for row in CHAIRGAP.interactions
        if (row.kind, row.group_1, row.group_2) == ("syn-diaxial", "CH3", "CH3")
    )
    found = estimate([(1, "up", "CH3"), (3, "up", "CH3")], replace(CHAIRGAP, interactions=excess))
    assert found.gap_kcal_mol == 5.44
    assert found.terms[-1].words == "CH3 on C1 and CH3 on C3 both axial up: 1.96 on top of the two A-values"


def test_three_syn_axial_groups_have_three_pair_energies_and_no_contact_with_hydrogen() -> None:
    found = estimate([(1, "up", "CH3"), (3, "up", "CH3"), (5, "up", "CH3")])
    assert found.gap_kcal_mol == 11.10  # 3 x 3.70; the A-values cancel whole
    assert (found.low_kcal_mol, found.high_kcal_mol) == (11.10, 11.10)


def test_neighbours_are_gauche_unless_both_axial() -> None:
    trans = estimate([(1, "up", "CH3"), (2, "down", "CH3")])
    assert [term.chair for term in trans.terms if term.kind == "vicinal gauche"] == ["A"]
    cis = estimate([(1, "up", "CH3"), (2, "up", "CH3")])
    assert [term.chair for term in cis.terms if term.kind == "vicinal gauche"] == ["A", "B"]
    closing = estimate([(1, "up", "CH3"), (6, "down", "CH3")])  # carbons 1 and 6 are neighbours
    assert closing.gap_kcal_mol == trans.gap_kcal_mol == 2.61
    assert trans.terms[0].words == "CH3 equatorial on C1 and CH3 equatorial on C2: gauche, 0.87"


def test_each_vicinal_pair_beside_a_geminal_pair_counts_on_its_own() -> None:
    # 1,1,2-trimethyl: C2 equatorial has two gauche neighbours, C2 axial one (the other is anti).
    found = estimate([(1, "up", "CH3"), (1, "down", "CH3"), (2, "up", "CH3")])
    assert found.gap_kcal_mol == 0.87  # 1.74 - 2 x 0.87 + 0.87
    assert found.flags == ("geminal",) and found.complete


def test_a_group_without_a_row_is_missing_and_never_zero() -> None:
    found = estimate([(1, "up", "*CCO")])
    assert (found.gap_kcal_mol, found.low_kcal_mol, found.high_kcal_mol) == (None, None, None)
    assert found.missing == ("A-value of *CCO",) and not found.complete
    (term,) = found.terms
    assert (term.value_kcal_mol, term.low_kcal_mol, term.high_kcal_mol, term.source) == (None, None, None, "")
    assert term.words == (
        "*CCO axial on C1: no A-value of it in the table 'chairgap'; left out of the estimate"
    )


def test_what_is_known_beside_a_missing_term_is_still_reported() -> None:
    found = estimate([(1, "up", "Br"), (3, "up", "CH3")])  # no published Br/CH3 syn-diaxial energy
    assert found.gap_kcal_mol == 2.22  # 0.48 + 1.74, without the missing pair
    assert found.missing == ("syn-diaxial Br/CH3",) and not found.complete


def test_a_missing_value_that_both_chairs_share_cancels() -> None:
    found = estimate([(1, "up", "*CCO"), (4, "up", "*CCO")])
    assert (found.gap_kcal_mol, found.low_kcal_mol, found.high_kcal_mol) == (0.0, 0.0, 0.0)
    assert found.complete
    assert all(term.words.endswith("; the same in both chairs, it cancels") for term in found.terms)


def test_a_remainder_that_cancels_beside_a_missing_term_is_not_called_zero() -> None:
    found = estimate([(1, "up", "*CCO"), (3, "up", "CH3"), (6, "up", "CH3")])
    assert "A-value of *CCO" in found.missing
    assert found.gap_kcal_mol is None


def test_a_pair_energy_that_needs_a_missing_a_value_is_left_out_whole() -> None:
    with_pair = InteractionRow(
        kind="syn-diaxial",
        group_1="X",
        group_2="CH3",
        form="replacing",
        value_kcal_mol=3.0,
        low_kcal_mol=3.0,
        high_kcal_mol=3.0,
        temperature_k=None,
        medium="",
        source="made up",
        known="compilation",
        note="",
    )
    table = replace(CHAIRGAP, interactions=(with_pair,))
    found = estimate([(1, "up", "X"), (3, "up", "CH3")], table)
    assert found.gap_kcal_mol == 1.74
    assert found.missing == ("A-value of X",)
    assert found.terms[-1].value_kcal_mol is None
    assert found.terms[-1].words == (
        "X on C1 and CH3 on C3 both axial up: 3.00 takes the place of one X/H and one CH3/H contact, but the "
        "A-value of X is not in the table; left out of the estimate"
    )


def test_gauche_without_a_value_is_missing_in_trans_and_cancels_in_cis() -> None:
    table = without_interactions(CHAIRGAP)
    trans = estimate([(1, "up", "CH3"), (2, "down", "CH3")], table)
    assert trans.missing == ("vicinal gauche CH3/CH3",) and trans.gap_kcal_mol == 3.48
    cis = estimate([(1, "up", "CH3"), (2, "up", "CH3")], table)
    assert cis.complete and cis.gap_kcal_mol == 0.0


def test_two_different_groups_on_one_carbon_are_flagged_and_missing() -> None:
    found = estimate([(1, "up", "CH3"), (1, "down", "OH")])
    assert found.flags == ("geminal",)
    assert found.missing == ("geminal CH3/OH",)
    geminal = [term for term in found.terms if term.kind == "geminal"]
    assert [(term.chair, term.carbons, term.value_kcal_mol) for term in geminal] == [
        ("A", (1,), None),
        ("B", (1,), None),
    ]
    assert geminal[1].words == (
        "CH3 axial and OH equatorial share C1: additivity is not established for two groups on one carbon; "
        "left out of the estimate"
    )


def test_two_geminal_pairs_that_exchange_places_cancel() -> None:
    # C1 and C4 carry the same pair the other way up: each chair has one carbon of either kind.
    groups_by_face: ByFace = [(1, "up", "CH3"), (1, "down", "OH"), (4, "up", "CH3"), (4, "down", "OH")]
    found = estimate(groups_by_face)
    assert found.complete and found.gap_kcal_mol == 0.0 and found.flags == ("geminal",)


def test_the_textbook_table_uses_its_own_round_numbers() -> None:
    assert estimate([(1, "up", "CH3"), (2, "down", "CH3")], TEXTBOOK).gap_kcal_mol == 2.70  # 3.6 - 0.9
    assert estimate([(1, "up", "CH3"), (3, "up", "CH3")], TEXTBOOK).gap_kcal_mol == 5.50  # 0.9 + 0.9 + 3.7
    cis_diol = estimate([(1, "up", "OH"), (3, "up", "OH")], TEXTBOOK)
    assert cis_diol.missing == ("syn-diaxial OH/OH",)


def test_words_and_medium_say_which_row_was_taken() -> None:
    # cis-1,3-diol: 2 A(OH) + V - 2 A(OH)/2 = A(OH) + V.
    diol: ByFace = [(1, "up", "OH"), (3, "up", "OH")]
    gas = estimate(diol)  # measured in CCl4: 0.70 - 0.60
    assert gas.gap_kcal_mol == 0.10
    assert [term.medium for term in gas.terms] == ["tetrachloromethane"] * 3
    assert gas.terms[0].words == "OH axial on C1: A-value of OH 0.70 (in tetrachloromethane)"
    assert gas.terms[2].words == (
        "OH on C1 and OH on C3 both axial up: -0.60 (in tetrachloromethane) takes the place of one OH/H and "
        "one OH/H contact (half an A-value each): -0.60 - 0.35 - 0.35 = -1.30"
    )
    water = estimate(diol, TableReader().estimate_table("chairgap", "water"))  # 0.90 + 1.80
    assert water.gap_kcal_mol == 2.70
    assert water.terms[0].words == "OH axial on C1: A-value of OH 0.90 (in water)"
    # trans-1,2-difluoride: 2 A(F) 0.28 - gauche 0.66, the row of the gas phase itself.
    fluoride = estimate([(1, "up", "F"), (2, "down", "F")])
    assert fluoride.gap_kcal_mol == -0.10
    (gauche,) = (term for term in fluoride.terms if term.kind == "vicinal gauche")
    assert (gauche.medium, gauche.words.split(": ")[1]) == ("gas phase", "gauche, 0.66 (in the gas phase)")


def test_words_of_a_row_without_a_medium_and_of_the_only_row() -> None:
    (amine,) = estimate([(1, "up", "NH2")]).terms  # 1.23, beside CFCl3 and toluene
    assert (amine.medium, amine.words.split(": ")[1]) == ("", "A-value of NH2 1.23 (medium not stated)")
    (grignard,) = estimate([(1, "up", "MgBr")]).terms  # the one row
    assert (grignard.medium, grignard.words.split(": ")[1]) == (
        "diethyl ether",
        "A-value of MgBr 0.78 (in diethyl ether)",
    )


def test_words_give_the_temperature_of_a_chosen_row() -> None:
    cold = replace(made_row("X", 0.5, 0.5, 0.5), temperature_k=193.0, medium="toluene")
    table = EstimateTable(name="made", a_values=(cold,), interactions=(), chosen=(cold,))
    (term,) = estimate([(1, "up", "X")], table).terms
    assert term.words == "X axial on C1: A-value of X 0.50 (in toluene, 193 K)"


def test_words_name_a_users_table_without_its_folder() -> None:
    table = replace(CHAIRGAP, name="/somewhere/course.csv", a_values=())
    (term,) = estimate([(1, "up", "CH3")], table).terms
    assert term.words.startswith("CH3 axial on C1: no A-value of it in the table 'course.csv';")


def test_a_group_written_by_an_alias_is_the_same_row() -> None:
    mixed = estimate([(1, "up", "methyl"), (4, "up", "Me")])
    assert (mixed.gap_kcal_mol, mixed.low_kcal_mol, mixed.high_kcal_mol) == (0.0, 0.0, 0.0)
